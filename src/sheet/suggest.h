/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a person may have meant. */
#ifndef FR_SHEET_SUGGEST_H
#define FR_SHEET_SUGGEST_H

#include "sheet/bind.h"

/* Edits (a letter more, less, other, or two swapped) from one word to the other, letter case
 * aside. Long words are compared in their first 63 letters. */
size_t fr_edit_distance(const char *a, const char *b);
/* Edits that still count as a slip in a word of this length. */
size_t fr_edit_allowance(const char *word);
/* The field of a section that a key which is none may stand for; null when it is none's. */
const fr_field *fr_field_meant(const fr_section *section, const char *key);
/* Says that a key is no field of the scope's section, and what would be right. */
void fr_tell_unknown(const fr_scope *scope, const fr_pair *pair);
/* "KEY: VALUE" with the value that a person wrote where it fits the field, else an example. */
void fr_suggest_line(const fr_field *field, const char *written_key, const fr_node *value,
                     char *out, size_t size);
/* A short text of what the user wrote, cut at 40 characters, for messages. */
enum { FR_SHOWN_MAX = 192 };
const char *fr_shown(const fr_node *node, char out[FR_SHOWN_MAX]);

#endif
