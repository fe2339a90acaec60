/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Stages behind the rail over the speeds: solved where a speed may lower the least, and along the
 * sag of the feed where the lift pump has given out before. */
#include "chance/rows.h"

/* Steps of a solve at most; a lane that has settled is left alone. */
enum {
    STEPS = 12,
    STEPS_SAG = 24,
    STEPS_SAG_EXACT = 2,
    STEPS_NONE = 5,
};

typedef void fr_solve(fr_block *block, fr_rail_source source, fr_rail_care care, size_t speed,
                      int steps);

/* Where a solve starts: at `times`, where that is near what it may find. */
static void start_from(double *row, const double *times) {
    const double MOST = 8.0;
    FR_EACH_LANE(l) {
        row[l] = fr_lesser(fr_greater(times[l], 0.0), MOST);
    }
}

/* Also what a solve with automatic share, or of the pump, wants. */
static void direct_of_speed(fr_block *b, size_t speed) {
    fr_direct_of_speed(b, speed);
    fr_direct_at_command(b);
}

static void unsettle(fr_block *b) {
    memset(b->settled, 0, sizeof b->settled);
}

/* ---- sag ---- */

/* Whether any lane's own least may still be lowered by what happens beyond the start of its sag. */
static bool sag_matters(const fr_block *b, fr_stage stage) {
    const double care = b->want == FR_WANT_ODDS ? 1.0 : INFINITY;
    const double *least = b->result.stage_times[stage];
    FR_EACH_LANE(l) {
        const double start = b->sag_times[l];
        if (start < b->times[l] && start < care && (b->points != NULL || start < least[l])) {
            return true;
        }
    }
    return false;
}

/* Times the demand at which the pumps have no rise left. */
static double free_times(const fr_block *b, int l) {
    const double flow = b->draws.walk.flow[0][l] - b->draws.jet[l];
    return fr_greater(fr_greater(b->sag_times[l], 0.0), flow * b->times_per_flow[l]);
}

/* So near what the pumps give at no rise that the solve may have meant to go on. */
static const double AT_END = 1.0 - 1e-6;

/* Lanes that pass the start of sag take the solve on the table, never below that start nor beyond
 * what the pumps give at no rise; from there on, the solve with no rail pressure. */
static void take_sagged(fr_block *b, const double *held, const double *on_table,
                        const double *at_none) {
    FR_EACH_LANE(l) {
        const double start = fr_greater(b->sag_times[l], 0.0), most = free_times(b, l);
        const double sagged = on_table[l] < most * AT_END ? fr_greater(on_table[l], start)
                                                 : fr_greater(at_none[l], most);
        b->times[l] = held[l] > start ? sagged : held[l];
    }
}

static bool any_beyond_free(const fr_block *b) {
    FR_EACH_LANE(l) {
        if (!(b->times[l] < free_times(b, l) * AT_END)) {
            return true;
        }
    }
    return false;
}

/* One step along the table, kept between the nearest times known to be within and beyond. A step
 * that goes up says that the stage is within where it stands. A lane that has settled stays, so that
 * it does not depend on how long others take. True when all have. */
static bool sagging_step(fr_block *b, fr_solve *solve, size_t speed, double *within,
                         double *beyond, double *settled) {
    const double NEAR = 1e-7; /* exact steps follow */
    fr_row before;
    memcpy(before, b->times, sizeof before);
    unsettle(b);
    solve(b, FR_RAIL_ON_TABLE, FR_RAIL_BY_CUBIC, speed, 1);
    FR_EACH_LANE(l) {
        const double next = b->times[l];
        const double low = next > before[l] ? before[l] : within[l];
        const double high = next > before[l] ? beyond[l] : before[l];
        const double middle = 0.5 * (low + high);
        const double bounded = next >= low ? fr_lesser(next, high) : middle;
        /* the upper end is asked once; where it is beyond, halves follow */
        const double kept = bounded < high || before[l] < high * (1.0 - NEAR) ? bounded : middle;
        const double still = settled[l] > 0.0 ? 1.0 : 0.0;
        within[l] = still > 0.0 ? within[l] : low;
        beyond[l] = still > 0.0 ? beyond[l] : high;
        b->times[l] = still > 0.0 ? before[l] : kept;
        settled[l] = still > 0.0 || fabs(b->times[l] - before[l]) <= NEAR * before[l] ? 1.0 : 0.0;
    }
    return fr_count_below(settled, 1.0) == 0;
}

/* Exact steps go a little way only, unless the pumps give out at once, where a step leads nowhere. */
static void take_near(double *times, const double *exact) {
    const double NEAR = 0.01;
    FR_EACH_LANE(l) {
        const bool near = fabs(exact[l] - times[l]) <= NEAR * times[l];
        times[l] = near ? exact[l] : times[l];
    }
}

/* Past the start of sag: from there along the table, then exactly. */
static void run_sagging(fr_block *b, fr_solve *solve, const double *held, size_t speed) {
    fr_row guess, within, beyond, settled = {0.0}, on_table;
    const double OPEN = 1e-9; /* the end may be it */
    memcpy(guess, b->rail_guess, sizeof guess);
    FR_EACH_LANE(l) {
        within[l] = fr_greater(b->sag_times[l], 0.0);
        beyond[l] = free_times(b, l) * (1.0 + OPEN);
        settled[l] = held[l] > within[l] ? 0.0 : 1.0;
    }
    memcpy(b->times, within, sizeof within);
    bool all_settled = false;
    for (int step = 0; step < STEPS_SAG && !all_settled; step++) {
        all_settled = sagging_step(b, solve, speed, within, beyond, settled);
    }
    memcpy(on_table, b->times, sizeof on_table);
    unsettle(b);
    solve(b, FR_RAIL_ON_TABLE, FR_RAIL_EXACT, speed, STEPS_SAG_EXACT);
    take_near(on_table, b->times);
    memcpy(b->times, on_table, sizeof on_table);
    if (any_beyond_free(b)) {
        memcpy(b->times, held, sizeof b->times);
        unsettle(b);
        solve(b, FR_RAIL_AT_NONE, FR_RAIL_EXACT, speed, STEPS_NONE);
    }
    take_sagged(b, held, on_table, b->times);
    memcpy(b->rail_guess, guess, sizeof guess);
}

/* ---- with the set pressure held ---- */

/* From `start`, lanes that have settled aside. */
static void solve_from(fr_block *b, fr_solve *solve, const double *start, size_t speed) {
    start_from(b->times, start);
    solve(b, FR_RAIL_AT_SET, FR_RAIL_EXACT, speed, STEPS);
}

/* With the regulator at the tank: the rail at so many times the greatest demand. */
static void put_least_rail(fr_block *b, fr_stage stage) {
    fr_row demand, times;
    memcpy(demand, b->demand, sizeof demand);
    memcpy(b->demand, b->greatest_demand, sizeof b->demand);
    fr_flow_rows_of_speed(b);
    start_from(times, b->held_least[stage]);
    fr_rail_at(b, FR_RAIL_AT_SET, FR_RAIL_EXACT, times);
    memcpy(b->least_rail[stage], b->rail, sizeof b->rail);
    memcpy(b->demand, demand, sizeof demand);
    fr_flow_rows_of_speed(b);
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
        fr_rail_at(b, FR_RAIL_AT_SET, FR_RAIL_EXACT, least);
    }
    if (stage == FR_STAGE_DIRECT_PRESSURE) {
        fr_direct_of_speed(b, speed);
        return fr_direct_pressure_holds(b, least, done);
    }
    if (fr_port_holds(b, speed, least, done)) {
        return true;
    }
    if (b->automatic) {
        fr_direct_of_speed(b, speed);
        return fr_direct_carries_rest(b, least, done);
    }
    return false;
}

/* Lanes that are done do not notice what is worked out for others. */
static void lower_least(fr_block *b, fr_stage stage, fr_solve *solve, size_t speed, bool first) {
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
    solve_from(b, solve, start, speed);
    FR_EACH_LANE(l) {
        b->rail_guess[l] = done[l] > 0.0 ? guess[l] : b->rail_guess[l];
    }
    keep_held(b, stage, done);
    if (first && b->at_tank) {
        put_least_rail(b, stage);
    }
}

/* ---- a stage at a speed ---- */

/* Takes the held solution in block->times down where it goes past the start of sag. */
static void lower_by_sag(fr_block *b, fr_stage stage, fr_solve *solve, size_t speed) {
    if (b->draws.whole && b->want != FR_WANT_REACH && sag_matters(b, stage)) {
        fr_row held;
        memcpy(held, b->times, sizeof held);
        run_sagging(b, solve, held, speed);
        fr_keep_times(b, stage, speed);
    } else if (b->points != NULL) {
        fr_keep_times(b, stage, speed);
    }
}

/* Whether sag begins early enough in some lane to lower the least. */
static bool sag_may_lower(const fr_block *b, fr_stage stage) {
    const double care = b->want == FR_WANT_ODDS ? 1.0 : INFINITY;
    const double *sagged = b->result.stage_times[stage], *held = b->held_least[stage];
    int64_t may = 0;
    if (!b->draws.whole || b->want == FR_WANT_REACH) {
        return false;
    }
    FR_EACH_LANE(l) {
        may += b->sag_times[l] < fr_lesser(care, fr_lesser(sagged[l], held[l])) ? 1 : 0;
    }
    return may > 0;
}

static void run_for_least(fr_block *b, fr_stage stage, fr_solve *solve, size_t speed, bool first) {
    fr_row guess;
    lower_least(b, stage, solve, speed, first);
    if (!sag_may_lower(b, stage)) {
        return;
    }
    memcpy(guess, b->rail_guess, sizeof guess);
    if (b->with_direct) {
        direct_of_speed(b, speed);
    }
    unsettle(b);
    solve_from(b, solve, b->held_least[stage], speed);
    lower_by_sag(b, stage, solve, speed);
    memcpy(b->rail_guess, guess, sizeof guess);
}

/* `start` keeps the answer for the next speed. */
static void run_point(fr_block *b, fr_stage stage, fr_solve *solve, double *start, size_t speed) {
    const fr_row none_done = {0.0};
    unsettle(b);
    solve_from(b, solve, start, speed);
    start_from(start, b->times);
    keep_held(b, stage, none_done);
    lower_by_sag(b, stage, solve, speed);
}

static void run_stage(fr_block *b, fr_stage stage, fr_solve *solve, double *start, size_t speed,
                      bool first) {
    if (b->points != NULL) {
        run_point(b, stage, solve, start, speed);
    } else {
        run_for_least(b, stage, solve, speed, first);
    }
}

void fr_run_behind_rail(fr_block *b, size_t speed, bool first) {
    if (b->with_direct && b->points != NULL) {
        direct_of_speed(b, speed);
    }
    if (b->with_port) {
        run_stage(b, FR_STAGE_PORT_INJECTOR, fr_port_times, b->port_start, speed, first);
    }
    if (b->with_direct && !b->automatic) {
        run_stage(b, FR_STAGE_DIRECT_PRESSURE, fr_direct_pressure_times, b->direct_start, speed,
                  first);
        if (b->points != NULL) {
            fr_direct_injector_times(b);
            fr_keep_times(b, FR_STAGE_DIRECT_INJECTOR, speed);
            run_point(b, FR_STAGE_HIGH_PRESSURE_PUMP, fr_high_pressure_times, b->pump_start,
                      speed);
        }
    }
}

void fr_run_spoken_for(fr_block *b, size_t speed) {
    direct_of_speed(b, speed);
    fr_direct_injector_times(b);
    fr_keep_times(b, FR_STAGE_DIRECT_INJECTOR, speed);
    run_point(b, FR_STAGE_HIGH_PRESSURE_PUMP, fr_high_pressure_times, b->pump_start, speed);
}
