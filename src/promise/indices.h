/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sums that Sobol indices are made of, and a quantile of a list. */
#ifndef FR_PROMISE_INDICES_H
#define FR_PROMISE_INDICES_H

#include <stddef.h>

#include "fuelreach/promise.h"

typedef struct fr_index_sums {
    double count, sum, squares; /* of f over A and B together */
    double first[FR_PROMISE_INPUTS_MAX];
    double total[FR_PROMISE_INPUTS_MAX];
} fr_index_sums;

/* f at A and B, `count` of each. */
void fr_index_sums_pair(fr_index_sums *sums, size_t count, const double *a, const double *b);
/* And with the column of one input taken from B into A. */
void fr_index_sums_input(fr_index_sums *sums, size_t input, size_t count, const double *a,
                         const double *b, const double *mixed);
void fr_index_sums_merge(fr_index_sums *sums, const fr_index_sums *more, size_t inputs);
/* NAN where f does not scatter. Noise below zero is cut. */
void fr_index_of_sums(const fr_index_sums *sums, size_t input, double *first_order, double *total);

/* Value that a part `probability` of the list does not exceed. Reorders the list. */
double fr_select(double *values, size_t count, double probability);

#endif
