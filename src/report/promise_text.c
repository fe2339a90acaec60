/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A promise in plain words: how sure is it, what power can be promised, what would run out, what
 * to measure first. */
#include <math.h>
#include <string.h>

#include "report/format.h"
#include "report/promise_document.h"
#include "report/prose.h"
#include "report/stage_words.h"
#include "report/utf8.h"

/* Doubt of which an input must be part to be worth a line. */
static const double DOUBT_LEAST = 0.03;
enum { DOUBTS_MAX = 4, CONFIDENCES_SHOWN = 5 };

typedef struct promise_view {
    FILE *out;
    const fr_promise_document *document;
    const fr_text_style *style;
} promise_view;

/* ---- odds in words ---- */

/* "26 in 100": never 0 or 100, since draws know of no such thing. */
static void add_odds(fr_words *words, double chance) {
    const double hundredths = 100.0 * chance;
    if (hundredths < 1.0) {
        fr_words_add(words, "under 1 in 100");
    } else if (hundredths > 99.0) {
        fr_words_add(words, "over 99 in 100");
    } else {
        fr_words_add(words, "%.0f in 100", hundredths);
    }
}

static void show_sure(const promise_view *view, double chance_short) {
    const double sure = 100.0 * (1.0 - chance_short);
    if (sure > 99.0 || sure < 1.0) {
        fprintf(view->out, "%9s", sure > 99.0 ? "> 99 %" : "< 1 %");
    } else {
        fprintf(view->out, "%7.0f %%", fr_round_to(sure, 0, FR_DOWN));
    }
}

/* ---- head ---- */

static size_t worst_blend(const fr_promise_result *result) {
    size_t worst = 0;
    double least = INFINITY;
    for (size_t i = 0; i < result->blend_count; i++) {
        const fr_promise_blend *blend = &result->blends[i];
        const double spare = blend->reach_p5_w / blend->target_w;
        if (spare < least) {
            least = spare;
            worst = i;
        }
    }
    return worst;
}

static void write_head(const promise_view *view) {
    const fr_promise_result *result = view->document->result;
    const fr_promise_blend *blend = &result->blends[worst_blend(result)];
    char name[FR_WORDS_MAX], blend_name[FR_BLEND_NAME_MAX];
    fr_words words;
    fr_text_clean(fr_sheet_name(view->document->sheet), name, sizeof name);
    fprintf(view->out, "%s\n", *name != '\0' ? name : fr_sheet_file(view->document->sheet));
    fr_blend_name(blend->ethanol, blend_name);
    fr_words_clear(&words);
    fr_words_add(&words, "How sure is it? On %s, the weakest blend, the odds that the fuel supply "
                         "runs short at ", blend_name);
    fr_show(&words, FR_MEASURE_POWER, view->style->units, blend->target_w, FR_NEAREST);
    fr_words_add(&words, "%s are ",
                 view->document->build->engine.at_wheels ? " at the wheels" : " at the crank");
    add_odds(&words, blend->chance_short);
    fr_words_add(&words, ".");
    if (result->partial) {
        fr_words_add(&words, " This is PARTIAL: the work was ended early.");
    }
    fr_prose(view->out, 0, 0, words.text);
}

/* ---- powers ---- */

static size_t shown_confidences(const fr_promise_result *result) {
    return result->confidence_count < CONFIDENCES_SHOWN ? result->confidence_count
                                                        : CONFIDENCES_SHOWN;
}

static void write_powers_head(const promise_view *view) {
    const fr_promise_result *result = view->document->result;
    const char *unit = fr_measure_unit(FR_MEASURE_POWER, view->style->units);
    fprintf(view->out, "\nWhat can be promised, %s%s\n         Asked  Sure of it  ", unit,
            view->document->build->engine.at_wheels ? " at the wheels" : " at the crank");
    for (size_t i = 0; i < shown_confidences(result); i++) {
        char label[24];
        snprintf(label, sizeof label, "%.4g %%", 100.0 * result->confidences[i]);
        fprintf(view->out, "%9s", label);
    }
    fprintf(view->out, "  even odds\n");
}

static void show_power(const promise_view *view, double power_w, double target_w) {
    const double POWER_MOST = 4.0; /* times the target; beyond it nothing was asked */
    fr_words words;
    fr_words_clear(&words);
    if (power_w >= (POWER_MOST - 1e-3) * target_w) {
        fr_words_add(&words, "ample");
    } else if (isnan(power_w)) {
        fr_words_add(&words, "none");
    } else {
        fr_show_bare(&words, FR_MEASURE_POWER, view->style->units, power_w, FR_DOWN);
    }
    fprintf(view->out, "%9s", words.text);
}

static void write_powers(const promise_view *view) {
    const fr_promise_result *result = view->document->result;
    write_powers_head(view);
    for (size_t i = 0; i < result->blend_count; i++) {
        const fr_promise_blend *blend = &result->blends[i];
        char name[FR_BLEND_NAME_MAX];
        fr_words asked;
        fr_blend_name(blend->ethanol, name);
        fr_words_clear(&asked);
        fr_show_bare(&asked, FR_MEASURE_POWER, view->style->units, blend->target_w, FR_NEAREST);
        fprintf(view->out, "  %-6s %5s  ", name, asked.text);
        show_sure(view, blend->chance_short);
        fprintf(view->out, "   ");
        for (size_t k = 0; k < shown_confidences(result); k++) {
            show_power(view, blend->promise_w[k], blend->target_w);
        }
        show_power(view, blend->reach_p50_w, blend->target_w);
        fputc('\n', view->out);
    }
}

/* ---- what would run out ---- */

static void write_stages(const promise_view *view) {
    const double WORTH_SAYING = 0.005;
    const fr_promise_result *result = view->document->result;
    const fr_promise_blend *blend = &result->blends[worst_blend(result)];
    char name[FR_BLEND_NAME_MAX];
    fr_words words;
    size_t said = 0;
    fr_blend_name(blend->ethanol, name);
    fr_words_clear(&words);
    fr_words_add(&words, "What may run out on %s: ", name);
    for (int stage = 0; stage < FR_STAGE_COUNT; stage++) {
        if (blend->has[stage] && blend->stage_chance[stage] >= WORTH_SAYING) {
            fr_words_add(&words, "%s%s (", said++ > 0 ? ", " : "",
                         fr_stage_words_of((fr_stage)stage, view->document->build)->subject);
            add_odds(&words, blend->stage_chance[stage]);
            fr_words_add(&words, ")");
        }
    }
    fr_words_add(&words, said > 0 ? "." : "nothing that the draws came upon often.");
    if (blend->chance_beyond_mending >= WORTH_SAYING) {
        fr_words_add(&words, " With odds of ");
        add_odds(&words, blend->chance_beyond_mending);
        fr_words_add(&words, " it runs short at any power.");
    }
    fputc('\n', view->out);
    fr_prose(view->out, 0, 2, words.text);
}

/* ---- what to measure first ---- */

static size_t next_doubt(const fr_promise_document *document, const fr_promise_blend *blend,
                         const bool *said) {
    size_t best = SIZE_MAX;
    for (size_t i = 0; i < document->result->input_count; i++) {
        const double total = blend->inputs[i].total;
        if (!said[i] && total >= DOUBT_LEAST &&
            (best == SIZE_MAX || total > blend->inputs[best].total)) {
            best = i;
        }
    }
    return best;
}

static void write_doubt(const promise_view *view, const fr_input *input,
                        const fr_promise_input *share) {
    char width[FR_WIDTH_MAX], line[FR_WORDS_MAX];
    fr_words words;
    fr_input_width(view->document->build, input, width);
    fr_words_clear(&words);
    fr_words_add(&words, "%.0f %% is the %s (± %s%s)", 100.0 * (share->total < 1.0 ? share->total : 1.0),
                 input->label, width, input->assumed ? ", assumed" : "");
    if (input->advice != NULL && *input->advice != '\0') {
        fr_words_add(&words, ": %s", input->advice);
    }
    fr_words_add(&words, ".");
    if (isfinite(share->known_power_w)) {
        fr_words_add(&words, " Were it known to 1 %%, ");
        fr_show(&words, FR_MEASURE_POWER, view->style->units, share->known_power_w, FR_DOWN);
        fr_words_add(&words, " would hold with 95 %%.");
    }
    fr_text_clean(words.text, line, sizeof line);
    fr_prose(view->out, 2, 4, line);
}

static void write_doubts(const promise_view *view) {
    const fr_promise_document *document = view->document;
    const fr_promise_blend *blend =
        &document->result->blends[worst_blend(document->result)];
    bool said[FR_PROMISE_INPUTS_MAX] = {false};
    char name[FR_BLEND_NAME_MAX];
    size_t next = next_doubt(document, blend, said);
    if (next == SIZE_MAX) {
        return;
    }
    fr_blend_name(blend->ethanol, name);
    fprintf(view->out, "\nWhat to measure first; of the doubt about %s\n", name);
    for (size_t i = 0; i < DOUBTS_MAX && next != SIZE_MAX; i++) {
        write_doubt(view, &document->inputs[next], &blend->inputs[next]);
        said[next] = true;
        next = next_doubt(document, blend, said);
    }
}

/* ---- what it rests on ---- */

static void write_ground(const promise_view *view) {
    const fr_promise_document *document = view->document;
    const fr_promise_result *result = document->result;
    size_t assumed = 0, fields;
    double worst_se = fmax(1e-4, 1.0 / (double)result->draws); /* never claimed to be less */
    fr_words words;
    for (size_t i = 0; i < result->input_count; i++) {
        assumed += document->inputs[i].assumed;
    }
    for (size_t i = 0; i < result->blend_count; i++) {
        const double se = result->blends[i].chance_short_se;
        worst_se = se > worst_se ? se : worst_se;
    }
    fr_sheet_assumed(document->sheet, &fields);
    fr_words_clear(&words);
    fr_words_add(&words,
                 "From %zu draws (seed %llu); odds to %.2g in 100 (standard error). %zu inputs "
                 "drawn, %zu of them with a tolerance taken for want of one; %zu values of the "
                 "sheet are assumed ('check' lists them).",
                 result->draws, (unsigned long long)result->seed, 100.0 * worst_se,
                 result->input_count, assumed, fields);
    fputc('\n', view->out);
    fr_prose(view->out, 0, 2, words.text);
    fr_prose(view->out, 0, 2,
             "This speaks of fuel supply only, not of knock, boost or the engine. A lean engine "
             "is soon a broken one: leave room, and log the first pulls.");
}

void fr_write_promise_text(FILE *out, const fr_promise_document *document,
                           const fr_text_style *style) {
    const promise_view view = {out, document, style};
    if (document->result->blend_count == 0 || document->result->draws == 0) {
        fr_prose(out, 0, 0, "Ended before anything was known.");
        return;
    }
    write_head(&view);
    write_powers(&view);
    write_stages(&view);
    write_doubts(&view);
    write_ground(&view);
}
