/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One line of a sheet as a person reads it: indentation, name, colon, value, remark. */
#ifndef FR_SHEET_LINE_TEXT_H
#define FR_SHEET_LINE_TEXT_H

#include "sheet/tree_inside.h"

bool fr_line_blank(char c);
fr_line_text fr_line_trim(fr_line_text line);
/* A line without indentation and without a remark behind it. */
fr_line_text fr_line_content(fr_line_text line);
/* Bytes `from` to `to`, trimmed. */
fr_line_text fr_line_part(fr_line_text line, size_t from, size_t to);
/* Where a character stands first; the length when it does not. */
size_t fr_line_find(fr_line_text line, char wanted);
/* The colon that parts a name from its value: one with a blank or nothing behind it. */
size_t fr_line_colon(fr_line_text line);
size_t fr_line_indentation(fr_line_text line);
bool fr_line_curly(fr_line_text line); /* holds a curly quote */

/* How many bytes of a text a hint may repeat, for "%.*s". */
int fr_line_shown(fr_line_text text);
/* A text in straight quotes that it does not hold itself, its curly ones taken out. */
void fr_line_quoted(fr_line_text text, char *out, size_t size);

/* Column, from 1, of a line's first character that is no blank. */
size_t fr_line_first_column(const fr_tree *tree, size_t line);
/* The last line above that says something; 0 when there is none. */
size_t fr_line_above(const fr_tree *tree, size_t line);

#endif
