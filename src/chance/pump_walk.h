/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The lift pumps of one draw as pieces, walked from no rise to the dead head. Between two kinks of
 * its curves a pump behind its wiring has a closed form (at most one square root), so that nothing
 * is searched; kinks are where a curve bends, where its voltage is crossed, where flow ends. */
#ifndef FR_CHANCE_PUMP_WALK_H
#define FR_CHANCE_PUMP_WALK_H

#include <stdbool.h>

#include "fuelreach/build.h"

enum { FR_WALK_PIECES_MAX = 160 };

/* A place on the walk. `rise_per_flow` is the slope dp/dQ towards the inside of the piece, <= 0;
 * 0 where the rise stays while the flow falls (a relief valve, a regulator at the tank). */
typedef struct fr_walk_end {
    double rise_pa;
    double flow_m3_s;
    double rise_per_flow, rise_bend; /* and how that changes, d2p/dQ2 */
} fr_walk_end;

typedef struct fr_walk_piece {
    fr_walk_end from, to; /* rise not falling, flow not rising */
} fr_walk_piece;

typedef struct fr_pump_walk {
    size_t count;
    fr_walk_piece pieces[FR_WALK_PIECES_MAX];
    bool cut_short;       /* flow goes on where the walk ends */
    double end_flow_m3_s; /* at the greatest rise walked to, before the flow falls at it */
    /* Where the greatest current of one pump reaches the fuse's rating; rise INFINITY: nowhere. */
    double fuse_rise_pa;
    double fuse_flow_m3_s;
} fr_pump_walk;

/* What of the walk is wanted. The pieces between `careful` and `until` are the same whether the
 * walk is whole or not, so that a draw's results do not depend on it. */
typedef struct fr_walk_wish {
    double careful_pa; /* from here on pieces are cut finely enough for the overall reach */
    double until_pa;   /* to here */
    bool whole;        /* also what lies below and above, where pumps sag or hardly flow */
    double most_pa;    /* a regulator holds this rise, and the flow falls (INFINITY: none) */
    double jet_m3_s;   /* does not reach the line, so that errors count against the rest */
} fr_walk_wish;

/* Flow is that of the whole set. */
void fr_pump_walk_make(const fr_pumps *pumps, double supply_v, const fr_walk_wish *wish,
                       fr_pump_walk *walk);

#endif
