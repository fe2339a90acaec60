/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rail pressure over pump flow at full drive, a table a draw and blend: walk along the pumps, and
 * take the loss of the line off. Between two nodes a cubic through values and slopes. Lift pump,
 * feed pressure, vapour and sag are all read off it.
 *
 * With the regulator at the tank the walk itself ends in its drop at the set pressure. */
#ifndef FR_CHANCE_FEED_TABLE_H
#define FR_CHANCE_FEED_TABLE_H

#include "chance/draws.h"

/* Along piece i, at flow Q: u = flow[i] - Q, rail = rail[i] + u (d1 + u (d2 + u d3)), 0 <= u <=
 * width. Rail pressures are gauge and may be below zero. */
typedef struct fr_feed_table {
    size_t first, end; /* pieces filled */
    fr_row rail[FR_WALK_PIECES_MAX + 1];
    fr_row width[FR_WALK_PIECES_MAX];
    fr_row d1[FR_WALK_PIECES_MAX], d2[FR_WALK_PIECES_MAX], d3[FR_WALK_PIECES_MAX];
    /* while it is filled */
    fr_row loss[FR_WALK_PIECES_MAX + 1], loss_per_flow[FR_WALK_PIECES_MAX + 1];
    fr_row reynolds[FR_LINES_MAX], reynolds_power[FR_LINES_MAX];
} fr_feed_table;

/* Fills what is needed for rail pressures from `rail_least` (of all lanes) to each lane's
 * `rail_most`. `density`, `ln_viscosity` of the blend at feed temperature. */
void fr_feed_table_fill(fr_feed_table *table, const fr_draws *draws, size_t line_count,
                                  double rail_least, const double *rail_most,
                                  const double *density, const double *ln_viscosity);

/* Loss and its slope at any flows in the line, with a table that has been filled. */
void fr_feed_table_loss(const fr_feed_table *table, const fr_draws *draws,
                                  size_t line_count, const double *density,
                                  const double *line_flow, double *loss, double *loss_per_flow);

#endif
