/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/format.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>

#include "fuelreach/quantity.h"

/* One unit for people: how it is shown, how the table of units spells it (null: the factor
 * stands here), how many significant digits a small number keeps, and at most how many decimals. */
typedef struct unit_shown {
    const char *label;
    const char *spelling;
    double factor; /* SI times this, where there is no spelling */
    int digits;
    int decimals;
} unit_shown;

/* 1 lbf = 0.45359237 kg x 9.80665 m/s2, exact (international agreement of 1959; CGPM 1901). */
#define NEWTON_A_LBF (0.45359237 * 9.80665)

static const unit_shown shown_units[FR_MEASURE_COUNT][2] = {
    [FR_MEASURE_POWER] = {{"kW", "kW", 0, 2, 1}, {"hp", "hp", 0, 2, 1}},
    [FR_MEASURE_FUEL_VOLUME] = {{"L/h", "L/h", 0, 2, 1}, {"gal/h", "gal/h", 0, 3, 1}},
    [FR_MEASURE_FUEL_MASS] = {{"kg/h", "kg/h", 0, 3, 1}, {"lb/h", "lb/h", 0, 3, 1}},
    [FR_MEASURE_PUMP_FLOW] = {{"L/h", "L/h", 0, 3, 0}, {"L/h", "L/h", 0, 3, 0}},
    [FR_MEASURE_PRESSURE] = {{"bar", "bar", 0, 3, 1}, {"psi", "psi", 0, 3, 1}},
    [FR_MEASURE_RAIL_PRESSURE] = {{"bar", "bar", 0, 3, 0}, {"psi", "psi", 0, 3, 0}},
    [FR_MEASURE_TEMPERATURE] = {{"°C", "degC", 0, 3, 0}, {"°F", "degF", 0, 3, 0}},
    [FR_MEASURE_VOLTAGE] = {{"V", "V", 0, 3, 1}, {"V", "V", 0, 3, 1}},
    [FR_MEASURE_CURRENT] = {{"A", "A", 0, 3, 1}, {"A", "A", 0, 3, 1}},
    [FR_MEASURE_RESISTANCE] = {{"mohm", "mohm", 0, 2, 1}, {"mohm", "mohm", 0, 2, 1}},
    [FR_MEASURE_BORE] = {{"mm", "mm", 0, 3, 1}, {"in", "in", 0, 3, 2}},
    [FR_MEASURE_CAM_VOLUME] = {{"cc", "cc", 0, 3, 2}, {"cc", "cc", 0, 3, 2}},
    [FR_MEASURE_ENGINE_VOLUME] = {{"L", "L", 0, 2, 1}, {"L", "L", 0, 2, 1}},
    [FR_MEASURE_PORT_FLOW] = {{"cc/min", "cc/min", 0, 3, 0}, {"cc/min", "cc/min", 0, 3, 0}},
    [FR_MEASURE_DIRECT_FLOW] = {{"cc/s", "cc/s", 0, 3, 1}, {"cc/s", "cc/s", 0, 3, 1}},
    [FR_MEASURE_INJECTOR_MASS] = {{"g/s", "g/s", 0, 3, 2}, {"lb/h", "lb/h", 0, 3, 1}},
    [FR_MEASURE_TIME] = {{"ms", "ms", 0, 3, 2}, {"ms", "ms", 0, 3, 2}},
    [FR_MEASURE_ANGLE] = {{"deg", "deg", 0, 3, 0}, {"deg", "deg", 0, 3, 0}},
    [FR_MEASURE_SPEED] = {{"rpm", "rpm", 0, 4, 0}, {"rpm", "rpm", 0, 4, 0}},
    [FR_MEASURE_CONSUMPTION] = {{"g/kWh", "g/kWh", 0, 3, 0}, {"lb/hp/h", "lb/hp/h", 0, 3, 3}},
    [FR_MEASURE_FORCE] = {{"kN", NULL, 1e-3, 2, 1}, {"lbf", NULL, 1.0 / NEWTON_A_LBF, 3, 0}},
    [FR_MEASURE_PERCENT] = {{"%", NULL, 100.0, 3, 0}, {"%", NULL, 100.0, 3, 0}},
};

static const unit_shown *unit_of(fr_measure measure, fr_units units) {
    return &shown_units[measure][units == FR_US];
}

const char *fr_measure_unit(fr_measure measure, fr_units units) {
    return unit_of(measure, units)->label;
}

double fr_measure_value(fr_measure measure, fr_units units, double si) {
    const unit_shown *unit = unit_of(measure, units);
    return unit->spelling == NULL ? si * unit->factor : fr_in_unit(si, unit->spelling);
}

int fr_measure_decimals(fr_measure measure, fr_units units, double shown) {
    const unit_shown *unit = unit_of(measure, units);
    if (!isfinite(shown) || shown == 0)
        return unit->decimals;
    int places = unit->digits - 1 - (int)floor(log10(fabs(shown)));
    return places < 0 ? 0 : places < unit->decimals ? places : unit->decimals;
}

double fr_round_to(double value, int decimals, fr_rounding rounding) {
    static const double on_a_step = 1e-6;
    double scale = pow(10.0, decimals);
    double steps = value * scale;
    /* Arithmetic also errs in proportion to the figure itself. */
    double slack = on_a_step * fmax(1.0, fabs(steps) * 1e-3);
    double whole = rounding == FR_UP     ? ceil(steps - slack)
                   : rounding == FR_DOWN ? floor(steps + slack)
                                         : round(steps);
    return whole == 0 ? 0 : whole / scale;
}

void fr_show_bare(fr_words *words, fr_measure measure, fr_units units, double si,
                  fr_rounding rounding) {
    if (!isfinite(si)) {
        fr_words_add(words, "none");
        return;
    }
    double value = fr_measure_value(measure, units, si);
    int decimals = fr_measure_decimals(measure, units, value);
    fr_words_add(words, "%.*f", decimals, fr_round_to(value, decimals, rounding));
}

void fr_show(fr_words *words, fr_measure measure, fr_units units, double si, fr_rounding rounding) {
    fr_show_bare(words, measure, units, si, rounding);
    if (isfinite(si))
        fr_words_add(words, " %s", fr_measure_unit(measure, units));
}

double fr_power_rounded(double power_w, fr_units units, double step) {
    double shown = fr_measure_value(FR_MEASURE_POWER, units, power_w);
    if (step > 0)
        return step * fr_round_to(shown / step, 0, FR_DOWN);
    return fr_round_to(shown, fr_measure_decimals(FR_MEASURE_POWER, units, shown), FR_DOWN);
}

static void name_percent(double percent, char name[FR_BLEND_NAME_MAX]) {
    snprintf(name, FR_BLEND_NAME_MAX, "E%.4g", percent);
}

void fr_blend_name(double ethanol, char name[FR_BLEND_NAME_MAX]) {
    name_percent(fr_round_to(100.0 * ethanol, 2, FR_NEAREST), name);
}

void fr_blend_name_down(double ethanol, char name[FR_BLEND_NAME_MAX]) {
    name_percent(fr_round_to(100.0 * ethanol, 0, FR_DOWN), name);
}

/* Indices of the blends in order of content. */
static size_t put_in_order(const double *ethanol, size_t count, size_t order[FR_BLENDS_MAX]) {
    size_t known = count < FR_BLENDS_MAX ? count : FR_BLENDS_MAX;
    for (size_t i = 0; i < known; i++) {
        size_t at = i;
        for (; at > 0 && ethanol[order[at - 1]] > ethanol[i]; at--)
            order[at] = order[at - 1];
        order[at] = i;
    }
    return known;
}

void fr_blend_list(fr_words *words, const double *ethanol, const bool *chosen, size_t count) {
    size_t order[FR_BLENDS_MAX], found = 0;
    size_t known = put_in_order(ethanol, count, order);
    bool gap = false, left_out = false;
    for (size_t i = 0; i < known; i++) {
        if (chosen[order[i]]) {
            gap = gap || left_out;
            order[found++] = order[i];
        } else {
            left_out = found > 0;
        }
    }
    char name[FR_BLEND_NAME_MAX];
    if (found >= 3 && !gap) {
        fr_blend_name(ethanol[order[0]], name);
        fr_words_add(words, "%s to ", name);
        fr_blend_name(ethanol[order[found - 1]], name);
        fr_words_add(words, "%s", name);
        return;
    }
    for (size_t i = 0; i < found; i++) {
        fr_blend_name(ethanol[order[i]], name);
        fr_words_add(words, "%s%s", fr_words_between(i, found, " and "), name);
    }
}
