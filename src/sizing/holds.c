/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sizing/holds.h"

#include <math.h>

static const double TOLERANCE = 1e-6;

fr_stage_set fr_stages_of_feed(void) {
    return 1u << FR_STAGE_LIFT_PUMP | 1u << FR_STAGE_PUMP_CIRCUIT | 1u << FR_STAGE_FEED_PRESSURE |
           1u << FR_STAGE_VAPOUR;
}

fr_stage_set fr_stages_of_parts(void) {
    return ((1u << FR_STAGE_COUNT) - 1u) & ~(1u << FR_STAGE_PUMP_INLET);
}

static bool asked(const fr_build *build, const fr_goal *goal, fr_stage_set stages, fr_stage stage) {
    return FR_IN_SET(stages, stage) && fr_build_has(build, stage) &&
           (goal->to_limits || fr_stage_table[stage].counts_for_reach);
}

static bool place_holds(const fr_side *side, const fr_speed *speed, const fr_goal *goal,
                        fr_stage_set stages, fr_stage *failed) {
    const fr_build *build = side->build;
    const fr_place place = fr_place_make(side, speed);
    const fr_operating op = fr_operate(&place, goal->times);
    for (int i = 0; i < FR_STAGE_COUNT; i++) {
        const fr_stage stage = (fr_stage)i;
        if (asked(build, goal, stages, stage)) {
            /* A verdict forgives a millionth; a reach is what it is. */
            const double bound = goal->to_limits ? fr_build_limit(build, stage) + TOLERANCE
                                                 : fr_build_end(build, stage);
            if (fr_stage_use(&place, &op, stage) > bound) {
                *failed = stage;
                return false;
            }
        }
    }
    return true;
}

static bool figures_hold(fr_check *check, const fr_build *build, const fr_goal *goal,
                         fr_stage_set stages, fr_witness *witness) {
    check->speed_count = fr_speeds_of_pull(build, check->speeds);
    for (size_t n = 0; n < build->blend_count; n++) {
        const size_t blend = (witness->blend + n) % build->blend_count;
        const fr_side side = fr_side_make(build, build->blends[blend]);
        for (size_t i = 0; i < check->speed_count; i++) {
            const size_t speed = (witness->speed + i) % check->speed_count;
            if (!place_holds(&side, &check->speeds[speed], goal, stages, &witness->stage)) {
                witness->blend = blend;
                witness->speed = speed;
                return false;
            }
        }
    }
    return true;
}

bool fr_stages_hold(fr_check *check, const fr_build *build, const fr_goal *goal,
                    fr_stage_set stages, fr_witness *witness) {
    witness->looked += 1.0;
    if (goal->accepts == NULL) {
        return figures_hold(check, build, goal, stages, witness);
    }
    /* What is short on its own figures is short in about half of the draws: it need not be drawn
     * where a chance well over a half is asked for. */
    const fr_goal not_short = {.times = 1.0};
    return figures_hold(check, build, &not_short, stages, witness) &&
           goal->accepts(build, goal->accepts_context);
}

/* ---- reach ---- */

static double times_of(double power_w, double target_w) {
    return isnan(power_w) ? FR_REACH_TIMES_MAX : power_w / target_w;
}

/* A stage that is short with no fuel drawn at all leaves no reach. */
static bool has_no_reach(const fr_blend_result *blend) {
    for (size_t i = 0; i < blend->stage_count; i++) {
        const fr_stage_result *stage = &blend->stages[i];
        if (stage->no_power_mends && stage->verdict == FR_SHORT &&
            stage->stage != FR_STAGE_PUMP_INLET) {
            return true;
        }
    }
    return false;
}

fr_scale fr_scale_of(fr_check *check, const fr_build *build) {
    fr_scale scale = {INFINITY, INFINITY, FR_STAGE_LIFT_PUMP, NAN};
    for (size_t i = 0; i < build->blend_count; i++) {
        const fr_blend_result *blend = fr_check_blend(check, build, build->blends[i]);
        const double reach =
            has_no_reach(blend) ? 0.0 : times_of(blend->reach_w, blend->target_power_w);
        const double clear_to = times_of(blend->clear_to_w, blend->target_power_w);
        if (reach < scale.reach_times) {
            scale.reach_times = reach;
            scale.weakest = blend->weakest;
            scale.weakest_ethanol = blend->ethanol;
        }
        scale.clear_to_times = clear_to < scale.clear_to_times ? clear_to : scale.clear_to_times;
    }
    return scale;
}
