/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One pass over blends and speeds: use, capacities, reach. */
#include <math.h>
#include <stdlib.h>

#include "capacity/check_memory.h"

/* Reaches this near each other are one; the stage that the fuel passes first is named. */
static const double SAME_REACH = 1e-9;

/* Not cleared: a run fills what it reads, and pages that it does not touch cost nothing. */
fr_check *fr_check_open(void) {
    fr_check *check = malloc(sizeof *check);
    if (check != NULL) {
        check->speed_count = 0;
    }
    return check;
}

void fr_check_close(fr_check *check) {
    free(check);
}

size_t fr_pull_speeds(const fr_build *build, double speeds_rpm[FR_SPEEDS_MAX]) {
    fr_speed speeds[FR_SPEEDS_MAX];
    const size_t count = fr_speeds_of_pull(build, speeds);
    for (size_t i = 0; i < count; i++) {
        speeds_rpm[i] = speeds[i].rpm;
    }
    return count;
}

/* ---- least capacity over speeds ---- */

typedef struct fr_least_times {
    double end[FR_STAGE_COUNT];
    double limit[FR_STAGE_COUNT];
} fr_least_times;

static fr_least_times no_least(void) {
    fr_least_times least;
    for (int i = 0; i < FR_STAGE_COUNT; i++) {
        least.end[i] = least.limit[i] = INFINITY;
    }
    return least;
}

/* A stage without a capacity has NAN, which is less than nothing. */
static void keep_least(fr_least_times *least, const fr_point_times *times) {
    for (int i = 0; i < FR_STAGE_COUNT; i++) {
        least->end[i] = times->end[i] < least->end[i] ? times->end[i] : least->end[i];
        least->limit[i] = times->limit[i] < least->limit[i] ? times->limit[i] : least->limit[i];
    }
}

/* ---- a blend ---- */

static void start_blend(const fr_side *side, fr_blend_result *blend, fr_point *points) {
    const fr_need *need = &side->need;
    *blend = (fr_blend_result){
        .ethanol = need->ethanol,
        .blend = need->blend,
        .target_power_w = need->stated_power_w,
        .lambda = need->lambda,
        .same_air_gain = need->same_air_gain,
        .bsfc_factor = need->bsfc_factor,
        .bsfc_factor_other = need->bsfc_factor_other,
        .density_kg_m3 = side->feed.density_kg_m3,
        .viscosity_pa_s = side->feed.viscosity_pa_s,
        .reach_w = NAN,
        .clear_to_w = NAN,
        .points = points,
    };
}

static double power_of(const fr_blend_result *blend, double times) {
    return times <= FR_REACH_TIMES_MAX ? times * blend->target_power_w : NAN;
}

static void put_reach(const fr_build *build, const fr_least_times *least, fr_blend_result *blend) {
    double reach = INFINITY, clear_to = INFINITY;
    for (size_t i = 0; i < blend->stage_count; i++) {
        fr_stage_result *result = &blend->stages[i];
        const fr_stage stage = result->stage;
        const bool has = fr_stage_has_capacity(build, stage);
        result->no_power_mends = stage == FR_STAGE_PUMP_INLET || (has && least->end[stage] <= 0.0);
        result->no_power_clears =
            stage == FR_STAGE_PUMP_INLET || (has && least->limit[stage] <= 0.0);
        result->least_capacity_ratio = has ? least->end[stage] : INFINITY;
        result->reach_w = has && !result->no_power_mends ? power_of(blend, least->end[stage]) : NAN;
        result->clear_to_w =
            has && !result->no_power_clears ? power_of(blend, least->limit[stage]) : NAN;
        result->spare = result->reach_w / blend->target_power_w - 1.0;
        if (fr_stage_table[stage].counts_for_reach &&
            result->reach_w < reach * (1.0 - SAME_REACH)) {
            reach = result->reach_w;
            blend->weakest = stage;
        }
        clear_to = result->clear_to_w < clear_to ? result->clear_to_w : clear_to;
        blend->reach_is_mended_by_no_power |= result->no_power_mends && result->verdict == FR_SHORT;
    }
    blend->reach_w = isfinite(reach) ? reach : NAN;
    blend->clear_to_w = isfinite(clear_to) ? clear_to : NAN;
}

/* Where no stage ends the reach, the one that is fullest. */
static void put_fullest(const fr_build *build, fr_blend_result *blend) {
    double fullest = -1.0;
    for (int all = 0; all < 2 && fullest < 0.0; all++) {
        for (size_t i = 0; i < blend->stage_count; i++) {
            const fr_stage_result *result = &blend->stages[i];
            const bool counts = fr_stage_table[result->stage].counts_for_reach &&
                                fr_stage_has_capacity(build, result->stage) &&
                                !result->no_power_mends;
            const double full = result->use / result->limit;
            if ((counts || all) && full > fullest) {
                fullest = full;
                blend->weakest = result->stage;
            }
        }
    }
}

static void keep_greatest_flow(const fr_point *point, fr_blend_result *blend) {
    if (point->fuel_kg_s > blend->fuel_kg_s) {
        blend->fuel_kg_s = point->fuel_kg_s;
        blend->fuel_m3_s = point->fuel_m3_s;
    }
    blend->doubtful |= point->airflow_doubtful || point->air_per_power_doubtful;
}

size_t fr_greatest_demand(const fr_check *check, const fr_side *side) {
    size_t greatest = 0;
    double most = 0.0;
    for (size_t i = 0; i < check->speed_count; i++) {
        const fr_demand demand = fr_demand_at(side->build, &side->need, &check->speeds[i]);
        if (demand.fuel_kg_s > most) {
            most = demand.fuel_kg_s;
            greatest = i;
        }
    }
    return greatest;
}

static void check_blend(fr_check *check, const fr_build *build, double ethanol, fr_point *points,
                        fr_blend_result *blend) {
    const fr_side side = fr_side_make(build, ethanol);
    fr_least_times least = no_least();
    start_blend(&side, blend, points);
    blend->point_count = check->speed_count;
    const size_t first = fr_greatest_demand(check, &side);
    const fr_place most = fr_place_make(&side, &check->speeds[first]);
    const fr_operating at_most = fr_operate(&most, 1.0);
    fr_point_times most_times;
    fr_point_capacities(&most, &at_most, &most_times);
    for (size_t i = 0; i < check->speed_count; i++) {
        const fr_place place = fr_place_make(&side, &check->speeds[i]);
        const fr_operating op = i == first ? at_most : fr_operate(&place, 1.0);
        fr_point_times times = most_times;
        fr_point_uses(&place, &op, check->use[i]);
        fr_point_fill(&place, &op, check->use[i], &points[i]);
        if (i != first) {
            fr_point_capacities_from(&place, &op, &most, &most_times, &times);
        }
        fr_point_put_capacities(&place, &times, &points[i]);
        keep_least(&least, &times);
        keep_greatest_flow(&points[i], blend);
    }
    fr_judge_stages(build, check, blend);
    put_reach(build, &least, blend);
    if (isnan(blend->reach_w)) {
        put_fullest(build, blend);
    }
}

double fr_worst_use_of_side(const fr_check *check, const fr_side *side, double times,
                            fr_stage stage) {
    static const double FAR = 1e3; /* a solver needs finite figures */
    double worst = 0.0;
    for (size_t i = 0; i < check->speed_count; i++) {
        const fr_place place = fr_place_make(side, &check->speeds[i]);
        const fr_operating op = fr_operate(&place, times);
        const double use = fr_stage_use(&place, &op, stage);
        worst = use > worst ? use : worst;
    }
    return worst < FAR ? worst : FAR;
}

void fr_uses_of_side(fr_check *check, const fr_side *side) {
    for (size_t i = 0; i < check->speed_count; i++) {
        const fr_place place = fr_place_make(side, &check->speeds[i]);
        const fr_operating op = fr_operate(&place, 1.0);
        fr_point_uses(&place, &op, check->use[i]);
    }
}

const fr_blend_result *fr_check_blend(fr_check *check, const fr_build *build, double ethanol) {
    check->speed_count = fr_speeds_of_pull(build, check->speeds);
    check_blend(check, build, ethanol, check->one_blend_points, &check->one_blend);
    return &check->one_blend;
}

/* ---- the whole ---- */

const fr_check_result *fr_check_run(fr_check *check, const fr_build *build) {
    fr_check_result *result = &check->result;
    check->speed_count = fr_speeds_of_pull(build, check->speeds);
    result->blend_count = build->blend_count;
    result->verdict = FR_CLEAR;
    for (size_t i = 0; i < build->blend_count; i++) {
        fr_blend_result *blend = &result->blends[i];
        check_blend(check, build, build->blends[i], check->points[i], blend);
        result->verdict = blend->verdict > result->verdict ? blend->verdict : result->verdict;
    }
    result->highest = fr_highest_blend_find(check, build);
    return result;
}
