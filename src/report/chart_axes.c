/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/chart_axes.h"

#include <math.h>

static double round_step(double raw) {
    static const double STEPS[] = {1.0, 2.0, 5.0, 10.0};
    const double power = pow(10.0, floor(log10(raw)));
    size_t i = 0;
    while (i + 1 < sizeof STEPS / sizeof *STEPS && STEPS[i] * power < raw * (1.0 - 1e-9)) {
        i++;
    }
    return STEPS[i] * power;
}

fr_axis fr_axis_make(double least, double most, int wanted, bool hug) {
    if (!(most > least)) {
        most = least + 1.0;
    }
    fr_axis axis;
    axis.step = round_step((most - least) / wanted);
    axis.decimals = axis.step < 1.0 ? (int)ceil(-log10(axis.step) - 1e-9) : 0;
    axis.from = hug ? least : floor(least / axis.step + 1e-9) * axis.step;
    axis.to = hug ? most : ceil(most / axis.step - 1e-9) * axis.step;
    return axis;
}

static void span(double value, double *least, double *most) {
    if (isfinite(value)) {
        *least = value < *least ? value : *least;
        *most = value > *most ? value : *most;
    }
}

fr_axis fr_chart_x_axis(const fr_chart *chart) {
    enum { STEPS = 5 };
    double least = INFINITY, most = -INFINITY;
    for (size_t s = 0; s < chart->series_count; s++) {
        const fr_series *series = &chart->series[s];
        for (size_t i = 0; i < series->count && series->kind != FR_SERIES_LEVEL; i++) {
            span(series->x[i], &least, &most);
        }
    }
    return isfinite(least) ? fr_axis_make(least, most, STEPS, true) : fr_axis_make(0, 1, 5, true);
}

fr_axis fr_chart_y_axis(const fr_chart *chart) {
    enum { STEPS = 5 };
    double least = chart->y_from_zero ? 0.0 : INFINITY, most = -INFINITY;
    for (size_t s = 0; s < chart->series_count; s++) {
        const fr_series *series = &chart->series[s];
        for (size_t i = 0; i < series->count; i++) {
            span(series->y[i], &least, &most);
        }
    }
    if (chart->y_most > 0.0 && most > chart->y_most) {
        most = chart->y_most;
    }
    return isfinite(most) && isfinite(least) ? fr_axis_make(least, most, STEPS, false)
                                             : fr_axis_make(0, 1, STEPS, false);
}
