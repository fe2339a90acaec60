/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "capacity/stages.h"

#include <math.h>
#include <string.h>

#include "supply/port.h"
#include "supply/pumps.h"

/* ---- which stages a build has ---- */

static bool always(const fr_build *build) {
    (void)build;
    return true;
}
static bool with_fuse(const fr_build *build) {
    return build->pumps.fuse_a > 0.0;
}
static bool with_port(const fr_build *build) {
    return build->port.present;
}
static bool with_direct(const fr_build *build) {
    return build->direct.present;
}

/* ---- low-pressure side ---- */

static double lift_needed(const fr_place *place, const fr_operating *op) {
    const fr_feed *feed = &place->build->feed;
    return op->fuel_m3_s + fr_feed_bypass(feed) + feed->jet_pump_m3_s;
}

static double lift_pump_use(const fr_place *place, const fr_operating *op) {
    return op->available_m3_s > 0.0 ? lift_needed(place, op) / op->available_m3_s : INFINITY;
}

double fr_circuit_current(const fr_place *place, const fr_operating *op, fr_pump_state *first) {
    const fr_build *build = place->build;
    const double rise = fr_feed_working_rise(&place->side->feed, op->set_gauge_pa,
                                             op->available_m3_s, op->fuel_m3_s);
    fr_pump_share shares[FR_PUMP_KINDS_MAX];
    fr_pumps_states(&build->pumps, build->site.supply_voltage_v, rise, shares);
    double greatest = 0.0;
    for (size_t i = 0; i < build->pumps.kind_count; i++) {
        const double current = shares[i].state.current_a;
        greatest = current > greatest ? current : greatest;
    }
    if (first != NULL) {
        *first = shares[0].state;
    }
    return greatest;
}

static double pump_circuit_use(const fr_place *place, const fr_operating *op) {
    return fr_circuit_current(place, op, NULL) / place->build->pumps.fuse_a;
}

static double pump_inlet_use(const fr_place *place, const fr_operating *op) {
    (void)op;
    return place->side->tank_vapour_pa /
           (place->build->site.air_pressure_pa - place->build->feed.strainer_loss_pa);
}

static double feed_pressure_use(const fr_place *place, const fr_operating *op) {
    const fr_build *build = place->build;
    double use = 0.0;
    if (build->direct.present) {
        use = op->rail_gauge_pa > 0.0 ? build->direct.minimum_inlet_gauge_pa / op->rail_gauge_pa
                                      : INFINITY;
    }
    if (build->port.present) {
        /* 10 % of sag is 5 % lean where the calibration does not see rail pressure. */
        static const double SAG_ALLOWED = 0.10;
        const double sag = (op->set_gauge_pa - op->rail_gauge_pa) /
                           (SAG_ALLOWED * build->feed.pressure_gauge_pa);
        use = sag > use ? sag : use;
    }
    return use;
}

static double vapour_use(const fr_place *place, const fr_operating *op) {
    static const double MARGIN_PA = 1e5; /* common practice, no source */
    return (place->side->vapour_pa + MARGIN_PA) / op->rail_abs_pa;
}

/* ---- port ---- */

static double port_injector_use(const fr_place *place, const fr_operating *op) {
    const fr_build *build = place->build;
    const fr_port_state state = fr_port_at(
        &build->port, build->site.supply_voltage_v, place->side->feed.density_kg_m3,
        op->rail_gauge_pa, build->site.air_pressure_pa, op->manifold_abs_pa, op->port_fuel_kg_s,
        place->speed->cycle_s);
    return isnan(state.duty) ? INFINITY : state.duty;
}

/* ---- direct ---- */

static double direct_injector_use(const fr_place *place, const fr_operating *op) {
    if (!(op->direct_fuel_kg_s > 0.0)) {
        return 0.0;
    }
    const double angle = fr_spray_angle(&place->build->direct, &place->spray, op->cylinder_abs_pa,
                                        place->rail_command_pa, op->direct_fuel_kg_s);
    return isnan(angle) ? INFINITY : angle / place->spray.window_deg;
}

static double high_pressure_pump_use(const fr_place *place, const fr_operating *op) {
    if (!(op->direct_fuel_kg_s > 0.0)) {
        return 0.0;
    }
    const double delivery = fr_high_pressure_delivery(&place->high_pressure,
                                                      place->rail_command_pa, op->rail_abs_pa);
    return delivery > 0.0 ? op->direct_fuel_kg_s / delivery : INFINITY;
}

double fr_direct_available(const fr_place *place, const fr_operating *op) {
    return fr_high_pressure_available(&place->high_pressure, op->direct_fuel_kg_s, op->rail_abs_pa,
                                      place->rail_limit_pa);
}

static double direct_pressure_use(const fr_place *place, const fr_operating *op) {
    if (!(op->direct_fuel_kg_s > 0.0)) {
        return 0.0;
    }
    const double required = fr_spray_required(&place->build->direct, &place->spray,
                                              op->cylinder_abs_pa, op->direct_fuel_kg_s);
    if (isnan(required)) {
        return INFINITY;
    }
    const double available = fr_direct_available(place, op);
    if (!isnan(available)) {
        return required / available;
    }
    /* No pressure passes the fuel. Large injectors may need less than the feed pressure, and the
     * pump is short all the same: never less than what it lacks even there. */
    const double delivery = fr_high_pressure_delivery(&place->high_pressure, op->rail_abs_pa,
                                                      op->rail_abs_pa);
    const double by_flow = delivery > 0.0 ? op->direct_fuel_kg_s / delivery : INFINITY;
    const double by_pressure = required / op->rail_abs_pa;
    return by_flow > by_pressure ? by_flow : by_pressure;
}

static double direct_pressure_excess(const fr_place *place, const fr_operating *op, double bound) {
    return op->direct_fuel_kg_s > 0.0
               ? fr_direct_pressure_excess(place, op->cylinder_abs_pa, op->rail_abs_pa, bound,
                                           op->direct_fuel_kg_s)
               : -bound;
}

/* ---- the table ---- */

const fr_stage_row fr_stage_table[FR_STAGE_COUNT] = {
    /* name, limit, counts for reach, looks at rail, same at all speeds, ruled by share, has, use,
       excess */
    [FR_STAGE_LIFT_PUMP] = {"lift-pump", 0.85, true, false, true, false, always, lift_pump_use,
                            NULL},
    [FR_STAGE_PUMP_CIRCUIT] = {"pump-circuit", 0.80, true, false, true, false, with_fuse,
                               pump_circuit_use, NULL},
    [FR_STAGE_PUMP_INLET] = {"pump-inlet", 0.85, true, false, true, false, always, pump_inlet_use,
                             NULL},
    [FR_STAGE_FEED_PRESSURE] = {"feed-pressure", 0.90, true, true, true, false, always,
                                feed_pressure_use, NULL},
    [FR_STAGE_VAPOUR] = {"vapour", 0.90, true, true, true, false, always, vapour_use, NULL},
    [FR_STAGE_PORT_INJECTOR] = {"port-injector", 0.85, true, true, false, false, with_port,
                                port_injector_use, NULL},
    [FR_STAGE_DIRECT_INJECTOR] = {"direct-injector", 0.95, false, true, false, true, with_direct,
                                  direct_injector_use, NULL},
    [FR_STAGE_HIGH_PRESSURE_PUMP] = {"high-pressure-pump", 0.90, false, true, false, true,
                                     with_direct, high_pressure_pump_use, NULL},
    [FR_STAGE_DIRECT_PRESSURE] = {"direct-pressure", 0.90, true, true, false, true, with_direct,
                                  direct_pressure_use, direct_pressure_excess},
};

double fr_stage_use(const fr_place *place, const fr_operating *op, fr_stage stage) {
    return fr_stage_table[stage].use(place, op);
}

double fr_stage_excess(const fr_place *place, const fr_operating *op, fr_stage stage,
                       double bound) {
    const fr_stage_row *row = &fr_stage_table[stage];
    return row->excess != NULL ? row->excess(place, op, bound) : row->use(place, op) - bound;
}

bool fr_stage_has_capacity(const fr_build *build, fr_stage stage) {
    const fr_stage_row *row = &fr_stage_table[stage];
    const bool ruled = row->ruled_by_share && build->share == FR_SHARE_AUTO;
    return row->has(build) && !ruled && stage != FR_STAGE_PUMP_INLET;
}

/* ---- what others may ask of a stage ---- */

const char *fr_stage_name(fr_stage stage) {
    return fr_stage_table[stage].name;
}

fr_stage fr_stage_find(const char *name) {
    int stage = 0;
    while (stage < FR_STAGE_COUNT && strcmp(fr_stage_table[stage].name, name) != 0) {
        stage++;
    }
    return (fr_stage)stage;
}

double fr_stage_default_limit(fr_stage stage) {
    return fr_stage_table[stage].default_limit;
}

bool fr_build_has(const fr_build *build, fr_stage stage) {
    return fr_stage_table[stage].has(build);
}

double fr_build_end(const fr_build *build, fr_stage stage) {
    return stage == FR_STAGE_PORT_INJECTOR ? build->port.max_duty : 1.0;
}

double fr_build_limit(const fr_build *build, fr_stage stage) {
    const double end = fr_build_end(build, stage);
    return build->limits[stage] < end ? build->limits[stage] : end;
}

bool fr_build_boosted(const fr_build *build) {
    return build->engine.aspiration != FR_NATURAL;
}
