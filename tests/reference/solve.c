/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "reference/parts.h"

/* Three points of a bracketed search: the newest, the one on the other side of the root, and the
 * one before. */
typedef struct bracket {
    double a, fa, b, fb, c, fc;
} bracket;

/* How far from a to b to go next: inverse quadratic where Chandrupatla (1997) allows it, else to
 * the middle. */
static double next_part(const bracket *r) {
    const double xi = (r->a - r->b) / (r->c - r->b), phi = (r->fa - r->fb) / (r->fc - r->fb);
    if (!isfinite(r->fa + r->fb + r->fc) || !(phi * phi < xi) ||
        !((1.0 - phi) * (1.0 - phi) < 1.0 - xi)) {
        return 0.5;
    }
    return r->fa / (r->fb - r->fa) * r->fc / (r->fb - r->fc) +
           (r->c - r->a) / (r->b - r->a) * r->fa / (r->fc - r->fa) * r->fb / (r->fc - r->fb);
}

double ref_root(ref_function *f, const void *context, double lo, double hi) {
    bracket r = {hi, f(hi, context), lo, f(lo, context), lo, 0.0};
    const double nothing = 1e-17 * fabs(hi - lo);
    double part = 0.5;
    r.fc = r.fb;
    for (int step = 0; step < 200; step++) {
        const double least = fmax(nothing, 4e-16 * fmax(fabs(r.a), fabs(r.b))) / fabs(r.b - r.a);
        if (least > 0.2 || r.fa == 0.0) {
            break;
        }
        part = fmin(fmax(part, 2.0 * least), 1.0 - 2.0 * least);
        const double x = r.a + part * (r.b - r.a), fx = f(x, context);
        r.c = r.a;
        r.fc = r.fa;
        if ((fx > 0.0) != (r.fa > 0.0)) {
            r.c = r.b;
            r.fc = r.fb;
            r.b = r.a;
            r.fb = r.fa;
        }
        r.a = x;
        r.fa = fx;
        part = next_part(&r);
    }
    return r.a;
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
