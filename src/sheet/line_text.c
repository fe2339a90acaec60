/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sheet/line_text.h"

#include <stdio.h>
#include <string.h>

/* How much of a text a hint may repeat. */
enum { SHOWN_MAX = 80 };

bool fr_line_blank(char c) {
    return c == ' ' || c == '\t';
}

fr_line_text fr_line_trim(fr_line_text line) {
    while (line.length != 0 && fr_line_blank(line.text[0])) {
        line.text++;
        line.length--;
    }
    while (line.length != 0 && fr_line_blank(line.text[line.length - 1])) {
        line.length--;
    }
    return line;
}

/* A line without indentation and without a remark behind it. */
fr_line_text fr_line_content(fr_line_text line) {
    for (size_t i = 0; i < line.length; i++) {
        if (line.text[i] == '#' && (i == 0 || fr_line_blank(line.text[i - 1]))) {
            line.length = i;
        }
    }
    return fr_line_trim(line);
}

fr_line_text fr_line_part(fr_line_text line, size_t from, size_t to) {
    return fr_line_trim((fr_line_text){line.text + from, to - from});
}

int fr_line_shown(fr_line_text text) {
    size_t length = text.length;
    if (length > SHOWN_MAX) {
        length = 0;
        while (length + fr_character_size(text.text[length]) <= SHOWN_MAX) {
            length += fr_character_size(text.text[length]);
        }
    }
    return (int)length;
}

size_t fr_line_find(fr_line_text line, char wanted) {
    const char *found = line.length == 0 ? NULL : memchr(line.text, wanted, line.length);
    return found == NULL ? line.length : (size_t)(found - line.text);
}

/* The colon that parts a name from its value: one with a blank or nothing behind it. */
size_t fr_line_colon(fr_line_text line) {
    for (size_t i = 0; i < line.length; i++) {
        if (line.text[i] == ':' && (i + 1 == line.length || fr_line_blank(line.text[i + 1]))) {
            return i;
        }
    }
    return line.length;
}

size_t fr_line_indentation(fr_line_text line) {
    size_t count = 0;
    while (count < line.length && fr_line_blank(line.text[count])) {
        count++;
    }
    return count;
}

/* Column, from 1, of the first character that is no blank. */
size_t fr_line_first_column(const fr_tree *tree, size_t line) {
    return fr_line_indentation(fr_tree_line_text(tree, line)) + 1;
}

/* The last line above that says something; 0 when there is none. */
size_t fr_line_above(const fr_tree *tree, size_t line) {
    while (line > 1) {
        line--;
        if (fr_line_content(fr_tree_line_text(tree, line)).length != 0) {
            return line;
        }
    }
    return 0;
}

bool fr_line_curly(fr_line_text line) {
    for (size_t i = 0; i + 2 < line.length; i++) {
        /* U+2018 to U+201F */
        if (memcmp(line.text + i, "\xE2\x80", 2) == 0 && (unsigned char)line.text[i + 2] >= 0x98 &&
            (unsigned char)line.text[i + 2] <= 0x9F) {
            return true;
        }
    }
    return false;
}

/* A text without curly quotes, in straight ones that it does not hold itself. */
void fr_line_quoted(fr_line_text text, char *out, size_t size) {
    char plain[SHOWN_MAX + 1];
    size_t used = 0;
    size_t length = (size_t)fr_line_shown(text);
    for (size_t i = 0; i < length;) {
        fr_line_text one = {text.text + i, fr_character_size(text.text[i])};
        if (!fr_line_curly(one)) {
            memcpy(plain + used, one.text, one.length);
            used += one.length;
        }
        i += one.length;
    }
    plain[used] = '\0';
    char mark = strchr(plain, '"') == NULL ? '"' : '\'';
    snprintf(out, size, "%c%s%c", mark, plain, mark);
}
