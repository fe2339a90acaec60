/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The study: choices, the front of price against reach, and what no part mends. */
#include <math.h>

#include "sizing/search.h"

static const double REACH_STEP = 1e-6; /* a reach greater by less is no step forward */

/* ---- the front ---- */

/* Cheapest set for each reach, from what the sheet has upwards. */
static size_t find_front(fr_search *search, double price_most, size_t most,
                         fr_size_choice *front, bool *whole) {
    fr_goal goal = {.times = 0.0};
    size_t count = 0;
    *whole = false;
    while (count < most && !*whole) {
        fr_size_choice next;
        if (fr_search_best(search, &goal, price_most, 1, &next) == 0) {
            *whole = true;
            break;
        }
        front[count++] = next;
        goal.times = next.reach_times * (1.0 + REACH_STEP);
        *whole = next.reach_times >= FR_REACH_TIMES_MAX; /* no set does better */
    }
    return count;
}

/* ---- what no part mends ---- */

static void find_unmendable(const fr_size_request *request, const fr_options *options,
                            fr_size_result *result) {
    bool open[FR_SLOT_COUNT];
    fr_build ideal = *request->build;
    for (int i = 0; i < FR_SLOT_COUNT; i++) {
        open[i] = true;
    }
    fr_options_ideal(options, open, &ideal);
    /* No figure is the most favourable pump or wiring: those of the best set found stand for all. */
    if (result->has_best) {
        fr_size_fit(&ideal, FR_SLOT_LIFT_PUMP, &result->best.items[FR_SLOT_LIFT_PUMP]);
        fr_size_fit(&ideal, FR_SLOT_WIRING, &result->best.items[FR_SLOT_WIRING]);
    }
    const fr_check_result *outline = fr_check_outline(request->scratch, &ideal);
    for (int i = 0; i < FR_STAGE_COUNT; i++) {
        fr_size_unmendable *worst = &result->unmendable[result->unmendable_count];
        bool found = false;
        for (size_t b = 0; b < outline->blend_count; b++) {
            const fr_blend_result *blend = &outline->blends[b];
            for (size_t s = 0; s < blend->stage_count; s++) {
                const fr_stage_result *stage = &blend->stages[s];
                if (stage->stage == (fr_stage)i && stage->verdict != FR_CLEAR &&
                    (!found || stage->use > worst->best_use)) {
                    *worst = (fr_size_unmendable){stage->stage, blend->ethanol, stage->use};
                    found = true;
                }
            }
        }
        result->unmendable_count += found ? 1 : 0;
    }
}

/* ---- the whole ---- */

static double count_combinations(const fr_options options[FR_SLOT_COUNT]) {
    double combinations = 1.0;
    for (int i = 0; i < FR_SLOT_COUNT; i++) {
        combinations *= (double)options[i].count;
    }
    return combinations;
}

static void find_choices(fr_search *search, const fr_goal *goal, const fr_size_request *request,
                         fr_size_result *result) {
    size_t wanted = request->top > 0 ? request->top : 1;
    wanted = wanted < FR_SIZE_TOP_MAX ? wanted : FR_SIZE_TOP_MAX;
    result->choice_count =
        fr_search_best(search, goal, request->budget, wanted, result->choices);
    for (size_t i = 0; i < result->choice_count; i++) {
        fr_search_describe(search, goal, &result->choices[i]);
    }
}

/* The most power for at most a price: the end of the front up to there. */
static bool most_power(fr_search *search, const fr_goal *goal, double price_most,
                       fr_size_choice *most) {
    fr_size_choice front[FR_SIZE_FRONT_MAX];
    bool whole;
    const size_t count = find_front(search, price_most, FR_SIZE_FRONT_MAX, front, &whole);
    if (count == 0) {
        return false;
    }
    *most = front[count - 1];
    fr_search_describe(search, goal, most);
    return true;
}

/* Something cheaper than the first choice, and what it loses. */
static void find_compromise(fr_search *search, const fr_goal *goal, fr_size_result *result) {
    static const double CHEAPER = 1.0 - 1e-6;
    if (result->choice_count > 0 && result->choices[0].price > 0.0) {
        result->has_compromise = most_power(search, goal, CHEAPER * result->choices[0].price,
                                            &result->compromise);
    }
}

fr_status fr_size_run(const fr_size_request *request, fr_size_result *result) {
    fr_options options[FR_SLOT_COUNT] = {{0, NULL}};
    *result = (fr_size_result){0};
    fr_status status = fr_options_make(request, options, result);
    fr_search *search = status == FR_OK ? fr_search_open(request, options) : NULL;
    if (search == NULL) {
        fr_options_close(options);
        return FR_NO_MEMORY;
    }
    const fr_goal goal = {1.0, true, request->accepts, request->accepts_context};
    fr_witness witness = {0};
    result->holds = fr_stages_hold(request->scratch, request->build, &goal, fr_stages_of_parts(),
                                   &witness);
    result->combinations = count_combinations(options);
    find_choices(search, &goal, request, result);
    if (!request->choices_only) {
        find_compromise(search, &goal, result);
    }
    if (request->front) {
        result->front_count = find_front(search, request->budget, FR_SIZE_FRONT_MAX,
                                         result->front, &result->front_whole);
    }
    if (!request->choices_only && (result->choice_count == 0 || isfinite(request->budget))) {
        result->has_best = most_power(search, &goal, request->budget, &result->best);
    }
    if (result->choice_count == 0 && !isfinite(request->budget)) { /* else money is wanting */
        find_unmendable(request, options, result);
    }
    result->evaluated = fr_search_looked(search);
    result->proven = true;
    fr_search_close(search);
    fr_options_close(options);
    return FR_OK;
}
