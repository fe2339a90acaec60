/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was assumed, by what it moves. On paper what moves something has a row, the rest runs on. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "report/assumed_words.h"
#include "report/format.h"
#include "report/page_inside.h"
#include "report/verdict.h"

/* Rows on paper; values and lines longer than these are not printed in full in the table. */
enum { ROWS_ON_PAPER = 8, LONG_VALUE = 68, LONG_LINE = 140 };

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
        const double effect = document->check->turns->effects[i];
        list[i] = (effect_of){&assumed[i], isfinite(effect) ? effect : 0.0};
    }
    qsort(list, count, sizeof *list, by_effect);
    return count;
}

/* What it moves, in whole units of power; 0: too little to say. */
static double moved(const fr_page_document *document, double effect) {
    const fr_blend_result *worst = fr_worst_blend(document->check->result);
    return worst == NULL ? 0.0
                         : fr_round_to(fr_measure_value(FR_MEASURE_POWER, document->units,
                                                        effect * worst->reach_w),
                                       0, FR_NEAREST);
}

static void write_taken(FILE *out, const fr_assumed *assumed) {
    fr_words words;
    fr_words_clear(&words);
    if (strlen(assumed->value) > LONG_VALUE) {
        fr_words_add(&words, "%s", assumed->why);
    } else {
        fr_assumed_value(&words, assumed->value);
    }
    fputs("<td class=\"words\">", out);
    fr_html_text(out, words.text);
    fputs("</td>", out);
}

static void write_row(FILE *out, const fr_page_document *document, const effect_of *at,
                      bool on_paper) {
    const double power = moved(document, at->effect);
    fprintf(out, "<tr%s><th scope=\"row\">", on_paper ? "" : " class=\"screen\"");
    fr_html_text(out, at->assumed->field);
    fputs("</th>", out);
    write_taken(out, at->assumed);
    if (power != 0.0) {
        fprintf(out, "<td data-label=\"moves\">%+.0f %s</td>", power,
                fr_measure_unit(FR_MEASURE_POWER, document->units));
    } else {
        fputs("<td class=\"none\">-</td>", out);
    }
    fprintf(out, "<td class=\"words\"><code%s>",
            strlen(at->assumed->paste) > LONG_LINE ? " class=\"screen\"" : "");
    fr_html_text(out, at->assumed->paste);
    fputs("</code></td></tr>\n", out);
}

/* "supply: regulator works against atmosphere, ..." in one paragraph, for paper. */
static void write_rest(FILE *out, const effect_of *list, size_t count) {
    fputs("<p class=\"paper\">Also assumed, of less effect: ", out);
    for (size_t i = 0; i < count; i++) {
        fr_words words;
        fr_words_clear(&words);
        fr_assumed_owner(&words, list[i].assumed);
        fr_words_add(&words, "%s", words.length > 0 ? " " : "");
        fr_assumed_item(&words, list[i].assumed);
        fputs(i > 0 ? "; " : "", out);
        fr_html_text(out, words.text);
    }
    fputs(".</p>\n", out);
}

void fr_page_assumed(FILE *out, const fr_page_document *document) {
    effect_of list[FR_ASSUMED_MAX] = {{NULL, 0.0}};
    const size_t count = list_effects(document, list);
    size_t rows = 0;
    if (count == 0) {
        return;
    }
    while (rows < count && rows < ROWS_ON_PAPER && moved(document, list[rows].effect) != 0.0) {
        rows++;
    }
    fprintf(out,
            "<section><h2 id=\"assumed\">Assumed, not in the sheet</h2>\n<div class=\"scroll%s\" "
            "tabindex=\"0\" role=\"region\" aria-label=\"Assumed\"><table class=\"stacks\">"
            "<caption>Moves: what the blend that carries least gains or loses, were the value as "
            "far off as it may be, or otherwise. Greatest first.</caption><thead><tr>"
            "<th scope=\"col\">What</th><th scope=\"col\" class=\"words\">Taken</th>"
            "<th scope=\"col\">Moves</th><th scope=\"col\" class=\"words\">"
            "The line that says it</th></tr></thead><tbody>\n",
            rows > 0 ? "" : " screen");
    for (size_t i = 0; i < count; i++) {
        write_row(out, document, &list[i], i < rows);
    }
    fputs("</tbody></table></div>\n", out);
    if (rows < count) {
        write_rest(out, list + rows, count - rows);
    }
    fputs("</section>\n", out);
}
