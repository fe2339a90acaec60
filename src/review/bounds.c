/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "review/odds.h"

static const double STEP = 1e-2; /* of a standard deviation, for the gradient */
/* Feed pressure within so much of what was to be held counts as held (common practice). */
static const double FEED_HELD_SHARE = 0.03;

/* Where a bound is tightest so far. */
typedef struct place_found {
    bool any;
    size_t pull, node;
    double gap;
} place_found;

static void consider(place_found *found, size_t pull, size_t node, double gap) {
    if (isnan(gap) || (found->any && gap <= found->gap))
        return;
    *found = (place_found){true, pull, node, gap};
}

static bool feed_held(const fr_build *build, const fr_pull_node *node,
                      const fr_node_figures *figures) {
    double set = build->feed.pressure_gauge_pa;
    if (build->feed.manifold_referenced)
        set += figures->manifold_abs_pa - build->site.air_pressure_pa;
    return node->value[FR_CHANNEL_FEED_PRESSURE].mean >=
           figures->predicted[FR_CHANNEL_FEED_PRESSURE] - FEED_HELD_SHARE * set;
}

static double gap_at(const fr_problem *problem, const double *deviations, const place_found *found,
                     bool high) {
    fr_node_figures figures[FR_REVIEW_NODES_MAX];
    fr_problem_figures(problem, deviations, found->pull, figures);
    return high ? figures[found->node].high_gap : figures[found->node].lift_gap;
}

static fr_bound bound_at(const fr_problem *problem, const fr_fit *fit, const place_found *found,
                         bool high) {
    fr_bound bound = {.any = found->any, .gap = found->gap};
    double moved[FR_REVIEW_PARAMETERS_MAX] = {0};
    if (!found->any)
        return bound;
    memcpy(moved, fit->deviations, fit->count * sizeof *moved);
    for (size_t j = 0; j < fit->count; j++) {
        moved[j] = fit->deviations[j] + STEP;
        bound.gradient[j] = (gap_at(problem, moved, found, high) - found->gap) / STEP;
        moved[j] = fit->deviations[j];
    }
    return bound;
}

fr_bounds fr_bounds_find(const fr_problem *problem, const fr_fit *fit) {
    fr_bounds bounds = {.lift_all_held = true, .high_all_held = true};
    place_found lift = {0};
    place_found high = {0};
    for (size_t pull = 0; pull < problem->pull_count; pull++) {
        const fr_used_pull *used = &problem->pulls[pull];
        fr_node_figures figures[FR_REVIEW_NODES_MAX];
        fr_problem_figures(problem, fit->deviations, pull, figures);
        for (size_t node = 0; node < used->node_count; node++) {
            const fr_pull_node *values = &used->nodes[node];
            const double rail = values->value[FR_CHANNEL_RAIL_PRESSURE].mean;
            if (!isnan(values->value[FR_CHANNEL_FEED_PRESSURE].mean)) {
                if (feed_held(problem->build, values, &figures[node]))
                    consider(&lift, pull, node, figures[node].lift_gap);
                else
                    bounds.lift_all_held = false;
            }
            if (isnan(rail) || isnan(figures[node].high_gap))
                continue;
            if (fr_rail_not_held(rail, figures[node].rail_command_pa))
                bounds.high_all_held = false;
            else
                consider(&high, pull, node, figures[node].high_gap);
        }
    }
    bounds.lift = bound_at(problem, fit, &lift, false);
    bounds.high = bound_at(problem, fit, &high, true);
    return bounds;
}
