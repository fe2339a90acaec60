/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What full drive leaves at the rail at a pump flow, and the flow at which it leaves what is wanted:
 * rise by the walk, less the line's loss. */
#ifndef FR_CHANCE_FLOW_ROWS_H
#define FR_CHANCE_FLOW_ROWS_H

#include "chance/rows.h"

/* Puts a blend into the line: before anything below. Figures at feed temperature. */
void fr_put_in_line(fr_block *block, const double *density, const double *ln_viscosity);

/* What the line takes at these flows in it. */
void fr_loss_in_line(const fr_block *block, const double *line_flow, fr_over_flow *loss);

/* Value, slope and bend of the rail pressure at full drive over these pump flows, and what the line
 * takes of it; may be below zero. `piece` is picked anew only where a flow has left it. */
void fr_full_drive(const fr_block *block, const double *flow, fr_piece_rows *piece,
                   fr_around_flow *loss, fr_over_flow *rail);
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
void fr_settle_flow(fr_block *block, const fr_balance *balance, fr_bracket *in,
                    fr_piece_rows *piece, double *flow);
/* Anywhere on the walk, into the course of the search: from where that leads, or at first from `start`. */
void fr_search_flow(fr_block *block, const fr_balance *balance, double rpm, const double *start,
                    fr_flow_search *search);
/* On a blend half of ethanol, once a draw: a start that is near on every blend. */
void fr_find_start(fr_block *block);
/* Where full drive just leaves the set pressure at the rail, in the stretch of the walk that is the
 * same in whole walks and others; below it, the walk is wanted whole. */
void fr_find_flow_at_set(fr_block *block, const fr_balance *set, double *flow);

#endif
