/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Verdict and reach alone, for comparisons: a stage is solved only at a speed where it ends the
 * reach that other speeds and stages have left. */
#include <math.h>

#include "capacity/check_memory.h"

static const double REACH_TIMES_MAX = 4.0;

/* Lowers `*least` where a stage of the place carries less; says which stage it was. */
static void lower_reach(const fr_place *place, const fr_operating *op, double *least,
                        fr_stage *weakest, const bool set_aside[FR_STAGE_COUNT]) {
    const fr_build *build = place->build;
    fr_sag_start sag = {0};
    bool sag_known = false;
    const fr_operating at_least = fr_operate(place, *least);
    for (int i = 0; i < FR_STAGE_COUNT; i++) {
        const fr_stage stage = (fr_stage)i;
        const double end = fr_build_end(build, stage);
        if (set_aside[i] || fr_stage_excess(place, &at_least, stage, end) <= 0.0) {
            continue;
        }
        if (!sag_known) {
            sag = fr_sag_start_find(place);
            sag_known = true;
        }
        const double times = fr_capacity_times(place, op, &sag, stage, end);
        if (times < *least) {
            *least = times;
            *weakest = stage;
        }
    }
}

/* Stages that do not count for the reach, or that are past their end with no fuel drawn. */
static void find_set_aside(fr_check *check, const fr_side *side, bool set_aside[FR_STAGE_COUNT]) {
    const fr_build *build = side->build;
    for (int i = 0; i < FR_STAGE_COUNT; i++) {
        set_aside[i] = !fr_stage_table[i].counts_for_reach ||
                       !fr_stage_has_capacity(build, (fr_stage)i);
    }
    for (size_t n = 0; n < check->speed_count; n++) {
        const fr_place place = fr_place_make(side, &check->speeds[n]);
        const fr_operating idle = fr_operate(&place, 0.0);
        for (int i = 0; i < FR_STAGE_COUNT; i++) {
            set_aside[i] = set_aside[i] || fr_stage_excess(&place, &idle, (fr_stage)i,
                                                           fr_build_end(build, (fr_stage)i)) > 0.0;
        }
    }
}

static void outline_blend(fr_check *check, const fr_build *build, double ethanol,
                          fr_blend_result *blend) {
    const fr_side side = fr_side_make(build, ethanol);
    *blend = (fr_blend_result){.ethanol = ethanol,
                               .blend = side.need.blend,
                               .target_power_w = side.need.stated_power_w,
                               .density_kg_m3 = side.feed.density_kg_m3};
    bool set_aside[FR_STAGE_COUNT];
    find_set_aside(check, &side, set_aside);
    double least = REACH_TIMES_MAX;
    bool found = false;
    for (size_t i = 0; i < check->speed_count; i++) {
        const fr_place place = fr_place_make(&side, &check->speeds[i]);
        const fr_operating op = fr_operate(&place, 1.0);
        const double before = least;
        fr_point_uses(&place, &op, check->use[i]);
        lower_reach(&place, &op, &least, &blend->weakest, set_aside);
        found = found || least < before;
    }
    fr_judge_stages(build, check, blend);
    blend->reach_w = found ? least * blend->target_power_w : NAN;
    blend->clear_to_w = NAN;
}

const fr_check_result *fr_check_outline(fr_check *check, const fr_build *build) {
    fr_check_result *result = &check->result;
    check->speed_count = fr_speeds_of_pull(build, check->speeds);
    result->blend_count = build->blend_count;
    result->verdict = FR_CLEAR;
    result->highest = (fr_highest_blend){.ethanol = NAN, .clear_to = NAN};
    for (size_t i = 0; i < build->blend_count; i++) {
        fr_blend_result *blend = &result->blends[i];
        outline_blend(check, build, build->blends[i], blend);
        result->verdict = blend->verdict > result->verdict ? blend->verdict : result->verdict;
    }
    return result;
}
