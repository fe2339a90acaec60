/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Small things that several parts of a document say in the same way. */
#ifndef FR_REPORT_DOCUMENT_WORDS_H
#define FR_REPORT_DOCUMENT_WORDS_H

#include "fuelreach/document.h"
#include "report/format.h"
#include "report/words.h"

/* Step to which powers are rounded: 5 (kW or hp) where a figure that moves them is assumed, that
 * is when BSFC was not given, when a part is `factory`, or when the answer turns on anything that
 * the sheet does not say; else 0, to the last whole one. */
double fr_power_step(const fr_check_document *document);
/* Adds a reach or clear-to power, "262 kW", rounded down by that step; finer where the step would
 * put a power that carries the target below it. */
void fr_show_reach(fr_words *words, const fr_check_document *document, fr_units units,
                   double power_w, double target_w);
/* Adds the target: "225 kW at the crank"; where it differs by blend "300 to 320 kW at the
 * crank, by blend". `where` leaves the place out when false and the power is at the crank. */
void fr_show_target(fr_words *words, const fr_check_document *document, fr_units units, bool where);
/* The same where a sentence goes on: "225 kW", "the power asked of each blend". */
void fr_show_asked(fr_words *words, const fr_check_document *document, fr_units units);
/* True when every blend asks for the same power. */
bool fr_same_target(const fr_check_document *document);
/* Use in per cent, rounded up; what is on its limit to a millionth shows as on it. */
double fr_use_percent(double use);
/* The result of a stage on a blend, null when the build has not got it. */
const fr_stage_result *fr_stage_on(const fr_blend_result *blend, fr_stage stage);
/* The point where a stage is worst. */
const fr_point *fr_worst_point(const fr_blend_result *blend, const fr_stage_result *stage);

#endif
