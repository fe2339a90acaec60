/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What "known to 1 %" is for each kind of figure. */
#include <math.h>
#include <stddef.h>
#include <string.h>

#include "fuelreach/promise.h"

static const double PART = 0.01;
static const double TEMPERATURE_K = 1.0; /* a per cent of a degree Celsius says nothing */
static const double CONTENT = 0.01;      /* one point of ethanol */

static double double_at(const fr_build *build, size_t place) {
    double value;
    memcpy(&value, (const char *)build + place, sizeof value);
    return value;
}

static bool is_temperature(size_t place) {
    static const size_t PLACES[] = {
        offsetof(fr_build, site.tank_temperature_c), offsetof(fr_build, site.feed_temperature_c),
        offsetof(fr_build, site.rail_temperature_c),
        offsetof(fr_build, site.hp_inlet_temperature_c),
        offsetof(fr_build, engine.charge_temperature_c)};
    for (size_t i = 0; i < sizeof PLACES / sizeof *PLACES; i++) {
        if (place == PLACES[i]) {
            return true;
        }
    }
    return false;
}

/* The greatest value of the curve that a shift belongs to; false where it belongs to none. */
static bool curve_of_shift(const fr_build *build, size_t place, double *greatest) {
    static const size_t CURVES[] = {
        offsetof(fr_build, engine.target_power_w), offsetof(fr_build, engine.bsfc_kg_j),
        offsetof(fr_build, engine.lambda),         offsetof(fr_build, engine.same_air_gain),
        offsetof(fr_build, engine.boost_gauge_pa), offsetof(fr_build, port.dead_time_s),
        offsetof(fr_build, direct.rail_command_pa), offsetof(fr_build, direct.window_deg),
        offsetof(fr_build, direct.fill),           offsetof(fr_build, direct_share)};
    for (size_t i = 0; i < sizeof CURVES / sizeof *CURVES; i++) {
        if (place == CURVES[i] + offsetof(fr_curve, shift)) {
            *greatest = fr_curve_greatest((const fr_curve *)((const char *)build + CURVES[i]));
            return true;
        }
    }
    return false;
}

static double shift_known(const fr_build *build, size_t place) {
    if (is_temperature(place)) {
        return TEMPERATURE_K;
    }
    if (place == offsetof(fr_build, ethanol_shift)) {
        return CONTENT;
    }
    if (place == offsetof(fr_build, engine.manifold_shift_pa)) {
        return PART * (build->site.air_pressure_pa + fr_curve_greatest(&build->engine.boost_gauge_pa));
    }
    double value;
    if (!curve_of_shift(build, place, &value)) {
        value = double_at(build, place);
    }
    return PART * fabs(value);
}

double fr_promise_known_width(const fr_build *build, const fr_input *input) {
    const double known = input->kind == FR_INPUT_SCALE || input->target_count == 0
                             ? PART
                             : shift_known(build, input->targets[0]);
    return known < input->half_width ? known : input->half_width;
}
