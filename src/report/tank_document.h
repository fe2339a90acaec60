/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The tank's results for people and for programs. */
#ifndef FR_REPORT_TANK_DOCUMENT_H
#define FR_REPORT_TANK_DOCUMENT_H

#include <stdio.h>

#include "fuelreach/document.h"
#include "fuelreach/tank.h"
#include "report/words.h"

typedef struct fr_tank_document {
    const fr_tank_ask *ask;
    size_t end_count;                  /* 2 where a content is known only between two ends */
    const fr_tank_result *results[2];  /* low end, high end */
} fr_tank_document;

void fr_write_tank_text(FILE *out, const fr_tank_document *document, const fr_text_style *style);
void fr_write_tank_json(FILE *out, const fr_tank_document *document);
/* What a reading means, in a sentence or two. */
void fr_tank_reading_words(const fr_tank_ask *ask, const fr_tank_result *result,
                           fr_words *words);

#endif
