/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "reference/make.h"

fr_curve make_constant(double y) {
    fr_curve curve = {.count = 1, .scale = 1.0};
    curve.y[0] = y;
    return curve;
}

fr_curve make_curve(double unit, const double *pairs, size_t pair_count) {
    fr_curve curve = {.count = pair_count, .scale = 1.0};
    for (size_t i = 0; i < pair_count; i++) {
        curve.x[i] = pairs[2 * i];
        curve.y[i] = unit * pairs[2 * i + 1];
    }
    return curve;
}

fr_pump_line make_line(double unit, const double *pairs, size_t pair_count) {
    static const double pa_per_bar = 1e5;
    fr_pump_line line = {.count = pair_count};
    for (size_t i = 0; i < pair_count; i++) {
        line.rise_pa[i] = pa_per_bar * pairs[2 * i];
        line.y[i] = unit * pairs[2 * i + 1];
    }
    return line;
}
