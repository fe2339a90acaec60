/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the log said, what was assumed, and cautions. */
#include <math.h>
#include <stdlib.h>

#include "report/assumed_words.h"
#include "report/caution_words.h"
#include "report/format.h"
#include "report/page_inside.h"
#include "report/verdict.h"

/* ---- log ---- */

void fr_page_log(FILE *out, const fr_page_document *document) {
    const fr_review_result *review = document->review;
    if (review == NULL) {
        return;
    }
    fputs("<section><h2>The log against the prediction</h2>\n<div class=\"scroll\" tabindex=\"0\" "
          "role=\"region\" aria-label=\"Log\"><table><thead><tr><th scope=\"col\">Channel</th>"
          "<th scope=\"col\">Measured less predicted</th><th scope=\"col\">Known to</th>"
          "<th scope=\"col\" class=\"words\">What that suggests</th></tr></thead><tbody>\n",
          out);
    for (size_t i = 0; i < review->channel_count; i++) {
        const fr_review_channel *channel = &review->channels[i];
        const double factor =
            channel->relative ? 100.0 : fr_in_unit(1.0, fr_channel_unit(channel->channel));
        const char *unit = channel->relative ? "%" : fr_channel_unit(channel->channel);
        fputs("<tr><th scope=\"row\">", out);
        fr_html_text(out, fr_channel_name(channel->channel));
        fprintf(out, "</th><td>%+.3g %s</td><td>%.2g %s</td><td class=\"words\">",
                factor * channel->mean_residual, unit, factor * channel->uncertainty, unit);
        fr_html_text(out, channel->suggests);
        fputs("</td></tr>\n", out);
    }
    fputs("</tbody></table></div></section>\n", out);
}

/* ---- assumed ---- */

typedef struct effect_of {
    const fr_assumed *assumed;
    double effect;
} effect_of;

static int by_effect(const void *left, const void *right) {
    const effect_of *a = left, *b = right;
    const double x = fabs(a->effect), y = fabs(b->effect);
    return x > y ? -1 : x < y ? 1 : a->assumed < b->assumed ? -1 : a->assumed > b->assumed;
}

static size_t list_effects(const fr_page_document *document, effect_of list[FR_ASSUMED_MAX]) {
    size_t count;
    const fr_assumed *assumed = fr_sheet_assumed(document->check->sheet, &count);
    count = count < FR_ASSUMED_MAX ? count : FR_ASSUMED_MAX;
    for (size_t i = 0; i < count; i++) {
        list[i] = (effect_of){&assumed[i], document->check->turns->effects[i]};
    }
    qsort(list, count, sizeof *list, by_effect);
    return count;
}

static void write_effect(FILE *out, const fr_page_document *document, double effect) {
    static const double WORTH_SAYING = 5e-4;
    const fr_blend_result *worst = fr_worst_blend(document->check->result);
    fr_words words;
    fr_words_clear(&words);
    if (worst != NULL && fabs(effect) >= WORTH_SAYING && isfinite(effect)) {
        fr_words_add(&words, "%+.0f %s",
                     fr_measure_value(FR_MEASURE_POWER, document->units, effect * worst->reach_w),
                     fr_measure_unit(FR_MEASURE_POWER, document->units));
    }
    fputs("<td>", out);
    fr_html_text(out, words.text);
    fputs("</td>", out);
}

void fr_page_assumed(FILE *out, const fr_page_document *document) {
    effect_of list[FR_ASSUMED_MAX];
    const size_t count = list_effects(document, list);
    if (count == 0) {
        return;
    }
    fputs("<section><h2 id=\"assumed\">Assumed, not in the sheet</h2>\n<div class=\"scroll\" "
          "tabindex=\"0\" role=\"region\" aria-label=\"Assumed\"><table><caption>Greatest effect "
          "first: on the power of the blend that carries least, were it as bad as it may be, or "
          "otherwise</caption><thead><tr><th scope=\"col\">What</th>"
          "<th scope=\"col\" class=\"words\">Taken</th>"
          "<th scope=\"col\">Moves</th><th scope=\"col\" class=\"words\">"
          "The line that says it</th></tr></thead><tbody>\n",
          out);
    for (size_t i = 0; i < count; i++) {
        const fr_assumed *assumed = list[i].assumed;
        fputs("<tr><th scope=\"row\">", out);
        fr_html_text(out, assumed->field);
        fputs("</th><td class=\"words\">", out);
        fr_html_text(out, assumed->value);
        fputs("</td>", out);
        write_effect(out, document, list[i].effect);
        fputs("<td class=\"words\"><code>", out);
        fr_html_text(out, assumed->paste);
        fputs("</code></td></tr>\n", out);
    }
    fputs("</tbody></table></div></section>\n", out);
}

/* ---- cautions ---- */

void fr_page_cautions(FILE *out, const fr_page_document *document) {
    const fr_check_document *check = document->check;
    fputs("<section><h2>Cautions</h2>\n<ul>\n", out);
    for (size_t i = 0; i < check->caution_count; i++) {
        fr_words words;
        fr_words_clear(&words);
        fr_caution_sentence(&words, check, &check->cautions[i], document->units);
        fr_page_element(out, "li", words.text);
    }
    for (size_t i = 0; check->remarks != NULL && i < check->remarks->count; i++) {
        if (check->remarks->remarks[i].severity != FR_ERROR) {
            fr_words words;
            fr_words_clear(&words);
            fr_remark_sentence(&words, &check->remarks->remarks[i]);
            fr_page_element(out, "li", words.text);
        }
    }
    for (const fr_standing_caution *at = fr_standing_cautions; at->code != NULL; at++) {
        if (fr_standing_caution_applies(at, check)) {
            fr_page_element(out, "li", at->text);
        }
    }
    fputs("</ul></section>\n", out);
}
