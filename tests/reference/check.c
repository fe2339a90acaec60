/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "reference/parts.h"
#include "reference/reference.h"

static const double verdict_slack = 1e-6;
static const double same_reach = 1e-9;   /* nearer than that the first stage is named */
static const double same_ethanol = 5e-6; /* nearer than that the first stage is named */
static const double most_reach = 4.0;    /* times the target: beyond, no reach is given */

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

/* A capacity that is not a number is no bound. */
static double lesser(double least, double ratio) {
    return ratio < least ? ratio : least;
}

/* Capacities of one stage over the speeds, and the least of them over the demand. */
static void measure(const fr_build *build, ref_blend_result *result, fr_stage_result *stage) {
    const double ethanol = result->ethanol, levels[2] = {stage->end, stage->limit};
    double least = INFINITY, least_clear = INFINITY;
    for (size_t i = 0; i < result->point_count; i++) {
        fr_point *point = &result->points[i];
        const double rpm = point->speed_rpm;
        double capacities[2];
        ref_capacities(build, ethanol, rpm, stage->stage, levels, capacities);
        point->capacity_kg_s[stage->stage] = capacities[0];
        point->clear_capacity_kg_s[stage->stage] = capacities[1];
        least = lesser(least, capacities[0] / point->fuel_kg_s);
        least_clear = lesser(least_clear, capacities[1] / point->fuel_kg_s);
    }
    /* Past it at the demand and at every lesser flow. */
    stage->no_power_mends = least <= 0.0;
    stage->no_power_clears = least_clear <= 0.0;
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
        if (stage->reach_w < result->reach_w * (1.0 - same_reach) ||
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

/* Past the level at some speed, at the demand and at every lesser flow: no power mends that, and
 * the blend is not blamed for it. */
static bool past_at_any_flow(const fr_build *build, const ref_blend_result *result,
                             const fr_stage_result *stage, double level) {
    const double levels[2] = {level, level};
    for (size_t i = 0; i < result->point_count; i++) {
        double capacities[2];
        ref_capacities(build, result->ethanol, result->points[i].speed_rpm, stage->stage, levels,
                       capacities);
        if (capacities[0] == 0.0) {
            return true;
        }
    }
    return false;
}

/* Of the stages that end the highest blend the one furthest past its end, or the first that the
 * fuel passes; FR_STAGE_COUNT: none. */
static fr_stage short_stage(const fr_build *build, const ref_blend_result *result,
                            bool furthest_past) {
    fr_stage furthest = FR_STAGE_COUNT;
    double most = 0.0;
    for (size_t i = 0; i < result->stage_count; i++) {
        const fr_stage_result *stage = &result->stages[i];
        const bool ends = stage->verdict == FR_SHORT && !spoken_for(stage->stage) &&
                          !stage->ruled_by_share &&
                          (stage->stage == FR_STAGE_PUMP_INLET ||
                           !past_at_any_flow(build, result, stage, stage->end));
        if (ends && (furthest_past || furthest == FR_STAGE_COUNT) &&
            fmin(10.0, stage->use) / stage->end > most) {
            most = fmin(10.0, stage->use) / stage->end;
            furthest = stage->stage;
        }
    }
    return furthest;
}

static bool is_not_clear(const fr_build *build, const ref_blend_result *result) {
    for (size_t i = 0; i < result->stage_count; i++) {
        const fr_stage_result *stage = &result->stages[i];
        const bool aside = stage->stage == FR_STAGE_PUMP_INLET || stage->ruled_by_share;
        if (stage->verdict != FR_CLEAR && !aside &&
            !past_at_any_flow(build, result, stage, stage->limit)) {
            return true;
        }
    }
    return false;
}

typedef struct range {
    const fr_build *build;
    bool clear;
} range;

static bool turned(const range *r, double ethanol, fr_stage *by) {
    ref_blend_result result;
    ref_judge_blend(r->build, ethanol, &result);
    *by = r->clear ? FR_STAGE_COUNT : short_stage(r->build, &result, ethanol <= 0.0);
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
                } else {
                    low = middle;
                }
            }
            turned(r, high + same_ethanol, by);
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
