/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/document_words.h"

#include <math.h>
#include <string.h>

/* How finely a power may be told that rests on a guess; in kW or hp. */
static const double ASSUMED_POWER_STEP = 5;
/* Verdicts take a use that is on its limit to this much as within it. */
static const double ON_THE_LIMIT = 1e-6;

double fr_power_step(const fr_check_document *document) {
    size_t count;
    const fr_assumed *assumed = fr_sheet_assumed(document->sheet, &count);
    if (document->turns != NULL && document->turns->count > 0)
        return ASSUMED_POWER_STEP;
    for (size_t i = 0; i < count; i++)
        if (assumed[i].is_factory || strcmp(assumed[i].field, "engine.bsfc") == 0)
            return ASSUMED_POWER_STEP;
    return 0;
}

/* A power in the unit shown, as finely as it takes not to contradict the verdict. */
static double reach_shown(const fr_check_document *document, fr_units units, double power_w,
                          double target_w) {
    double target = fr_measure_value(FR_MEASURE_POWER, units, target_w);
    double steps[] = {fr_power_step(document), 0};
    for (size_t i = 0; i < 2; i++) {
        double shown = fr_power_rounded(power_w, units, steps[i]);
        if (power_w < target_w * (1 - ON_THE_LIMIT) || shown >= target)
            return shown;
    }
    double tenths = fr_round_to(fr_measure_value(FR_MEASURE_POWER, units, power_w), 1, FR_DOWN);
    return fmax(tenths, fr_round_to(target, 1, FR_NEAREST));
}

void fr_show_reach(fr_words *words, const fr_check_document *document, fr_units units,
                   double power_w, double target_w) {
    if (!isfinite(power_w)) {
        fr_words_add(words, "none");
        return;
    }
    double shown = reach_shown(document, units, power_w, target_w);
    fr_words_add(words, "%.*f %s", shown == floor(shown) ? 0 : 1, shown,
                 fr_measure_unit(FR_MEASURE_POWER, units));
}

bool fr_same_target(const fr_check_document *document) {
    const fr_check_result *result = document->result;
    for (size_t i = 1; i < result->blend_count; i++)
        if (result->blends[i].target_power_w != result->blends[0].target_power_w)
            return false;
    return true;
}

void fr_show_target(fr_words *words, const fr_check_document *document, fr_units units,
                    bool where) {
    const fr_check_result *result = document->result;
    double least = INFINITY, most = 0;
    for (size_t i = 0; i < result->blend_count; i++) {
        least = fmin(least, result->blends[i].target_power_w);
        most = fmax(most, result->blends[i].target_power_w);
    }
    if (least < most) {
        fr_show_bare(words, FR_MEASURE_POWER, units, least, FR_NEAREST);
        fr_words_add(words, " to ");
    }
    fr_show(words, FR_MEASURE_POWER, units, most, FR_NEAREST);
    if (document->build->engine.at_wheels)
        fr_words_add(words, " at the wheels");
    else if (where)
        fr_words_add(words, " at the crank");
    if (least < most)
        fr_words_add(words, ", by blend");
}

void fr_show_asked(fr_words *words, const fr_check_document *document, fr_units units) {
    if (fr_same_target(document))
        fr_show_target(words, document, units, false);
    else
        fr_words_add(words, "the power asked of each blend");
}

double fr_use_percent(double use) {
    return fr_round_to(100.0 * (use - ON_THE_LIMIT), 0, FR_UP);
}

const fr_stage_result *fr_stage_on(const fr_blend_result *blend, fr_stage stage) {
    for (size_t i = 0; i < blend->stage_count; i++)
        if (blend->stages[i].stage == stage)
            return &blend->stages[i];
    return NULL;
}

const fr_point *fr_worst_point(const fr_blend_result *blend, const fr_stage_result *stage) {
    return &blend->points[stage->worst_point];
}
