/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "reference/parts.h"

/* False position (Illinois); every third step halves, so that jumps and kinks cannot stall it. */
double ref_root(ref_function *f, const void *context, double lo, double hi) {
    double f_lo = f(lo, context), f_hi = f(hi, context);
    const bool rising = f_hi > 0.0;
    for (int step = 0; step < 400; step++) {
        const double width = hi - lo;
        double x = lo + width / 2.0;
        if (step % 3 != 2 && isfinite(f_lo) && isfinite(f_hi) && f_lo != f_hi) {
            const double guess = lo - f_lo * width / (f_hi - f_lo);
            x = guess > lo && guess < hi ? guess : x;
        }
        if (x <= lo || x >= hi || width <= 4e-16 * fabs(hi)) {
            break;
        }
        const double f_x = f(x, context);
        if (f_x == 0.0) {
            return x;
        }
        if ((f_x > 0.0) == rising) {
            hi = x;
            f_hi = f_x;
            f_lo *= 0.5;
        } else {
            lo = x;
            f_lo = f_x;
            f_hi *= 0.5;
        }
    }
    return lo + (hi - lo) / 2.0;
}

static double between(double x, double x0, double y0, double x1, double y1) {
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0);
}

double ref_curve(const fr_curve *curve, double x) {
    const size_t last = curve->count - 1;
    double y = curve->y[last];
    if (x <= curve->x[0]) {
        y = curve->y[0];
    } else if (x < curve->x[last]) {
        size_t i = 1;
        while (curve->x[i] < x) {
            i++;
        }
        y = between(x, curve->x[i - 1], curve->y[i - 1], curve->x[i], curve->y[i]);
    }
    return curve->scale * y + curve->shift;
}

double ref_line(const fr_pump_line *line, double x) {
    if (line->count == 1) {
        return line->y[0];
    }
    size_t i = 1;
    while (i < line->count - 1 && line->rise_pa[i] < x) {
        i++;
    }
    return between(x, line->rise_pa[i - 1], line->y[i - 1], line->rise_pa[i], line->y[i]);
}
