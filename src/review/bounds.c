/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "review/odds.h"

static const double STEP = 1e-2; /* of a standard deviation, for the gradient */
/* Feed pressure within so much of what was to be held counts as held (common practice). */
static const double FEED_HELD_SHARE = 0.03;

/* A bound leaves so many deviations of a node's fuel balance: the tightest of many nodes is tight
 * partly by chance. */
static const double SLACK = 2.0;

/* Where a bound is tightest, and how far beyond it the values are there. */
typedef struct place_found {
    bool any;
    size_t pull, node;
    double beyond;
} place_found;

static void consider(place_found *found, size_t pull, size_t node, double beyond) {
    if (isnan(beyond) || (found->any && beyond <= found->beyond))
        return;
    *found = (place_found){true, pull, node, beyond};
}

static bool feed_held(const fr_build *build, const fr_pull_node *node,
                      const fr_node_figures *figures) {
    double set = build->feed.pressure_gauge_pa;
    if (build->feed.manifold_referenced)
        set += figures->manifold_abs_pa - build->site.air_pressure_pa;
    return node->value[FR_CHANNEL_FEED_PRESSURE].mean >=
           figures->predicted[FR_CHANNEL_FEED_PRESSURE] - FEED_HELD_SHARE * set;
}

static double beyond_of(fr_bound_id id, const fr_pull_node *node,
                        const fr_node_figures *figures) {
    const double slack = SLACK * fr_balance_sigma(node);
    switch (id) {
    case FR_BOUND_LIFT_HELD:
        return figures->lift_gap - slack;
    case FR_BOUND_HIGH_HELD:
        return figures->high_gap - slack;
    default:
        return -figures->high_gap - slack;
    }
}

/* Does the node say this? */
static bool tells(const fr_problem *problem, fr_bound_id id, size_t pull, size_t node,
                  const fr_node_figures *figures) {
    const fr_pull_node *values = &problem->pulls[pull].nodes[node];
    if (id == FR_BOUND_LIFT_HELD)
        return !isnan(values->value[FR_CHANNEL_FEED_PRESSURE].mean) &&
               feed_held(problem->build, values, figures);
    return fr_rail_state_of(problem, pull, node, figures) ==
           (id == FR_BOUND_HIGH_HELD ? FR_RAIL_HELD : FR_RAIL_GONE);
}

/* The tightest node of a bound at some deviations. */
static place_found tightest(const fr_problem *problem, const double *deviations, fr_bound_id id) {
    place_found found = {0};
    for (size_t pull = 0; pull < problem->pull_count; pull++) {
        fr_node_figures figures[FR_REVIEW_NODES_MAX];
        fr_problem_figures(problem, deviations, pull, figures);
        for (size_t node = 0; node < problem->pulls[pull].node_count; node++)
            if (tells(problem, id, pull, node, &figures[node]))
                consider(&found, pull, node,
                         beyond_of(id, &problem->pulls[pull].nodes[node], &figures[node]));
    }
    return found;
}

static void gradient_at(const fr_problem *problem, const double *at, size_t count, fr_bound_id id,
                        const place_found *found, double *gradient) {
    double moved[FR_REVIEW_PARAMETERS_MAX] = {0};
    memcpy(moved, at, count * sizeof *moved);
    for (size_t j = 0; j < count; j++) {
        fr_node_figures figures[FR_REVIEW_NODES_MAX];
        moved[j] = at[j] + STEP;
        fr_problem_figures(problem, moved, found->pull, figures);
        gradient[j] =
            (beyond_of(id, &problem->pulls[found->pull].nodes[found->node], &figures[found->node]) -
             found->beyond) /
            STEP;
        moved[j] = at[j];
    }
}

/* The likeliest place on the bound: from the best values along the covariance. */
static void project(const fr_fit *fit, const fr_bound *bound, double *at) {
    double along[FR_REVIEW_PARAMETERS_MAX];
    double spread = 0.0;
    for (size_t i = 0; i < fit->count; i++) {
        along[i] = 0.0;
        for (size_t j = 0; j < fit->count; j++)
            along[i] += fit->covariance[i * fit->count + j] * bound->gradient[j];
        spread += along[i] * bound->gradient[i];
    }
    for (size_t i = 0; i < fit->count; i++)
        at[i] = fit->deviations[i] - (spread > 0.0 ? bound->offset * along[i] / spread : 0.0);
}

/* Where the best values lie beyond a bound it is taken as it runs near the likeliest place on it,
 * not as seen from afar. */
static fr_bound find_bound(const fr_problem *problem, const fr_fit *fit, fr_bound_id id) {
    fr_bound bound = {0};
    place_found found = tightest(problem, fit->deviations, id);
    bound.any = found.any;
    if (!found.any)
        return bound;
    bound.offset = found.beyond;
    gradient_at(problem, fit->deviations, fit->count, id, &found, bound.gradient);
    if (bound.offset <= 0.0)
        return bound;
    double at[FR_REVIEW_PARAMETERS_MAX] = {0};
    project(fit, &bound, at);
    found = tightest(problem, at, id);
    gradient_at(problem, at, fit->count, id, &found, bound.gradient);
    bound.offset = found.beyond;
    for (size_t j = 0; j < fit->count; j++)
        bound.offset += bound.gradient[j] * (fit->deviations[j] - at[j]);
    return bound;
}

static void note_held(const fr_problem *problem, const fr_fit *fit, fr_bounds *bounds) {
    bounds->lift_all_held = bounds->high_all_held = true;
    for (size_t pull = 0; pull < problem->pull_count; pull++) {
        fr_node_figures figures[FR_REVIEW_NODES_MAX];
        fr_problem_figures(problem, fit->deviations, pull, figures);
        for (size_t node = 0; node < problem->pulls[pull].node_count; node++) {
            const fr_pull_node *values = &problem->pulls[pull].nodes[node];
            const fr_rail_state rail = fr_rail_state_of(problem, pull, node, &figures[node]);
            if (!isnan(values->value[FR_CHANNEL_FEED_PRESSURE].mean) &&
                !feed_held(problem->build, values, &figures[node]))
                bounds->lift_all_held = false;
            if (rail == FR_RAIL_SHORT || rail == FR_RAIL_GONE)
                bounds->high_all_held = false;
        }
    }
}

fr_bounds fr_bounds_find(const fr_problem *problem, const fr_fit *fit) {
    fr_bounds bounds;
    note_held(problem, fit, &bounds);
    for (int id = 0; id < FR_BOUND_COUNT; id++)
        bounds.of[id] = find_bound(problem, fit, (fr_bound_id)id);
    return bounds;
}
