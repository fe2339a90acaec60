/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Text as people see it: characters, the columns that they take, and what must never reach a
 * terminal. Locale plays no part, so output is the same on every machine. */
#ifndef FR_REPORT_UTF8_H
#define FR_REPORT_UTF8_H

#include <stddef.h>
#include <stdint.h>

enum { FR_UTF8_BYTES_MAX = 4 };

/* Reads one character of `left` bytes (at least 1). Returns how many bytes it took, at least 1;
 * what is not UTF-8 gives U+FFFD, a byte at a time. */
size_t fr_utf8_decode(const char *text, size_t left, uint32_t *code);
/* Writes one character, returns its bytes. */
size_t fr_utf8_encode(uint32_t code, char out[FR_UTF8_BYTES_MAX]);

/* Columns that a character takes on a terminal: 0 (combining), 1 or 2 (East Asian wide). */
unsigned fr_char_columns(uint32_t code);
/* The character to show for it: control characters and those that turn the direction of writing
 * become U+FFFD, tabs and line ends a space. */
uint32_t fr_char_shown(uint32_t code);

/* Columns of a whole text, as shown. */
size_t fr_text_columns(const char *text);
/* A copy fit for showing, cut between characters to `size` bytes with its end. */
void fr_text_clean(const char *text, char *out, size_t size);
/* The same, cut to `columns` with an ellipsis where it is longer. */
void fr_text_fit(const char *text, size_t columns, char *out, size_t size);

#endif
