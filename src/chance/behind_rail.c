/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Stages behind the rail over the speeds: solved where a speed may lower the least; asked at the target
 * where the pumps leave less than the set pressure; or solved at every speed. */
#include "chance/rows.h"

/* Steps of a solve at most; a lane that has settled is left alone. */
enum { STEPS = 12, STEPS_LEFT = 40 };

/* The next step would square the error; the nearer, the rarer is a bend between. */
static const double NEAR_LEAST = 1e-7, NEAR_LEFT = 1e-5;

/* Where a solve starts: at `times`, where that is near what it may find. */
static void start_from(double *row, const double *times) {
    const double MOST = 8.0;
    FR_EACH_LANE(l) {
        row[l] = fr_lesser(fr_greater(times[l], 0.0), MOST);
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
        least[l] = done[l] > 0.0 ? least[l] : fr_lesser(least[l], b->times[l]);
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
 * be within and beyond keep them. A step that goes up says that the stage is within where it stands. */
typedef struct fr_ends {
    fr_row within, beyond;
} fr_ends;

static void keep_between(fr_block *b, const double *before, fr_ends *ends) {
    FR_EACH_LANE(l) {
        const double next = b->times[l], still = b->settled[l];
        const bool up = next > before[l];
        const double within = up ? before[l] : ends->within[l];
        const double beyond = next < before[l] ? before[l] : ends->beyond[l];
        const double middle = 0.5 * (within + beyond);
        const bool inside = ((next > within) & (next < beyond)) | (next == before[l]);
        ends->within[l] = still > 0.0 ? ends->within[l] : within;
        ends->beyond[l] = still > 0.0 ? ends->beyond[l] : beyond;
        b->times[l] = inside ? next : middle;
    }
}

/* A short step past the start of sag, where all bends, has not settled. True when all have. */
static bool settled_beside_bend(fr_block *b, const double *before) {
    const double CLOSED = 1e-9;
    FR_EACH_LANE(l) {
        const double step = fabs(b->times[l] - before[l]), sag = b->sag_times[l];
        const bool crosses = (before[l] > sag) != (b->times[l] > sag);
        b->settled[l] = (crosses & (step > CLOSED * sag)) ? 0.0 : b->settled[l];
    }
    return fr_count_below(b->settled, 1.0) == 0;
}

/* `fuel` (kg/s) is where the last speed ended, and then where this one does. */
static void solve_left(fr_block *b, fr_stage stage, fr_step *step, fr_step *end, double *fuel,
                       size_t speed) {
    const double NONE = 1e-6;
    fr_row before, guess, start;
    fr_ends ends;
    bool all_settled = false;
    FR_EACH_LANE(l) {
        start[l] = fuel[l] * b->times_per_flow[l] * b->per_density[l];
        ends.within[l] = 0.0;
        ends.beyond[l] = INFINITY;
    }
    start_from(b->times, start);
    unsettle(b);
    for (int i = 0; i < STEPS_LEFT && !all_settled; i++) {
        memcpy(before, b->times, sizeof before);
        memcpy(guess, b->rail_guess, sizeof guess);
        step(b, FR_RAIL_LEFT, speed);
        keep_between(b, before, &ends);
        all_settled = fr_settle(b, before, guess, NEAR_LEFT) && settled_beside_bend(b, before);
    }
    if (end != NULL) {
        end(b, FR_RAIL_LEFT, speed);
    }
    start_from(fuel, b->times);
    FR_EACH_LANE(l) {
        fuel[l] *= b->demand[l];
        b->times[l] = b->times[l] > NONE ? b->times[l] : 0.0; /* halved towards none */
    }
    fr_keep_times(b, stage, speed);
}

void fr_run_every_stage(fr_block *b, size_t speed) {
    if (b->with_direct) {
        direct_of_speed(b, speed);
    }
    if (b->with_port) {
        solve_left(b, FR_STAGE_PORT_INJECTOR, fr_port_step, fr_port_end, b->port_start, speed);
    }
    if (b->with_direct && !b->automatic) {
        solve_left(b, FR_STAGE_DIRECT_PRESSURE, fr_direct_pressure_step, NULL, b->direct_start,
                   speed);
        fr_direct_injector_times(b);
        fr_keep_times(b, FR_STAGE_DIRECT_INJECTOR, speed);
        solve_left(b, FR_STAGE_HIGH_PRESSURE_PUMP, fr_high_pressure_step, NULL, b->pump_start,
                   speed);
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
    fr_sag_start(b);
    FR_EACH_LANE(l) {
        target[l] = 1.0;
        sags[l] = b->sag_times[l] < 1.0 ? 1.0 : 0.0;
    }
    if (fr_count_below(sags, 1.0) == FR_WORKED_LANES) {
        return;
    }
    fr_rail_at(b, FR_RAIL_LEFT, target);
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
