/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Verdict and reach alone, for comparisons: a stage is solved only at a speed where it ends the
 * reach that other speeds and stages have left. */
#include <math.h>

#include "capacity/check_memory.h"

typedef struct fr_least {
    double times;
    fr_stage stage;
    bool found;
    bool set_aside[FR_STAGE_COUNT]; /* past its end with no fuel drawn, or not counted */
} fr_least;

/* Lowers the least where a stage of the place carries less. False when a stage turns out to be
 * past its end with no fuel drawn: it is set aside, and what it lowered no longer holds. */
static bool lower_reach(const fr_place *place, fr_least *least) {
    const fr_build *build = place->build;
    fr_operating op = {0};
    fr_sag_start sag = {0};
    bool begun = false;
    const fr_operating at_least = fr_operate(place, least->times);
    for (int i = 0; i < FR_STAGE_COUNT; i++) {
        const fr_stage stage = (fr_stage)i;
        const double end = fr_build_end(build, stage);
        if (least->set_aside[i] || fr_stage_excess(place, &at_least, stage, end) <= 0.0) {
            continue;
        }
        if (!begun) {
            op = fr_operate(place, 1.0);
            sag = fr_sag_start_find(place);
            begun = true;
        }
        const double times = fr_capacity_times(place, &op, &sag, stage, end);
        if (times <= 0.0) {
            least->set_aside[i] = true;
            return false;
        }
        if (times < least->times) {
            least->times = times;
            least->stage = stage;
            least->found = true;
        }
    }
    return true;
}

static fr_least least_of_side(const fr_check *check, const fr_side *side) {
    fr_least least = {0};
    for (int i = 0; i < FR_STAGE_COUNT; i++) {
        least.set_aside[i] = !fr_stage_table[i].counts_for_reach ||
                             !fr_stage_has_capacity(side->build, (fr_stage)i);
    }
    /* The speed of most fuel is where the reach most often ends: asked first, it spares the others
     * their solves. */
    const size_t first = fr_greatest_demand(check, side);
    bool again = true;
    while (again) { /* at most once a stage */
        again = false;
        least.times = FR_REACH_TIMES_MAX;
        least.found = false;
        for (size_t n = 0; n < check->speed_count && !again; n++) {
            const size_t i = (first + n) % check->speed_count;
            const fr_place place = fr_place_make(side, &check->speeds[i]);
            again = !lower_reach(&place, &least);
        }
    }
    return least;
}

static void outline_blend(fr_check *check, const fr_build *build, double ethanol, bool with_reach,
                          fr_blend_result *blend) {
    const fr_side side = fr_side_make(build, ethanol);
    *blend = (fr_blend_result){.ethanol = ethanol,
                               .blend = side.need.blend,
                               .target_power_w = side.need.stated_power_w,
                               .density_kg_m3 = side.feed.density_kg_m3,
                               .reach_w = NAN,
                               .clear_to_w = NAN};
    fr_uses_of_side(check, &side);
    fr_judge_stages(build, check, blend);
    if (with_reach) {
        const fr_least least = least_of_side(check, &side);
        blend->weakest = least.stage;
        blend->reach_w = least.found ? least.times * blend->target_power_w : NAN;
    }
}

const fr_check_result *fr_check_outline_at(fr_check *check, const fr_build *build,
                                           size_t reach_blend) {
    fr_check_result *result = &check->result;
    check->speed_count = fr_speeds_of_pull(build, check->speeds);
    result->blend_count = build->blend_count;
    result->verdict = FR_CLEAR;
    result->highest = (fr_highest_blend){.ethanol = NAN, .clear_to = NAN};
    for (size_t i = 0; i < build->blend_count; i++) {
        fr_blend_result *blend = &result->blends[i];
        outline_blend(check, build, build->blends[i],
                      reach_blend == FR_EVERY_BLEND || reach_blend == i, blend);
        result->verdict = blend->verdict > result->verdict ? blend->verdict : result->verdict;
    }
    return result;
}

const fr_check_result *fr_check_outline(fr_check *check, const fr_build *build) {
    return fr_check_outline_at(check, build, FR_EVERY_BLEND);
}
