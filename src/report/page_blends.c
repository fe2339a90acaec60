/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of the blends. */
#include <math.h>
#include <string.h>

#include "report/document_words.h"
#include "report/format.h"
#include "report/page_inside.h"
#include "report/stage_words.h"
#include "report/verdict.h"

static void head_cell(FILE *out, const char *text, const char *unit) {
    fputs("<th scope=\"col\">", out);
    fr_html_text(out, text);
    if (unit != NULL) {
        fputs(", ", out);
        fr_html_text(out, unit);
    }
    fputs("</th>", out);
}

static void write_head(FILE *out, const fr_page_document *document) {
    const fr_check_document *check = document->check;
    const fr_blend_result *first = &check->result->blends[0];
    const char *power = fr_measure_unit(FR_MEASURE_POWER, document->units);
    fputs("<thead><tr>", out);
    head_cell(out, "Blend", NULL);
    head_cell(out, "Verdict", NULL);
    for (size_t i = 0; i < first->stage_count; i++) {
        fr_words words;
        fr_words_clear(&words);
        fr_stage_label(&words, first->stages[i].stage, check->build);
        head_cell(out, words.text, "%");
    }
    head_cell(out, "Fuel", fr_measure_unit(FR_MEASURE_FUEL_VOLUME, document->units));
    if (check->build->direct.present) {
        head_cell(out, "Pressure margin",
                  fr_measure_unit(FR_MEASURE_RAIL_PRESSURE, document->units));
    }
    head_cell(out, "Clear to", power);
    head_cell(out, "Runs out at", power);
    head_cell(out, "Ends it", NULL);
    fputs("</tr></thead>\n", out);
}

/* Beyond this a use says no more than that there is far too little. */
static const double SHOWN_MOST = 200.0;

/* A number and a word, so that nobody depends on colour. */
static void write_use(FILE *out, const fr_stage_result *stage) {
    const char *name = fr_verdict_name(stage->verdict);
    const double percent = fr_use_percent(stage->use);
    const bool off_the_scale = percent > SHOWN_MOST;
    fprintf(out, "<td class=\"%s\">%s%.0f%s%s</td>", name, off_the_scale ? "&gt;" : "",
            off_the_scale ? SHOWN_MOST : percent, stage->verdict == FR_CLEAR ? "" : " ",
            stage->verdict == FR_CLEAR ? "" : name);
}

static void write_shown(FILE *out, const fr_words *words) {
    fputs("<td>", out);
    fr_html_text(out, words->text);
    fputs("</td>", out);
}

/* The least margin over the pull; "none" where at some speed no pressure passes the fuel. */
static void write_margin(FILE *out, const fr_page_document *document,
                         const fr_blend_result *blend) {
    double least = INFINITY;
    bool none = false;
    for (size_t i = 0; i < blend->point_count; i++) {
        const fr_point *point = &blend->points[i];
        none = none || (point->direct_fuel_kg_s > 0.0 && isnan(point->direct_available_pa));
        least = point->direct_margin_pa < least ? point->direct_margin_pa : least;
    }
    fr_words words;
    fr_words_clear(&words);
    if (none || !isfinite(least)) {
        fr_words_add(&words, none ? "none" : "no direct fuel");
    } else {
        fr_show_bare(&words, FR_MEASURE_RAIL_PRESSURE, document->units, least, FR_DOWN);
    }
    write_shown(out, &words);
}

static void write_reach(FILE *out, const fr_page_document *document, double power_w,
                        double target_w) {
    fr_words words;
    fr_words_clear(&words);
    if (isnan(power_w)) {
        fr_words_add(&words, "-");
    } else {
        fr_show_reach(&words, document->check, document->units, power_w, target_w);
        words.text[strcspn(words.text, " ")] = '\0'; /* the unit stands in the heading */
    }
    write_shown(out, &words);
}

static void write_blend(FILE *out, const fr_page_document *document, const fr_blend_result *blend) {
    const fr_check_document *check = document->check;
    const char *verdict = fr_verdict_name(blend->verdict);
    char name[FR_BLEND_NAME_MAX];
    fr_words words;
    fr_blend_name(blend->ethanol, name);
    fprintf(out, "<tr><th scope=\"row\">%s</th><td class=\"%s\">%s%s</td>", name, verdict, verdict,
            blend->doubtful ? ", input doubtful" : "");
    for (size_t i = 0; i < blend->stage_count; i++) {
        write_use(out, &blend->stages[i]);
    }
    fr_words_clear(&words);
    fr_show_bare(&words, FR_MEASURE_FUEL_VOLUME, document->units, blend->fuel_m3_s, FR_UP);
    write_shown(out, &words);
    if (check->build->direct.present) {
        write_margin(out, document, blend);
    }
    write_reach(out, document, blend->clear_to_w, blend->target_power_w);
    write_reach(out, document, blend->reach_w, blend->target_power_w);
    fputs("<td>", out);
    fr_html_text(out, isnan(blend->reach_w)
                          ? "-"
                          : fr_stage_words_of(blend->weakest, check->build)->short_name);
    fputs("</td></tr>\n", out);
}

void fr_page_blends(FILE *out, const fr_page_document *document) {
    const fr_check_result *result = document->check->result;
    fputs("<section><h2>Blends</h2>\n<div class=\"scroll\" tabindex=\"0\" role=\"region\" "
          "aria-label=\"Blends\"><table class=\"dense\"><caption>How full each stage is at the "
          "power asked, at its "
          "worst speed; powers where the target is stated</caption>",
          out);
    write_head(out, document);
    fputs("<tbody>\n", out);
    for (size_t i = 0; i < result->blend_count; i++) {
        write_blend(out, document, &result->blends[i]);
    }
    fputs("</tbody></table></div></section>\n", out);
}
