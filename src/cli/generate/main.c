/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Writes the documents that are made from the program's own tables.
 *
 *   generate all FOLDER    every document into FOLDER
 *   generate NAME          one of them to standard output
 *
 * Another program than fuelreach, so that people are not shown what only the project needs. */
#include <stdio.h>
#include <string.h>

#include "cli/help.h"
#include "fuelreach/sheet.h"

/* One row a generated document. */
static const struct {
    const char *name;
    void (*write)(FILE *out);
} documents[] = {
    {"fuelreach.1", fr_write_manual},
    {"fuelreach.bash", fr_write_completion},
    {"build-sheet.schema.json", fr_sheet_write_schema},
    {"part.schema.json", fr_part_write_schema},
};

enum { DOCUMENT_COUNT = sizeof documents / sizeof documents[0], PATH_MAX_LENGTH = 1024 };

static int write_into(const char *folder, size_t document) {
    char path[PATH_MAX_LENGTH];
    FILE *out;

    snprintf(path, sizeof path, "%s/%s", folder, documents[document].name);
    out = fopen(path, "w");
    if (out == NULL) {
        perror(path);
        return 1;
    }
    documents[document].write(out);
    if (ferror(out) | fclose(out)) {
        perror(path);
        return 1;
    }
    printf("%s\n", path);
    return 0;
}

int main(int count, char **words) {
    if (count == 3 && strcmp(words[1], "all") == 0) {
        int failed = 0;
        for (size_t i = 0; i < DOCUMENT_COUNT; i++)
            failed |= write_into(words[2], i);
        return failed;
    }
    for (size_t i = 0; count == 2 && i < DOCUMENT_COUNT; i++) {
        if (strcmp(words[1], documents[i].name) == 0) {
            documents[i].write(stdout);
            return fflush(stdout) != 0;
        }
    }
    fputs("usage: generate all FOLDER, or generate NAME, of:\n", stderr);
    for (size_t i = 0; i < DOCUMENT_COUNT; i++)
        fprintf(stderr, "  %s\n", documents[i].name);
    return 2;
}
