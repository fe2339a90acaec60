/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "reference/parts.h"
#include "reference/point.h"
#include "reference/reference.h"

static const double kwh_j = 3.6e6;

static void set_all_nan(fr_point *point) {
    *point = (fr_point){0};
    point->lift_headroom = point->direct_share = NAN;
    point->port_drop_pa = point->port_static_kg_s = point->port_dead_time_s = NAN;
    point->port_pulse_s = point->port_duty = NAN;
    point->direct_mass_kg = point->direct_time_s = point->cylinder_abs_pa = NAN;
    point->direct_required_pa = point->direct_available_pa = point->direct_held_pa = NAN;
    point->direct_margin_pa = point->direct_command_pa = point->direct_limit_pa = NAN;
    point->direct_static_kg_s = point->direct_angle_deg = point->direct_window_deg = NAN;
    point->hp_fill = point->hp_inlet_density_kg_m3 = point->hp_density_kg_m3 = NAN;
    point->hp_delivery_kg_s = point->hp_headroom = point->hp_short_kg_s = NAN;
    for (size_t i = 0; i < FR_STAGE_COUNT; i++) {
        point->use[i] = point->capacity_kg_s[i] = point->clear_capacity_kg_s[i] = NAN;
    }
}

static void set_demand(const fr_build *build, const ref_demand *d, fr_point *point) {
    const fr_boost_source source = build->engine.boost_source;
    const double rpm = point->speed_rpm;
    point->power_w = d->power_w;
    point->crank_power_w = d->crank_power_w;
    point->bsfc_kg_j = d->bsfc;
    point->fuel_kg_s = d->fuel_kg_s;
    point->fuel_m3_s = d->fuel_m3_s;
    point->air_kg_s = d->air_kg_s;
    point->air_per_power_kg_j = d->bsfc * d->fuel.stoich * d->lambda;
    point->manifold_abs_pa = d->manifold_pa;
    point->volumetric_efficiency = d->air_kg_s / ref_swept_air(build, rpm, d->manifold_pa);
    const bool judged =
        source == FR_BOOST_CURVE || (source == FR_BOOST_SINGLE && rpm == ref_peak_speed(build));
    point->airflow_doubtful =
        judged && (point->volumetric_efficiency < 0.6 || point->volumetric_efficiency > 1.25);
    const double kg_kwh = point->air_per_power_kg_j * kwh_j;
    point->air_per_power_doubtful = kg_kwh < 3.3 || kg_kwh > 4.6;
    point->set_gauge_pa = build->feed.pressure_gauge_pa;
    if (build->feed.manifold_referenced) {
        point->set_gauge_pa += d->manifold_pa - build->site.air_pressure_pa;
    }
}

static void set_lift(const fr_build *build, const ref_demand *d, fr_point *point) {
    const fr_feed *feed = &build->feed;
    const double bypass =
        feed->regulation == FR_ELECTRONIC_RETURNLESS ? 0.0 : feed->minimum_bypass_m3_s;
    point->lift_available_m3_s = ref_available(build, &d->fuel, point->set_gauge_pa);
    point->lift_needed_m3_s = d->fuel_m3_s + bypass + feed->jet_pump_m3_s;
    point->use[FR_STAGE_LIFT_PUMP] = INFINITY;
    if (point->lift_available_m3_s > 0.0) {
        const double use = point->lift_needed_m3_s / point->lift_available_m3_s;
        point->lift_headroom = 1.0 - use;
        point->use[FR_STAGE_LIFT_PUMP] = use;
    }
    point->line_flow_m3_s = d->fuel_m3_s;
    if (feed->regulation == FR_RETURN) {
        point->line_flow_m3_s = fmax(0.0, point->lift_available_m3_s - feed->jet_pump_m3_s);
    }
    point->line_loss_pa = ref_loss(build, &d->fuel, point->line_flow_m3_s);
}

static void set_circuit(const fr_build *build, fr_point *point) {
    const bool at_tank = build->feed.regulation == FR_MECHANICAL_RETURNLESS;
    const double rise = point->set_gauge_pa + (at_tank ? 0.0 : point->line_loss_pa);
    point->pump_rise_pa = rise;
    for (size_t i = 0; i < build->pumps.kind_count; i++) {
        const double part = ref_pump_part(build, i, rise);
        const ref_pump_state state = ref_pump_at(build, i, part);
        if (i == 0) {
            point->pump_voltage_v = state.voltage;
            point->pump_current_a = state.current;
        }
        point->greatest_current_a = fmax(point->greatest_current_a, state.current);
    }
    if (build->pumps.fuse_a > 0.0) {
        point->use[FR_STAGE_PUMP_CIRCUIT] = point->greatest_current_a / build->pumps.fuse_a;
    }
}

static double over(double needed, double there) {
    return needed <= 0.0 ? 0.0 : (there > 0.0 ? needed / there : INFINITY);
}

static void set_feed(const fr_build *build, const ref_demand *d, fr_point *point) {
    const fr_feed *feed = &build->feed;
    const fr_site *site = &build->site;
    const double set = point->set_gauge_pa, flow = d->fuel_m3_s + feed->jet_pump_m3_s;
    const double loss = ref_loss(build, &d->fuel, d->fuel_m3_s);
    double held;
    if (feed->regulation == FR_MECHANICAL_RETURNLESS) {
        held = ref_pumps_rise(build, flow, set) - loss;
    } else {
        held = ref_pumps_rise(build, flow, set + loss) - loss;
    }
    point->feed_gauge_pa = fmax(0.0, held);
    point->feed_abs_pa = point->feed_gauge_pa + site->air_pressure_pa;
    point->inlet_vapour_pressure_pa = ref_vapour_pressure(&d->fuel, site->tank_temperature_c);
    point->vapour_pressure_pa = ref_vapour_pressure(
        &d->fuel, build->direct.present ? site->hp_inlet_temperature_c : site->feed_temperature_c);
    point->use[FR_STAGE_PUMP_INLET] =
        over(point->inlet_vapour_pressure_pa, site->air_pressure_pa - feed->strainer_loss_pa);
    point->use[FR_STAGE_VAPOUR] = (point->vapour_pressure_pa + 1e5) / point->feed_abs_pa;
    double use = 0.0;
    if (build->direct.present) {
        use = over(build->direct.minimum_inlet_gauge_pa, point->feed_gauge_pa);
    }
    if (build->port.present) {
        use = fmax(use, over(set - point->feed_gauge_pa, 0.1 * feed->pressure_gauge_pa));
    }
    point->use[FR_STAGE_FEED_PRESSURE] = use;
}

static void set_injection(const fr_build *build, const ref_demand *d, fr_point *point) {
    const double share = ref_share(build, d, point);
    point->direct_share = share;
    point->direct_fuel_kg_s = isnan(share) ? 0.0 : share * d->fuel_kg_s;
    point->port_fuel_kg_s = d->fuel_kg_s - point->direct_fuel_kg_s;
    if (build->port.present) {
        ref_port(build, d, point);
    }
    if (build->direct.present) {
        ref_direct(build, d, point);
    }
}

fr_point ref_point_of(const fr_build *build, double ethanol, double speed_rpm, double k,
                      unsigned wanted) {
    const ref_demand d = ref_demand_of(build, ethanol, speed_rpm, k);
    fr_point point;
    set_all_nan(&point);
    point.speed_rpm = speed_rpm;
    set_demand(build, &d, &point);
    if (wanted & REF_LIFT) {
        set_lift(build, &d, &point);
    }
    if (wanted & REF_CIRCUIT) {
        set_circuit(build, &point);
    }
    if (wanted & REF_FEED) {
        set_feed(build, &d, &point);
    }
    if (wanted & REF_INJECTION) {
        set_injection(build, &d, &point);
    }
    return point;
}

fr_point ref_point_at(const fr_build *build, double ethanol, double speed_rpm, double k) {
    return ref_point_of(build, ethanol, speed_rpm, k,
                        REF_LIFT | REF_CIRCUIT | REF_FEED | REF_INJECTION);
}
