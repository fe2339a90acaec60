/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "reference/parts.h"

static const double cylinder_over_manifold = 1.5;
static const double least_share = 0.01;

void ref_port(const fr_build *build, const ref_demand *demand, fr_point *point) {
    const fr_port *port = &build->port;
    const double rho = ref_density(&demand->fuel, build->site.feed_temperature_c);
    const double cycle = 120.0 / point->speed_rpm;
    point->port_drop_pa = point->feed_abs_pa - point->manifold_abs_pa;
    point->port_dead_time_s =
        ref_curve(&port->dead_time_s, build->site.supply_voltage_v) +
        port->dead_time_s_per_pa * (point->port_drop_pa - port->test_pressure_pa);
    if (point->port_fuel_kg_s <= 0.0) {
        point->port_pulse_s = point->port_duty = point->use[FR_STAGE_PORT_INJECTOR] = 0.0;
        return;
    }
    if (point->port_drop_pa <= 0.0) {
        point->use[FR_STAGE_PORT_INJECTOR] = INFINITY;
        return;
    }
    const double mass = point->port_fuel_kg_s * cycle / port->count;
    point->port_static_kg_s =
        port->flow_kg_s *
        sqrt(point->port_drop_pa * rho / (port->test_pressure_pa * port->test_density_kg_m3));
    point->port_pulse_s = mass / point->port_static_kg_s + point->port_dead_time_s;
    point->port_duty = point->port_pulse_s / cycle;
    point->use[FR_STAGE_PORT_INJECTOR] = point->port_duty;
}

/* One high-pressure pump set against a rail pressure. */
typedef struct plunger {
    const fr_direct *direct;
    const ref_fuel *fuel;
    double t, inlet_pa, rpm, demand;
} plunger;

static double delivery(const plunger *p, double rail_pa) {
    const fr_direct *d = p->direct;
    const double rho_in = ref_density_under(p->fuel, p->t, p->inlet_pa);
    const double rho = ref_density_under(p->fuel, p->t, rail_pa);
    const double pump_rpm = p->rpm * d->drive_ratio;
    const double filled =
        ref_curve(&d->fill, pump_rpm) - d->dead_volume_ratio * (rho / rho_in - 1.0);
    const double leak = d->leakage_m3_s * (rail_pa - p->inlet_pa) / d->leakage_at_pa;
    const double each = rho_in * (d->displacement_m3 * pump_rpm / 60.0 * filled - leak);
    return fmax(0.0, d->pump_count * each);
}

static double delivery_surplus(double rail_pa, const void *context) {
    const plunger *p = context;
    return delivery(p, rail_pa) - p->demand;
}

static void set_pump(const fr_build *build, const plunger *p, fr_point *point) {
    const double limit = fmin(build->direct.pump_max_pa, build->direct.injector_max_pa);
    point->direct_limit_pa = limit;
    point->direct_command_pa =
        fmin(limit, ref_curve(&build->direct.rail_command_pa, point->speed_rpm));
    point->hp_fill = ref_curve(&build->direct.fill, p->rpm * build->direct.drive_ratio);
    point->hp_inlet_density_kg_m3 = ref_density_under(p->fuel, p->t, p->inlet_pa);
    point->hp_density_kg_m3 = ref_density_under(p->fuel, p->t, point->direct_command_pa);
    point->hp_delivery_kg_s = delivery(p, point->direct_command_pa);
    if (point->hp_delivery_kg_s > 0.0) {
        point->hp_headroom = 1.0 - p->demand / point->hp_delivery_kg_s;
    }
    point->hp_short_kg_s = NAN;
    if (delivery_surplus(limit, p) >= 0.0) {
        point->direct_available_pa = limit;
    } else if (delivery_surplus(p->inlet_pa, p) < 0.0) {
        point->hp_short_kg_s = p->demand - delivery(p, p->inlet_pa);
    } else {
        point->direct_available_pa = ref_root(delivery_surplus, p, p->inlet_pa, limit);
    }
}

static void set_nozzles(const fr_build *build, const ref_demand *demand, fr_point *point) {
    const fr_direct *d = &build->direct;
    const double rho = ref_density(&demand->fuel, build->site.rail_temperature_c);
    const double law = rho / (d->test_pressure_pa * d->test_density_kg_m3);
    const double over = point->direct_command_pa - point->cylinder_abs_pa;
    point->direct_mass_kg = point->direct_fuel_kg_s * 120.0 / point->speed_rpm / d->count;
    if (point->direct_time_s > 0.0) {
        const double needed = point->direct_mass_kg / point->direct_time_s / d->flow_kg_s;
        point->direct_required_pa = point->cylinder_abs_pa + needed * needed / law;
    }
    point->direct_static_kg_s = over > 0.0 ? d->flow_kg_s * sqrt(over * law) : 0.0;
    if (over > 0.0) {
        point->direct_angle_deg =
            6.0 * point->speed_rpm *
            (point->direct_mass_kg / point->direct_static_kg_s + d->opening_delay_s);
    }
}

/* Where no pressure passes the fuel the pump is short even if the injectors ask for less than the
 * feed pressure: the use is then never less than the flow wanted over the flow there. */
static void set_direct_uses(fr_point *point) {
    const bool none = isnan(point->direct_available_pa);
    const double available = none ? point->feed_abs_pa : point->direct_available_pa;
    const bool no_time = point->direct_time_s <= 0.0;
    const double lacking =
        none && point->direct_fuel_kg_s > point->hp_short_kg_s
            ? point->direct_fuel_kg_s / (point->direct_fuel_kg_s - point->hp_short_kg_s)
            : (none ? INFINITY : 0.0);
    point->direct_held_pa = fmin(point->direct_command_pa, available);
    if (!none && !no_time) {
        point->direct_margin_pa = available - point->direct_required_pa;
    }
    point->use[FR_STAGE_DIRECT_PRESSURE] =
        no_time ? INFINITY : fmax(point->direct_required_pa / available, lacking);
    point->use[FR_STAGE_DIRECT_INJECTOR] = isnan(point->direct_angle_deg)
                                               ? INFINITY
                                               : point->direct_angle_deg / point->direct_window_deg;
    point->use[FR_STAGE_HIGH_PRESSURE_PUMP] =
        point->hp_delivery_kg_s > 0.0 ? point->direct_fuel_kg_s / point->hp_delivery_kg_s
                                      : INFINITY;
}

void ref_direct(const fr_build *build, const ref_demand *demand, fr_point *point) {
    const plunger p = {&build->direct,     &demand->fuel,    build->site.hp_inlet_temperature_c,
                       point->feed_abs_pa, point->speed_rpm, point->direct_fuel_kg_s};
    point->cylinder_abs_pa = cylinder_over_manifold * point->manifold_abs_pa;
    point->direct_window_deg = ref_curve(&build->direct.window_deg, point->speed_rpm);
    point->direct_time_s =
        point->direct_window_deg / (6.0 * point->speed_rpm) - build->direct.opening_delay_s;
    point->direct_required_pa = point->direct_angle_deg = point->direct_available_pa = NAN;
    point->direct_margin_pa = point->hp_headroom = NAN;
    set_pump(build, &p, point);
    set_nozzles(build, demand, point);
    if (point->direct_fuel_kg_s <= 0.0) {
        point->direct_angle_deg = 0.0;
        point->direct_required_pa = NAN;
        point->direct_held_pa = fmin(point->direct_command_pa, point->direct_available_pa);
        point->use[FR_STAGE_DIRECT_PRESSURE] = point->use[FR_STAGE_DIRECT_INJECTOR] = 0.0;
        point->use[FR_STAGE_HIGH_PRESSURE_PUMP] = 0.0;
        return;
    }
    set_direct_uses(point);
}

static double limit_of(const fr_build *build, fr_stage stage) {
    return fmin(build->limits[stage], 1.0);
}

typedef struct sharing {
    const fr_build *build;
    const ref_demand *demand;
    const fr_point *point;
} sharing;

/* How far the worst direct stage is over its limit. */
static double over_limit(double share, const void *context) {
    static const fr_stage stages[] = {FR_STAGE_DIRECT_INJECTOR, FR_STAGE_HIGH_PRESSURE_PUMP,
                                      FR_STAGE_DIRECT_PRESSURE};
    const sharing *s = context;
    fr_point point = *s->point;
    double worst = -INFINITY;
    point.direct_fuel_kg_s = share * s->demand->fuel_kg_s;
    ref_direct(s->build, s->demand, &point);
    for (size_t i = 0; i < 3; i++) {
        worst = fmax(worst, point.use[stages[i]] - limit_of(s->build, stages[i]));
    }
    return worst;
}

double ref_share(const fr_build *build, const ref_demand *demand, const fr_point *point) {
    const sharing s = {build, demand, point};
    switch (build->share) {
    case FR_SHARE_PORT_ONLY:
        return NAN;
    case FR_SHARE_DIRECT_ONLY:
        return 1.0;
    case FR_SHARE_CURVE:
        return ref_curve(&build->direct_share, point->speed_rpm);
    case FR_SHARE_AUTO:
        break;
    }
    if (over_limit(1.0, &s) <= 0.0) {
        return 1.0;
    }
    return over_limit(least_share, &s) > 0.0 ? 0.0 : ref_root(over_limit, &s, least_share, 1.0);
}
