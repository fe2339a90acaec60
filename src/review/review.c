/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From logs to a verdict on the next blend. */
#include "fuelreach/review.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "review/clear.h"
#include "review/compare.h"
#include "review/fit.h"
#include "review/gather.h"
#include "review/learnt.h"
#include "review/odds.h"
#include "review/parameters.h"
#include "review/plan.h"
#include "review/problem.h"

/* A factor is told when the log takes a quarter off its deviation. */
static const double TOLD = 0.75;
static const double DEFAULT_CONFIDENCE = 0.95;
/* Blends closer than this are the same. */
static const double SAME_BLEND = 0.005;

struct fr_review {
    fr_sheet *sheet;
    fr_review_options options;
    fr_review_result result;
    bool found[FR_CHANNEL_COUNT]; /* in any log */
    fr_gather gather;
    fr_pull_finder finder;
    fr_parameters parameters;
    fr_problem problem;
    fr_fit fit;
    double fitted[FR_REVIEW_PARAMETERS_MAX]; /* best values before bounds cut them */
    fr_bounds bounds;
    fr_posterior posterior;
    fr_build *learnt;
    fr_check *check;
};

/* ---- opening and reading ---- */

static bool make_room(fr_review *review) {
    review->gather.used = calloc(FR_REVIEW_PULLS_MAX, sizeof *review->gather.used);
    review->gather.room = malloc(FR_PULL_ROWS_MAX * sizeof *review->gather.room);
    review->learnt = malloc(sizeof *review->learnt);
    review->check = fr_check_open();
    return review->gather.used != NULL && review->gather.room != NULL &&
           review->learnt != NULL && review->check != NULL;
}

fr_review *fr_review_open(fr_sheet *sheet, const fr_review_options *options) {
    fr_review *review = calloc(1, sizeof *review);
    if (review == NULL || !make_room(review)) {
        fr_review_close(review);
        return NULL;
    }
    const fr_build *build = fr_sheet_build(sheet);
    const double sheet_blend = fr_sheet_log(sheet)->blend;
    review->sheet = sheet;
    review->options = *options;
    if (!(review->options.confidence > 0.0))
        review->options.confidence = DEFAULT_CONFIDENCE;
    review->result.confidence = review->options.confidence;
    review->gather.build = build;
    review->gather.result = &review->result;
    review->gather.blend = isnan(options->log_blend) ? sheet_blend : options->log_blend;
    review->gather.least_rpm = build->engine.pull.x[0];
    review->gather.most_rpm = build->engine.pull.x[build->engine.pull.count - 1];
    return review;
}

void fr_review_close(fr_review *review) {
    if (review == NULL)
        return;
    fr_problem_close(&review->problem);
    fr_fit_close(&review->fit);
    fr_posterior_close(&review->posterior);
    fr_check_close(review->check);
    free(review->gather.used);
    free(review->gather.room);
    free(review->learnt);
    free(review);
}

static bool take_row(void *user, const fr_log_columns *columns, const fr_log_row *row) {
    fr_review *review = user;
    review->gather.columns = *columns;
    fr_pull_finder_take(&review->finder, row);
    return !review->finder.out_of_memory && !review->gather.out_of_memory;
}

fr_status fr_review_add_log(fr_review *review, const char *name, FILE *in, fr_report *report) {
    fr_log_columns columns;
    fr_log_count count;
    const fr_build *build = fr_sheet_build(review->sheet);
    review->gather.log = name;
    fr_pull_finder_start(&review->finder, fr_gather_take, &review->gather);
    const fr_log_file log = {name, in, fr_sheet_log(review->sheet), build->site.air_pressure_pa};
    fr_status status = fr_log_read(&log, take_row, review, report, &columns, &count);
    if (status == FR_OK)
        fr_pull_finder_flush(&review->finder);
    if (review->finder.out_of_memory || review->gather.out_of_memory)
        status = FR_NO_MEMORY;
    review->result.rows_read += count.rows;
    review->result.rows_left_out += count.bad_rows + review->finder.left_out;
    for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++)
        review->found[channel] = review->found[channel] || columns.found[channel];
    fr_pull_finder_close(&review->finder);
    return status;
}

/* ---- what was seen ---- */

static void note_seen(fr_review *review) {
    fr_review_result *result = &review->result;
    result->pulls_used = review->gather.used_count;
    result->power_logged =
        review->found[FR_CHANNEL_POWER] || review->found[FR_CHANNEL_TORQUE];
    result->manifold_logged = review->found[FR_CHANNEL_MANIFOLD_PRESSURE];
    result->least_ethanol_seen = 1.0;
    result->most_ethanol_seen = 0.0;
    for (size_t i = 0; i < review->gather.used_count; i++) {
        const double ethanol = review->gather.used[i].ethanol;
        result->least_ethanol_seen = fmin(result->least_ethanol_seen, ethanol);
        result->most_ethanol_seen = fmax(result->most_ethanol_seen, ethanol);
    }
}

static fr_status refuse(const fr_review *review, fr_report *report) {
    static const char *const WHY[] = {
        [FR_PULL_USED] = "",
        [FR_PULL_ETHANOL_MOVED] = "ethanol moved by more than 3 points: the line was refilling",
        [FR_PULL_NO_ETHANOL] = "nothing tells what was in the tank",
        [FR_PULL_NOT_LOADED] = "speed rose, but not at full load",
        [FR_PULL_OUTSIDE] = "too little of it lies within the sheet's pull",
        [FR_PULL_TOO_MANY] = "",
    };
    static const char *const HINT[] = {
        [FR_PULL_USED] = "",
        [FR_PULL_ETHANOL_MOVED] = "drive until the reading stands, then log again",
        [FR_PULL_NO_ETHANOL] = "name the ethanol column in the sheet's log section, or give --blend",
        [FR_PULL_NOT_LOADED] = "log one gear at full load through the sheet's speeds",
        [FR_PULL_OUTSIDE] = "log one gear at full load through the sheet's speeds",
        [FR_PULL_TOO_MANY] = "",
    };
    for (size_t i = 0; i < review->result.pull_count; i++) {
        const fr_review_pull *pull = &review->result.pulls[i];
        fr_report_add(report, FR_ERROR, pull->log, pull->first_line, 1, NULL, WHY[pull->fate],
                      HINT[pull->fate], NULL);
    }
    if (review->result.pull_count == 0)
        fr_report_add(report, FR_ERROR, review->gather.log, 0, 0, NULL,
                      "no pull in it: engine speed nowhere rises by 1200 rpm without a break",
                      "log one gear at full load through the sheet's speeds", NULL);
    return FR_BAD_INPUT;
}

/* ---- what was learnt ---- */

/* What a factor multiplies in a build. */
static double multiplied(const fr_build *build, fr_factor factor) {
    switch (factor) {
    case FR_FACTOR_BSFC:
        return fr_curve_greatest(&build->engine.bsfc_kg_j);
    case FR_FACTOR_PORT_INJECTOR:
        return build->port.flow_kg_s;
    case FR_FACTOR_DIRECT_INJECTOR:
        return build->direct.flow_kg_s;
    case FR_FACTOR_LIFT_PUMP:
        return build->pumps.kinds[0].flow_factor;
    case FR_FACTOR_HIGH_PRESSURE_PUMP:
        return fr_curve_greatest(&build->direct.fill);
    default:
        return build->feed.loss_factor;
    }
}

/* The sheet's own learnt factor: what the build has over what it would have at 100 %. */
static double learnt_before(fr_review *review, fr_factor factor) {
    char set[64];
    snprintf(set, sizeof set, "learnt.%s=100 %%", fr_factor_name(factor));
    if (!fr_sheet_with(review->sheet, set, review->learnt))
        return 1.0;
    const double ratio =
        multiplied(fr_sheet_build(review->sheet), factor) / multiplied(review->learnt, factor);
    return isfinite(ratio) ? ratio : 1.0;
}

static void note_bound(const fr_review *review, fr_factor factor, size_t index,
                       fr_review_factor *out) {
    const bool lift = factor == FR_FACTOR_LIFT_PUMP;
    const fr_bound *bound =
        &review->bounds.of[lift ? FR_BOUND_LIFT_HELD : FR_BOUND_HIGH_HELD];
    const bool all_held = lift ? review->bounds.lift_all_held : review->bounds.high_all_held;
    if (!bound->any || !all_held || !(bound->gradient[index] < 0.0))
        return;
    const double deviation = review->fitted[index] - bound->offset / bound->gradient[index];
    out->lower_bound = true;
    out->at_least =
        out->prior_value * fr_parameter_factor(&review->parameters, factor, deviation);
}

/* False when out of memory. */
static bool note_factor(fr_review *review, fr_factor factor) {
    fr_review_factor *out = &review->result.factors[factor];
    const size_t index = review->parameters.factor_input[factor];
    double low;
    double high;
    out->present = index != SIZE_MAX;
    if (!out->present)
        return true;
    if (!fr_posterior_interval(&review->posterior, &review->fit, index, &low, &high))
        return false;
    const double sigma = sqrt(review->fit.covariance[index * review->fit.count + index]);
    const double scale = out->prior_value = learnt_before(review, factor);
    out->prior_half = scale * review->parameters.inputs[index].half_width;
    out->value =
        scale * fr_parameter_factor(&review->parameters, factor, review->fit.deviations[index]);
    out->low = scale * fr_parameter_factor(&review->parameters, factor, low);
    out->high = scale * fr_parameter_factor(&review->parameters, factor, high);
    out->told = sigma < TOLD;
    out->at_least = NAN;
    if (factor == FR_FACTOR_LIFT_PUMP || factor == FR_FACTOR_HIGH_PRESSURE_PUMP)
        note_bound(review, factor, index, out);
    return true;
}

/* ---- the next blends ---- */

static int by_next(const void *a, const void *b) {
    const double x = ((const fr_review_next *)a)->ethanol;
    const double y = ((const fr_review_next *)b)->ethanol;
    return (x > y) - (x < y);
}

static void list_next(fr_review *review) {
    fr_review_result *result = &review->result;
    const fr_build *build = fr_sheet_build(review->sheet);
    const bool asked = review->options.next_count > 0;
    const size_t count = asked ? review->options.next_count : build->blend_count;
    const double *blends = asked ? review->options.next : build->blends;
    for (size_t i = 0; i < count; i++)
        if (asked || blends[i] > result->most_ethanol_seen + SAME_BLEND)
            result->next[result->next_count++].ethanol = blends[i];
    qsort(result->next, result->next_count, sizeof *result->next, by_next);
}

static void judge_next(fr_review *review, const fr_odds *odds, fr_review_next *next) {
    const fr_blend_result *best = fr_check_blend(review->check, review->learnt, next->ethanol);
    const fr_stage_result *fullest = fr_fullest_stage(review->learnt, best);
    next->chance_holds = odds->holds;
    next->chance_se = odds->standard_error;
    next->verdict = best->verdict;
    next->distance = next->ethanol - review->result.most_ethanol_seen;
    next->has_weakest = fullest != NULL;
    next->weakest = fullest != NULL ? fullest->stage : FR_STAGE_LIFT_PUMP;
    double most = 0.0;
    for (int stage = 0; stage < FR_STAGE_COUNT; stage++) {
        next->chance_short[stage] = odds->is_short[stage];
        if (odds->is_short[stage] > most) {
            most = odds->is_short[stage];
            next->weakest = (fr_stage)stage;
        }
    }
}

static fr_status judge_blends(fr_review *review) {
    fr_review_result *result = &review->result;
    fr_odds odds[FR_REVIEW_NEXT_MAX];
    for (size_t i = 0; i < result->next_count; i++)
        odds[i].ethanol = result->next[i].ethanol;
    const fr_status status =
        fr_odds_find(fr_sheet_build(review->sheet), &review->parameters, &review->posterior, odds,
                     result->next_count);
    for (size_t i = 0; status == FR_OK && i < result->next_count; i++)
        judge_next(review, &odds[i], &result->next[i]);
    return status;
}

static fr_status judge_steps(fr_review *review) {
    fr_review_result *result = &review->result;
    fr_odds odds[FR_REVIEW_STEPS_MAX];
    fr_plan_steps(review->learnt, review->check, review->found, result);
    for (size_t i = 0; i < result->step_count; i++)
        odds[i].ethanol = result->steps[i].ethanol;
    const fr_status status =
        fr_odds_find(fr_sheet_build(review->sheet), &review->parameters, &review->posterior, odds,
                     result->step_count);
    for (size_t i = 0; status == FR_OK && i < result->step_count; i++)
        result->steps[i].chance_holds = odds[i].holds;
    return status;
}

static fr_status judge(fr_review *review) {
    fr_review_result *result = &review->result;
    const fr_build *build = fr_sheet_build(review->sheet);
    fr_clear_to clear;
    list_next(review);
    fr_build_move(build, review->parameters.inputs, review->parameters.input_count,
                  review->fit.deviations, review->learnt);
    fr_status status = judge_blends(review);
    if (status == FR_OK)
        status = fr_clear_find(build, &review->parameters, &review->posterior,
                               result->most_ethanol_seen, result->confidence, &clear);
    if (status != FR_OK)
        return status;
    result->clear_to_ethanol = clear.ethanol;
    result->seen_holds = clear.seen_holds;
    return judge_steps(review);
}

/* ---- the whole ---- */

static fr_status learn(fr_review *review) {
    size_t input_count;
    const fr_build *build = fr_sheet_build(review->sheet);
    const fr_input *inputs = fr_sheet_inputs(review->sheet, &input_count);
    fr_parameters_make(build, inputs, input_count, review->found, &review->parameters);
    if (!fr_problem_open(&review->problem, build, &review->parameters, review->gather.used,
                         review->gather.used_count))
        return FR_NO_MEMORY;
    fr_status status = fr_fit_run(&review->problem, &review->fit);
    if (status != FR_OK)
        return status;
    memcpy(review->fitted, review->fit.deviations, review->fit.count * sizeof *review->fitted);
    review->bounds = fr_bounds_find(&review->problem, &review->fit);
    status = fr_posterior_draw(&review->bounds, &review->fit, &review->posterior);
    review->result.fit_scale = review->fit.scale;
    review->result.fit_residuals = review->problem.data_count;
    review->result.outliers = review->fit.outliers;
    return status;
}

fr_status fr_review_finish(fr_review *review, fr_report *report, const fr_review_result **result) {
    *result = &review->result;
    note_seen(review);
    if (review->gather.used_count == 0)
        return refuse(review, report);
    fr_status status = learn(review);
    if (status != FR_OK)
        return status;
    for (int factor = 0; factor < FR_FACTOR_COUNT; factor++)
        if (!note_factor(review, (fr_factor)factor))
            return FR_NO_MEMORY;
    const fr_comparison comparison = {&review->problem, &review->fit, &review->bounds,
                                      &review->result};
    if (!fr_compare_channels(&comparison))
        return FR_NO_MEMORY;
    return judge(review);
}

bool fr_review_write_learnt(const fr_review *review, char *out, size_t size) {
    return fr_learnt_write(&review->result, out, size);
}
