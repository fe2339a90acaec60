/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Remarks as editors and people know them: the place, what is wrong, what would be right; then
 * the line of the sheet with a caret under the place. */
#include <stdint.h>
#include <string.h>

#include "fuelreach/document.h"
#include "report/utf8.h"

enum {
    COLUMNS = 80,
    INDENT = 4,
    /* What is still shown in front of the place when a long line is cut. */
    LEAD = 30,
    TEXT_MAX = 4096
};

static const char *const severity_words[] = {
    [FR_ERROR] = "", [FR_CAUTION] = "caution: ", [FR_NOTE] = "note: "};
static const char *const severity_colours[] = {
    [FR_ERROR] = "\033[1;31m", [FR_CAUTION] = "\033[1;33m", [FR_NOTE] = "\033[1;36m"};
static const char plain[] = "\033[0m";

static void put_clean(FILE *out, const char *text) {
    char clean[TEXT_MAX];
    fr_text_clean(text, clean, sizeof clean);
    fputs(clean, out);
}

static void write_message(FILE *out, const fr_remark *remark, bool colour) {
    if (remark->file != NULL) {
        put_clean(out, remark->file);
        if (remark->line > 0)
            fprintf(out, ":%zu:%zu", remark->line, remark->column);
        fputs(": ", out);
    }
    fputs(colour ? severity_colours[remark->severity] : "", out);
    fputs(severity_words[remark->severity], out);
    put_clean(out, remark->message);
    fputs(colour ? plain : "", out);
    if (remark->hint != NULL && remark->hint[0] != '\0') {
        fputs("; ", out);
        put_clean(out, remark->hint);
    }
    fputc('\n', out);
}

/* Where character number `count` of a text begins, and the columns in front of it. */
static size_t skip_characters(const char *text, size_t count, size_t *columns) {
    size_t at = 0, length = strlen(text);
    *columns = 0;
    for (; count > 0 && at < length; count--) {
        uint32_t code;
        at += fr_utf8_decode(text + at, length - at, &code);
        *columns += fr_char_columns(fr_char_shown(code));
    }
    return at;
}

/* Characters to leave out in front so that the caret stays within the width. */
static size_t cut_in_front(const char *excerpt, size_t column) {
    size_t width = COLUMNS - INDENT, columns;
    skip_characters(excerpt, column - 1, &columns);
    if (fr_text_columns(excerpt) <= width || columns + 1 < width)
        return 0;
    return column - 1 - LEAD;
}

static void write_excerpt(FILE *out, const fr_remark *remark, bool colour) {
    size_t column = remark->column > 0 ? remark->column : 1;
    size_t cut = cut_in_front(remark->excerpt, column);
    size_t dropped, before;
    const char *shown = remark->excerpt + skip_characters(remark->excerpt, cut, &dropped);
    const char *mark = cut > 0 ? "…" : "";
    size_t marked = cut > 0 ? 1 : 0;
    char line[TEXT_MAX];
    fr_text_fit(shown, COLUMNS - INDENT - marked, line, sizeof line);
    fprintf(out, "%*s%s%s\n", INDENT, "", mark, line);
    skip_characters(shown, column - 1 - cut, &before);
    fprintf(out, "%*s%s^%s\n", (int)(INDENT + marked + before), "",
            colour ? severity_colours[remark->severity] : "", colour ? plain : "");
}

void fr_write_remarks(FILE *out, const fr_report *report, bool colour) {
    for (size_t i = 0; i < report->count; i++) {
        const fr_remark *remark = &report->remarks[i];
        write_message(out, remark, colour);
        if (remark->excerpt != NULL && remark->line > 0)
            write_excerpt(out, remark, colour);
    }
    if (report->out_of_memory)
        fputs("memory ran out: some remarks are missing\n", out);
}
