/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is folded away: to look closer, not to print. */
#include <stdlib.h>

#include "report/document_words.h"
#include "report/explain.h"
#include "report/page_inside.h"
#include "report/verdict.h"

/* The working where the blend that carries least is fullest. */
static void write_working(FILE *out, const fr_check_document *check) {
    const fr_blend_result *worst = fr_worst_blend(check->result);
    const fr_blend_result *blend = worst != NULL ? worst : &check->result->blends[0];
    const fr_stage_result *stage = fr_stage_on(blend, blend->weakest);
    const fr_point *point = stage != NULL ? fr_worst_point(blend, stage) : &blend->points[0];
    fr_working *working = malloc(sizeof *working);
    if (working == NULL) {
        return;
    }
    fr_working_fill(check, blend, point, FR_STAGE_COUNT, working);
    fprintf(out, "<details><summary>The working on E%.4g at %.6g rpm</summary>\n",
            100.0 * blend->ethanol, point->speed_rpm);
    fr_working_write_html(out, working);
    fputs("</details>\n", out);
    free(working);
}

static void write_sheet(FILE *out, const fr_check_document *check) {
    size_t length;
    const char *text = fr_sheet_text(check->sheet, &length);
    (void)length;
    fputs("<details><summary>The sheet</summary>\n<pre tabindex=\"0\">", out);
    fr_html_text(out, text != NULL ? text : "");
    fputs("</pre></details>\n", out);
}

void fr_page_folded(FILE *out, const fr_page_document *document) {
    fputs("<section class=\"screen\"><h2>To look closer</h2>\n", out);
    fr_page_other_blends(out, document);
    fr_page_figure_tables(out, document);
    write_working(out, document->check);
    write_sheet(out, document->check);
    fputs("</section>\n", out);
}
