/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The review's results for people and for programs. */
#ifndef FR_REPORT_REVIEW_DOCUMENT_H
#define FR_REPORT_REVIEW_DOCUMENT_H

#include <stdio.h>

#include "fuelreach/document.h"
#include "fuelreach/review.h"

typedef struct fr_review_document {
    const fr_sheet *sheet;
    size_t log_count;
    const fr_review_result *result;
} fr_review_document;

void fr_write_review_text(FILE *out, const fr_review_document *document,
                          const fr_text_style *style);
void fr_write_review_json(FILE *out, const fr_review_document *document);

/* Whether the next step is clear: the lowest later blend holds with the confidence asked; where
 * there is none, the blend seen does. Never where the log does not fit the model. */
bool fr_review_is_clear(const fr_review_result *result);
/* Why a pull was set aside, in a few words; "" for one that was used. */
const char *fr_pull_fate_words(fr_pull_fate fate);

#endif
