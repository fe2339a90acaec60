/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Points in the unit cube that fill it evenly, and deviations made of them: randomised quasi-Monte
 * Carlo. The points are GSL's Sobol sequence, with the point at the origin that GSL leaves out put
 * back (2^m points are then a net). Independent shifts make independent estimates, whose scatter is
 * the standard error. A shift flips binary digits, the same of every point, which keeps the net. That
 * alone does not make errors small: pairs of late columns fill their squares unevenly, and with
 * inputs in the order of a sheet errors were larger than those of plain random numbers. What cured it is
 * that the inputs that matter most come first (fr_chance_rank).
 *
 * GSL's generator ends at 40 dimensions. What goes beyond is drawn by plain pseudo-random numbers:
 * each estimate stays unbiased, the inputs at the end of the list gain less. */
#ifndef FR_CHANCE_POINTS_H
#define FR_CHANCE_POINTS_H

#include <stddef.h>
#include <stdint.h>

#include "chance/lanes.h"

enum { FR_POINT_DIMENSIONS_MAX = 160, FR_SOBOL_DIMENSIONS_MAX = 40 };

typedef struct fr_points fr_points;

/* `dimensions` up to FR_POINT_DIMENSIONS_MAX. Null when out of memory. */
fr_points *fr_points_open(size_t dimensions);
void fr_points_close(fr_points *points);
/* Back to the first point. */
void fr_points_restart(fr_points *points);
/* The next `count` points, [point][dimension], before any shift. */
void fr_points_next(fr_points *points, size_t count, double *base);

/* A coordinate under a shift: binary digits of both, added without carry (53 of them). */
static inline double fr_shifted(double base, double amount) {
    const uint64_t digits = (uint64_t)(base * 0x1.0p53) ^ (uint64_t)(amount * 0x1.0p53);
    return (double)digits * 0x1.0p-53;
}

/* The amounts by which shift number `shift` of a seed moves each dimension, in [0, 1). */
void fr_points_shift(uint64_t seed, size_t shift, size_t dimensions, double *amounts);
/* Deviations of a block of points: row d of `z` holds dimension d in standard deviations, normal,
 * cut at three of them. Lanes from `count` on repeat the last point. `first`: number of the block's
 * first point in the sequence. */
void fr_points_deviate(const double *base, size_t count, size_t dimensions, const double *amounts,
                       uint64_t seed, size_t shift, size_t first, fr_row *z);

/* Standard normal deviate of a probability that is even in (0, 1), cut at three standard
 * deviations. Wichura, Applied Statistics 37 (1988) 477, algorithm AS 241 (PPND16), to 1e-15. */
void fr_lane_deviates(const double *even, double *z);

/* splitmix64: a step of a 64-bit state, well mixed (Steele, Lea and Flood, OOPSLA 2014). */
uint64_t fr_random_next(uint64_t *state);
double fr_random_even(uint64_t *state); /* in [0, 1) */

#endif
