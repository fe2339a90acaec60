/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts of a page, in the order in which people read them. Private to src/report. */
#ifndef FR_REPORT_PAGE_INSIDE_H
#define FR_REPORT_PAGE_INSIDE_H

#include "report/chart.h"
#include "report/html.h"
#include "report/page.h"
#include "report/words.h"

void fr_page_head(FILE *out, const fr_page_document *document);
void fr_page_verdict(FILE *out, const fr_page_document *document);
void fr_page_to_do(FILE *out, const fr_page_document *document);
void fr_page_blends(FILE *out, const fr_page_document *document);
void fr_page_figures(FILE *out, const fr_page_document *document);
void fr_page_log(FILE *out, const fr_page_document *document);
void fr_page_assumed(FILE *out, const fr_page_document *document);
void fr_page_cautions(FILE *out, const fr_page_document *document);
void fr_page_folded(FILE *out, const fr_page_document *document);

/* Parts of these: figures of the log, capacity on the blends that figure 1 leaves out, and every
 * figure as a table. */
void fr_page_log_figures(FILE *out, const fr_page_document *document);
void fr_page_other_blends(FILE *out, const fr_page_document *document);
void fr_page_figure_tables(FILE *out, const fr_page_document *document);

/* The sentence so far, as text of an element: <tag class="...">...</tag>. */
void fr_page_element(FILE *out, const char *tag, const char *text);

/* The page's style sheet, in parts; ends with null. */
extern const char *const fr_page_css[];

#endif
