/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A sentence being put together. It holds a bounded text, so it lives on the stack; what does not
 * fit is left out between characters. */
#ifndef FR_REPORT_WORDS_H
#define FR_REPORT_WORDS_H

#include <stddef.h>

enum { FR_WORDS_MAX = 2048 };

typedef struct fr_words {
    size_t length;
    char text[FR_WORDS_MAX];
} fr_words;

void fr_words_clear(fr_words *words);
#if defined(__GNUC__)
__attribute__((format(printf, 2, 3)))
#endif
void fr_words_add(fr_words *words, const char *format, ...);
/* Makes the first letter a capital one (ASCII). */
void fr_words_capital(fr_words *words, size_t at);
/* What stands between item `index` and the one before it in a list of `count`: "", ", ", " and ".
 */
const char *fr_words_between(size_t index, size_t count, const char *last);
/* "one", "two" ... "twelve", then figures. */
void fr_words_count(fr_words *words, size_t count);

#endif
