/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "docs/blocks.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fuel/constants.h"
#include "fuelreach/sheet.h"

static const char output_mark[] = "<!-- output of: ";
static const char mark_end[] = " -->";
static const char fence[] = "```";
enum { COMMAND_LENGTH = 512 };

/* ---- what is written between two marks ---- */

/* One row a constant; the names are those of the program. */
static void write_constants(FILE *out) {
    fputs("| constant | value | unit | source |\n|---|---|---|---|\n", out);
#define WRITE_ROW(name, value, unit, source)                                                       \
    fprintf(out, "| `%s` | %.10g | %s | %s |\n", &#name[strlen("fr_")], (value), unit, source);
    FR_FUEL_CONSTANTS(WRITE_ROW)
#undef WRITE_ROW
}

static const struct {
    const char *begin, *end;
    void (*write)(FILE *out);
} marked[] = {
    {"<!-- fields -->\n", "<!-- /fields -->\n", fr_sheet_write_docs},
    {"<!-- constants -->\n", "<!-- /constants -->\n", write_constants},
};
enum { MARKED_COUNT = sizeof marked / sizeof marked[0] };

/* ---- output of a command ---- */

/* The command of a mark, its first word replaced by the program built here. */
static bool command_of(const char *mark, char *command, size_t size) {
    const char *begin = mark + strlen(output_mark);
    const char *end = strstr(begin, mark_end);
    const char *arguments = strchr(begin, ' ');
    int length;
    if (end == NULL || arguments == NULL || arguments > end ||
        strncmp(begin, "fuelreach ", strlen("fuelreach ")) != 0) {
        return false;
    }
    length = snprintf(command, size, "%s/fuelreach%.*s 2>&1", FR_BUILD_DIR, (int)(end - arguments),
                      arguments);
    return length > 0 && (size_t)length < size;
}

static void write_output(FILE *out, const char *command) {
    char buffer[4096];
    size_t length;
    FILE *pipe = popen(command, "r");
    if (pipe == NULL) {
        fprintf(out, "(cannot run %s)\n", command);
        return;
    }
    while ((length = fread(buffer, 1, sizeof buffer, pipe)) > 0) {
        fwrite(buffer, 1, length, out);
    }
    pclose(pipe);
}

/* ---- walking through a document ---- */

static const char *next_line(const char *at) {
    const char *end = strchr(at, '\n');
    return end == NULL ? at + strlen(at) : end + 1;
}

static bool begins(const char *at, const char *with) {
    return strncmp(at, with, strlen(with)) == 0;
}

/* The next line from `at` on that begins so, or null. */
static const char *find_line(const char *at, const char *with) {
    while (*at != '\0' && !begins(at, with)) {
        at = next_line(at);
    }
    return *at == '\0' ? NULL : at;
}

/* Writes a fenced block anew; `at` is at its mark. Returns the closing fence, or null. */
static const char *renew_output(FILE *out, const char *at) {
    char command[COMMAND_LENGTH];
    const char *opening = next_line(at);
    const char *closing = begins(opening, fence) ? find_line(next_line(opening), fence) : NULL;
    if (closing == NULL || !command_of(at, command, sizeof command)) {
        return NULL;
    }
    fwrite(at, 1, (size_t)(next_line(opening) - at), out);
    fflush(out);
    write_output(out, command);
    return closing;
}

/* Writes what stands at `at` (a line, or a whole block) and returns what follows, or null. */
static const char *renew(FILE *out, const char *at, size_t *blocks) {
    if (begins(at, output_mark)) {
        (*blocks)++;
        return renew_output(out, at);
    }
    for (size_t i = 0; i < MARKED_COUNT; i++) {
        if (begins(at, marked[i].begin)) {
            (*blocks)++;
            fputs(marked[i].begin, out);
            marked[i].write(out);
            return find_line(at, marked[i].end);
        }
    }
    fwrite(at, 1, (size_t)(next_line(at) - at), out);
    return next_line(at);
}

char *docs_written_anew(const char *text, size_t *blocks) {
    char *anew = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&anew, &size);
    const char *at = text;
    *blocks = 0;
    if (out == NULL) {
        return NULL;
    }
    while (at != NULL && *at != '\0') {
        at = renew(out, at, blocks);
    }
    if (fclose(out) != 0 || at == NULL) {
        free(anew);
        return NULL;
    }
    return anew;
}
