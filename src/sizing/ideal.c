/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The most favourable figure of every kind. The supply gets better, never worse, with: a greater and
 * smoother bore, less filter drop, more
 * injector flow and less dead time, more displacement and filling, less dead volume and leakage,
 * higher pressure limits, a lower least inlet pressure. tests/sizing holds each of these. Lift pumps
 * and their wiring have no such order (more voltage is more current, and a sheet's curves may cross):
 * they are tried. */
#include <math.h>

#include "sizing/options.h"

static double lesser(double a, double b) {
    return a < b ? a : b;
}
static double greater(double a, double b) {
    return a > b ? a : b;
}

static double drop_coefficient(const fr_filter *filter) {
    return filter->drop_pa / (filter->rated_flow_m3_s * filter->rated_flow_m3_s);
}

static void ideal_filter(fr_build *build, const fr_options *options) {
    for (size_t i = 0; i < options->count; i++) {
        const fr_part *part = options->items[i].part;
        for (size_t f = 0; part != NULL && f < build->feed.filter_count; f++) {
            fr_filter *filter = &build->feed.filters[f];
            if (drop_coefficient(&part->as.filter) < drop_coefficient(filter)) {
                *filter = part->as.filter;
            }
        }
    }
}

static void ideal_line(fr_build *build, const fr_options *options) {
    for (size_t i = 0; i < options->count; i++) {
        const fr_part *part = options->items[i].part;
        for (size_t n = 0; part != NULL && n < build->feed.line_count; n++) {
            fr_line *line = &build->feed.lines[n];
            line->bore_m = greater(line->bore_m, part->as.line.bore_m);
            line->roughness_m = lesser(line->roughness_m, part->as.line.roughness_m);
        }
    }
}

/* Rated flow at one pressure and density, so that ratings compare. */
static double flow_constant(double flow_kg_s, double pressure_pa, double density_kg_m3) {
    return flow_kg_s / sqrt(pressure_pa * density_kg_m3);
}

static void ideal_port(fr_build *build, const fr_options *options) {
    fr_port ideal = {0};
    double most = 0.0;
    for (size_t i = 0; i < options->count; i++) {
        const fr_part *part = options->items[i].part;
        if (part == NULL && !build->port.present) {
            continue;
        }
        const fr_port *port = part != NULL ? &part->as.port_injector : &build->port;
        const double flow = flow_constant(port->flow_kg_s, port->test_pressure_pa,
                                          port->test_density_kg_m3);
        if (flow > most) {
            most = flow;
            ideal.flow_kg_s = port->flow_kg_s;
            ideal.test_pressure_pa = port->test_pressure_pa;
            ideal.test_density_kg_m3 = port->test_density_kg_m3;
        }
        ideal.max_duty = greater(ideal.max_duty, port->max_duty);
    }
    if (most > 0.0) {
        const bool added = !build->port.present;
        ideal.present = true;
        ideal.count = added ? build->engine.cylinders : build->port.count;
        ideal.dead_time_s = fr_curve_constant(0.0);
        ideal.minimum_open_s = 0.0;
        build->port = ideal;
        build->share = added ? FR_SHARE_AUTO : build->share;
    }
}

static void ideal_direct(fr_build *build, const fr_options *options) {
    fr_direct *ideal = &build->direct;
    for (size_t i = 0; i < options->count; i++) {
        const fr_part *part = options->items[i].part;
        if (part == NULL) {
            continue;
        }
        const fr_direct *direct = &part->as.direct_injector;
        if (flow_constant(direct->flow_kg_s, direct->test_pressure_pa, direct->test_density_kg_m3) >
            flow_constant(ideal->flow_kg_s, ideal->test_pressure_pa, ideal->test_density_kg_m3)) {
            ideal->flow_kg_s = direct->flow_kg_s;
            ideal->test_pressure_pa = direct->test_pressure_pa;
            ideal->test_density_kg_m3 = direct->test_density_kg_m3;
        }
        ideal->opening_delay_s = lesser(ideal->opening_delay_s, direct->opening_delay_s);
        ideal->injector_max_pa = greater(ideal->injector_max_pa, direct->injector_max_pa);
    }
}

static void ideal_high_pressure(fr_build *build, const fr_options *options) {
    fr_direct *ideal = &build->direct;
    double swept = ideal->displacement_m3 * ideal->drive_ratio;
    double fill = fr_curve_greatest(&ideal->fill);
    double leak = ideal->leakage_m3_s / ideal->leakage_at_pa;
    for (size_t i = 0; i < options->count; i++) {
        const fr_part *part = options->items[i].part;
        if (part == NULL) {
            continue;
        }
        const fr_direct *pump = &part->as.high_pressure_pump;
        swept = greater(swept, pump->displacement_m3 * pump->drive_ratio);
        fill = greater(fill, fr_curve_greatest(&pump->fill));
        leak = lesser(leak, pump->leakage_m3_s / pump->leakage_at_pa);
        ideal->dead_volume_ratio = lesser(ideal->dead_volume_ratio, pump->dead_volume_ratio);
        ideal->pump_max_pa = greater(ideal->pump_max_pa, pump->pump_max_pa);
        ideal->minimum_inlet_gauge_pa =
            lesser(ideal->minimum_inlet_gauge_pa, pump->minimum_inlet_gauge_pa);
    }
    ideal->displacement_m3 = swept / ideal->drive_ratio;
    ideal->fill = fr_curve_constant(fill);
    ideal->leakage_m3_s = leak * ideal->leakage_at_pa;
}

void fr_options_ideal(const fr_options options[FR_SLOT_COUNT], const bool open[FR_SLOT_COUNT],
                      fr_build *build) {
    typedef void fr_idealise(fr_build *build, const fr_options *options);
    static fr_idealise *const IDEALISE[FR_SLOT_COUNT] = {
        [FR_SLOT_FILTER] = ideal_filter,
        [FR_SLOT_LINE] = ideal_line,
        [FR_SLOT_PORT_INJECTOR] = ideal_port,
        [FR_SLOT_DIRECT_INJECTOR] = ideal_direct,
        [FR_SLOT_HIGH_PRESSURE_PUMP] = ideal_high_pressure,
    };
    for (int i = 0; i < FR_SLOT_COUNT; i++) {
        const bool has = (i != FR_SLOT_DIRECT_INJECTOR && i != FR_SLOT_HIGH_PRESSURE_PUMP) ||
                         build->direct.present;
        if (open[i] && has && IDEALISE[i] != NULL) {
            IDEALISE[i](build, &options[i]);
        }
    }
}
