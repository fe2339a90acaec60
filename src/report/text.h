/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts of the text report on a check, in the order in which people read them. Private to
 * src/report. */
#ifndef FR_REPORT_TEXT_H
#define FR_REPORT_TEXT_H

#include "fuelreach/document.h"

/* Everything that a part of the report needs. */
typedef struct fr_text {
    FILE *out;
    const fr_check_document *document;
    fr_text_style style;
} fr_text;

/* The verdict in a sentence, the highest blend, and what it rests on. */
void fr_text_verdict(const fr_text *text);
/* What the answer turns on, when there is anything. */
void fr_text_turns(const fr_text *text);
/* How full each stage is on each blend. */
void fr_text_grid(const fr_text *text);
/* One row a blend. */
void fr_text_blends(const fr_text *text);
/* What runs out, and the least that mends it. */
void fr_text_advice(const fr_text *text);
/* What was assumed; with --detail the lines to paste. */
void fr_text_assumed(const fr_text *text);
void fr_text_cautions(const fr_text *text);
/* The table over speed. */
void fr_text_detail(const fr_text *text);

#endif
