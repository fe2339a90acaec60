/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The words of one thing that the answer turns on. */
#ifndef FR_ASSUMPTIONS_TURN_TEXT_H
#define FR_ASSUMPTIONS_TURN_TEXT_H

#include <stddef.h>

#include "fuelreach/document.h"

/* Texts in a fixed store; what no longer fits is left empty. */
typedef struct fr_text_store {
    char *at;
    size_t left;
} fr_text_store;

const char *fr_store_text(fr_text_store *store, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* Question and line to paste for a word in place of the assumed one. */
void fr_turn_of_word(fr_text_store *store, const fr_assumed *assumed, const char *word,
                     fr_turn *turn);
/* The same for a figure at the bad end of its tolerance; `deviation` is the step, relative for a
 * scale, in SI for a shift. */
void fr_turn_of_figure(fr_text_store *store, const fr_assumed *assumed, const fr_input *input,
                       double deviation, fr_turn *turn);

#endif
