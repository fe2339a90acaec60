/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "capacity/capacity.h"

#include <math.h>

#include "quantity/root.h"
#include "supply/pumps.h"

static const double TIMES_TOLERANCE = 1e-12;
static const double RISE_TOLERANCE_PA = 1e-6;

/* ---- where sag begins ---- */

static double clip_at_zero(double x) {
    return x > 0.0 ? x : 0.0;
}

static double times_of_flow(const fr_place *place, double flow_m3_s) {
    return flow_m3_s * place->side->feed.density_kg_m3 / place->demand.fuel_kg_s;
}

/* The rail pressure that a rise over the pumps leaves, over the set pressure at the demand that it
 * carries: zero where sag begins. */
static double rail_over_set(double rise_pa, const void *context) {
    const fr_place *place = context;
    const fr_sag sag = fr_feed_sag(&place->side->feed, rise_pa);
    const double demand = clip_at_zero(sag.demand_m3_s);
    const double set = fr_place_set_pressure(place, times_of_flow(place, demand));
    const bool at_tank = place->build->feed.regulation == FR_MECHANICAL_RETURNLESS;
    return (at_tank ? rise_pa : rise_pa - fr_feed_side_loss(&place->side->feed, demand)) - set;
}

/* The set pressure follows the engine: one unknown, the rise over the pumps. */
static fr_sag_start moving_sag_start(const fr_place *place) {
    const double available = fr_place_available(place, 1.0);
    const double demand = clip_at_zero(available - place->build->feed.jet_pump_m3_s);
    const double times = times_of_flow(place, demand);
    const double most = fr_place_set_pressure(place, times > 1.0 ? times : 1.0) +
                        fr_feed_side_loss(&place->side->feed, demand);
    const double least = clip_at_zero(fr_place_set_pressure(place, 0.0));
    const double over_least = rail_over_set(least, place), over_most = rail_over_set(most, place);
    double rise = least;
    if (over_least < 0.0) {
        rise = over_most <= 0.0 ? most
                                : fr_root(rail_over_set, place, least, over_least, most, over_most,
                                          RISE_TOLERANCE_PA);
    }
    return (fr_sag_start){times_of_flow(place, fr_feed_sag(&place->side->feed, rise).demand_m3_s),
                          rise};
}

/* The pumps cannot hold the set pressure even with no demand: sag all the way from their rise at
 * the jet's flow alone. */
static fr_sag_start always_sagging(const fr_place *place) {
    const fr_build *build = place->build;
    const double set = clip_at_zero(fr_place_set_pressure(place, 0.0));
    return (fr_sag_start){0.0, fr_pumps_rise(&build->pumps, build->site.supply_voltage_v,
                                             build->feed.jet_pump_m3_s, set)};
}

fr_sag_start fr_sag_start_find(const fr_place *place) {
    fr_sag_start start;
    if (place->side->set_is_constant) {
        const double available = place->side->constant_available_m3_s;
        start.times = times_of_flow(place, available - place->build->feed.jet_pump_m3_s);
        start.rise_pa = place->side->constant_rise_pa;
    } else {
        start = moving_sag_start(place);
    }
    return start.times > 0.0 ? start : always_sagging(place);
}

/* ---- excess along one unknown ---- */

typedef struct fr_search {
    const fr_place *place;
    fr_stage stage;
    double bound;
} fr_search;

/* A solver needs finite figures; far beyond is far beyond. */
static double tame(double excess) {
    static const double FAR = 1e3;
    return excess < FAR ? excess : FAR;
}

/* The set pressure is held. */
static double excess_held(double times, const void *context) {
    const fr_search *search = context;
    const fr_place *place = search->place;
    double rail = fr_place_set_pressure(place, times);
    if (place->build->feed.regulation == FR_MECHANICAL_RETURNLESS) {
        rail -= fr_feed_side_loss(&place->side->feed, fr_place_flow(place, times));
    }
    const fr_operating op = fr_operate_at_rail(place, times, rail);
    return tame(fr_stage_excess(place, &op, search->stage, search->bound));
}

/* The pumps sag: a rise over them tells demand and rail pressure together. */
static double excess_sagging(double rise_pa, const void *context) {
    const fr_search *search = context;
    const fr_place *place = search->place;
    const fr_sag sag = fr_feed_sag(&place->side->feed, rise_pa);
    const double times = times_of_flow(place, clip_at_zero(sag.demand_m3_s));
    const fr_operating op = fr_operate_at_rail(place, times, sag.rail_gauge_pa);
    return tame(fr_stage_excess(place, &op, search->stage, search->bound));
}

/* No rail pressure is left. */
static double excess_at_no_rail(double times, const void *context) {
    const fr_search *search = context;
    const fr_operating op = fr_operate_at_rail(search->place, times, 0.0);
    return tame(fr_stage_excess(search->place, &op, search->stage, search->bound));
}

/* The pumps and the rail are asked at every try. */
static double excess_asked(double times, const void *context) {
    const fr_search *search = context;
    const fr_operating op = fr_operate(search->place, times);
    return tame(fr_stage_excess(search->place, &op, search->stage, search->bound));
}

/* Stages before the rail: the pumps are asked at every try. */
static double excess_before_rail(double times, const void *context) {
    const fr_search *search = context;
    const fr_place *place = search->place;
    const double set = fr_place_set_pressure(place, times);
    const fr_operating op = {
        .times = times,
        .fuel_kg_s = times * place->demand.fuel_kg_s,
        .fuel_m3_s = fr_place_flow(place, times),
        .set_gauge_pa = set,
        .available_m3_s = fr_place_available(place, times),
    };
    return tame(fr_stage_excess(place, &op, search->stage, search->bound));
}

/* Crossing of a rising `excess` between `from` (within) and `to`; INFINITY when `to` is within. */
static double crossing_above(fr_function *excess, const fr_search *search, double from,
                             double excess_from, double to) {
    const double excess_to = excess(to, search);
    return excess_to <= 0.0
               ? INFINITY
               : fr_root(excess, search, from, excess_from, to, excess_to, TIMES_TOLERANCE);
}

/* Where the set pressure follows the engine a stage may be beyond with no fuel and again with much,
 * and within the bound between: the greatest of some steps below `to` that is within; 0: none. */
static double within_below(fr_function *excess, const fr_search *search, double to) {
    enum { STEPS = 24 };
    for (int i = STEPS - 1; i > 0 && !search->place->side->set_is_constant; i--) {
        const double times = to * i / STEPS;
        if (excess(times, search) <= 0.0) {
            return times;
        }
    }
    return 0.0;
}

/* Crossing between no fuel and `to` (beyond); 0 when beyond all the way. */
static double crossing_below(fr_function *excess, const fr_search *search, double to,
                             double excess_to) {
    const double excess_none = excess(FR_TIMES_NONE, search);
    if (excess_none <= 0.0) {
        return fr_root(excess, search, FR_TIMES_NONE, excess_none, to, excess_to, TIMES_TOLERANCE);
    }
    const double within = within_below(excess, search, to);
    return within > 0.0 ? fr_root(excess, search, within, excess(within, search), to, excess_to,
                                  TIMES_TOLERANCE)
                        : 0.0;
}

/* ---- stages before the rail ---- */

static double lift_at_constant_set(const fr_place *place, double bound) {
    const fr_feed *feed = &place->build->feed;
    const double flow = bound * place->side->constant_available_m3_s - fr_feed_bypass(feed) -
                        feed->jet_pump_m3_s;
    const double times = times_of_flow(place, flow);
    return times <= 0.0 ? 0.0 : times > FR_TIMES_MAX ? INFINITY : times;
}

static double times_before_rail(const fr_search *search, double excess_at_demand) {
    const fr_place *place = search->place;
    if (search->stage == FR_STAGE_LIFT_PUMP && place->side->set_is_constant) {
        return lift_at_constant_set(place, search->bound);
    }
    const bool follows_fuel = search->stage != FR_STAGE_PUMP_INLET &&
                              (!place->side->set_is_constant ||
                               place->build->feed.regulation == FR_ELECTRONIC_RETURNLESS);
    if (!follows_fuel) {
        return excess_at_demand > 0.0 ? 0.0 : INFINITY;
    }
    return excess_at_demand > 0.0
               ? crossing_below(excess_before_rail, search, 1.0, tame(excess_at_demand))
               : crossing_above(excess_before_rail, search, 1.0, excess_at_demand, FR_TIMES_MAX);
}

/* ---- stages behind the rail ---- */

static double times_beyond_free_flow(const fr_search *search, double excess_at_no_rise) {
    const double demand = clip_at_zero(fr_feed_sag(&search->place->side->feed, 0.0).demand_m3_s);
    const double from = times_of_flow(search->place, demand);
    return from >= FR_TIMES_MAX ? INFINITY
                                : crossing_above(excess_at_no_rail, search, from,
                                                 excess_at_no_rise, FR_TIMES_MAX);
}

static double times_sagging(const fr_search *search, const fr_sag_start *sag,
                            double excess_at_start) {
    const double excess_at_no_rise = excess_sagging(0.0, search);
    if (excess_at_no_rise <= 0.0) {
        return times_beyond_free_flow(search, excess_at_no_rise);
    }
    const double rise = fr_root(excess_sagging, search, sag->rise_pa, excess_at_start, 0.0,
                                excess_at_no_rise, RISE_TOLERANCE_PA);
    const fr_sag at = fr_feed_sag(&search->place->side->feed, rise);
    const double times = times_of_flow(search->place, clip_at_zero(at.demand_m3_s));
    return times > FR_TIMES_MAX ? INFINITY : times;
}

/* An open relief valve holds its pump at one rise whatever the flow, so that there a rise does not
 * tell the flow, and the rail has to be asked. It opens where sag begins or not at all: sag only
 * lowers the rise, and no pump of a series has more than the whole. */
static bool relief_opens(const fr_pumps *pumps, const fr_sag_start *sag) {
    for (size_t i = 0; i < pumps->kind_count; i++) {
        const double relief = pumps->kinds[i].relief_pa;
        if (relief > 0.0 && (sag->times <= 0.0 || relief <= sag->rise_pa * (1.0 + 1e-9))) {
            return true;
        }
    }
    return false;
}

static double times_with_relief(const fr_search *search, double excess_at_demand) {
    return excess_at_demand > 0.0
               ? crossing_below(excess_asked, search, 1.0, tame(excess_at_demand))
               : crossing_above(excess_asked, search, 1.0, excess_at_demand, FR_TIMES_MAX);
}

static double times_behind_rail(const fr_search *search, double excess_at_demand,
                                const fr_sag_start *sag) {
    if (relief_opens(&search->place->build->pumps, sag)) {
        return times_with_relief(search, excess_at_demand);
    }
    const double held_to = sag->times < FR_TIMES_MAX ? sag->times : FR_TIMES_MAX;
    if (held_to > 1.0 && excess_at_demand > 0.0) {
        return crossing_below(excess_held, search, 1.0, tame(excess_at_demand));
    }
    const double excess_there = excess_held(held_to, search);
    if (excess_there > 0.0) {
        return held_to > 1.0 ? fr_root(excess_held, search, 1.0, excess_at_demand, held_to,
                                       excess_there, TIMES_TOLERANCE)
                             : crossing_below(excess_held, search, held_to, excess_there);
    }
    return sag->times >= FR_TIMES_MAX ? INFINITY : times_sagging(search, sag, excess_there);
}

double fr_capacity_times(const fr_place *place, const fr_operating *at_demand,
                         const fr_sag_start *sag, fr_stage stage, double bound) {
    const fr_search search = {place, stage, bound};
    const double excess = fr_stage_excess(place, at_demand, stage, bound);
    const double times = fr_stage_table[stage].looks_at_rail
                             ? times_behind_rail(&search, excess, sag)
                             : times_before_rail(&search, excess);
    return times > FR_TIMES_NONE ? times : 0.0; /* a search may end a hair above none */
}
