/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Piecewise linear curves. */
#ifndef FUELREACH_CURVE_H
#define FUELREACH_CURVE_H

#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

enum { FR_CURVE_POINTS_MAX = 64 };

/* y over x, x strictly rising, 1..FR_CURVE_POINTS_MAX points (one point: a constant).
 * The value of the curve is scale * y + shift, so that a tolerance or a learnt factor moves a
 * whole curve by one number. */
typedef struct fr_curve {
    size_t count;
    double scale; /* 1 unless perturbed */
    double shift; /* 0 unless perturbed, in the unit of y */
    double x[FR_CURVE_POINTS_MAX];
    double y[FR_CURVE_POINTS_MAX];
} fr_curve;

/* A constant curve. */
fr_curve fr_curve_constant(double y);
/* Value at x, held flat outside the first and last point. */
double fr_curve_at(const fr_curve *curve, double x);
/* Least and greatest value over the points. */
double fr_curve_least(const fr_curve *curve);
double fr_curve_greatest(const fr_curve *curve);

#ifdef __cplusplus
}
#endif
#endif
