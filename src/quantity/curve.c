/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fuelreach/curve.h"

fr_curve fr_curve_constant(double y) {
    fr_curve curve = {.count = 1, .scale = 1.0, .shift = 0.0, .x = {0.0}, .y = {y}};
    return curve;
}

/* The piece that holds x is the number of inner points at or below x: a sum of comparisons, which
 * needs no branch and becomes a few vector instructions, where a search would be mispredicted. */
double fr_curve_at(const fr_curve *curve, double x) {
    size_t last = curve->count - 1;
    double value = curve->y[last];
    if (last != 0) {
        size_t piece = 0;
        for (size_t k = 1; k < last; k++) {
            piece += curve->x[k] <= x;
        }
        double x0 = curve->x[piece];
        double y0 = curve->y[piece];
        double part = (x - x0) / (curve->x[piece + 1] - x0);
        part = part < 0.0 ? 0.0 : part;
        double inside = y0 + part * (curve->y[piece + 1] - y0);
        value = x >= curve->x[last] ? value : inside;
    }
    return curve->scale * value + curve->shift;
}

double fr_curve_least(const fr_curve *curve) {
    double least = curve->scale * curve->y[0] + curve->shift;
    for (size_t i = 1; i < curve->count; i++) {
        double y = curve->scale * curve->y[i] + curve->shift;
        least = y < least ? y : least;
    }
    return least;
}

double fr_curve_greatest(const fr_curve *curve) {
    double greatest = curve->scale * curve->y[0] + curve->shift;
    for (size_t i = 1; i < curve->count; i++) {
        double y = curve->scale * curve->y[i] + curve->shift;
        greatest = y > greatest ? y : greatest;
    }
    return greatest;
}
