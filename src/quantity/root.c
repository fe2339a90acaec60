/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "quantity/root.h"

#include <math.h>

enum { STEPS_MAX = 200 };

/* Fraction of the way from b to a for the next try; half where the inverse quadratic through the
 * last three points is not safe. */
static double next_fraction(double a, double fa, double b, double fb, double c, double fc,
                            double least) {
    const double xi = (a - b) / (c - b);
    const double phi = (fa - fb) / (fc - fb);
    double t = 0.5;
    if (phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi) {
        t = fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb);
    }
    if (!(t > least)) {
        t = least;
    }
    return t < 1.0 - least ? t : 1.0 - least;
}

double fr_root(fr_function *f, const void *context, double a, double fa, double b, double fb,
               double tolerance) {
    if (fa == 0.0) {
        return a;
    }
    if (fb == 0.0) {
        return b;
    }
    /* a is the last try, b the other side of the root, c the try before; a secant begins. */
    double t = fa / (fa - fb);
    t = t > 0.02 && t < 0.98 ? t : 0.5;
    double c, fc;
    for (int step = 0; step < STEPS_MAX; step++) {
        const double x = a + t * (b - a);
        const double fx = f(x, context);
        if ((fx > 0.0) == (fa > 0.0)) {
            c = a, fc = fa;
        } else {
            c = b, b = a;
            fc = fb, fb = fa;
        }
        a = x, fa = fx;
        const double width = fabs(b - a);
        if (fa == 0.0 || width <= 2.0 * tolerance) {
            return fa == 0.0 || fabs(fa) <= fabs(fb) ? a : b;
        }
        t = next_fraction(a, fa, b, fb, c, fc, tolerance / width);
    }
    return a;
}
