/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The verdict in words; text and page say it alike. */
#ifndef FR_REPORT_VERDICT_H
#define FR_REPORT_VERDICT_H

#include "fuelreach/document.h"
#include "report/words.h"

/* What follows HOLDS, TIGHT or RUNS SHORT: " on E70 and E85: the lift pump gives too little." */
void fr_verdict_rest(fr_words *words, const fr_check_document *document);
/* How far the build goes at the power asked, and what the worst blend holds. */
void fr_reach_sentence(fr_words *words, const fr_check_document *document, fr_units units);
/* "It rests on 16 assumed values; one of them could make it short." Nothing when none is. */
void fr_rests_on_sentence(fr_words *words, const fr_check_document *document);
/* The blend whose reach is least in proportion to what is asked of it; null when none ends. */
const fr_blend_result *fr_worst_blend(const fr_check_result *result);

#endif
