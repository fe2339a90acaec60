/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The figures, and the figures as tables. */
#include <stdlib.h>
#include <string.h>

#include "report/chart_inside.h"
#include "report/chart_log.h"
#include "report/page_inside.h"

/* What fills a chart: one of the kinds, a blend's capacity, or a channel of the log. */
typedef struct drawing {
    const fr_chart_kind *kind;
    size_t blend;
    const fr_chart_log *log;
} drawing;

static fr_chart_source source_of(const fr_page_document *document) {
    return (fr_chart_source){document->check, document->promise, document->units};
}

static void fill(const fr_page_document *document, const drawing *what, fr_chart *chart) {
    const fr_chart_source source = source_of(document);
    memset(chart, 0, sizeof *chart);
    if (what->log != NULL) {
        fr_chart_fill_log(what->log, chart);
    } else if (what->kind != NULL) {
        what->kind->fill(&source, chart);
    } else {
        fr_chart_fill_capacity(&source, what->blend, chart);
    }
}

static drawing of_kind(const char *name) {
    return (drawing){.kind = fr_chart_kind_find(name)};
}

static bool has(const fr_page_document *document, const char *name) {
    const fr_chart_source source = source_of(document);
    return fr_chart_kind_find(name)->has(&source);
}

static void open_figure(FILE *out, unsigned number, const char *class, const char *title) {
    fprintf(out, "<figure%s%s%s><figcaption>Figure %u. ", *class != '\0' ? " class=\"" : "", class,
            *class != '\0' ? "\"" : "", number);
    fr_html_text(out, title);
    fputs("</figcaption>\n", out);
}

static void write_figure(FILE *out, const fr_page_document *document, const drawing *what,
                         const char *id, unsigned number, unsigned height, const char *class) {
    fr_chart chart;
    fill(document, what, &chart);
    chart.plot_height = height > 0 ? height : chart.plot_height;
    open_figure(out, number, class, chart.title);
    fr_chart_write_svg(out, &chart, id, false);
    fputs("</figure>\n", out);
}

/* ---- what each stage carries ---- */

/* Reach, and the odds right beneath it on the same axis. */
static void write_reach(FILE *out, const fr_page_document *document) {
    const drawing reach = of_kind("reach"), odds = of_kind("odds");
    fr_chart chart;
    fill(document, &reach, &chart);
    open_figure(out, 2, "",
                has(document, "odds")
                    ? "The power that each stage carries, and the chance of holding"
                    : chart.title);
    fr_chart_write_svg(out, &chart, "reach", false);
    if (has(document, "odds")) {
        fill(document, &odds, &chart);
        fr_chart_write_svg(out, &chart, "odds", false);
    }
    fputs("</figure>\n", out);
}

static void write_first(FILE *out, const fr_page_document *document) {
    /* as tall as reach and odds together */
    const unsigned height = has(document, "odds") ? FR_CHART_PLOT_USUAL + 180 : FR_CHART_PLOT_USUAL;
    const drawing capacity = of_kind("capacity");
    fputs("<section><h2>What each stage carries</h2>\n<div class=\"figures first\">\n", out);
    write_figure(out, document, &capacity, "capacity", 1, height, "");
    write_reach(out, document);
    fputs("</div></section>\n", out);
}

/* ---- injection and pumps ---- */

/* Figure 3 is the rail pressure with direct injection, else the duty; how long direct injectors are
 * open stands behind them, on the screen alone where there are no port injectors. */
static void write_second(FILE *out, const fr_page_document *document) {
    enum { HEIGHT = 200 };
    const fr_build *build = document->check->build;
    const drawing rail = of_kind("rail"), duty = of_kind("duty"), pump = of_kind("pump");
    const bool both = build->direct.present && build->port.present;
    unsigned number = 3;
    fprintf(out,
            "<section class=\"second\"><h2>Injection and pumps</h2>\n"
            "<div class=\"figures%s\">\n",
            both ? " three" : "");
    if (build->direct.present) {
        write_figure(out, document, &rail, "rail", number++, HEIGHT, "");
    } else {
        write_figure(out, document, &duty, "duty", number++, HEIGHT, "");
    }
    write_figure(out, document, &pump, "pump", number++, HEIGHT, "");
    if (build->direct.present) {
        write_figure(out, document, &duty, "duty", number++, HEIGHT, both ? "" : "screen");
    }
    fputs("</div></section>\n", out);
}

void fr_page_figures(FILE *out, const fr_page_document *document) {
    write_first(out, document);
    write_second(out, document);
}

/* ---- the log ---- */

void fr_page_log_figures(FILE *out, const fr_page_document *document) {
    enum { ON_PAPER = 3, ID_SIZE = 32 };
    const fr_review_result *review = document->review;
    unsigned number = document->check->build->direct.present ? 6 : 5;
    size_t shown = 0;
    fputs("<div class=\"figures three\">\n", out);
    for (size_t i = 0; i < review->channel_count; i++) {
        const fr_chart_log log = {review, &review->channels[i], document->units};
        if (fr_chart_log_has(log.channel)) {
            const drawing what = {.log = &log};
            char id[ID_SIZE];
            snprintf(id, sizeof id, "log-%zu", i);
            write_figure(out, document, &what, id, number++, 0, shown < ON_PAPER ? "" : "screen");
            shown++;
        }
    }
    fputs("</div>\n", out);
}

/* ---- folded ---- */

void fr_page_other_blends(FILE *out, const fr_page_document *document) {
    enum { ID_SIZE = 32 };
    const fr_check_result *result = document->check->result;
    const size_t weakest = fr_weakest_blend(result);
    if (result->blend_count < 2) {
        return;
    }
    fputs("<details><summary>What each stage carries on the other blends</summary>\n"
          "<div class=\"figures\">\n",
          out);
    for (size_t i = 0; i < result->blend_count; i++) {
        const drawing what = {.blend = i};
        fr_chart chart;
        char id[ID_SIZE];
        if (i != weakest) {
            fill(document, &what, &chart);
            snprintf(id, sizeof id, "capacity-%zu", i);
            fputs("<figure><figcaption>", out);
            fr_html_text(out, chart.title);
            fputs("</figcaption>\n", out);
            fr_chart_write_svg(out, &chart, id, false);
            fputs("</figure>\n", out);
        }
    }
    fputs("</div></details>\n", out);
}

static void write_table(FILE *out, const fr_page_document *document, const drawing *what) {
    fr_chart chart;
    fill(document, what, &chart);
    fr_chart_write_table(out, &chart);
}

void fr_page_figure_tables(FILE *out, const fr_page_document *document) {
    const fr_review_result *review = document->review;
    fputs("<details><summary>The figures as tables</summary>\n", out);
    for (const fr_chart_kind *kind = fr_chart_kinds; kind->name != NULL; kind++) {
        const drawing what = {.kind = kind};
        if (has(document, kind->name)) {
            write_table(out, document, &what);
        }
    }
    for (size_t i = 0; review != NULL && i < review->channel_count; i++) {
        const fr_chart_log log = {review, &review->channels[i], document->units};
        const drawing what = {.log = &log};
        if (fr_chart_log_has(log.channel)) {
            write_table(out, document, &what);
        }
    }
    fputs("</details>\n", out);
}
