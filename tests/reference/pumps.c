/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "reference/parts.h"

static const double far_pa = 1e9; /* beyond every pump */

static double outside(const fr_pump *pump, const fr_pump_curve *curve, double rise, double volts,
                      bool current) {
    const fr_pump_line *line = current ? &curve->current_a : &curve->flow_m3_s;
    const double s = volts / curve->voltage_v;
    if (pump->type != FR_PUMP_TURBINE) {
        return current ? ref_line(line, rise)
                       : ref_line(line, rise) + (s - 1.0) * ref_line(line, 0.0);
    }
    if (s <= 0.0) {
        return 0.0;
    }
    return (current ? s * s : s) * ref_line(line, rise / (s * s));
}

/* Flow or current of the lines, extended, nothing clipped. */
static double raw(const fr_pump *pump, double rise, double volts, bool current) {
    const size_t last = pump->curve_count - 1;
    if (volts < pump->curves[0].voltage_v) {
        return outside(pump, &pump->curves[0], rise, volts, current);
    }
    if (volts > pump->curves[last].voltage_v || last == 0) {
        return outside(pump, &pump->curves[last], rise, volts, current);
    }
    size_t i = 1;
    while (i < last && pump->curves[i].voltage_v < volts) {
        i++;
    }
    const fr_pump_curve *low = &pump->curves[i - 1], *high = &pump->curves[i];
    const double part = (volts - low->voltage_v) / (high->voltage_v - low->voltage_v);
    const double at_low = ref_line(current ? &low->current_a : &low->flow_m3_s, rise);
    const double at_high = ref_line(current ? &high->current_a : &high->flow_m3_s, rise);
    return at_low + part * (at_high - at_low);
}

typedef struct at_voltage {
    const fr_pump *pump;
    double volts;
} at_voltage;

static double raw_flow_over_rise(double rise, const void *context) {
    const at_voltage *at = context;
    return raw(at->pump, rise, at->volts, false);
}

static double current_of(const fr_pump *pump, double rise, double volts) {
    const at_voltage at = {pump, volts};
    double acting = rise;
    if (pump->relief_pa > 0.0) {
        acting = fmin(acting, pump->relief_pa);
    }
    if (acting > 0.0 && raw(pump, acting, volts, false) < 0.0) {
        const bool runs = raw(pump, 0.0, volts, false) > 0.0;
        acting = runs ? ref_root(raw_flow_over_rise, &at, 0.0, acting) : 0.0;
    }
    return fmax(0.0, raw(pump, acting, volts, true));
}

static double flow_of(const fr_pump *pump, double rise, double volts) {
    const double flow = pump->flow_factor * raw(pump, rise, volts, false);
    return pump->relief_pa > 0.0 && rise >= pump->relief_pa ? fmin(flow, 0.0) : flow;
}

typedef struct circuit {
    const fr_pump *pump;
    double rise, supply, ohm;
} circuit;

/* Above zero when the wiring leaves less than this voltage. */
static double excess_voltage(double volts, const void *context) {
    const circuit *c = context;
    return volts - c->supply + c->ohm * current_of(c->pump, c->rise, volts);
}

/* The greatest root: the first met going down from the supply. */
static double voltage_at(const circuit *c) {
    enum { STEPS = 24 };
    if (excess_voltage(c->supply, c) <= 0.0) {
        return c->supply;
    }
    for (int i = 1; i <= STEPS; i++) {
        const double low = c->supply * (STEPS - i) / STEPS;
        if (excess_voltage(low, c) <= 0.0) {
            return ref_root(excess_voltage, c, low, c->supply * (STEPS - i + 1) / STEPS);
        }
    }
    return 0.0;
}

static unsigned pump_count(const fr_pumps *pumps) {
    unsigned count = 0;
    for (size_t i = 0; i < pumps->kind_count; i++) {
        count += pumps->kinds[i].count;
    }
    return count;
}

ref_pump_state ref_pump_at(const fr_build *build, size_t kind, double rise_pa) {
    const fr_pumps *pumps = &build->pumps;
    const fr_pump *pump = &pumps->kinds[kind];
    const double ohm = pumps->wiring_ohm + pump_count(pumps) * pumps->shared_wiring_ohm;
    const circuit c = {pump, rise_pa, build->site.supply_voltage_v, ohm};
    ref_pump_state state = {0};
    state.voltage = voltage_at(&c);
    state.raw_flow = flow_of(pump, rise_pa, state.voltage);
    state.flow = fmax(0.0, state.raw_flow);
    state.current = current_of(pump, rise_pa, state.voltage);
    return state;
}

typedef struct sought {
    const fr_build *build;
    size_t kind;
    double flow, rise;
} sought;

static double pump_surplus(double rise, const void *context) {
    const sought *s = context;
    return ref_pump_at(s->build, s->kind, rise).raw_flow - s->flow;
}

/* The greatest rise, from 0 on, at which one pump gives this flow. */
static double pump_rise(const fr_build *build, size_t kind, double flow) {
    const sought s = {build, kind, flow, 0.0};
    if (pump_surplus(0.0, &s) <= 0.0) {
        return 0.0;
    }
    double hi = 1e5;
    while (pump_surplus(hi, &s) > 0.0) {
        hi *= 2.0;
        if (hi > far_pa) {
            return far_pa;
        }
    }
    return ref_root(pump_surplus, &s, 0.0, hi);
}

static double parallel_flow(const fr_build *build, double rise) {
    double flow = 0.0;
    for (size_t i = 0; i < build->pumps.kind_count; i++) {
        flow += build->pumps.kinds[i].count * ref_pump_at(build, i, rise).flow;
    }
    return flow;
}

static double series_rise(const fr_build *build, double flow) {
    double rise = 0.0;
    for (size_t i = 0; i < build->pumps.kind_count; i++) {
        rise += build->pumps.kinds[i].count * pump_rise(build, i, flow);
    }
    return rise;
}

/* What the smallest pump passes at no rise. */
static double series_most(const fr_build *build) {
    double most = INFINITY;
    for (size_t i = 0; i < build->pumps.kind_count; i++) {
        most = fmin(most, ref_pump_at(build, i, 0.0).flow);
    }
    return most;
}

static double series_surplus(double flow, const void *context) {
    const sought *s = context;
    return series_rise(s->build, flow) - s->rise;
}

double ref_pumps_flow(const fr_build *build, double rise_pa) {
    if (!build->pumps.series) {
        return parallel_flow(build, rise_pa);
    }
    const sought s = {build, 0, 0.0, rise_pa};
    const double most = series_most(build);
    if (most <= 0.0 || series_surplus(0.0, &s) <= 0.0) {
        return 0.0;
    }
    return series_surplus(most, &s) >= 0.0 ? most : ref_root(series_surplus, &s, 0.0, most);
}

static double parallel_surplus(double rise, const void *context) {
    const sought *s = context;
    return parallel_flow(s->build, rise) - s->flow;
}

double ref_pumps_rise(const fr_build *build, double flow, double most_pa) {
    if (build->pumps.series) {
        return flow > series_most(build) ? -1.0 : fmin(most_pa, series_rise(build, flow));
    }
    const sought s = {build, 0, flow, 0.0};
    if (parallel_surplus(most_pa, &s) >= 0.0) {
        return most_pa;
    }
    return parallel_surplus(0.0, &s) < 0.0 ? -1.0 : ref_root(parallel_surplus, &s, 0.0, most_pa);
}

/* Where the smallest pump sets the flow with no rise of its own, the others carry the whole. */
double ref_pump_part(const fr_build *build, size_t kind, double rise_pa) {
    return build->pumps.series
               ? fmin(rise_pa, pump_rise(build, kind, ref_pumps_flow(build, rise_pa)))
               : rise_pa;
}
