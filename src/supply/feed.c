/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "supply/feed.h"

#include "fuelreach/check.h"
#include "quantity/root.h"
#include "supply/pumps.h"

static const double FLOW_TOLERANCE_M3_S = 1e-16; /* some 1e-9 of a litre an hour */

double fr_feed_set_pressure(const fr_build *build, double manifold_abs_pa) {
    const double reference =
        build->feed.manifold_referenced ? manifold_abs_pa - build->site.air_pressure_pa : 0.0;
    return build->feed.pressure_gauge_pa + reference;
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

double fr_feed_available(const fr_feed_side *side, double set_gauge_pa) {
    const double at_set = pumps_at(side, set_gauge_pa);
    const double jet = side->build->feed.jet_pump_m3_s;
    if (side->build->feed.regulation == FR_MECHANICAL_RETURNLESS || at_set <= jet) {
        return at_set;
    }
    const fr_available_search search = {side, set_gauge_pa};
    const double over_most = delivered_over(at_set, &search);
    return fr_root(delivered_over, &search, jet, at_set - jet, at_set, over_most,
                   FLOW_TOLERANCE_M3_S);
}

double fr_feed_held(const fr_feed_side *side, double set_gauge_pa, double available_m3_s,
                    double demand_m3_s) {
    const fr_build *build = side->build;
    const bool at_tank = build->feed.regulation == FR_MECHANICAL_RETURNLESS;
    const double loss = fr_feed_side_loss(side, demand_m3_s);
    const double pumped = demand_m3_s + build->feed.jet_pump_m3_s;
    double held;
    if (pumped <= available_m3_s) {
        held = at_tank ? set_gauge_pa - loss : set_gauge_pa;
    } else {
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
