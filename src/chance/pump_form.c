/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "chance/pump_form.h"

#include <math.h>

/* ---- one line of a curve ---- */

static size_t segment_count(const fr_pump_line *line) {
    return line->count > 1 ? line->count - 1 : 1;
}

static fr_segment segment_of(const fr_pump_line *line, size_t i) {
    if (line->count == 1) {
        return (fr_segment){line->y[0], 0.0};
    }
    const double slope = (line->y[i + 1] - line->y[i]) / (line->rise_pa[i + 1] - line->rise_pa[i]);
    return (fr_segment){line->y[i] - slope * line->rise_pa[i], slope};
}

static fr_segment segment_at(const fr_pump_line *line, double rise_pa) {
    size_t i = 0;
    while (i + 2 < line->count && rise_pa > line->rise_pa[i + 1]) {
        i++;
    }
    return segment_of(line, i);
}

static double value_of(fr_segment segment, double x) {
    return segment.at_zero + segment.slope * x;
}

/* Rise at which a falling line ends; INFINITY when it never does. */
static double dead_head(const fr_pump_line *flow) {
    for (size_t i = 0; i < segment_count(flow); i++) {
        const fr_segment segment = segment_of(flow, i);
        const bool last = i + 1 == segment_count(flow);
        if (segment.slope < 0.0) {
            const double zero = -segment.at_zero / segment.slope;
            if (last || zero <= flow->rise_pa[i + 1]) {
                return zero;
            }
        } else if (segment.at_zero <= 0.0 && segment.slope == 0.0) {
            return flow->rise_pa[0];
        }
    }
    return INFINITY;
}

/* Current of a curve at its own voltage: beyond the dead head as at it, never below zero. */
static double own_current(const fr_pump_curve *curve, double rise_pa) {
    double rise = rise_pa;
    if (!(value_of(segment_at(&curve->flow_m3_s, rise), rise) > 0.0)) {
        const double dead = dead_head(&curve->flow_m3_s);
        rise = rise_pa < dead ? rise_pa : dead;
    }
    const double current = value_of(segment_at(&curve->current_a, rise), rise);
    return current > 0.0 ? current : 0.0;
}

/* ---- one curve, scaled ---- */

/* Voltage left for a turbine on the segment: V + square V^2 = supply - ohm i1 p =: left. The lesser
 * root is the one at which the drop begins to be more than what is left. */
static double turbine_root(const fr_pump_form *form, double left) {
    const double inside = 1.0 + 4.0 * form->square_v * left;
    return sqrt(inside > 0.0 ? inside : 0.0);
}

static double turbine_voltage(const fr_pump_form *form, double rise_pa) {
    const double left = form->supply_v - form->ohm * form->current.slope * rise_pa;
    return 2.0 * left / (1.0 + turbine_root(form, left));
}

static fr_pump_value turbine_at(const fr_pump_form *form, double rise_pa) {
    fr_pump_value value = {0.0, 0.0, 0.0, 0.0, 0.0};
    const double drop = form->ohm * form->current.slope;
    const double left = form->supply_v - drop * rise_pa;
    if (!(left > 0.0)) {
        return value;
    }
    const double root = turbine_root(form, left);
    /* three divisions that do not wait for one another; dV/dp = -drop/root */
    const double s = left / (0.5 * (1.0 + root) * form->voltage_v);
    const double per_s = 0.5 * (1.0 + root) * form->voltage_v / left;
    const double per_root = 1.0 / root;
    const double s_per_rise = -drop * per_root / form->voltage_v;
    const double s_bend = 2.0 * form->square_v * drop * per_root * per_root * s_per_rise;
    const double x = rise_pa * per_s * per_s;
    value.flow_m3_s = form->flow_factor * s * (form->flow.at_zero + form->flow.slope * x);
    value.flow_per_rise =
        form->flow_factor *
        (s_per_rise * (form->flow.at_zero - form->flow.slope * x) + form->flow.slope * per_s);
    value.flow_bend =
        form->flow_factor *
        (s_bend * (form->flow.at_zero - form->flow.slope * x) -
         2.0 * s_per_rise * form->flow.slope * per_s * per_s * (1.0 - x * s * s_per_rise));
    value.current_a = s * s * form->current.at_zero + form->current.slope * rise_pa;
    value.current_per_rise = 2.0 * s * s_per_rise * form->current.at_zero + form->current.slope;
    return value;
}

static fr_pump_value displacement_at(const fr_pump_form *form, double rise_pa) {
    const double current = value_of(form->current, rise_pa);
    const double voltage = form->supply_v - form->ohm * current;
    fr_pump_value value = {0.0, 0.0, 0.0, current, form->current.slope};
    if (!(voltage > 0.0)) {
        return value;
    }
    const double s = voltage / form->voltage_v;
    const double s_per_rise = -form->ohm * form->current.slope / form->voltage_v;
    value.flow_m3_s = form->flow_factor *
                      (value_of(form->flow, rise_pa) + (s - 1.0) * form->free_flow_m3_s);
    value.flow_per_rise =
        form->flow_factor * (form->flow.slope + s_per_rise * form->free_flow_m3_s);
    return value;
}

/* ---- between two curves ---- */

static fr_pump_value between_at(const fr_pump_form *form, double rise_pa) {
    const double span = form->voltage_high_v - form->voltage_v;
    const double i_low = value_of(form->current, rise_pa);
    const double i_gap = value_of(form->current_high, rise_pa) - i_low;
    const double i_gap_slope = form->current_high.slope - form->current.slope;
    /* V = supply - ohm (i_low + (V - V_low) i_gap / span), linear in V */
    const double g = form->ohm * i_gap / span, g_slope = form->ohm * i_gap_slope / span;
    const double voltage =
        (form->supply_v - form->ohm * i_low + g * form->voltage_v) / (1.0 + g);
    const double per_rise =
        (-form->ohm * form->current.slope + g_slope * (form->voltage_v - voltage)) / (1.0 + g);
    const double bend = -2.0 * g_slope * per_rise / (1.0 + g);
    const double t = (voltage - form->voltage_v) / span, t_slope = per_rise / span;
    const double q_low = value_of(form->flow, rise_pa);
    const double q_gap = value_of(form->flow_high, rise_pa) - q_low;
    const double q_gap_slope = form->flow_high.slope - form->flow.slope;
    return (fr_pump_value){
        form->flow_factor * (q_low + t * q_gap),
        form->flow_factor * (form->flow.slope + t * q_gap_slope + t_slope * q_gap),
        form->flow_factor * (2.0 * t_slope * q_gap_slope + bend / span * q_gap),
        i_low + t * i_gap,
        form->current.slope + t * i_gap_slope + t_slope * i_gap,
    };
}

static fr_pump_value scaled_at(const fr_pump_form *form, double rise_pa) {
    return form->turbine ? turbine_at(form, rise_pa) : displacement_at(form, rise_pa);
}

/* A curve whose current ends before its flow does draws none there. */
fr_pump_value fr_pump_form_at(const fr_pump_form *form, double rise_pa) {
    if (form->between) {
        return between_at(form, rise_pa);
    }
    const fr_pump_value value = scaled_at(form, rise_pa);
    if (!(value.current_a < 0.0)) {
        return value;
    }
    fr_pump_form idle = *form;
    idle.current = (fr_segment){0.0, 0.0};
    idle.square_v = 0.0;
    return scaled_at(&idle, rise_pa);
}

/* ---- which form holds ---- */

/* A segment of a falling or rising line for every trial: the one whose scaled rise lies in it. */
static void settle_turbine(fr_pump_form *form, const fr_pump_curve *curve, double rise_pa) {
    double x = rise_pa;
    for (int trial = 0; trial < FR_PUMP_POINTS_MAX; trial++) {
        form->current = segment_at(&curve->current_a, x);
        form->square_v =
            form->ohm * form->current.at_zero / (form->voltage_v * form->voltage_v);
        const double s = turbine_voltage(form, rise_pa) / form->voltage_v;
        const double next = s > 0.0 ? rise_pa / (s * s) : x;
        const fr_segment there = segment_at(&curve->current_a, next);
        x = next;
        if (there.at_zero == form->current.at_zero && there.slope == form->current.slope) {
            break;
        }
    }
    form->flow = segment_at(&curve->flow_m3_s, x);
}

static fr_pump_form scaled_form(const fr_pump *pump, const fr_pump_curve *curve, double supply_v,
                                double ohm, double rise_pa) {
    fr_pump_form form = {.turbine = pump->type == FR_PUMP_TURBINE,
                         .voltage_v = curve->voltage_v,
                         .supply_v = supply_v,
                         .ohm = ohm,
                         .flow_factor = pump->flow_factor};
    if (form.turbine) {
        settle_turbine(&form, curve, rise_pa);
    } else {
        form.current = segment_at(&curve->current_a, rise_pa);
        form.flow = segment_at(&curve->flow_m3_s, rise_pa);
        form.free_flow_m3_s = segment_at(&curve->flow_m3_s, 0.0).at_zero;
    }
    return form;
}

/* How many of the curves, from the lowest voltage on, lie below what the wiring leaves. */
static size_t curves_below(const fr_pump *pump, double supply_v, double ohm, double rise_pa) {
    size_t i = pump->curve_count;
    while (i > 0) {
        const double voltage = pump->curves[i - 1].voltage_v;
        if (voltage < supply_v &&
            voltage + ohm * own_current(&pump->curves[i - 1], rise_pa) <= supply_v) {
            break;
        }
        i--;
    }
    return i;
}

fr_pump_form fr_pump_form_around(const fr_pump *pump, double supply_v, double ohm, double rise_pa) {
    const fr_pump_curve *curves = pump->curves;
    const size_t i = curves_below(pump, supply_v, ohm, rise_pa);
    if (i == 0 || i == pump->curve_count) {
        return scaled_form(pump, &curves[i == 0 ? 0 : i - 1], supply_v, ohm, rise_pa);
    }
    const fr_pump_curve *low = &curves[i - 1], *high = &curves[i];
    return (fr_pump_form){.between = true,
                          .flow = segment_at(&low->flow_m3_s, rise_pa),
                          .current = segment_at(&low->current_a, rise_pa),
                          .flow_high = segment_at(&high->flow_m3_s, rise_pa),
                          .current_high = segment_at(&high->current_a, rise_pa),
                          .voltage_v = low->voltage_v,
                          .voltage_high_v = high->voltage_v,
                          .supply_v = supply_v,
                          .ohm = ohm,
                          .flow_factor = pump->flow_factor};
}

/* ---- kinks ---- */

typedef struct fr_kinks {
    double *rise_pa;
    double least_pa, most_pa;
    size_t count;
} fr_kinks;

static void add_kink(fr_kinks *kinks, double rise_pa) {
    if (rise_pa > kinks->least_pa && rise_pa < kinks->most_pa && kinks->count < FR_KINKS_MAX) {
        kinks->rise_pa[kinks->count++] = rise_pa;
    }
}

/* Rise at which a turbine behind the wiring works at the curve's own rise x. */
static double scaled_rise(const fr_pump_curve *curve, double supply_v, double ohm, double x) {
    const double current = value_of(segment_at(&curve->current_a, x), x);
    const double a = ohm * current / (curve->voltage_v * curve->voltage_v);
    const double inside = 1.0 + 4.0 * a * supply_v;
    const double s = 2.0 * supply_v / (1.0 + sqrt(inside > 0.0 ? inside : 0.0)) / curve->voltage_v;
    return x * s * s;
}

/* A pump behind its wiring, as far as kinks go. */
typedef struct fr_wired_pump {
    const fr_pump *pump;
    double supply_v, ohm;
} fr_wired_pump;

static void add_at(fr_kinks *kinks, const fr_wired_pump *wired, const fr_pump_curve *curve,
                   bool scaled, double x) {
    add_kink(kinks, scaled && wired->pump->type == FR_PUMP_TURBINE
                        ? scaled_rise(curve, wired->supply_v, wired->ohm, x)
                        : x);
}

/* Bends of a line; its end points are none, since the line goes on with the same slope. */
static void add_bends(fr_kinks *kinks, const fr_wired_pump *wired, const fr_pump_curve *curve,
                      const fr_pump_line *line, bool scaled) {
    for (size_t i = 1; i + 1 < line->count; i++) {
        add_at(kinks, wired, curve, scaled, line->rise_pa[i]);
    }
}

/* Where the line goes below no current at low rise. */
static void add_end_of_current(fr_kinks *kinks, const fr_wired_pump *wired,
                               const fr_pump_curve *curve, bool scaled) {
    const fr_segment first = segment_of(&curve->current_a, 0);
    if (first.at_zero < 0.0 && first.slope > 0.0) {
        add_at(kinks, wired, curve, scaled, -first.at_zero / first.slope);
    }
}

/* Where the wiring leaves just the curve's voltage. */
static void add_voltage_crossings(fr_kinks *kinks, const fr_wired_pump *wired,
                                  const fr_pump_curve *curve) {
    const double current =
        wired->ohm > 0.0 ? (wired->supply_v - curve->voltage_v) / wired->ohm : -1.0;
    if (!(current > 0.0)) {
        return;
    }
    const fr_pump_line *line = &curve->current_a;
    for (size_t i = 0; i < segment_count(line); i++) {
        const fr_segment segment = segment_of(line, i);
        const double rise = segment.slope != 0.0 ? (current - segment.at_zero) / segment.slope : -1.0;
        const bool above = i == 0 || rise >= line->rise_pa[i];
        const bool below = i + 1 >= segment_count(line) || rise <= line->rise_pa[i + 1];
        if (above && below) {
            add_kink(kinks, rise);
        }
    }
}

static void add_kinks_of_curve(fr_kinks *kinks, const fr_wired_pump *wired,
                               const fr_pump_curve *curve, bool scaled) {
    add_bends(kinks, wired, curve, &curve->flow_m3_s, scaled);
    add_bends(kinks, wired, curve, &curve->current_a, scaled);
    add_end_of_current(kinks, wired, curve, scaled);
    /* the curve's own dead head: where its current stops to grow, and near where flow ends */
    const double dead = dead_head(&curve->flow_m3_s);
    if (isfinite(dead)) {
        add_at(kinks, wired, curve, scaled, dead);
    }
}

/* A voltage may be crossed in the range: kinks of all curves, scaled and not. */
static void add_all(fr_kinks *kinks, const fr_wired_pump *wired) {
    const size_t count = wired->pump->curve_count;
    for (size_t i = 0; i < count; i++) {
        const fr_pump_curve *curve = &wired->pump->curves[i];
        add_kinks_of_curve(kinks, wired, curve, i == 0 || i + 1 == count);
        if (count > 1) {
            add_kinks_of_curve(kinks, wired, curve, false);
        }
    }
}

size_t fr_pump_kinks(const fr_pump *pump, double supply_v, double ohm, double least_pa,
                     double most_pa, double kinks_pa[FR_KINKS_MAX]) {
    const fr_wired_pump wired = {pump, supply_v, ohm};
    const size_t count = pump->curve_count;
    fr_kinks kinks = {.least_pa = least_pa, .most_pa = most_pa};
    kinks.rise_pa = kinks_pa;
    for (size_t i = 0; i < count && count > 1; i++) {
        add_voltage_crossings(&kinks, &wired, &pump->curves[i]);
    }
    const size_t below = curves_below(pump, supply_v, ohm, least_pa);
    if (kinks.count > 0 || below != curves_below(pump, supply_v, ohm, most_pa)) {
        add_all(&kinks, &wired);
    } else if (below == 0 || below == count) {
        add_kinks_of_curve(&kinks, &wired, &pump->curves[below == 0 ? 0 : count - 1], true);
    } else {
        add_kinks_of_curve(&kinks, &wired, &pump->curves[below - 1], false);
        add_kinks_of_curve(&kinks, &wired, &pump->curves[below], false);
    }
    return kinks.count;
}
