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
 * the walk's width. Rail pressures are gauge and may be below zero. */
typedef struct fr_feed_table {
    size_t first, end; /* pieces filled */
    fr_row rail[FR_WALK_PIECES_MAX + 1];
    fr_row d1[FR_WALK_PIECES_MAX], d2[FR_WALK_PIECES_MAX], d3[FR_WALK_PIECES_MAX];
    /* while it is filled */
    fr_row loss[FR_WALK_PIECES_MAX + 1], loss_per_flow[FR_WALK_PIECES_MAX + 1];
    /* the blend in the line: density, kinematic viscosity, and that to the power 0.9 */
    fr_row density, kinematic, kinematic_power;
} fr_feed_table;

/* Puts a blend into the line: before anything below. Figures at feed temperature. */
void fr_feed_table_lines(fr_feed_table *table, const double *density, const double *ln_viscosity);

/* Fills what is needed for flows up to `flow_most` and rail pressures up to `rail_most`, each lane its
 * own. The flows in the line at the walk's nodes must be known. */
void fr_feed_table_fill(fr_feed_table *table, const fr_draws *draws, size_t line_count,
                        const double *flow_most, const double *rail_most);

/* Loss and its slope at any flows in the line. */
void fr_feed_table_loss(const fr_feed_table *table, const fr_draws *draws, size_t line_count,
                        const double *line_flow, double *loss, double *loss_per_flow);

#endif
