/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the files of the block kernel share: the rows of one block on one blend at one speed. */
#ifndef FR_CHANCE_ROWS_H
#define FR_CHANCE_ROWS_H

#include "chance/block.h"
#include "chance/feed_table.h"

/* Where the rail pressure comes from. */
typedef enum fr_rail_source {
    FR_RAIL_AT_SET,   /* the regulator holds: at the rail, or at the tank less the line's loss */
    FR_RAIL_ON_TABLE, /* what the pumps leave at full drive */
    FR_RAIL_AT_NONE,  /* more is drawn than they give at no rise: no pressure is left */
} fr_rail_source;

/* The table's cubic is near enough to walk by (1e-8 where the line's flow is turbulent, up to 1e-3
 * of the pressure where it turns laminar); the last steps work the line's loss out anew. */
typedef enum fr_rail_care {
    FR_RAIL_BY_CUBIC,
    FR_RAIL_EXACT,
} fr_rail_care;

/* The speed at which a stage before the rail ends first, so far, a lane its own. */
typedef struct fr_worst_speed {
    fr_row times, fixed, slope, least, per_flow;
} fr_worst_speed;

struct __attribute__((aligned(64))) fr_block {
    fr_draws draws;
    fr_feed_table table;
    fr_block_result result;
    const fr_draw_plan *plan;
    double *points; /* [speed][stage][lane], or null */

    /* ---- how the build is made ---- */
    size_t line_count;
    bool follows_manifold; /* the set pressure does */
    bool set_is_constant;  /* over speed and fuel */
    bool at_tank;          /* regulator */
    bool with_port, with_direct, automatic;
    fr_block_want want;

    /* ---- one blend ---- */
    fr_row density, root_density, ln_viscosity; /* at feed temperature */
    fr_row root_rail_density;                   /* of the direct injectors */
    fr_row inlet_density, per_bulk;             /* 1 atm; 12/K (Murnaghan) */
    fr_row inlet_ratio, inlet_per_ratio; /* density at the set pressure over that, where constant */
    fr_row limit_ratio; /* density at the rail's limit over that */
    fr_row tank_pa, vapour_pa;
    fr_row fuel_per_pull; /* demand = this * pull * bsfc */
    fr_row air_per_fuel;
    fr_row set_fixed;     /* set pressure = fixed + (follows) manifold */
    fr_row available;     /* where the set pressure is constant */
    fr_row feed_flow, vapour_flow; /* of the pumps where the rail ends feed-pressure, vapour */
    bool walk_is_short;   /* the set pressure is not met in it in some lane */
    bool circuit_counts;  /* the fuse may end a reach in some lane */
    fr_row circuit_flow;  /* line flow at which the fuse is reached (electronic, constant set) */
    fr_row circuit_rail;  /* set pressure at which it is (return) */

    /* ---- one speed ---- */
    fr_row demand;           /* kg/s */
    fr_row greatest_demand;  /* of all speeds */
    fr_row times_per_flow;   /* 1/(demand as m3/s), where fr_flow_rows_of_speed put it */
    fr_row manifold_fixed, manifold_slope, manifold_least; /* max(least, fixed + slope * times) */
    fr_row sag_times;        /* up to here the set pressure is held */

    /* direct injection at one speed */
    fr_row passes;           /* kg/s a root of pascal: all injectors, whole window */
    fr_row passes_limit;     /* within the window's limit */
    fr_row direct_demand;    /* kg/s at the target, by the share's curve */
    fr_row per_direct_demand; /* one over that; 0: no share */
    fr_row command, command_ratio; /* rail command; density there over 1 atm (fr_direct_at_command) */
    fr_row swept, fill;
    fr_row ports_squared; /* what the ports pass at the least times, (kg/s)^2 */

    fr_worst_speed lift_worst, feed_worst; /* where the set pressure moves */

    /* Least times of the stages behind the rail as if the set pressure were always held: found in
     * the same way whatever else is asked, so that a lane's figures are the same to the last bit. */
    fr_row held_least[FR_STAGE_COUNT];
    fr_row least_rail[FR_STAGE_COUNT]; /* with the regulator at the tank: at no speed is it less */

    /* ---- what a stage works with; unknowns go from speed to speed as starts ---- */
    fr_row port_start, direct_start, pump_start; /* times */
    fr_row rail_guess;                           /* absolute, of direct pressure */
    fr_row rail, rail_slope;                     /* gauge, and per times */
    fr_row direct_fuel, direct_slope;            /* by automatic share: kg/s, and per times */
    fr_row times;
    fr_row settled; /* 1: a solve leaves the lane as it is */
    int64_t piece[FR_LANES];
};

/* Certain although figures are rounded. */
#define FR_SURELY (1.0 + 1e-6)

/* Where automatic share leaves less than this to direct injection, the ports carry all
 * (as src/capacity has it). */
#define FR_LEAST_AUTOMATIC_SHARE 0.01

/* Of the feed pressure, with port injection (as src/capacity has it). */
#define FR_SAG_ALLOWED 0.10

/* Lanes in a register, for searches over pieces: written out because a loop that holds a loop is left
 * scalar by the compiler. */
enum { FR_TOGETHER = FR_WORKED_LANES < 4 ? 1 : 4 };
typedef double fr_few __attribute__((vector_size(8 * FR_TOGETHER), may_alias));
typedef int64_t fr_few_bits __attribute__((vector_size(8 * FR_TOGETHER), may_alias));
#define FR_FEW(row, l) (*(const fr_few *)((row) + (l)))

/* A piece of the walk or the table, a lane its own: value = from + u (d1 + u (d2 + u d3)) at u below
 * `flow`. Picked lane by lane, so that the arithmetic that follows can be done by vectors. */
typedef struct fr_piece_rows {
    fr_row flow, width, from, d1, d2, d3;
} fr_piece_rows;

FR_INLINE void fr_pick_pieces(const fr_block *b, const fr_row *values, const fr_row *d1,
                              const fr_row *d2, const fr_row *d3, fr_piece_rows *picked) {
    const fr_walk_rows *walk = &b->draws.walk;
    FR_EACH_LANE(l) {
        const int64_t i = b->piece[l];
        picked->flow[l] = walk->flow[i][l];
        picked->width[l] = walk->width[i][l];
        picked->from[l] = values[i][l];
        picked->d1[l] = d1[i][l];
        picked->d2[l] = d2[i][l];
        picked->d3[l] = d3[i][l];
    }
}
/* Rise over the pumps; rail pressure. */
FR_INLINE void fr_pick_of_walk(const fr_block *b, fr_piece_rows *picked) {
    const fr_walk_rows *walk = &b->draws.walk;
    fr_pick_pieces(b, walk->rise, walk->d1, walk->d2, walk->d3, picked);
}
FR_INLINE void fr_pick_of_table(const fr_block *b, fr_piece_rows *picked) {
    const fr_feed_table *table = &b->table;
    fr_pick_pieces(b, table->rail, table->d1, table->d2, table->d3, picked);
}

/* A flow on its piece; what is more than the pumps give at no rise goes on along the tangent, so
 * that a solve finds back. */
typedef struct fr_along {
    double value, slope, bend; /* over flow; bend: how the slope changes */
} fr_along;

FR_INLINE fr_along fr_along_piece(const fr_piece_rows *piece, int l, double flow) {
    const double along = piece->flow[l] - flow, beyond = fr_lesser(along, 0.0);
    const double u = fr_lesser(along - beyond, piece->width[l]);
    const double d1 = piece->d1[l], d2 = piece->d2[l], d3 = piece->d3[l];
    return (fr_along){piece->from[l] + beyond * d1 + u * (d1 + u * (d2 + u * d3)),
                      -(d1 + u * (2.0 * d2 + u * (3.0 * d3))), 2.0 * d2 + u * (6.0 * d3)};
}

/* Manifold pressure at so many times the demand, and its slope. */
FR_INLINE double fr_manifold(const fr_block *b, int l, double times) {
    return fr_greater(b->manifold_least[l], b->manifold_fixed[l] + b->manifold_slope[l] * times);
}
FR_INLINE double fr_manifold_slope(const fr_block *b, int l, double times) {
    return b->manifold_fixed[l] + b->manifold_slope[l] * times > b->manifold_least[l]
               ? b->manifold_slope[l]
               : 0.0;
}

/* ---- one blend (blend_rows.c) ---- */
/* What a blend is in all draws. */
typedef struct fr_blend_figures {
    double ethanol, target_w, lambda, gain; /* before the draw's scales and shifts */
    double ethanol_stoich;                  /* of pure ethanol */
} fr_blend_figures;
fr_blend_figures fr_blend_figures_of(const fr_draw_plan *plan, double ethanol);
void fr_rows_of_blend(fr_block *block, const fr_blend_figures *figures);

/* ---- one speed (speed_rows.c) ---- */
/* Demand and manifold. */
void fr_rows_of_speed(fr_block *block, size_t speed);
/* What flows are over times there, for stages before the rail and for rails that move. */
void fr_flow_rows_of_speed(fr_block *block);
/* In place of a speed's: the greatest demand of all speeds, where nothing else counts. */
void fr_rows_of_greatest_demand(fr_block *block);
/* Pieces of the walk (or the table) from `first` on, below `end`, that hold these pump flows, into
 * block->piece. */
void fr_find_flows(fr_block *block, const double *flow, size_t first, size_t end);
/* Rail pressure at `times` into block->rail and rail_slope. */
void fr_rail_at(fr_block *block, fr_rail_source source, fr_rail_care care, const double *times);
/* After a step of a solve from times `before` and pressure `guess`: lanes that had settled go back,
 * lanes that moved by next to nothing have settled. True when all have. */
bool fr_settle(fr_block *block, const double *before, const double *guess);

/* ---- before the rail; each fills block->times (feed_rows.c; flow_rows.h) ---- */
/* Once a blend: what is read off pumps and line for all speeds. */
void fr_feed_of_blend(fr_block *block);
void fr_lift_times(fr_block *block);
/* Where the set pressure moves: keeps in block->lift_worst what this speed lowers. False: nothing. */
bool fr_lower_moving_lift(fr_block *block);
/* Where the set pressure moves: keeps the worst speed so far in lanes that are not `done`, and works
 * that one out to the last digits. The rail is then at the set pressure less `below` of the feed
 * pressure. */
void fr_worst_keep(fr_block *block, const double *done, fr_worst_speed *worst);
void fr_worst_polish(fr_block *block, const fr_worst_speed *worst, bool with_bypass, double below,
                     double *times);
void fr_sag_start(fr_block *block);
void fr_feed_times(fr_block *block);
/* Port's part of it, where the set pressure moves; and whether the build has that. */
bool fr_feed_moves(const fr_block *block);
void fr_moving_feed_times(fr_block *block);
void fr_vapour_times(fr_block *block);
/* circuit_rows.c */
void fr_circuit_of_blend(fr_block *block);
void fr_circuit_times(fr_block *block);

/* ---- injectors and high-pressure pump (port_rows.c, direct_rows.c) ---- */
/* These go on from block->times in so many steps at most, lanes that have settled aside. */
void fr_port_times(fr_block *block, fr_rail_source source, fr_rail_care care, size_t speed,
                   int steps);
void fr_direct_pressure_times(fr_block *block, fr_rail_source source, fr_rail_care care,
                              size_t speed, int steps);
void fr_high_pressure_times(fr_block *block, fr_rail_source source, fr_rail_care care,
                            size_t speed, int steps);
void fr_direct_injector_times(fr_block *block);
void fr_direct_of_blend(fr_block *block);
void fr_direct_of_speed(fr_block *block, size_t speed);
/* What the pump's delivery at the commanded pressure wants. */
void fr_direct_at_command(fr_block *block);
void fr_automatic_share(fr_block *block, fr_rail_source source);

/* Whether a speed can lower a least, asked without solving: `done` is 1 in lanes in which the stage
 * surely holds at `least` times the demand at this speed; true when all are. block->rail must be what the rail has at
 * least there. */
bool fr_port_holds(fr_block *block, size_t speed, const double *least, double *done);
bool fr_direct_pressure_holds(fr_block *block, const double *least, double *done);
/* With automatic share, after fr_port_holds: lanes in which direct injection carries the rest. */
bool fr_direct_carries_rest(fr_block *block, const double *least, double *done);

/* ---- stages behind the rail (behind_rail.c) ---- */
/* Keeps the least over speeds, or the speed's own where points are kept. `first` of the speeds of a
 * blend: the others start from there. */
void fr_run_behind_rail(fr_block *block, size_t speed, bool first);
/* Of direct injection, what direct-pressure speaks for (not where points are kept). */
void fr_run_spoken_for(fr_block *block, size_t speed);
/* Keeps block->times at a speed where that is less, and as a point. */
void fr_keep_times(fr_block *block, fr_stage stage, size_t speed);

#endif
