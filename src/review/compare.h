/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Measured against predicted, a channel at a time, and what a difference suggests. */
#ifndef FR_REVIEW_COMPARE_H
#define FR_REVIEW_COMPARE_H

#include "review/odds.h"

/* All that suggestions look at. */
typedef struct fr_comparison {
    const fr_problem *problem;
    const fr_fit *fit;
    const fr_bounds *bounds;
    fr_review_result *result; /* channels are filled, the rest is read */
} fr_comparison;

/* Fills result->channels; false when out of memory. */
bool fr_compare_channels(const fr_comparison *comparison);
/* Puts into `channel->suggests` what its residuals suggest. */
void fr_suggest(const fr_comparison *comparison, fr_review_channel *channel);

/* Measured less predicted at every node of a pull in a channel's own terms; NAN where there is
 * nothing to compare. */
void fr_channel_residuals(const fr_problem *problem, const double *deviations, fr_channel channel,
                          size_t pull, double residuals[FR_REVIEW_NODES_MAX]);

#endif
