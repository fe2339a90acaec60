/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How one thing that the answer turns on would change it. */
#ifndef FR_REPORT_TURN_WORDS_H
#define FR_REPORT_TURN_WORDS_H

#include "fuelreach/document.h"
#include "report/words.h"

/* "no return line in the car?", said of the thing that it belongs to. */
void fr_turn_question(fr_words *words, const fr_turn *turn);
/* "E85 SHORT: the port injectors, at 234 kW". */
void fr_turn_answer(fr_words *words, const fr_check_document *document, const fr_turn *turn,
                    fr_units units);

#endif
