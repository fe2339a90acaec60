/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two independent sets of draws, A and B, as Sobol indices want them. Up to 20 inputs they are
 * every other column of one Sobol sequence, so that the first inputs have its first columns. GSL
 * ends at 40 columns; beyond 20 inputs B is a later stretch of the same columns, under a shift of
 * its own and in random order. */
#ifndef FR_PROMISE_SETS_H
#define FR_PROMISE_SETS_H

#include <stdbool.h>

#include "chance/points.h"

typedef struct fr_sets {
    size_t draws, dimensions;
    uint64_t seed;
    double *a, *b; /* [draw][dimension], in the unit cube, before the shift */
    double a_amounts[FR_POINT_DIMENSIONS_MAX], b_amounts[FR_POINT_DIMENSIONS_MAX];
} fr_sets;

/* False when out of memory. */
bool fr_sets_open(fr_sets *sets, size_t draws, size_t dimensions, uint64_t seed);
void fr_sets_close(fr_sets *sets);
/* Deviations of A (`first`) or B from draw `from`, `lanes` of them. */
void fr_sets_deviate(const fr_sets *sets, bool first, size_t from, size_t lanes, fr_row *z);

#endif
