/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One build on one page: a single HTML file that needs no network and no script, to be opened,
 * mailed or printed on two sides. */
#ifndef FR_REPORT_PAGE_H
#define FR_REPORT_PAGE_H

#include <stdio.h>

#include "fuelreach/document.h"
#include "fuelreach/promise.h"
#include "fuelreach/review.h"
#include "report/size_document.h"

typedef struct fr_page_document {
    const fr_check_document *check;
    const fr_promise_result *promise; /* each of these null: the study was not run */
    const fr_size_document *size;
    const fr_review_result *review;
    fr_units units;
} fr_page_document;

void fr_write_page(FILE *out, const fr_page_document *document);

#endif
