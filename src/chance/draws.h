/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A block of draws: what differs between them, one row a quantity. SI; pressures as in build.h. */
#ifndef FR_CHANCE_DRAWS_H
#define FR_CHANCE_DRAWS_H

#include <stdbool.h>
#include <stddef.h>

#include "chance/lanes.h"
#include "chance/line_loss.h"
#include "chance/pump_walk.h"
#include "fuelreach/build.h"
#include "fuelreach/check.h"
#include "fuelreach/sheet.h"

/* A curve of which scale and shift differ, its points do not. */
typedef struct fr_moved_curve {
    fr_row scale, shift;
} fr_moved_curve;

/* Two components' figures at one temperature. */
typedef struct fr_warm_rows {
    fr_row ethanol, gasoline;
} fr_warm_rows;

/* Nodes of the walk along the pumps, from no rise to no flow; node 0 begins piece 0. */
typedef struct fr_walk_rows {
    size_t pieces; /* most over the lanes; shorter walks are filled up with empty ones */
    fr_row rise[FR_WALK_PIECES_MAX + 1];
    fr_row flow[FR_WALK_PIECES_MAX + 1];
    /* dp/dQ and d2p/dQ2 at both ends of each */
    fr_row slope_from[FR_WALK_PIECES_MAX], slope_to[FR_WALK_PIECES_MAX];
    fr_row bend_from[FR_WALK_PIECES_MAX], bend_to[FR_WALK_PIECES_MAX];
    /* rise along piece i at flow Q: u = flow[i] - Q, rise[i] + u (d1 + u (d2 + ... + u d5)) */
    fr_row width[FR_WALK_PIECES_MAX];
    fr_row d1[FR_WALK_PIECES_MAX], d2[FR_WALK_PIECES_MAX], d3[FR_WALK_PIECES_MAX];
    fr_row d4[FR_WALK_PIECES_MAX], d5[FR_WALK_PIECES_MAX];
    bool cut_short;  /* some lane's flow goes on where its walk ends */
    fr_row end_flow; /* at the greatest rise */
    fr_row careful_flow, until_flow; /* where the stretch that decides begins and ends (fr_walk_wish) */
    /* of the lane's own; the empty ones that follow are none */
    int64_t last_piece[FR_LANES] __attribute__((aligned(64)));
    fr_row fuse_rise, fuse_flow;
} fr_walk_rows;

typedef struct __attribute__((aligned(64))) fr_draws {
    bool whole; /* the walks are, so that every stage can be followed; else only the reach can */
    /* site */
    fr_row air, feed_c, rail_c, inlet_c, tank_c, vapour_c, supply_v;
    /* fuel */
    fr_row density_15, dvpe, stoich, heating, ethanol_shift;
    /* engine */
    fr_moved_curve target, bsfc, lambda, gain, boost;
    fr_row kept_power; /* of the crank's, behind the drivetrain; 1 where stated at the crank */
    fr_row bsfc_lambda, manifold_shift;
    fr_row manifold_per_air; /* times the cycle's duration */
    /* feed */
    fr_row pressure, bypass, jet, strainer, loss_factor, filters;
    fr_line_rows lines[FR_LINES_MAX]; /* only where inputs move lines */
    fr_walk_rows walk;
    /* port */
    fr_row port_static; /* all injectors: kg/s a root of (Pa kg/m3) */
    fr_row port_dead, port_dead_per_pa, port_test_pa, port_duty;
    /* direct */
    fr_moved_curve command, window, fill, share;
    fr_row direct_static; /* one injector, as port_static */
    fr_row direct_delay, rail_limit, swept_per_rev, dead_volume, leak, least_inlet;
    fr_row window_limit, pump_limit, pressure_limit; /* of use, for automatic share */
    /* worked out from the above, blend or not */
    fr_row reference_air, reference_heat; /* of the blend that bsfc was measured on */
    fr_warm_rows feed_volume, rail_volume, inlet_volume; /* m3/kg */
    fr_warm_rows feed_ln_viscosity, inlet_per_bulk, tank_vapour, vapour;
    /* Flow that full drive leaves at the set pressure on a blend half of ethanol, from which a solve
     * on any blend starts; filled by the first run. */
    bool start_is_known;
    fr_row start_flow;
} fr_draws;

/* What is the same in all draws. */
typedef struct fr_draw_plan {
    const fr_build *base;
    bool lines_move; /* some input moves a line: no curve of loss serves all draws */
    fr_loss_curve loss; /* else */
    size_t speed_count;
    double rpm[FR_SPEEDS_MAX], cycle_s[FR_SPEEDS_MAX], pull[FR_SPEEDS_MAX];
    /* Speeds from the one of greatest demand on, each beside the one before. */
    size_t around[FR_SPEEDS_MAX];
    /* Speeds at which the injection of the sheet's own build has least to spare come first. */
    size_t by_spare[FR_SPEEDS_MAX];
    double walk_above_set_pa; /* so far a walk goes above the feed pressure unless more is asked for */
    /* points of curves, scale 1 and shift 0 */
    double bsfc[FR_SPEEDS_MAX], boost[FR_SPEEDS_MAX], command[FR_SPEEDS_MAX];
    double window[FR_SPEEDS_MAX], fill[FR_SPEEDS_MAX], share[FR_SPEEDS_MAX];
} fr_draw_plan;

void fr_draw_plan_make(const fr_build *base, const fr_input *inputs, size_t count,
                       fr_draw_plan *plan);

/* Begins a block. `whole`: see fr_draws; a block that needs it says so (fr_block_run). */
void fr_draws_begin(fr_draws *draws, bool whole);
/* Reads a moved build into a lane. Lane 0 comes first. */
void fr_draws_put(fr_draws *draws, const fr_draw_plan *plan, int lane, const fr_build *moved);
/* The same of a build whose pumps, voltage and feed pressure are those that the lane has already:
 * its walk stays. fr_draws_begin is not called before. */
void fr_draws_put_beside_walk(fr_draws *draws, const fr_draw_plan *plan, int lane,
                              const fr_build *moved);
/* Works out the rows that follow from the others. All lanes must have been put. */
void fr_draws_complete(fr_draws *draws, const fr_draw_plan *plan);

#endif
