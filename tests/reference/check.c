/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "reference/check.h"
#include "reference/parts.h"
#include "reference/reference.h"

static const double verdict_slack = 1e-6;
static const double most_reach = 4.0; /* times the target: beyond, no reach is given */

static bool is_direct(fr_stage stage) {
    return stage == FR_STAGE_DIRECT_INJECTOR || stage == FR_STAGE_HIGH_PRESSURE_PUMP ||
           stage == FR_STAGE_DIRECT_PRESSURE;
}

static bool spoken_for(fr_stage stage) {
    return stage == FR_STAGE_DIRECT_INJECTOR || stage == FR_STAGE_HIGH_PRESSURE_PUMP;
}

static bool has(const fr_build *build, fr_stage stage) {
    if (stage == FR_STAGE_PUMP_CIRCUIT) {
        return build->pumps.fuse_a > 0.0;
    }
    if (stage == FR_STAGE_PORT_INJECTOR) {
        return build->port.present;
    }
    return is_direct(stage) ? build->direct.present : true;
}

static double end_of(const fr_build *build, fr_stage stage) {
    return stage == FR_STAGE_PORT_INJECTOR ? build->port.max_duty : 1.0;
}

static double limit_of(const fr_build *build, fr_stage stage) {
    return fmin(build->limits[stage], end_of(build, stage));
}

/* Worst use, at the lowest speed that comes within 1e-6 of it. */
static void find_worst(const ref_blend_result *result, fr_stage_result *stage) {
    const size_t s = (size_t)stage->stage;
    double worst = -INFINITY;
    for (size_t i = 0; i < result->point_count; i++) {
        worst = fmax(worst, result->points[i].use[s]);
    }
    size_t at = 0;
    while (!(result->points[at].use[s] >= worst - 1e-6)) {
        at++;
    }
    stage->use = result->points[at].use[s];
    stage->worst_point = at;
    stage->worst_rpm = result->points[at].speed_rpm;
}

static double first_short(const ref_blend_result *result, const fr_stage_result *stage) {
    for (size_t i = 0; i < result->point_count; i++) {
        if (result->points[i].use[stage->stage] > stage->end + verdict_slack) {
            return result->points[i].speed_rpm;
        }
    }
    return NAN;
}

static void judge(const fr_build *build, const ref_blend_result *result, fr_stage_result *stage) {
    find_worst(result, stage);
    stage->first_short_rpm = first_short(result, stage);
    stage->verdict = FR_CLEAR;
    if (stage->use > stage->limit + verdict_slack) {
        stage->verdict = FR_TIGHT;
    }
    if (stage->use > stage->end + verdict_slack) {
        stage->verdict = FR_SHORT;
    }
    if (stage->stage == FR_STAGE_PUMP_INLET && !build->site.tank_temperature_given &&
        stage->verdict == FR_SHORT) {
        stage->verdict = FR_TIGHT;
        stage->first_short_rpm = NAN;
    }
}

static const fr_stage_result *stage_of(const ref_blend_result *result, fr_stage stage) {
    for (size_t i = 0; i < result->stage_count; i++) {
        if (result->stages[i].stage == stage) {
            return &result->stages[i];
        }
    }
    return NULL;
}

/* The rail command can move: while the pressure itself is not short, these are only tight. */
static void spare_the_spoken_for(ref_blend_result *result) {
    const fr_stage_result *pressure = stage_of(result, FR_STAGE_DIRECT_PRESSURE);
    for (size_t i = 0; i < result->stage_count; i++) {
        fr_stage_result *stage = &result->stages[i];
        if (spoken_for(stage->stage) && stage->verdict == FR_SHORT &&
            pressure->verdict != FR_SHORT) {
            stage->verdict = FR_TIGHT;
            stage->first_short_rpm = NAN;
            stage->mendable_by_command = true;
        }
    }
}

void ref_judge_blend(const fr_build *build, double ethanol, ref_blend_result *result) {
    double speeds[FR_SPEEDS_MAX];
    result->ethanol = ethanol;
    result->target_power_w = ref_target(build, ethanol);
    result->point_count = ref_speeds(build, speeds);
    result->stage_count = 0;
    result->verdict = FR_CLEAR;
    result->doubtful = false;
    for (size_t i = 0; i < result->point_count; i++) {
        result->points[i] = ref_point_at(build, ethanol, speeds[i], 1.0);
        result->doubtful = result->doubtful || result->points[i].airflow_doubtful ||
                           result->points[i].air_per_power_doubtful;
    }
    for (int s = 0; s < FR_STAGE_COUNT; s++) {
        if (has(build, (fr_stage)s)) {
            fr_stage_result *stage = &result->stages[result->stage_count++];
            *stage = (fr_stage_result){.stage = (fr_stage)s};
            stage->end = end_of(build, stage->stage);
            stage->limit = limit_of(build, stage->stage);
            stage->reach_w = stage->clear_to_w = stage->spare = NAN;
            stage->ruled_by_share = build->share == FR_SHARE_AUTO && is_direct(stage->stage);
            judge(build, result, stage);
        }
    }
    spare_the_spoken_for(result);
    for (size_t i = 0; i < result->stage_count; i++) {
        if (result->stages[i].verdict > result->verdict) {
            result->verdict = result->stages[i].verdict;
        }
    }
}

/* Capacities of one stage over the speeds, and the least of them over the demand. */
static void measure(const fr_build *build, ref_blend_result *result, fr_stage_result *stage) {
    const double ethanol = result->ethanol;
    double least = INFINITY, least_clear = INFINITY;
    for (size_t i = 0; i < result->point_count; i++) {
        fr_point *point = &result->points[i];
        const double rpm = point->speed_rpm;
        const double capacity = ref_capacity(build, ethanol, rpm, stage->stage, stage->end);
        const double clear = ref_capacity(build, ethanol, rpm, stage->stage, stage->limit);
        point->capacity_kg_s[stage->stage] = capacity;
        point->clear_capacity_kg_s[stage->stage] = clear;
        least = fmin(least, isnan(capacity) ? INFINITY : capacity / point->fuel_kg_s);
        least_clear = fmin(least_clear, isnan(clear) ? INFINITY : clear / point->fuel_kg_s);
        if (ref_past_with_no_fuel(build, ethanol, rpm, stage->stage, stage->end)) {
            stage->no_power_mends = true;
        }
        if (ref_past_with_no_fuel(build, ethanol, rpm, stage->stage, stage->limit)) {
            stage->no_power_clears = true;
        }
    }
    stage->least_capacity_ratio = least;
    if (!stage->no_power_mends && least <= most_reach) {
        stage->reach_w = least * result->target_power_w;
        stage->spare = least - 1.0;
    }
    if (!stage->no_power_clears && least_clear <= most_reach) {
        stage->clear_to_w = least_clear * result->target_power_w;
    }
}

static bool counts(const fr_stage_result *stage) {
    return !spoken_for(stage->stage) && !stage->no_power_mends && !stage->ruled_by_share;
}

/* The stage that ends the reach, else the fullest of those that count. */
static void find_weakest(ref_blend_result *result) {
    double fullest = -INFINITY;
    result->reach_w = result->clear_to_w = NAN;
    for (size_t i = 0; i < result->stage_count; i++) {
        const fr_stage_result *stage = &result->stages[i];
        result->clear_to_w = fmin(result->clear_to_w, stage->clear_to_w);
        if (!counts(stage)) {
            continue;
        }
        if (stage->reach_w < result->reach_w ||
            (isnan(result->reach_w) && !isnan(stage->reach_w))) {
            result->reach_w = stage->reach_w;
            result->weakest = stage->stage;
        }
        if (isnan(result->reach_w) && stage->use / stage->limit > fullest) {
            fullest = stage->use / stage->limit;
            result->weakest = stage->stage;
        }
    }
}

void ref_check_blend(const fr_build *build, double ethanol, ref_blend_result *result) {
    ref_judge_blend(build, ethanol, result);
    for (size_t i = 0; i < result->stage_count; i++) {
        fr_stage_result *stage = &result->stages[i];
        if (stage->stage == FR_STAGE_PUMP_INLET) {
            stage->no_power_mends = stage->no_power_clears = true;
            stage->least_capacity_ratio = INFINITY;
        } else if (stage->ruled_by_share) {
            stage->least_capacity_ratio = INFINITY;
        } else {
            measure(build, result, stage);
        }
    }
    find_weakest(result);
}

/* ---- the highest blend ---- */

/* First stage, in order, that ends the highest blend; FR_STAGE_COUNT: none. */
static fr_stage first_that_is_short(const ref_blend_result *result) {
    for (size_t i = 0; i < result->stage_count; i++) {
        const fr_stage_result *stage = &result->stages[i];
        if (stage->verdict == FR_SHORT && !spoken_for(stage->stage) && !stage->ruled_by_share) {
            return stage->stage;
        }
    }
    return FR_STAGE_COUNT;
}

static bool past_limit_with_no_fuel(const fr_build *build, const ref_blend_result *result,
                                    const fr_stage_result *stage) {
    for (size_t i = 0; i < result->point_count; i++) {
        if (ref_past_with_no_fuel(build, result->ethanol, result->points[i].speed_rpm, stage->stage,
                                  stage->limit)) {
            return true;
        }
    }
    return false;
}

static bool is_not_clear(const fr_build *build, const ref_blend_result *result) {
    for (size_t i = 0; i < result->stage_count; i++) {
        const fr_stage_result *stage = &result->stages[i];
        const bool aside = stage->stage == FR_STAGE_PUMP_INLET || stage->ruled_by_share;
        if (stage->verdict != FR_CLEAR && !aside &&
            !past_limit_with_no_fuel(build, result, stage)) {
            return true;
        }
    }
    return first_that_is_short(result) != FR_STAGE_COUNT;
}

typedef struct range {
    const fr_build *build;
    bool clear;
} range;

static bool turned(const range *r, double ethanol, fr_stage *by) {
    ref_blend_result result;
    ref_judge_blend(r->build, ethanol, &result);
    *by = first_that_is_short(&result);
    return r->clear ? is_not_clear(r->build, &result) : *by != FR_STAGE_COUNT;
}

/* Ethanol fraction at which the range first turns; NAN: at E0 already; INFINITY: nowhere. */
static double first_turn(const range *r, fr_stage *by) {
    enum { STEPS = 100, HALVINGS = 24 };
    if (turned(r, 0.0, by)) {
        return NAN;
    }
    for (int i = 1; i <= STEPS; i++) {
        double high = (double)i / STEPS, low = (double)(i - 1) / STEPS;
        if (turned(r, high, by)) {
            fr_stage ignored;
            for (int step = 0; step < HALVINGS; step++) {
                const double middle = (low + high) / 2.0;
                if (turned(r, middle, &ignored)) {
                    high = middle;
                    *by = ignored;
                } else {
                    low = middle;
                }
            }
            return low;
        }
    }
    return INFINITY;
}

fr_highest_blend ref_highest_blend(const fr_build *build) {
    const range is_short = {build, false}, is_clear = {build, true};
    fr_highest_blend highest = {0};
    fr_stage ignored;
    highest.ethanol = first_turn(&is_short, &highest.limited_by);
    highest.whole_range = isinf(highest.ethanol);
    highest.has_limit = !highest.whole_range;
    highest.ethanol = highest.whole_range ? 1.0 : highest.ethanol;
    highest.clear_to = first_turn(&is_clear, &ignored);
    highest.clear_to = isinf(highest.clear_to) ? 1.0 : highest.clear_to;
    return highest;
}
