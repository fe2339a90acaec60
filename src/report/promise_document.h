/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A promise as documents show it. */
#ifndef FR_REPORT_PROMISE_DOCUMENT_H
#define FR_REPORT_PROMISE_DOCUMENT_H

#include "fuelreach/document.h"
#include "fuelreach/promise.h"

typedef struct fr_promise_document {
    const fr_sheet *sheet;
    const fr_build *build;
    const fr_input *inputs; /* those that were drawn, as the result counts them */
    const fr_promise_result *result;
} fr_promise_document;

/* One screen, to be read aloud to a customer. */
void fr_write_promise_text(FILE *out, const fr_promise_document *document,
                           const fr_text_style *style);
void fr_write_promise_json(FILE *out, const fr_promise_document *document);
/* One row a blend. */
void fr_write_promise_csv(FILE *out, const fr_promise_document *document);

/* "5 %", "8 K", "0.4 V": the half-width of an input's interval. */
enum { FR_WIDTH_MAX = 48 };
void fr_input_width(const fr_build *build, const fr_input *input, char out[FR_WIDTH_MAX]);

#endif
