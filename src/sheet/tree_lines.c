/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The text of a sheet by lines and characters. */
#include <string.h>

#include "sheet/tree_inside.h"

/* Nobody writes a longer line by hand; a machine's line of a megabyte, shown with each of a
 * thousand errors, would fill the memory. */
enum { LINE_SHOWN_MAX = 1000, BREAK_MAX = 3 };

/* Leading bits of UTF-8's first bytes. */
static const unsigned two_bytes = 0xC0u, three_bytes = 0xE0u, four_bytes = 0xF0u;

size_t fr_character_size(char first) {
    unsigned byte = (unsigned char)first;
    return byte >= four_bytes ? 4 : byte >= three_bytes ? 3 : byte >= two_bytes ? 2 : 1;
}

/* Bytes of the line break at `text`, 0 for none. The breaks of YAML: LF, CR, CR LF, next line
 * (U+0085), line and paragraph separator (U+2028, U+2029). Counting others than the YAML reader
 * does would put the blame on the wrong line. */
static size_t break_size(const char *text) {
    if (text[0] == '\r') {
        return text[1] == '\n' ? 2 : 1;
    }
    if (text[0] == '\n') {
        return 1;
    }
    if (strncmp(text, "\xC2\x85", 2) == 0) {
        return 2;
    }
    bool separator = strncmp(text, "\xE2\x80\xA8", 3) == 0 || strncmp(text, "\xE2\x80\xA9", 3) == 0;
    return separator ? 3 : 0;
}

static size_t count_breaks(const char *text) {
    size_t breaks = 0;
    while (*text != '\0') {
        size_t size = break_size(text);
        breaks += size != 0;
        text += size == 0 ? 1 : size;
    }
    return breaks;
}

bool fr_tree_find_lines(fr_tree *tree) {
    size_t lines = count_breaks(tree->text) + 1;
    size_t line = 1;
    size_t *starts = fr_tree_alloc(tree, (lines + 1) * sizeof *starts);
    if (starts == NULL) {
        return false;
    }
    starts[0] = 0;
    for (size_t at = 0; at < tree->length;) {
        size_t size = break_size(tree->text + at);
        at += size == 0 ? 1 : size;
        if (size != 0) {
            starts[line++] = at;
        }
    }
    starts[lines] = tree->length;
    tree->line_starts = starts;
    tree->line_count = lines;
    return true;
}

/* Bytes of the line break that the first `size` bytes end with. */
static size_t break_at_end(const char *text, size_t size) {
    for (size_t length = size < BREAK_MAX ? size : BREAK_MAX; length > 0; length--) {
        if (break_size(text + size - length) == length) {
            return length;
        }
    }
    return 0;
}

fr_line_text fr_tree_line_text(const fr_tree *tree, size_t line) {
    fr_line_text none = {"", 0};
    if (line == 0 || line > tree->line_count) {
        return none;
    }
    const char *start = tree->text + tree->line_starts[line - 1];
    size_t size = tree->line_starts[line] - tree->line_starts[line - 1];
    return (fr_line_text){start, size - break_at_end(start, size)};
}

/* Keys are asked for from left to right, and all may stand on one line: each look goes on from the
 * last, or a long line would be walked once for every key. */
size_t fr_tree_offset(fr_tree *tree, size_t line, size_t column) {
    if (line == 0 || line > tree->line_count) {
        return tree->length;
    }
    fr_place place = {line, 1, tree->line_starts[line - 1]};
    if (tree->looked_at.line == line && tree->looked_at.column <= column) {
        place = tree->looked_at;
    }
    size_t end = tree->line_starts[line];
    while (place.column < column && place.at < end) {
        place.at += fr_character_size(tree->text[place.at]);
        place.column++;
    }
    tree->looked_at = place;
    return place.at < end ? place.at : end;
}

/* Bytes of whole characters that fit. */
static size_t shown_length(const char *text) {
    size_t length = 0;
    size_t next = 0;
    while (next <= LINE_SHOWN_MAX) {
        length = next;
        next += fr_character_size(text[next]);
    }
    return length;
}

const char *fr_tree_line(fr_tree *tree, size_t line) {
    if (line == 0 || line > tree->line_count) {
        return NULL;
    }
    fr_line_text found = fr_tree_line_text(tree, line);
    if (found.length > LINE_SHOWN_MAX) {
        found.length = shown_length(found.text);
    }
    char *copy = fr_tree_alloc(tree, found.length + 1);
    if (copy != NULL) {
        memcpy(copy, found.text, found.length);
        copy[found.length] = '\0';
    }
    return copy;
}

void fr_tree_tell(fr_tree *tree, fr_report *report, const fr_told *told) {
    fr_report_add(report, FR_ERROR, tree->file, told->line, told->column, NULL, told->message,
                  told->hint[0] == '\0' ? NULL : told->hint, fr_tree_line(tree, told->line));
}
