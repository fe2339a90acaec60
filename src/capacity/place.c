/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "capacity/place.h"

#include <math.h>

#include "quantity/root.h"

/* ---- one blend ---- */

static bool set_follows_engine(const fr_build *build) {
    const bool manifold_is_constant =
        build->engine.aspiration == FR_NATURAL && build->engine.boost_gauge_pa.count == 1;
    return build->feed.manifold_referenced && !manifold_is_constant;
}

fr_side fr_side_make(const fr_build *build, double ethanol) {
    const fr_site *site = &build->site;
    fr_side side = {.build = build, .need = fr_need_on_blend(build, ethanol)};
    const fr_blend *blend = &side.need.blend;
    side.set_is_constant = !set_follows_engine(build);
    side.feed = fr_feed_side_make(build, fr_blend_density(blend, site->feed_temperature_c),
                                  fr_blend_viscosity(blend, site->feed_temperature_c),
                                  !side.set_is_constant);
    side.tank_vapour_pa = fr_blend_vapour_pressure(blend, site->tank_temperature_c);
    side.vapour_pa = fr_blend_vapour_pressure(blend, build->direct.present
                                                         ? site->hp_inlet_temperature_c
                                                         : site->feed_temperature_c);
    if (build->direct.present) {
        side.rail_density_kg_m3 = fr_blend_density(blend, site->rail_temperature_c);
        side.hp_density_kg_m3 = fr_blend_density(blend, site->hp_inlet_temperature_c);
        side.hp_bulk_modulus_pa = fr_blend_bulk_modulus(blend, site->hp_inlet_temperature_c);
    }
    if (side.set_is_constant) {
        const double manifold = site->air_pressure_pa + fr_curve_at(&build->engine.boost_gauge_pa, 0) +
                                build->engine.manifold_shift_pa;
        const double set = fr_feed_set_pressure(build, manifold);
        side.constant_available_m3_s = fr_feed_available(&side.feed, set);
        side.constant_rise_pa =
            fr_feed_full_rise(&side.feed, set, side.constant_available_m3_s);
    }
    return side;
}

/* ---- one speed ---- */

static double lesser(double a, double b) {
    return a < b ? a : b;
}

fr_place fr_place_make(const fr_side *side, const fr_speed *speed) {
    const fr_build *build = side->build;
    fr_place place = {.side = side, .build = build, .speed = speed};
    place.demand = fr_demand_at(build, &side->need, speed);
    if (build->direct.present) {
        place.spray =
            fr_spray_at(&build->direct, speed->rpm, speed->window_deg, side->rail_density_kg_m3);
        place.high_pressure = fr_high_pressure_at(&build->direct, speed->rpm, speed->fill,
                                                  side->hp_density_kg_m3, side->hp_bulk_modulus_pa);
        place.rail_limit_pa = lesser(build->direct.injector_max_pa, build->direct.pump_max_pa);
        place.rail_command_pa = lesser(speed->rail_command_pa, place.rail_limit_pa);
    }
    return place;
}

double fr_place_flow(const fr_place *place, double times) {
    return times * place->demand.fuel_kg_s / place->side->feed.density_kg_m3;
}

double fr_place_set_pressure(const fr_place *place, double times) {
    return fr_feed_set_pressure(place->build, fr_manifold_at(place->build, &place->demand, times));
}

double fr_place_available(const fr_place *place, double times) {
    return place->side->set_is_constant
               ? place->side->constant_available_m3_s
               : fr_feed_available(&place->side->feed, fr_place_set_pressure(place, times));
}

/* ---- direct pressure ---- */

double fr_direct_pressure_excess(const fr_place *place, double cylinder_pa, double inlet_pa,
                                 double bound, double fuel_kg_s) {
    const double required =
        fr_spray_required(&place->build->direct, &place->spray, cylinder_pa, fuel_kg_s);
    if (isnan(required)) {
        return INFINITY;
    }
    /* The pressure that must be there for the required one to be `bound` of it. */
    const double there = required / bound;
    const double over_limit = (there - place->rail_limit_pa) / place->rail_limit_pa;
    double rail = lesser(there, place->rail_limit_pa);
    rail = rail > inlet_pa ? rail : inlet_pa;
    const double delivery = fr_high_pressure_delivery(&place->high_pressure, rail, inlet_pa);
    const double lacking = (fuel_kg_s - delivery) / place->demand.fuel_kg_s;
    return over_limit > lacking ? over_limit : lacking;
}

typedef struct fr_pass_search {
    const fr_place *place;
    double cylinder_pa, inlet_pa, bound;
} fr_pass_search;

static double excess_of_fuel(double fuel_kg_s, const void *context) {
    const fr_pass_search *search = context;
    return fr_direct_pressure_excess(search->place, search->cylinder_pa, search->inlet_pa,
                                     search->bound, fuel_kg_s);
}

double fr_direct_pressure_passes(const fr_place *place, double cylinder_pa, double inlet_pa,
                                 double bound, double fuel_max_kg_s) {
    const fr_pass_search search = {place, cylinder_pa, inlet_pa, bound};
    const double at_most = excess_of_fuel(fuel_max_kg_s, &search);
    if (at_most <= 0.0) {
        return fuel_max_kg_s;
    }
    const double at_none = excess_of_fuel(0.0, &search);
    if (!(at_none < 0.0) || isinf(at_most)) {
        return 0.0;
    }
    return fr_root(excess_of_fuel, &search, 0.0, at_none, fuel_max_kg_s, at_most,
                   1e-15 * place->demand.fuel_kg_s);
}

/* ---- share ---- */

/* The greatest direct fuel that keeps all three direct stages within their limits. */
static double automatic_direct_fuel(const fr_place *place, const fr_operating *op) {
    const fr_build *build = place->build;
    const double by_window = fr_spray_passed(&build->direct, &place->spray, op->cylinder_abs_pa,
                                             place->rail_command_pa,
                                             fr_build_limit(build, FR_STAGE_DIRECT_INJECTOR));
    const double by_pump =
        fr_build_limit(build, FR_STAGE_HIGH_PRESSURE_PUMP) *
        fr_high_pressure_delivery(&place->high_pressure, place->rail_command_pa, op->rail_abs_pa);
    const double most = lesser(lesser(by_window, by_pump), op->fuel_kg_s);
    return fr_direct_pressure_passes(place, op->cylinder_abs_pa, op->rail_abs_pa,
                                     fr_build_limit(build, FR_STAGE_DIRECT_PRESSURE), most);
}

static double direct_fuel(const fr_place *place, const fr_operating *op) {
    static const double LEAST_AUTOMATIC_SHARE = 0.01; /* common practice, no source */
    switch (place->build->share) {
    case FR_SHARE_DIRECT_ONLY:
        return op->fuel_kg_s;
    case FR_SHARE_CURVE:
        return op->fuel_kg_s * place->speed->direct_share;
    case FR_SHARE_AUTO: {
        const double fuel = automatic_direct_fuel(place, op);
        return fuel < LEAST_AUTOMATIC_SHARE * op->fuel_kg_s ? 0.0 : fuel;
    }
    case FR_SHARE_PORT_ONLY:
        break;
    }
    return 0.0;
}

/* ---- operating ---- */

static fr_operating asked_for(const fr_place *place, double times) {
    fr_operating op = {.times = times};
    op.fuel_kg_s = times * place->demand.fuel_kg_s;
    op.fuel_m3_s = fr_place_flow(place, times);
    op.manifold_abs_pa = fr_manifold_at(place->build, &place->demand, times);
    op.cylinder_abs_pa = fr_cylinder_pressure(op.manifold_abs_pa);
    op.set_gauge_pa = fr_feed_set_pressure(place->build, op.manifold_abs_pa);
    op.available_m3_s = NAN;
    return op;
}

static void settle(const fr_place *place, fr_operating *op, double rail_gauge_pa) {
    op->rail_gauge_pa = rail_gauge_pa > 0.0 ? rail_gauge_pa : 0.0;
    op->rail_abs_pa = op->rail_gauge_pa + place->build->site.air_pressure_pa;
    op->direct_fuel_kg_s = direct_fuel(place, op);
    op->port_fuel_kg_s = op->fuel_kg_s - op->direct_fuel_kg_s;
}

fr_operating fr_operate_at_rail(const fr_place *place, double times, double rail_gauge_pa) {
    fr_operating op = asked_for(place, times);
    settle(place, &op, rail_gauge_pa);
    return op;
}

fr_operating fr_operate(const fr_place *place, double times) {
    fr_operating op = asked_for(place, times);
    op.available_m3_s = place->side->set_is_constant
                            ? place->side->constant_available_m3_s
                            : fr_feed_available(&place->side->feed, op.set_gauge_pa);
    settle(place, &op,
           fr_feed_held(&place->side->feed, op.set_gauge_pa, op.available_m3_s, op.fuel_m3_s));
    return op;
}
