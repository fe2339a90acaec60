/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the files of the block kernel share: the rows of one block on one blend at one speed. */
#ifndef FR_CHANCE_ROWS_H
#define FR_CHANCE_ROWS_H

#include "chance/block.h"
#include "chance/course.h"
#include "chance/line_loss.h"

/* Where the rail pressure comes from. */
typedef enum fr_rail_source {
    FR_RAIL_HELD, /* the regulator's: at the rail, or at the tank less the line's loss */
    FR_RAIL_LEFT, /* that, or what full drive leaves of it */
} fr_rail_source;

/* A piece of the walk, a lane its own: rise = from + u (d1 + u (d2 + ... + u d5)) at u below `flow`. It
 * holds flows that are more than `above`, up to `most`. Picked lane by lane, so that the arithmetic
 * that follows can be done by vectors. */
typedef struct fr_piece_rows {
    bool picked;
    int64_t index[FR_LANES] __attribute__((aligned(64)));
    fr_row most, above;
    fr_row flow, width, from, d1, d2, d3, d4, d5;
} fr_piece_rows;

/* A flow that is sought from speed to speed; of the last one its piece, and the line's loss around it. */
typedef struct fr_flow_search {
    fr_course flow;
    fr_around_flow loss;
    fr_piece_rows piece;
} fr_flow_search;

/* A stage that is solved with what the pumps leave, from speed to speed. */
typedef struct fr_left_solve {
    fr_course fuel, guess; /* kg/s; rail_guess */
    fr_piece_rows piece;   /* of the flow */
} fr_left_solve;

enum { FR_FLOORS = 3 };

struct __attribute__((aligned(64))) fr_block {
    fr_draws draws;
    fr_block_result result;
    const fr_draw_plan *plan;
    double *points; /* [speed][stage][lane], or null */

    /* ---- how the build is made ---- */
    bool follows_manifold; /* the set pressure does */
    bool set_is_constant;  /* over speed and fuel */
    bool at_tank;          /* regulator */
    bool with_port, with_direct, automatic;
    fr_block_want want;

    /* ---- one blend ---- */
    fr_row density, per_density, root_density, ln_viscosity; /* at feed temperature */
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
    fr_loss_rows line;
    bool walk_is_short; /* the set pressure is not met in it in some lane */
    bool circuit_counts;  /* the fuse may end a reach in some lane */
    fr_row circuit_flow;  /* line flow at which the fuse is reached (electronic, constant set) */
    fr_row circuit_rail;  /* set pressure at which it is (return) */

    /* ---- one speed ---- */
    fr_row demand;           /* kg/s */
    fr_row greatest_demand;  /* of all speeds */
    fr_row times_per_flow;   /* 1/(demand as m3/s), where fr_flow_rows_of_speed put it */
    fr_row manifold_fixed, manifold_slope, manifold_least; /* max(least, fixed + slope * times) */
    fr_row sag_after;        /* times: up to here the set pressure is held for certain */
    /* What full drive leaves above what is held where FR_RAIL_LEFT was asked last, and per times: of lanes
     * past sag_after. */
    fr_row left_gap, left_gap_slope;

    /* direct injection at one speed */
    fr_row passes;           /* kg/s a root of pascal: all injectors, whole window */
    fr_row passes_limit;     /* within the window's limit */
    fr_row direct_demand;    /* kg/s at the target, by the share's curve */
    fr_row per_direct_demand; /* one over that; 0: no share */
    fr_row command, command_ratio; /* rail command; density there over 1 atm (fr_direct_at_command) */
    fr_row swept, fill;
    fr_row ports_squared; /* what the ports pass at the least times, (kg/s)^2 */

    /* Where the set pressure moves: the lift pump's least times so far, and flows with what the rail
     * has there at least (floors), by which most other speeds are seen to lower it no further. */
    fr_row lift_least;
    fr_row floor_flow[FR_FLOORS], floor_rail[FR_FLOORS];
    fr_flow_search lift_search, feed_search;

    /* Least times of the stages behind the rail as if the set pressure were always held: found in
     * the same way whatever else is asked, so that a lane's figures are the same to the last bit. */
    fr_row held_least[FR_STAGE_COUNT];
    fr_row least_rail[FR_STAGE_COUNT]; /* with the regulator at the tank: at no speed is it less */
    fr_row fails[FR_STAGE_COUNT]; /* 1: short at the target, where the pumps leave less than is set */

    /* ---- what a stage works with; unknowns go from speed to speed as starts ---- */
    fr_left_solve port_solve, direct_solve, pump_solve;
    fr_row rail_guess;                           /* absolute, of direct pressure */
    fr_piece_rows *left_piece; /* of the flow that FR_RAIL_LEFT is asked for */
    fr_row rail, rail_slope;                     /* gauge, and per times */
    fr_row direct_fuel, direct_slope;            /* by automatic share: kg/s, and per times */
    fr_row times;
    fr_row settled; /* 1: a solve leaves the lane as it is */
};

/* Short where use is beyond its end by more than 1e-6. */
#define FR_SHORT_BELOW (1.0 - 1e-6)

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

/* A flow on its piece; what is more than the pumps give at no rise goes on along the tangent, so
 * that a solve finds back. */
typedef struct fr_along {
    double value, slope, bend; /* over flow; bend: how the slope changes */
} fr_along;

FR_INLINE fr_along fr_along_piece(const fr_piece_rows *piece, int l, double flow) {
    const double along = piece->flow[l] - flow, beyond = fr_lesser(along, 0.0);
    const double u = fr_lesser(along - beyond, piece->width[l]);
    const double d1 = piece->d1[l], d2 = piece->d2[l], d3 = piece->d3[l];
    const double d4 = piece->d4[l], d5 = piece->d5[l];
    return (fr_along){
        piece->from[l] + beyond * d1 + u * (d1 + u * (d2 + u * (d3 + u * (d4 + u * d5)))),
        -(d1 + u * (2.0 * d2 + u * (3.0 * d3 + u * (4.0 * d4 + u * (5.0 * d5))))),
        2.0 * d2 + u * (6.0 * d3 + u * (12.0 * d4 + u * (20.0 * d5)))};
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
/* Rail pressure at `times` into block->rail and rail_slope. */
void fr_rail_at(fr_block *block, fr_rail_source source, const double *times);
/* After a step of a solve from times `before` and pressure `guess`: lanes that had settled go back,
 * lanes that moved by next to nothing (`near` of themselves) have settled. True when all have. */
bool fr_settle(fr_block *block, const double *before, const double *guess, double near);

/* ---- before the rail; each fills block->times (feed_rows.c) ---- */
/* Once a blend: what is read off pumps and line for all speeds. */
void fr_feed_of_blend(fr_block *block);
void fr_lift_times(fr_block *block, double rpm);
/* Where the set pressure moves: lowers block->lift_least to this speed's. */
void fr_lower_moving_lift(fr_block *block);
/* Up to which times the set pressure is held for certain, into block->sag_after. */
void fr_put_sag_after(fr_block *block);
/* What feed_flow and vapour_flow are where the pumps give out. */
void fr_feed_flows(fr_block *block);
void fr_feed_times(fr_block *block, double rpm);
void fr_vapour_times(fr_block *block);
/* At the rail pressure that is left at the target: whether feed pressure and vapour fail there. */
void fr_feed_fails(fr_block *block, const double *sags);
/* circuit_rows.c */
void fr_circuit_of_blend(fr_block *block);
void fr_circuit_times(fr_block *block);

/* ---- injectors and high-pressure pump (port_rows.c, direct_rows.c) ---- */
/* One step from block->times towards what the stage passes; fr_port_end after the last. */
typedef void fr_step(fr_block *block, fr_rail_source source, size_t speed);
fr_step fr_port_step, fr_port_end, fr_direct_pressure_step, fr_high_pressure_step;
void fr_direct_injector_times(fr_block *block);
void fr_direct_of_blend(fr_block *block);
void fr_direct_of_speed(fr_block *block, size_t speed);
/* What the pump's delivery at the commanded pressure wants. */
void fr_direct_at_command(fr_block *block);
void fr_automatic_share(fr_block *block, fr_rail_source source);

/* Whether a stage holds at a speed, asked without solving: `done` is 1 in lanes in which it passes
 * `margin` times `least` times the demand; true when all are. block->rail must be what the rail has
 * at least there. */
bool fr_port_holds(fr_block *block, size_t speed, const double *least, double margin,
                   double *done);
bool fr_direct_pressure_holds(fr_block *block, fr_rail_source source, const double *least,
                              double margin, double *done);
/* With automatic share, after fr_port_holds: lanes in which direct injection carries the rest. */
bool fr_direct_carries_rest(fr_block *block, fr_rail_source source, const double *least,
                            double margin, double *done);

/* ---- stages behind the rail (behind_rail.c) ---- */
/* Lowers block->held_least. `first` of the speeds of a blend: the others start from there. */
void fr_run_held(fr_block *block, size_t speed, bool first);
/* Of direct injection, what direct-pressure speaks for. */
void fr_run_spoken_for(fr_block *block, size_t speed);
/* What fails at the target where the pumps leave less than the set pressure. */
void fr_run_target(fr_block *block, size_t speed);
/* Every stage's own end, with what the pumps leave; after fr_put_sag_after. */
void fr_run_every_stage(fr_block *block, size_t speed);
/* Keeps block->times at a speed where that is less, and as a point. */
void fr_keep_times(fr_block *block, fr_stage stage, size_t speed);

#endif
