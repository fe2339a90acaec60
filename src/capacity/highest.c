/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The highest blend at the target: where, going from E0 to E100, a stage first turns short; and
 * first is not clear. Vapour pressure peaks near E10, so every step is looked at. */
#include <math.h>

#include "capacity/check_memory.h"
#include "quantity/root.h"

enum { STEPS = 50 }; /* brackets of 2 % */
static const double ETHANOL_TOLERANCE = 1e-7;
static const double USE_TOLERANCE = 1e-6;

typedef struct fr_highest_search {
    fr_check *check;
    const fr_build *build;
    bool to_clear; /* looks for the first that is not clear, else for the first that is short */
    fr_stage stage;
} fr_highest_search;

static double bound_of(const fr_highest_search *search, fr_stage stage) {
    return search->to_clear ? fr_build_limit(search->build, stage)
                            : fr_build_end(search->build, stage);
}

static bool beyond(const fr_highest_search *search, const fr_place *place, const fr_operating *op,
                   fr_stage stage) {
    return fr_stage_use(place, op, stage) > bound_of(search, stage) + USE_TOLERANCE;
}

/* Beyond its bound at some speed whatever the power, so that the blend is not blamed for it.
 * Quickly seen where it is within at the demand, or with no fuel; else its capacity tells. */
static bool no_power_mends(const fr_highest_search *search, const fr_side *side, fr_stage stage) {
    for (size_t i = 0; i < search->check->speed_count; i++) {
        const fr_place place = fr_place_make(side, &search->check->speeds[i]);
        const fr_operating none = fr_operate(&place, FR_TIMES_NONE);
        if (!beyond(search, &place, &none, stage)) {
            continue;
        }
        const fr_operating op = fr_operate(&place, 1.0);
        const fr_sag_start sag = fr_sag_start_find(&place);
        if (beyond(search, &place, &op, stage) &&
            fr_capacity_times(&place, &op, &sag, stage, bound_of(search, stage)) <= 0.0) {
            return true;
        }
    }
    return false;
}

static double use_over_bound(double ethanol, const void *context) {
    const fr_highest_search *search = context;
    const fr_side side = fr_side_make(search->build, ethanol);
    return fr_worst_use_of_side(search->check, &side, 1.0, search->stage) -
           bound_of(search, search->stage);
}

/* Whether a stage of a judged blend ends the search there. */
static bool ends(const fr_highest_search *search, const fr_side *side,
                 const fr_stage_result *result) {
    const fr_stage stage = result->stage;
    if (result->ruled_by_share) {
        return false;
    }
    if (search->to_clear) {
        return result->verdict != FR_CLEAR && stage != FR_STAGE_PUMP_INLET &&
               !no_power_mends(search, side, stage);
    }
    return result->verdict == FR_SHORT && fr_stage_table[stage].counts_for_reach &&
           (stage == FR_STAGE_PUMP_INLET || !no_power_mends(search, side, stage));
}

/* The first ethanol fraction in (from, to] at which one of the stages that are beyond at `to`
 * crosses its bound. */
static double first_crossing(fr_highest_search *search, const fr_side *at_to,
                             const fr_blend_result *blend, double from, double to,
                             fr_stage *stage) {
    double first = INFINITY;
    for (size_t i = 0; i < blend->stage_count; i++) {
        if (!ends(search, at_to, &blend->stages[i])) {
            continue;
        }
        search->stage = blend->stages[i].stage;
        const double over_from = use_over_bound(from, search);
        const double over_to = use_over_bound(to, search);
        const double crossing = over_from >= 0.0 ? from
                                                 : fr_root(use_over_bound, search, from, over_from,
                                                           to, over_to, ETHANOL_TOLERANCE);
        /* Of several at once, the one that the fuel passes first. */
        if (crossing < first - 2.0 * ETHANOL_TOLERANCE) {
            first = crossing;
            *stage = search->stage;
        }
    }
    return first;
}

/* The stage that is furthest beyond at E0. */
static bool ended_at_none(const fr_highest_search *search, const fr_side *side,
                          const fr_blend_result *blend, fr_stage *stage) {
    double furthest = 0.0;
    for (size_t i = 0; i < blend->stage_count; i++) {
        const fr_stage_result *result = &blend->stages[i];
        const double over = result->use / bound_of(search, result->stage);
        if (over > furthest && ends(search, side, result)) {
            furthest = over;
            *stage = result->stage;
        }
    }
    return furthest > 0.0;
}

static bool any_ends(const fr_highest_search *search, const fr_side *side,
                     const fr_blend_result *blend) {
    for (size_t i = 0; i < blend->stage_count; i++) {
        if (ends(search, side, &blend->stages[i])) {
            return true;
        }
    }
    return false;
}

fr_highest_blend fr_highest_blend_find(fr_check *check, const fr_build *build) {
    fr_highest_search to_short = {check, build, false, FR_STAGE_LIFT_PUMP};
    fr_highest_search to_clear = {check, build, true, FR_STAGE_LIFT_PUMP};
    fr_highest_blend highest = {.ethanol = 1.0, .clear_to = 1.0, .whole_range = true};
    bool clear_found = false;
    double before = 0.0;
    for (int step = 0; step <= STEPS; step++) {
        const double ethanol = (double)step / STEPS;
        const fr_side side = fr_side_make(build, ethanol);
        fr_blend_result blend = {.ethanol = ethanol};
        fr_stage stage;
        fr_uses_of_side(check, &side);
        fr_judge_stages(build, check, &blend);
        if (!clear_found && any_ends(&to_clear, &side, &blend)) {
            clear_found = true;
            highest.clear_to =
                step == 0 ? NAN : first_crossing(&to_clear, &side, &blend, before, ethanol, &stage);
        }
        if (highest.whole_range && any_ends(&to_short, &side, &blend)) {
            highest.whole_range = false;
            highest.has_limit =
                step == 0 ? ended_at_none(&to_short, &side, &blend, &highest.limited_by) : true;
            highest.ethanol = step == 0 ? NAN
                                        : first_crossing(&to_short, &side, &blend, before, ethanol,
                                                         &highest.limited_by);
        }
        if (clear_found && !highest.whole_range) {
            break;
        }
        before = ethanol;
    }
    return highest;
}
