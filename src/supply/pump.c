/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One lift pump: its curves at any voltage, and the voltage that its wiring leaves it. */
#include <math.h>

#include "fuelreach/supply.h"
#include "quantity/root.h"

/* ---- one line, extended at both ends by the slope of its end segment ---- */

static double line_at(const fr_pump_line *line, double rise_pa) {
    if (line->count == 1) {
        return line->y[0];
    }
    size_t i = 0;
    while (i + 2 < line->count && rise_pa > line->rise_pa[i + 1]) {
        i++;
    }
    const double t = (rise_pa - line->rise_pa[i]) / (line->rise_pa[i + 1] - line->rise_pa[i]);
    return line->y[i] + t * (line->y[i + 1] - line->y[i]);
}

/* Rise at which `line + offset` falls to zero; infinite when it never does. */
static double line_zero(const fr_pump_line *line, double offset) {
    if (line->count == 1) {
        return line->y[0] + offset > 0.0 ? INFINITY : 0.0;
    }
    size_t i = 0;
    while (i + 2 < line->count && line->y[i + 1] + offset > 0.0) {
        i++;
    }
    const double slope =
        (line->y[i + 1] - line->y[i]) / (line->rise_pa[i + 1] - line->rise_pa[i]);
    if (!(slope < 0.0)) {
        return line->y[i] + offset > 0.0 ? INFINITY : line->rise_pa[i];
    }
    return line->rise_pa[i] - (line->y[i] + offset) / slope;
}

/* ---- a pump at a voltage ---- */

/* Where a voltage lies among a pump's curves: between two, or outside the nearest one. */
typedef struct fr_curve_place {
    const fr_pump_curve *low;
    const fr_pump_curve *high; /* null: outside */
    double t;                  /* from low to high */
    double ratio;              /* outside: voltage over the curve's */
} fr_curve_place;

static fr_curve_place place_of(const fr_pump *pump, double voltage_v) {
    const fr_pump_curve *curves = pump->curves;
    const size_t last = pump->curve_count - 1;
    if (voltage_v <= curves[0].voltage_v) {
        return (fr_curve_place){curves, NULL, 0.0, voltage_v / curves[0].voltage_v};
    }
    if (voltage_v >= curves[last].voltage_v) {
        return (fr_curve_place){curves + last, NULL, 0.0, voltage_v / curves[last].voltage_v};
    }
    size_t i = 0;
    while (voltage_v > curves[i + 1].voltage_v) {
        i++;
    }
    const double t =
        (voltage_v - curves[i].voltage_v) / (curves[i + 1].voltage_v - curves[i].voltage_v);
    return (fr_curve_place){curves + i, curves + i + 1, t, 1.0};
}

/* Flow of the extended lines, not clipped. Outside the curves a turbine follows the affinity laws;
 * a positive displacement pump turns faster against the same leak. */
static double open_flow(const fr_pump *pump, const fr_curve_place *place, double rise_pa) {
    if (place->high != NULL) {
        const double low = line_at(&place->low->flow_m3_s, rise_pa);
        return low + place->t * (line_at(&place->high->flow_m3_s, rise_pa) - low);
    }
    const double s = place->ratio;
    if (pump->type == FR_PUMP_TURBINE) {
        return s * line_at(&place->low->flow_m3_s, rise_pa / (s * s));
    }
    return line_at(&place->low->flow_m3_s, rise_pa) +
           (s - 1.0) * line_at(&place->low->flow_m3_s, 0.0);
}

static double open_current(const fr_pump *pump, const fr_curve_place *place, double rise_pa) {
    if (place->high != NULL) {
        const double low = line_at(&place->low->current_a, rise_pa);
        return low + place->t * (line_at(&place->high->current_a, rise_pa) - low);
    }
    const double s = place->ratio;
    return pump->type == FR_PUMP_TURBINE
               ? s * s * line_at(&place->low->current_a, rise_pa / (s * s))
               : line_at(&place->low->current_a, rise_pa);
}

typedef struct fr_dead_head_search {
    const fr_pump *pump;
    const fr_curve_place *place;
} fr_dead_head_search;

static double flow_of_search(double rise_pa, const void *context) {
    const fr_dead_head_search *search = context;
    return open_flow(search->pump, search->place, rise_pa);
}

/* Rise at which the flow ends. Between two curves it lies between their own dead heads. */
static double dead_head(const fr_pump *pump, const fr_curve_place *place) {
    const double low = line_zero(&place->low->flow_m3_s, 0.0);
    if (place->high == NULL) {
        const double s = place->ratio;
        return pump->type == FR_PUMP_TURBINE
                   ? s * s * low
                   : line_zero(&place->low->flow_m3_s,
                               (s - 1.0) * line_at(&place->low->flow_m3_s, 0.0));
    }
    const double high = line_zero(&place->high->flow_m3_s, 0.0);
    double from = low < high ? low : high;
    double to = low < high ? high : low;
    const double RISE_BEYOND_ALL_PA = 1e9;
    to = to < RISE_BEYOND_ALL_PA ? to : RISE_BEYOND_ALL_PA;
    if (!(from < to)) {
        return from;
    }
    const fr_dead_head_search search = {pump, place};
    const double flow_from = flow_of_search(from, &search), flow_to = flow_of_search(to, &search);
    if (flow_to > 0.0) {
        return INFINITY;
    }
    return fr_root(flow_of_search, &search, from, flow_from, to, flow_to, 1e-6);
}

fr_pump_state fr_pump_at_voltage(const fr_pump *pump, double rise_pa, double voltage_v) {
    fr_pump_state state = {0.0, voltage_v, 0.0};
    if (!(voltage_v > 0.0)) {
        return state;
    }
    const fr_curve_place place = place_of(pump, voltage_v);
    const bool relieved = pump->relief_pa > 0.0 && rise_pa >= pump->relief_pa;
    double rise = relieved ? pump->relief_pa : rise_pa;
    const double flow = open_flow(pump, &place, rise);
    if (flow > 0.0) {
        state.flow_m3_s = relieved ? 0.0 : flow * pump->flow_factor;
    } else {
        const double dead = dead_head(pump, &place);
        rise = rise < dead ? rise : dead;
    }
    const double current = open_current(pump, &place, rise);
    state.current_a = current > 0.0 ? current : 0.0;
    return state;
}

/* ---- a pump behind a resistance ---- */

typedef struct fr_circuit {
    const fr_pump *pump;
    double rise_pa;
    double supply_v;
    double ohm;
} fr_circuit;

/* Voltage over what the supply leaves after the drop; zero where the circuit is in balance. */
static double voltage_surplus(double voltage_v, const void *context) {
    const fr_circuit *circuit = context;
    const fr_pump_state state = fr_pump_at_voltage(circuit->pump, circuit->rise_pa, voltage_v);
    return voltage_v - circuit->supply_v + circuit->ohm * state.current_a;
}

/* Balance in closed form between two curves, where current is linear in voltage. */
static double balance_between(const fr_circuit *circuit, const fr_pump_curve *low,
                              const fr_pump_curve *high) {
    const double at_low = line_at(&low->current_a, circuit->rise_pa);
    const double slope = (line_at(&high->current_a, circuit->rise_pa) - at_low) /
                         (high->voltage_v - low->voltage_v);
    return (circuit->supply_v - circuit->ohm * (at_low - low->voltage_v * slope)) /
           (1.0 + circuit->ohm * slope);
}

/* Balance outside the curves: a turbine's current is s^2 (a + b p/s^2) on each piece of its line,
 * a quadratic in the voltage; the piece is the one that the pump works on at `near_v`. NAN where
 * there is no such balance. */
static double balance_outside(const fr_circuit *circuit, const fr_pump_curve *curve,
                              double near_v) {
    const fr_pump_line *line = &curve->current_a;
    if (circuit->pump->type != FR_PUMP_TURBINE) {
        return circuit->supply_v - circuit->ohm * line_at(line, circuit->rise_pa);
    }
    const double s = near_v / curve->voltage_v;
    const double x = circuit->rise_pa / (s * s);
    double slope = 0.0, at_none = line->y[0];
    if (line->count > 1) {
        size_t i = 0;
        while (i + 2 < line->count && x > line->rise_pa[i + 1]) {
            i++;
        }
        slope = (line->y[i + 1] - line->y[i]) / (line->rise_pa[i + 1] - line->rise_pa[i]);
        at_none = line->y[i] - slope * line->rise_pa[i];
    }
    const double a = circuit->ohm * at_none / (curve->voltage_v * curve->voltage_v);
    const double c = circuit->supply_v - circuit->ohm * slope * circuit->rise_pa;
    return 2.0 * c / (1.0 + sqrt(1.0 + 4.0 * a * c));
}

/* A first answer, right wherever no curve's kink or dead head lies between it and the true one. */
static double balance_guess(const fr_circuit *circuit) {
    const fr_pump *pump = circuit->pump;
    const fr_pump_curve *curves = pump->curves;
    size_t i = pump->curve_count - 1;
    if (circuit->supply_v > curves[i].voltage_v) {
        const double voltage = balance_outside(circuit, &curves[i], circuit->supply_v);
        if (!(voltage < curves[i].voltage_v)) {
            return voltage;
        }
    }
    for (; i > 0; i--) {
        const double voltage = balance_between(circuit, &curves[i - 1], &curves[i]);
        if (voltage >= curves[i - 1].voltage_v) {
            return voltage;
        }
    }
    const double rough = balance_outside(circuit, curves, curves[0].voltage_v);
    return balance_outside(circuit, curves, rough > 0.0 ? rough : curves[0].voltage_v);
}

/* The greatest voltage in balance: from the supply's downwards, past each curve's voltage, to the
 * first place where the drop is more than what is left; there is one, since no voltage draws
 * no current. */
static double balance_searched(const fr_circuit *circuit) {
    double above = circuit->supply_v;
    double surplus_above = voltage_surplus(above, circuit);
    for (size_t i = circuit->pump->curve_count; i-- > 0;) {
        const double voltage = circuit->pump->curves[i].voltage_v;
        if (voltage >= above) {
            continue;
        }
        const double surplus = voltage_surplus(voltage, circuit);
        if (surplus <= 0.0) {
            return fr_root(voltage_surplus, circuit, voltage, surplus, above, surplus_above, 1e-10);
        }
        above = voltage;
        surplus_above = surplus;
    }
    return fr_root(voltage_surplus, circuit, 0.0, -circuit->supply_v, above, surplus_above, 1e-10);
}

fr_pump_state fr_pump_behind(const fr_pump *pump, double rise_pa, double supply_v, double ohm) {
    static const double BALANCED_V = 1e-12;
    if (!(ohm > 0.0)) {
        return fr_pump_at_voltage(pump, rise_pa, supply_v);
    }
    const fr_circuit circuit = {pump, rise_pa, supply_v, ohm};
    const double guess = balance_guess(&circuit);
    if (guess > 0.0 && guess <= supply_v) {
        const fr_pump_state state = fr_pump_at_voltage(pump, rise_pa, guess);
        if (fabs(guess - supply_v + ohm * state.current_a) < BALANCED_V * supply_v) {
            return state;
        }
    }
    return fr_pump_at_voltage(pump, rise_pa, balance_searched(&circuit));
}

/* ---- a typical pump ---- */

fr_pump fr_pump_typical(double flow_m3_s, double rise_pa) {
    /* common practice, no source: flow and current of a turbine pump over its figures at 3 bar */
    static const double RISE_PA[] = {3e5, 4e5, 5e5, 6e5};
    static const double FLOW[] = {1.0, 0.91, 0.81, 0.70};
    static const double CURRENT[] = {1.0, 1.17, 1.34, 1.5};
    static const double AMPERE_PER_M3_S = 0.029 * 3.6e6; /* 0.029 A a litre an hour */
    enum { POINTS = sizeof RISE_PA / sizeof *RISE_PA };
    fr_pump pump = {.type = FR_PUMP_TURBINE, .count = 1, .flow_factor = 1.0, .curve_count = 1};
    fr_pump_curve *curve = &pump.curves[0];
    curve->voltage_v = 13.5;
    curve->flow_m3_s.count = curve->current_a.count = POINTS;
    for (size_t i = 0; i < POINTS; i++) {
        curve->flow_m3_s.rise_pa[i] = curve->current_a.rise_pa[i] = RISE_PA[i];
        curve->flow_m3_s.y[i] = FLOW[i];
    }
    const double flow_at_3_bar = flow_m3_s / line_at(&curve->flow_m3_s, rise_pa);
    for (size_t i = 0; i < POINTS; i++) {
        curve->flow_m3_s.y[i] = FLOW[i] * flow_at_3_bar;
        curve->current_a.y[i] = CURRENT[i] * flow_at_3_bar * AMPERE_PER_M3_S;
    }
    return pump;
}
