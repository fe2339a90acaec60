/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A pull as a few nodes over speed, each with what its rows say of every channel. */
#ifndef FR_REVIEW_NODES_H
#define FR_REVIEW_NODES_H

#include "fuelreach/review.h"

/* One channel at one node: a mean that wrong rows do not move. */
typedef struct fr_node_value {
    double mean;  /* NAN: no row tells */
    double sigma; /* standard deviation of the mean by the rows' own noise */
    double spread; /* half of what the middle half of the rows spans: noise, and any course within */
} fr_node_value;

typedef struct fr_pull_node {
    double rpm;
    size_t rows;
    fr_node_value value[FR_CHANNEL_COUNT];
} fr_pull_node;

/* Rows (speed rising but for noise) into nodes of equal width in speed; returns how many, at most
 * FR_REVIEW_NODES_MAX. `room` holds `count` doubles; 0 when out of memory. */
size_t fr_nodes_make(const fr_log_row *rows, size_t count, double *room,
                     fr_pull_node nodes[FR_REVIEW_NODES_MAX]);

/* Median of values that are reordered by it; NAN of none. */
double fr_median(double *values, size_t count);
/* Mean by Huber's rule with a known deviation, from the median on; also the weight in rows that
 * it kept. `values` are reordered. */
double fr_robust_mean(double *values, size_t count, double sigma, double *kept);

#endif
