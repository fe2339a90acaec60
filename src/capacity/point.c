/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "capacity/point.h"

#include <math.h>

#include "capacity/plausible.h"
#include "supply/port.h"
#include "supply/pumps.h"

void fr_point_uses(const fr_place *place, const fr_operating *op, double use[FR_STAGE_COUNT]) {
    for (int stage = 0; stage < FR_STAGE_COUNT; stage++) {
        use[stage] = fr_stage_table[stage].has(place->build)
                         ? fr_stage_use(place, op, (fr_stage)stage)
                         : NAN;
    }
}

/* ---- plausibility ---- */

static bool outside(double value, const fr_band *band) {
    return value < band->least || value > band->most;
}

static void fill_demand(const fr_place *place, const fr_operating *op, fr_point *point) {
    const fr_need *need = &place->side->need;
    const fr_speed *speed = place->speed;
    point->speed_rpm = speed->rpm;
    point->power_w = need->stated_power_w * speed->pull;
    point->crank_power_w = need->crank_power_w * speed->pull;
    point->bsfc_kg_j = speed->bsfc_kg_j * need->bsfc_factor;
    point->fuel_kg_s = op->fuel_kg_s;
    point->fuel_m3_s = op->fuel_m3_s;
    point->air_kg_s = place->demand.air_kg_s;
    point->air_per_power_kg_j = point->bsfc_kg_j * need->air_per_fuel;
    point->manifold_abs_pa = op->manifold_abs_pa;
    point->volumetric_efficiency =
        point->air_kg_s * speed->manifold_per_air / op->manifold_abs_pa;
    point->airflow_doubtful =
        speed->judge_airflow &&
        outside(point->volumetric_efficiency, &FR_PLAUSIBLE_EFFICIENCY);
    point->air_per_power_doubtful = outside(point->air_per_power_kg_j, &FR_PLAUSIBLE_AIR_KG_J);
}

/* ---- supply ---- */

static void fill_feed(const fr_place *place, const fr_operating *op, fr_point *point) {
    const fr_feed *feed = &place->build->feed;
    point->set_gauge_pa = op->set_gauge_pa;
    point->lift_available_m3_s = op->available_m3_s;
    point->lift_needed_m3_s = op->fuel_m3_s + fr_feed_bypass(feed) + feed->jet_pump_m3_s;
    point->lift_headroom = op->available_m3_s > 0.0
                               ? 1.0 - point->lift_needed_m3_s / op->available_m3_s
                               : NAN;
    point->pump_rise_pa = fr_feed_working_rise(&place->side->feed, op->set_gauge_pa,
                                               op->available_m3_s, op->fuel_m3_s);
    fr_pump_state first;
    point->greatest_current_a = fr_circuit_current(place, op, &first);
    point->pump_voltage_v = first.voltage_v;
    point->pump_current_a = first.current_a;
    const double returned = op->available_m3_s - feed->jet_pump_m3_s;
    point->line_flow_m3_s = feed->regulation == FR_RETURN ? (returned > 0.0 ? returned : 0.0)
                                                          : op->fuel_m3_s;
    point->line_loss_pa = fr_feed_side_loss(&place->side->feed, point->line_flow_m3_s);
    point->feed_gauge_pa = op->rail_gauge_pa;
    point->feed_abs_pa = op->rail_abs_pa;
    point->vapour_pressure_pa = place->side->vapour_pa;
    point->inlet_vapour_pressure_pa = place->side->tank_vapour_pa;
}

static void fill_port(const fr_place *place, const fr_operating *op, fr_point *point) {
    const fr_build *build = place->build;
    point->port_drop_pa = point->port_static_kg_s = point->port_dead_time_s = NAN;
    point->port_pulse_s = point->port_duty = NAN;
    if (!build->port.present) {
        return;
    }
    const fr_port_state state = fr_port_at(
        &build->port, build->site.supply_voltage_v, place->side->feed.density_kg_m3,
        op->rail_gauge_pa, build->site.air_pressure_pa, op->manifold_abs_pa, op->port_fuel_kg_s,
        place->speed->cycle_s);
    point->port_drop_pa = state.drop_pa;
    point->port_static_kg_s = state.static_kg_s;
    point->port_dead_time_s = state.dead_time_s;
    point->port_pulse_s = state.pulse_s;
    point->port_duty = state.duty;
}

static void fill_spray(const fr_place *place, const fr_operating *op, fr_point *point) {
    const fr_direct *direct = &place->build->direct;
    const bool sprays = op->direct_fuel_kg_s > 0.0;
    point->direct_mass_kg = op->direct_fuel_kg_s / place->spray.injections_per_s;
    point->direct_time_s = place->spray.flow_time_s;
    point->direct_required_pa = sprays ? fr_spray_required(direct, &place->spray,
                                                           op->cylinder_abs_pa,
                                                           op->direct_fuel_kg_s)
                                       : NAN;
    point->direct_static_kg_s =
        fr_spray_static(direct, &place->spray, op->cylinder_abs_pa, place->rail_command_pa);
    point->direct_angle_deg = sprays ? fr_spray_angle(direct, &place->spray, op->cylinder_abs_pa,
                                                      place->rail_command_pa, op->direct_fuel_kg_s)
                                     : 0.0;
    point->direct_window_deg = place->spray.window_deg;
}

static void fill_high_pressure(const fr_place *place, const fr_operating *op, fr_point *point) {
    const fr_high_pressure *pump = &place->high_pressure;
    point->direct_command_pa = place->rail_command_pa;
    point->direct_limit_pa = place->rail_limit_pa;
    point->direct_available_pa = fr_direct_available(place, op);
    const bool none = isnan(point->direct_available_pa);
    const double available = none ? op->rail_abs_pa : point->direct_available_pa;
    point->direct_held_pa = place->rail_command_pa < available ? place->rail_command_pa : available;
    point->direct_margin_pa = point->direct_available_pa - point->direct_required_pa;
    point->hp_fill = pump->fill;
    point->hp_inlet_density_kg_m3 =
        pump->density_kg_m3 * fr_compression_ratio(op->rail_abs_pa, pump->bulk_modulus_pa);
    point->hp_density_kg_m3 =
        pump->density_kg_m3 * fr_compression_ratio(place->rail_command_pa, pump->bulk_modulus_pa);
    point->hp_delivery_kg_s =
        fr_high_pressure_delivery(pump, place->rail_command_pa, op->rail_abs_pa);
    point->hp_headroom = point->hp_delivery_kg_s > 0.0
                             ? 1.0 - op->direct_fuel_kg_s / point->hp_delivery_kg_s
                             : NAN;
    point->hp_short_kg_s = none ? op->direct_fuel_kg_s - fr_high_pressure_delivery(
                                                             pump, op->rail_abs_pa, op->rail_abs_pa)
                                : NAN;
}

static void leave_out_direct(fr_point *point) {
    point->direct_share = NAN;
    point->direct_mass_kg = point->direct_time_s = point->cylinder_abs_pa = NAN;
    point->direct_required_pa = point->direct_available_pa = point->direct_held_pa = NAN;
    point->direct_margin_pa = point->direct_command_pa = point->direct_limit_pa = NAN;
    point->direct_static_kg_s = point->direct_angle_deg = point->direct_window_deg = NAN;
    point->hp_fill = point->hp_inlet_density_kg_m3 = point->hp_density_kg_m3 = NAN;
    point->hp_delivery_kg_s = point->hp_headroom = point->hp_short_kg_s = NAN;
}

void fr_point_fill(const fr_place *place, const fr_operating *op,
                   const double use[FR_STAGE_COUNT], fr_point *point) {
    fill_demand(place, op, point);
    fill_feed(place, op, point);
    point->port_fuel_kg_s = op->port_fuel_kg_s;
    point->direct_fuel_kg_s = op->direct_fuel_kg_s;
    fill_port(place, op, point);
    if (place->build->direct.present) {
        point->direct_share = op->direct_fuel_kg_s / op->fuel_kg_s;
        point->cylinder_abs_pa = op->cylinder_abs_pa;
        fill_spray(place, op, point);
        fill_high_pressure(place, op, point);
    } else {
        leave_out_direct(point);
    }
    for (int stage = 0; stage < FR_STAGE_COUNT; stage++) {
        point->use[stage] = use[stage] > FR_USE_SHOWN_MAX ? FR_USE_SHOWN_MAX : use[stage];
        point->capacity_kg_s[stage] = point->clear_capacity_kg_s[stage] = NAN;
    }
}

/* ---- capacities ---- */

/* A flow known elsewhere, as times of this place's demand. */
static double times_from(double times_elsewhere, double ratio) {
    const double times = times_elsewhere * ratio;
    return times > FR_TIMES_MAX ? INFINITY : times;
}

void fr_point_capacities_from(const fr_place *place, const fr_operating *op, const fr_place *other,
                              const fr_point_times *at_other, fr_point_times *times) {
    const fr_build *build = place->build;
    const bool constant = other != NULL && place->side->set_is_constant;
    const double ratio = constant ? other->demand.fuel_kg_s / place->demand.fuel_kg_s : 0.0;
    const fr_sag_start sag = fr_sag_start_find(place);
    for (int i = 0; i < FR_STAGE_COUNT; i++) {
        const fr_stage stage = (fr_stage)i;
        times->end[i] = times->limit[i] = NAN;
        if (!fr_stage_has_capacity(build, stage)) {
            continue;
        }
        if (constant && fr_stage_table[i].same_at_all_speeds) {
            times->end[i] = times_from(at_other->end[i], ratio);
            times->limit[i] = times_from(at_other->limit[i], ratio);
        } else {
            times->end[i] = fr_capacity_times(place, op, &sag, stage, fr_build_end(build, stage));
            times->limit[i] =
                fr_capacity_times(place, op, &sag, stage, fr_build_limit(build, stage));
        }
    }
}

void fr_point_capacities(const fr_place *place, const fr_operating *op, fr_point_times *times) {
    fr_point_capacities_from(place, op, NULL, NULL, times);
}

static double flow_of_times(double times, double demand_kg_s) {
    return isfinite(times) ? times * demand_kg_s : NAN;
}

void fr_point_put_capacities(const fr_place *place, const fr_point_times *times, fr_point *point) {
    for (int stage = 0; stage < FR_STAGE_COUNT; stage++) {
        point->capacity_kg_s[stage] = flow_of_times(times->end[stage], place->demand.fuel_kg_s);
        point->clear_capacity_kg_s[stage] =
            flow_of_times(times->limit[stage], place->demand.fuel_kg_s);
    }
}
