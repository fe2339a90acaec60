/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What runs out and the least that mends it, in plain sentences. Text and JSON say the same. */
#ifndef FR_REPORT_ADVICE_H
#define FR_REPORT_ADVICE_H

#include "fuelreach/document.h"
#include "report/words.h"

/* "short from 3000 rpm. At 3500 rpm and 200 bar it passes ..." for a stage that is tight or short
 * on a blend; nothing for one that is clear. */
void fr_advice_what(fr_words *words, const fr_check_document *document,
                    const fr_blend_result *blend, const fr_stage_result *stage, fr_units units);
/* "Needs 1.21 cc a cam turn (has 0.98), or ...": the changes that mend a stage, each alone. */
void fr_advice_mends(fr_words *words, const fr_check_document *document,
                     const fr_mended_stage *mended, fr_units units);
/* One of those changes for a table: what is needed, and what the build has (nothing where that is
 * not known). Returns how many there are; 0 where fr_advice_mends says why there is none. */
size_t fr_advice_needs(const fr_check_document *document, const fr_mended_stage *mended,
                       fr_units units, size_t index, fr_words *needs, fr_words *has);
/* Both, for one stage on one blend; the mends are those of the blend where the stage is worst. */
void fr_advice_sentence(fr_words *words, const fr_check_document *document,
                        const fr_blend_result *blend, const fr_stage_result *stage, fr_units units);
/* What all changes together come to: "All together ... make every blend clear at 225 kW." */
void fr_advice_together(fr_words *words, const fr_check_document *document, fr_units units);

/* The mends of a stage, null when it needs none. */
const fr_mended_stage *fr_mends_of(const fr_check_document *document, fr_stage stage);

#endif
