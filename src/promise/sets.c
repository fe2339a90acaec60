/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "promise/sets.h"

#include <stdlib.h>
#include <string.h>

#include "fuelreach/promise.h"

/* Numbers of the shifts: those below belong to the draws. */
enum { SHIFT_OF_A = FR_PROMISE_SHIFTS, SHIFT_OF_B = FR_PROMISE_SHIFTS + 1 };

static void split_columns(fr_points *points, fr_sets *sets) {
    const size_t d = sets->dimensions;
    double both[FR_SOBOL_DIMENSIONS_MAX], amounts[FR_POINT_DIMENSIONS_MAX];
    for (size_t i = 0; i < sets->draws; i++) {
        fr_points_next(points, 1, both);
        for (size_t k = 0; k < d; k++) {
            sets->a[i * d + k] = both[2 * k];
            sets->b[i * d + k] = both[2 * k + 1];
        }
    }
    fr_points_shift(sets->seed, SHIFT_OF_A, 2 * d, amounts);
    for (size_t k = 0; k < d; k++) {
        sets->a_amounts[k] = amounts[2 * k];
        sets->b_amounts[k] = amounts[2 * k + 1];
    }
}

static void shuffle_rows(double *rows, size_t count, size_t width, uint64_t seed) {
    uint64_t state = seed;
    for (size_t i = count; i-- > 1;) {
        const size_t k = (size_t)(fr_random_even(&state) * (double)(i + 1));
        for (size_t d = 0; d < width; d++) {
            const double kept = rows[i * width + d];
            rows[i * width + d] = rows[k * width + d];
            rows[k * width + d] = kept;
        }
    }
}

static void two_stretches(fr_points *points, fr_sets *sets) {
    const size_t d = sets->dimensions;
    fr_points_next(points, sets->draws, sets->a);
    fr_points_next(points, sets->draws, sets->b);
    shuffle_rows(sets->b, sets->draws, d, sets->seed);
    fr_points_shift(sets->seed, SHIFT_OF_A, d, sets->a_amounts);
    fr_points_shift(sets->seed, SHIFT_OF_B, d, sets->b_amounts);
}

bool fr_sets_open(fr_sets *sets, size_t draws, size_t dimensions, uint64_t seed) {
    const bool halves = 2 * dimensions <= FR_SOBOL_DIMENSIONS_MAX;
    *sets = (fr_sets){.draws = draws, .dimensions = dimensions, .seed = seed};
    sets->a = malloc(sizeof(double) * (draws * dimensions + 1));
    sets->b = malloc(sizeof(double) * (draws * dimensions + 1));
    fr_points *points = fr_points_open(halves ? 2 * dimensions : dimensions);
    const bool there = sets->a != NULL && sets->b != NULL && points != NULL;
    if (there && halves) {
        split_columns(points, sets);
    } else if (there) {
        two_stretches(points, sets);
    }
    fr_points_close(points);
    return there;
}

void fr_sets_close(fr_sets *sets) {
    free(sets->a);
    free(sets->b);
    sets->a = sets->b = NULL;
}

void fr_sets_deviate(const fr_sets *sets, bool first, size_t from, size_t lanes, fr_row *z) {
    const double *base = (first ? sets->a : sets->b) + from * sets->dimensions;
    fr_points_deviate(base, lanes, sets->dimensions, first ? sets->a_amounts : sets->b_amounts,
                      sets->seed, first ? SHIFT_OF_A : SHIFT_OF_B, from, z);
}
