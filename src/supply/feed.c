/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "supply/feed.h"

#include <math.h>

#include "fuelreach/supply.h"
#include "quantity/root.h"
#include "supply/pumps.h"

static const double FLOW_TOLERANCE_M3_S = 1e-15; /* some 1e-8 of a litre an hour */

double fr_feed_set_pressure(const fr_build *build, double manifold_abs_pa) {
    const double reference =
        build->feed.manifold_referenced ? manifold_abs_pa - build->site.air_pressure_pa : 0.0;
    return build->feed.pressure_gauge_pa + reference;
}

double fr_feed_bypass(const fr_feed *feed) {
    return feed->regulation == FR_ELECTRONIC_RETURNLESS ? 0.0 : feed->minimum_bypass_m3_s;
}

double fr_feed_side_loss(const fr_feed_side *side, double flow_m3_s) {
    return fr_feed_loss(&side->build->feed, flow_m3_s, side->density_kg_m3, side->viscosity_pa_s);
}

static double pumps_at(const fr_feed_side *side, double rise_pa) {
    return fr_pumps_flow(&side->build->pumps, side->build->site.supply_voltage_v, rise_pa);
}

typedef struct fr_available_search {
    const fr_feed_side *side;
    double set_pa;
} fr_available_search;

double fr_feed_full_rise(const fr_feed_side *side, double set_gauge_pa, double available_m3_s) {
    if (side->build->feed.regulation == FR_MECHANICAL_RETURNLESS) {
        return set_gauge_pa;
    }
    return set_gauge_pa +
           fr_feed_side_loss(side, available_m3_s - side->build->feed.jet_pump_m3_s);
}

static double delivered_over(double flow_m3_s, const void *context) {
    const fr_available_search *search = context;
    return pumps_at(search->side, fr_feed_full_rise(search->side, search->set_pa, flow_m3_s)) -
           flow_m3_s;
}

/* ---- a first answer from the walk ---- */

fr_feed_side fr_feed_side_make(const fr_build *build, double density_kg_m3, double viscosity_pa_s,
                               bool walk) {
    static const double WALKED_PA = 6e5; /* from the set pressure without any manifold pressure */
    fr_feed_side side = {.build = build,
                         .density_kg_m3 = density_kg_m3,
                         .viscosity_pa_s = viscosity_pa_s,
                         .walked = walk};
    const double first = fr_feed_set_pressure(build, 0.0);
    for (int i = 0; walk && i < FR_FEED_WALK_STEPS; i++) {
        const double rise = first + WALKED_PA * i / (FR_FEED_WALK_STEPS - 1);
        const double flow = pumps_at(&side, rise);
        const double loss = fr_feed_full_rise(&side, rise, flow) - rise;
        side.walk.rise_pa[i] = rise;
        side.walk.flow_m3_s[i] = flow;
        side.walk.loss_pa[i] = loss;
        side.walk.set_pa[i] = rise - loss;
    }
    return side;
}

/* Quadratic through three steps of the walk. */
static double walk_flow(const fr_feed_walk *walk, size_t i, double set_pa) {
    const double *x = walk->set_pa + i, *y = walk->flow_m3_s + i;
    const double slope = (y[1] - y[0]) / (x[1] - x[0]);
    const double next = (y[2] - y[1]) / (x[2] - x[1]);
    return y[0] + (set_pa - x[0]) * (slope + (set_pa - x[1]) * (next - slope) / (x[2] - x[0]));
}

/* Two steps from the walk's answer; NAN where they do not settle (a kink, a relief valve). */
static double available_by_walk(const fr_feed_side *side, double set_gauge_pa) {
    static const double SETTLED = 1e-6; /* the error left is of the order of its square */
    const fr_feed_walk *walk = &side->walk;
    size_t i = 0;
    while (i + 3 < FR_FEED_WALK_STEPS && set_gauge_pa > walk->set_pa[i + 1]) {
        i++;
    }
    if (set_gauge_pa < walk->set_pa[0] || set_gauge_pa > walk->set_pa[FR_FEED_WALK_STEPS - 1]) {
        return NAN;
    }
    const fr_available_search search = {side, set_gauge_pa};
    /* slope of pumps(set + Loss(A)) - A over A: that of the pumps times that of the loss, less 1 */
    const double slope =
        (walk->loss_pa[i + 1] - walk->loss_pa[i]) / (walk->rise_pa[i + 1] - walk->rise_pa[i]) - 1.0;
    const double first = walk_flow(walk, i, set_gauge_pa);
    const double over_first = delivered_over(first, &search);
    const double second = first - over_first / slope;
    if (second == first) {
        return first;
    }
    const double over_second = delivered_over(second, &search);
    const double secant = (over_second - over_first) / (second - first);
    const double third = second - over_second / secant;
    return fabs(third - second) <= SETTLED * second && third > side->build->feed.jet_pump_m3_s
               ? third
               : NAN;
}

double fr_feed_available(const fr_feed_side *side, double set_gauge_pa) {
    if (side->walked) {
        const double flow = available_by_walk(side, set_gauge_pa);
        if (!isnan(flow)) {
            return flow;
        }
    }
    const double at_set = pumps_at(side, set_gauge_pa);
    const double jet = side->build->feed.jet_pump_m3_s;
    if (side->build->feed.regulation == FR_MECHANICAL_RETURNLESS || at_set <= jet) {
        return at_set;
    }
    /* Delivering `at_set` loses more on the way than the true flow does, so what the pumps give
     * against that loss is less than the true flow: a narrow bracket. */
    const fr_available_search search = {side, set_gauge_pa};
    const double over_most = delivered_over(at_set, &search);
    const double least = at_set + over_most > jet ? at_set + over_most : jet;
    return fr_root(delivered_over, &search, least, delivered_over(least, &search), at_set,
                   over_most, FLOW_TOLERANCE_M3_S);
}

double fr_feed_held(const fr_feed_side *side, double set_gauge_pa, double available_m3_s,
                    double demand_m3_s) {
    const fr_build *build = side->build;
    const bool at_tank = build->feed.regulation == FR_MECHANICAL_RETURNLESS;
    const double pumped = demand_m3_s + build->feed.jet_pump_m3_s;
    const bool enough = pumped <= available_m3_s;
    if (enough && !at_tank) {
        return set_gauge_pa > 0.0 ? set_gauge_pa : 0.0;
    }
    const double loss = fr_feed_side_loss(side, demand_m3_s);
    double held = set_gauge_pa - loss;
    if (!enough) {
        const double rise_max = at_tank ? set_gauge_pa : set_gauge_pa + loss;
        held = fr_pumps_rise(&build->pumps, build->site.supply_voltage_v, pumped,
                             rise_max > 0.0 ? rise_max : 0.0) -
               loss;
    }
    return held > 0.0 ? held : 0.0;
}

fr_sag fr_feed_sag(const fr_feed_side *side, double rise_pa) {
    const double demand = pumps_at(side, rise_pa) - side->build->feed.jet_pump_m3_s;
    return (fr_sag){demand, rise_pa - fr_feed_side_loss(side, demand)};
}

double fr_feed_working_rise(const fr_feed_side *side, double set_gauge_pa, double available_m3_s,
                            double demand_m3_s) {
    return side->build->feed.regulation == FR_ELECTRONIC_RETURNLESS
               ? set_gauge_pa + fr_feed_side_loss(side, demand_m3_s)
               : fr_feed_full_rise(side, set_gauge_pa, available_m3_s);
}
