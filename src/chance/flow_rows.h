/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The pump flow at which full drive leaves a wanted pressure at the rail, solved on the walk and with
 * the line's true loss. */
#ifndef FR_CHANCE_FLOW_ROWS_H
#define FR_CHANCE_FLOW_ROWS_H

#include "chance/rows.h"

/* A rail pressure that is sought: `goal`, and where it follows the fuel the manifold's, max(least,
 * fixed + slope * times) on top; times = (flow - beside) * per_flow. */
typedef struct fr_balance {
    const double *goal, *fixed, *slope, *least;
    const double *per_flow, *beside;
} fr_balance;

static const fr_row fr_no_row = {0.0};

/* One that does not follow the fuel. */
FR_INLINE fr_balance fr_still(const double *goal) {
    return (fr_balance){goal, fr_no_row, fr_no_row, fr_no_row, fr_no_row, fr_no_row};
}

/* At a speed. */
FR_INLINE fr_balance fr_moving(const fr_block *b, const double *goal, const double *beside) {
    return (fr_balance){goal,              b->manifold_fixed, b->manifold_slope, b->manifold_least,
                        b->times_per_flow, beside};
}

/* A flow that is sought: the ends between which it lies, and whether they have been asked. */
typedef struct fr_bracket {
    fr_row low, high, low_asked, high_asked, settled;
} fr_bracket;

/* Goes on from `flow` until all lanes have settled; those that have already stay. */
void fr_settle_flow(fr_block *block, const fr_balance *balance, fr_bracket *in, double *flow);
/* From a start on the table, exactly: the cubic is good to 1e-8 where the line's flow is turbulent,
 * less where it turns laminar. */
void fr_settle_on_walk(fr_block *block, const fr_balance *balance, double *flow);
/* On a blend half of ethanol, once a draw: a start that is near on every blend. */
void fr_find_start(fr_block *block);
/* Where full drive just leaves the set pressure at the rail, in the stretch of the walk that is the
 * same in whole walks and others; below it, the walk is wanted whole. */
void fr_find_flow_at_set(fr_block *block, const fr_balance *set, double *flow);

#endif
