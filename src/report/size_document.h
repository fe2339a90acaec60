/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The results of sizing for the counter and for programs. */
#ifndef FR_REPORT_SIZE_DOCUMENT_H
#define FR_REPORT_SIZE_DOCUMENT_H

#include <stdio.h>

#include "fuelreach/document.h"
#include "fuelreach/sizing.h"

typedef struct fr_size_document {
    const fr_check_document *check; /* of the build as it is */
    const fr_size_request *request;
    const fr_size_result *result;
    const fr_size_need *needs;
    size_t need_count;
    const char *currency; /* "" when the sheet names none */
    double confidence;    /* asked chance of holding; NAN: clear at the limits */
    bool front;
} fr_size_document;

void fr_write_size_text(FILE *out, const fr_size_document *document, const fr_text_style *style);
void fr_write_size_json(FILE *out, const fr_size_document *document);

/* What a lever is called in results, "lift-pump-flow", its unit there, and a figure in it. */
const char *fr_lever_what(fr_lever lever);
const char *fr_lever_unit(fr_lever lever);
double fr_lever_figure(const fr_build *build, fr_lever lever, double si_value);

#endif
