/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The figures, and the figures as tables. */
#include <stdlib.h>
#include <string.h>

#include "report/document_words.h"
#include "report/explain.h"
#include "report/page_inside.h"
#include "report/verdict.h"

static fr_chart_source source_of(const fr_page_document *document) {
    return (fr_chart_source){document->check, document->promise, document->units};
}

static void write_figure(FILE *out, const fr_chart_source *source, const fr_chart_kind *kind) {
    fr_chart chart;
    memset(&chart, 0, sizeof chart);
    kind->fill(source, &chart);
    fputs("<figure><figcaption>", out);
    fr_html_text(out, chart.title);
    fputs("</figcaption>\n", out);
    fr_chart_write_svg(out, &chart, kind->name, false);
    fputs("</figure>\n", out);
}

static void write_kinds(FILE *out, const fr_page_document *document, const char *const *names) {
    const fr_chart_source source = source_of(document);
    fputs("<div class=\"figures\">\n", out);
    for (; *names != NULL; names++) {
        const fr_chart_kind *kind = fr_chart_kind_find(*names);
        if (kind != NULL && kind->has(&source)) {
            write_figure(out, &source, kind);
        }
    }
    fputs("</div>\n", out);
}

void fr_page_figures(FILE *out, const fr_page_document *document) {
    static const char *const FIRST[] = {"capacity", "reach", "odds", NULL};
    static const char *const SECOND[] = {"rail", "duty", "pump", NULL};
    fputs("<section class=\"first\"><h2>What each stage carries</h2>\n", out);
    write_kinds(out, document, FIRST);
    fputs("</section>\n<section class=\"second\"><h2>Injection and pumps</h2>\n", out);
    write_kinds(out, document, SECOND);
    fputs("</section>\n", out);
}

static void write_tables(FILE *out, const fr_page_document *document) {
    const fr_chart_source source = source_of(document);
    fputs("<details><summary>The figures as tables</summary>\n", out);
    for (const fr_chart_kind *kind = fr_chart_kinds; kind->name != NULL; kind++) {
        if (kind->has(&source)) {
            fr_chart chart;
            memset(&chart, 0, sizeof chart);
            kind->fill(&source, &chart);
            fr_chart_write_table(out, &chart);
        }
    }
    fputs("</details>\n", out);
}

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
    write_tables(out, document);
    write_working(out, document->check);
    write_sheet(out, document->check);
    fputs("</section>\n", out);
}
