/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Stages behind the rail over the speeds: solved where a speed may lower the least; asked at the target
 * where the pumps leave less than the set pressure; or solved at every speed. */
#include "chance/rows.h"

/* Steps of a solve at most; a lane that has settled is left alone. */
enum { STEPS = 12, STEPS_LEFT = 60 };

/* The nearer, the rarer is a bend between. */
static const double NEAR_LEAST = 1e-7;

/* So many times the demand count as any more. */
static const double MOST_TIMES = 8.0;

/* Where a solve starts: at `times`, where that is near what it may find. */
static void start_from(double *row, const double *times) {
    FR_EACH_LANE(l) {
        const double some = fr_greater(times[l], 0.0);
        row[l] = fr_lesser(some, MOST_TIMES);
    }
}

static void unsettle(fr_block *b) {
    memset(b->settled, 0, sizeof b->settled);
}

/* Also what a solve with automatic share, or of the pump, wants. */
static void direct_of_speed(fr_block *b, size_t speed) {
    fr_direct_of_speed(b, speed);
    fr_direct_at_command(b);
}

/* ---- with the set pressure held ---- */

/* From `start`, lanes that have settled aside. */
static void solve_held(fr_block *b, fr_step *step, fr_step *end, const double *start,
                       size_t speed) {
    fr_row before, guess;
    bool all_settled = false;
    start_from(b->times, start);
    for (int i = 0; i < STEPS && !all_settled; i++) {
        memcpy(before, b->times, sizeof before);
        memcpy(guess, b->rail_guess, sizeof guess);
        step(b, FR_RAIL_HELD, speed);
        all_settled = fr_settle(b, before, guess, NEAR_LEAST);
    }
    if (end != NULL) {
        end(b, FR_RAIL_HELD, speed);
    }
}

/* With the regulator at the tank: the rail at so many times the greatest demand. */
static void put_least_rail(fr_block *b, fr_stage stage) {
    fr_row demand, times;
    memcpy(demand, b->demand, sizeof demand);
    memcpy(b->demand, b->greatest_demand, sizeof b->demand);
    start_from(times, b->held_least[stage]);
    fr_rail_at(b, FR_RAIL_HELD, times);
    memcpy(b->least_rail[stage], b->rail, sizeof b->rail);
    memcpy(b->demand, demand, sizeof demand);
}

static void keep_held(fr_block *b, fr_stage stage, const double *done) {
    double *least = b->held_least[stage];
    FR_EACH_LANE(l) {
        const double before = least[l], times = b->times[l];
        const double lower = fr_lesser(before, times);
        least[l] = done[l] > 0.0 ? before : lower;
    }
}

/* Whether no lane's least can be lowered at this speed, and in which it cannot. */
static bool holds_at_least(fr_block *b, fr_stage stage, size_t speed, double *done) {
    const double *least = b->held_least[stage];
    if (b->at_tank) {
        memcpy(b->rail, b->least_rail[stage], sizeof b->rail);
    } else {
        fr_rail_at(b, FR_RAIL_HELD, least);
    }
    if (stage == FR_STAGE_DIRECT_PRESSURE) {
        fr_direct_of_speed(b, speed);
        return fr_direct_pressure_holds(b, FR_RAIL_HELD, least, FR_SURELY, done);
    }
    if (fr_port_holds(b, speed, least, FR_SURELY, done)) {
        return true;
    }
    if (b->automatic) {
        fr_direct_of_speed(b, speed);
        return fr_direct_carries_rest(b, FR_RAIL_HELD, least, FR_SURELY, done);
    }
    return false;
}

/* Lanes that are done do not notice what is worked out for others. */
static void lower_least(fr_block *b, fr_stage stage, fr_step *step, fr_step *end, size_t speed,
                        bool first) {
    fr_row done = {0.0}, guess, start;
    if (!first && holds_at_least(b, stage, speed, done)) {
        return;
    }
    if (first && b->with_direct) {
        direct_of_speed(b, speed);
    }
    FR_EACH_LANE(l) {
        start[l] = first ? 1.0 : b->held_least[stage][l];
    }
    memcpy(b->settled, done, sizeof done);
    memcpy(guess, b->rail_guess, sizeof guess);
    solve_held(b, step, end, start, speed);
    FR_EACH_LANE(l) {
        b->rail_guess[l] = done[l] > 0.0 ? guess[l] : b->rail_guess[l];
    }
    keep_held(b, stage, done);
    if (first && b->at_tank) {
        put_least_rail(b, stage);
    }
}

void fr_run_held(fr_block *b, size_t speed, bool first) {
    if (b->with_port) {
        lower_least(b, FR_STAGE_PORT_INJECTOR, fr_port_step, fr_port_end, speed, first);
    }
    if (b->with_direct && !b->automatic) {
        lower_least(b, FR_STAGE_DIRECT_PRESSURE, fr_direct_pressure_step, NULL, speed, first);
    }
}

/* ---- at every speed, with what the pumps leave ---- */

/* Newton's steps find the end in a few; where the pumps' flow bends or jumps the nearest times known to
 * be within and beyond keep them. */
typedef struct fr_ends {
    fr_row within, beyond;
} fr_ends;

/* Nearer than this a step leaves next to no error, for it squares it: unless there is a bend between. */
static const double NEAR_LEFT = 5e-5, NEAR_RAIL = 1e-2;

/* Rows of a step from times and pressure before it. */
typedef struct fr_left_step {
    fr_row from, from_rail, rail_near;
    fr_row halved; /* 1: not where the step went, but half way between the ends */
} fr_left_step;

/* Keeps a step between the ends. One that goes up says that the stage is within where it stands: if its
 * pressure is right, or after so many steps that it ought to be. */
FR_INLINE void keep_between(fr_block *b, fr_left_step *step, int steps, fr_ends *ends) {
    const double all = steps < 3 ? 0.0 : 1.0;
    FR_EACH_LANE(l) {
        const double from = step->from[l], stepped = fr_lesser(b->times[l], MOST_TIMES);
        const double from_rail = step->from_rail[l];
        const double was_within = ends->within[l], was_beyond = ends->beyond[l];
        const double moved_rail = fabs(b->rail_guess[l] - from_rail);
        const double rail_near = moved_rail <= NEAR_RAIL * from_rail ? 1.0 : 0.0;
        const double up = (stepped - from) * fr_greater(rail_near, all);
        const double within = up > 0.0 ? from : was_within;
        const double beyond = up < 0.0 ? from : was_beyond;
        const double least = fr_lesser(stepped - within, beyond - stepped);
        const double halved = least > 0.0 ? 0.0 : fabs(stepped - from);
        const double above = fr_lesser(beyond, fr_greater(from, stepped));
        ends->within[l] = within;
        ends->beyond[l] = beyond;
        step->rail_near[l] = rail_near;
        step->halved[l] = halved;
        b->times[l] = halved > 0.0 ? 0.5 * (within + above) : stepped;
    }
}

/* How little a step must move to settle a lane: very little where it was halved, or may have gone over the
 * start of sag, over an end of a piece of the walk, or over the least that the manifold has. */
FR_INLINE void put_little(const fr_block *b, const fr_left_step *step, double *little) {
    const double CLOSED = 1e-9, FURTHER = 1.1; /* than to where the two pressures' slopes say */
    const fr_piece_rows *piece = b->left_piece;
    FR_EACH_LANE(l) {
        const double from = step->from[l], to = b->times[l], held = b->sag_after[l];
        const double gap = b->left_gap[l];
        const double changes = -gap * (gap + FURTHER * (b->left_gap_slope[l] * (to - from)));
        const double flow = to * (b->demand[l] * b->per_density[l]) + b->draws.jet[l];
        const double most = piece->flow[l], least = most - piece->width[l];
        const double leaves = fr_greater(flow - most, least - flow);
        const double over_sag = from > held ? fr_greater(changes, leaves) : to - held;
        const double fixed = b->manifold_fixed[l] - b->manifold_least[l], slope = b->manifold_slope[l];
        const double over_least = -(fixed + slope * from) * (fixed + slope * to);
        const double bends = fr_greater(fr_greater(over_sag, over_least), step->halved[l]);
        little[l] = bends > 0.0 ? CLOSED * to : NEAR_LEFT * from;
    }
}

/* Lanes that had settled go back, lanes that moved by little have settled. How many have not. */
FR_INLINE int64_t settle_left(fr_block *b, const fr_left_step *step) {
    fr_row little;
    put_little(b, step, little);
    FR_EACH_LANE(l) {
        const double from = step->from[l], to = b->times[l], still = b->settled[l];
        const double from_rail = step->from_rail[l], to_rail = b->rail_guess[l];
        const double moved = to == from ? 0.0 : fabs(to - from);
        const double settles = moved <= little[l] ? step->rail_near[l] : 0.0;
        b->times[l] = still > 0.0 ? from : to;
        b->rail_guess[l] = still > 0.0 ? from_rail : to_rail;
        b->settled[l] = fr_greater(still, settles);
    }
    return fr_count_below(b->settled, 1.0);
}

/* From where the last speeds ended; the first starts at the demand and the rail's limit. */
FR_INLINE void start_left(fr_block *b, fr_left_solve *solve, double rpm, fr_ends *ends) {
    fr_row fuel, guess;
    if (solve->fuel.known > 0) {
        fr_course_next(&solve->fuel, rpm, fuel);
        fr_course_next(&solve->guess, rpm, guess);
    } else {
        memcpy(fuel, b->demand, sizeof fuel);
        memcpy(guess, b->draws.rail_limit, sizeof guess);
        solve->piece.picked = false;
    }
    FR_EACH_LANE(l) {
        const double times = fuel[l] * (b->times_per_flow[l] * b->per_density[l]);
        b->times[l] = fr_greater(times, 0.0);
        b->rail_guess[l] = fr_greater(guess[l], 0.5 * b->rail_guess[l]);
        b->settled[l] = ends->within[l] = 0.0;
        ends->beyond[l] = INFINITY;
    }
}

FR_INLINE void end_left(fr_block *b, fr_left_solve *solve, double rpm) {
    const double NONE = 1e-6;
    fr_row fuel;
    FR_EACH_LANE(l) {
        const double times = b->times[l], found = times > NONE ? times : 0.0; /* halved towards none */
        fuel[l] = found * b->demand[l];
        b->times[l] = found < MOST_TIMES ? found : INFINITY;
    }
    fr_course_add(&solve->fuel, rpm, fuel);
    fr_course_add(&solve->guess, rpm, b->rail_guess);
}

FR_CLONES static void solve_left(fr_block *b, fr_left_solve *solve, fr_step *step, fr_step *end,
                                 size_t speed) {
    const double rpm = b->plan->rpm[speed];
    fr_left_step moved;
    fr_ends ends;
    int64_t unsettled = 1;
    b->left_piece = &solve->piece;
    start_left(b, solve, rpm, &ends);
    for (int i = 0; i < STEPS_LEFT && unsettled > 0; i++) {
        memcpy(moved.from, b->times, sizeof moved.from);
        memcpy(moved.from_rail, b->rail_guess, sizeof moved.from_rail);
        step(b, FR_RAIL_LEFT, speed);
        keep_between(b, &moved, i, &ends);
        unsettled = settle_left(b, &moved);
    }
    if (end != NULL) {
        end(b, FR_RAIL_LEFT, speed);
    }
    end_left(b, solve, rpm);
}

void fr_run_every_stage(fr_block *b, size_t speed) {
    if (b->with_direct) {
        direct_of_speed(b, speed);
    }
    if (b->with_port) {
        solve_left(b, &b->port_solve, fr_port_step, fr_port_end, speed);
        fr_keep_times(b, FR_STAGE_PORT_INJECTOR, speed);
    }
    if (b->with_direct && !b->automatic) {
        solve_left(b, &b->direct_solve, fr_direct_pressure_step, NULL, speed);
        fr_keep_times(b, FR_STAGE_DIRECT_PRESSURE, speed);
        fr_direct_injector_times(b);
        fr_keep_times(b, FR_STAGE_DIRECT_INJECTOR, speed);
        solve_left(b, &b->pump_solve, fr_high_pressure_step, NULL, speed);
        fr_keep_times(b, FR_STAGE_HIGH_PRESSURE_PUMP, speed);
    }
}

/* ---- at the target ---- */

static void keep_failing(fr_block *b, fr_stage stage, const double *sags, const double *done) {
    FR_EACH_LANE(l) {
        b->fails[stage][l] = done[l] > 0.0 ? b->fails[stage][l]
                                           : fr_greater(b->fails[stage][l], sags[l]);
    }
}

/* Pump and injectors by themselves, which are short only where direct-pressure is. */
static void keep_spoken_for(fr_block *b, const double *sags, const double *target, size_t speed) {
    fr_row done;
    memcpy(b->times, target, sizeof b->times);
    fr_high_pressure_step(b, FR_RAIL_LEFT, speed);
    FR_EACH_LANE(l) {
        done[l] = b->times[l] >= FR_SHORT_BELOW ? 1.0 : 0.0;
    }
    keep_failing(b, FR_STAGE_HIGH_PRESSURE_PUMP, sags, done);
}

void fr_run_target(fr_block *b, size_t speed) {
    fr_row target, sags, done = {0.0};
    fr_put_sag_after(b);
    FR_EACH_LANE(l) {
        target[l] = 1.0;
        b->left_gap[l] = INFINITY;
    }
    fr_rail_at(b, FR_RAIL_LEFT, target);
    FR_EACH_LANE(l) {
        sags[l] = b->left_gap[l] < 0.0 ? 1.0 : 0.0;
    }
    if (fr_count_below(sags, 1.0) == FR_WORKED_LANES) {
        return;
    }
    fr_feed_fails(b, sags);
    if (b->with_direct) {
        direct_of_speed(b, speed);
    }
    if (b->with_port) {
        if (!fr_port_holds(b, speed, target, FR_SHORT_BELOW, done) && b->automatic) {
            fr_direct_carries_rest(b, FR_RAIL_LEFT, target, FR_SHORT_BELOW, done);
        }
        keep_failing(b, FR_STAGE_PORT_INJECTOR, sags, done);
    }
    if (b->with_direct && !b->automatic) {
        if (!fr_direct_pressure_holds(b, FR_RAIL_LEFT, target, FR_SHORT_BELOW, done)) {
            keep_failing(b, FR_STAGE_DIRECT_PRESSURE, sags, done);
            keep_spoken_for(b, sags, target, speed);
        }
    }
}

void fr_run_spoken_for(fr_block *b, size_t speed) {
    fr_row target;
    FR_EACH_LANE(l) {
        target[l] = 1.0;
    }
    direct_of_speed(b, speed);
    fr_direct_injector_times(b);
    fr_keep_times(b, FR_STAGE_DIRECT_INJECTOR, speed);
    unsettle(b);
    solve_held(b, fr_high_pressure_step, NULL, target, speed);
    fr_keep_times(b, FR_STAGE_HIGH_PRESSURE_PUMP, speed);
}
