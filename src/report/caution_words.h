/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cautions in plain sentences, each with its code: those that carry a figure, and those that
 * belong to every change of a fuel system. */
#ifndef FR_REPORT_CAUTION_WORDS_H
#define FR_REPORT_CAUTION_WORDS_H

#include "fuelreach/document.h"
#include "report/words.h"

/* The sentence of a caution that carries a figure. */
void fr_caution_sentence(fr_words *words, const fr_check_document *document,
                         const fr_caution *caution, fr_units units);

typedef struct fr_standing_caution {
    const char *code;
    const char *text;
    bool (*applies)(const fr_check_document *document); /* null: always */
    bool stands_alone; /* in text on a line of its own; the others run on */
} fr_standing_caution;

/* Always given, as far as they apply; ends with a null code. */
extern const fr_standing_caution fr_standing_cautions[];
/* True when it belongs to this build. */
bool fr_standing_caution_applies(const fr_standing_caution *caution,
                                 const fr_check_document *document);
/* What the reader of the sheet remarked, with its place: "tern.yaml:7:3: ...; ...". */
void fr_remark_sentence(fr_words *words, const fr_remark *remark);
/* Code of what the reader of the sheet remarked. */
extern const char fr_remark_code[];

#endif
