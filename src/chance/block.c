/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "chance/block.h"

#include <stdlib.h>

#include "chance/rows.h"

/* Short where use is beyond its end by more than 1e-6. */
static const double SHORT_BELOW = 1.0 - 1e-6;
static const double USE_TOLERANCE = 1e-6;

/* Steps of a solve: at the first speed from a rough start, at others from the last speed's answer;
 * more where the rail moves with the fuel. Each step squares the error; tests hold them to 1e-9. */
enum {
    STEPS_FIRST = 5,
    STEPS = 2,
    STEPS_DIRECT = 3,
    STEPS_LEAST = 4,
    STEPS_EXACT = 2,
    STEPS_SAG = 24, /* at most */
    STEPS_SAG_EXACT = 2
};

/* ---- memory ---- */

static void *rows_alloc(size_t size) {
    void *rows = NULL;
    return posix_memalign(&rows, 64, size) == 0 ? rows : NULL;
}

fr_block *fr_block_open(void) {
    fr_block *block = rows_alloc(sizeof *block);
    if (block != NULL) {
        memset(block, 0, sizeof *block);
    }
    return block;
}

void fr_block_close(fr_block *block) {
    if (block != NULL) {
        free(block->points);
        free(block);
    }
}

fr_draws *fr_block_draws(fr_block *block) {
    return &block->draws;
}

bool fr_block_keep_points(fr_block *block) {
    if (block->points == NULL) {
        block->points = rows_alloc(sizeof(fr_row) * FR_SPEEDS_MAX * FR_STAGE_COUNT);
    }
    return block->points != NULL;
}

const double *fr_block_points(fr_block *block) {
    return block->points;
}

/* ---- keeping the least over speeds ---- */

static void keep(fr_block *b, fr_stage stage, size_t speed) {
    double *least = b->result.stage_times[stage];
    FR_EACH_LANE(l) {
        least[l] = fr_lesser(least[l], b->times[l]);
    }
    if (b->points != NULL) {
        memcpy(b->points + (speed * FR_STAGE_COUNT + stage) * FR_LANES, b->times,
               sizeof b->times);
    }
}

/* ---- sag ---- */

/* Whether any lane's own least may still be lowered by what happens beyond the start of its sag. */
static bool sag_matters(const fr_block *b, fr_stage stage) {
    const double care = b->want == FR_WANT_ODDS ? 1.0 : INFINITY;
    const double *least = b->result.stage_times[stage];
    for (int l = 0; l < FR_LANES; l++) {
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
    for (int l = 0; l < FR_LANES; l++) {
        const double start = fr_greater(b->sag_times[l], 0.0), most = free_times(b, l);
        const double sagged = on_table[l] < most * AT_END ? fr_greater(on_table[l], start)
                                                 : fr_greater(at_none[l], most);
        b->times[l] = held[l] > start ? sagged : held[l];
    }
}

static bool any_beyond_free(const fr_block *b) {
    for (int l = 0; l < FR_LANES; l++) {
        if (!(b->times[l] < free_times(b, l) * AT_END)) {
            return true;
        }
    }
    return false;
}

/* ---- stages at a speed ---- */

static void start_from(double *row, const double *times) {
    const double MOST = 8.0;
    for (int l = 0; l < FR_LANES; l++) {
        row[l] = fr_lesser(fr_greater(times[l], 0.0), MOST);
    }
}

typedef void fr_solve(fr_block *block, fr_rail_source source, fr_rail_care care, size_t speed,
                      int steps);

static void solve_port(fr_block *b, fr_rail_source source, fr_rail_care care, size_t speed,
                       int steps) {
    fr_port_times(b, source, care, speed, steps);
}
static void solve_pressure(fr_block *b, fr_rail_source source, fr_rail_care care, size_t speed,
                           int steps) {
    (void)speed;
    fr_direct_pressure_times(b, source, care, steps);
}
static void solve_pump(fr_block *b, fr_rail_source source, fr_rail_care care, size_t speed,
                       int steps) {
    (void)speed;
    fr_high_pressure_times(b, source, care, steps);
}

/* One step along the table, kept between the nearest times known to be within and beyond. A step
 * that goes up says that the stage is within where it stands. A lane that has settled stays, so that
 * it does not depend on how long others take. True when all have. */
static bool sagging_step(fr_block *b, fr_solve *solve, size_t speed, double *within,
                         double *beyond, double *settled) {
    const double NEAR = 1e-7; /* exact steps follow */
    fr_row before;
    memcpy(before, b->times, sizeof before);
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
    for (int l = 0; l < FR_LANES; l++) {
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
    solve(b, FR_RAIL_ON_TABLE, FR_RAIL_EXACT, speed, STEPS_SAG_EXACT);
    take_near(on_table, b->times);
    memcpy(b->times, on_table, sizeof on_table);
    if (any_beyond_free(b)) {
        memcpy(b->times, held, sizeof b->times);
        solve(b, FR_RAIL_AT_NONE, FR_RAIL_EXACT, speed, STEPS_FIRST);
    }
    take_sagged(b, held, on_table, b->times);
    memcpy(b->rail_guess, guess, sizeof guess);
}

/* One step from the least so far says whether a speed can lower it. Lanes in which it surely cannot
 * are done; where all lanes are, so is the speed. */
static bool step_from_least(fr_block *b, fr_stage stage, fr_solve *solve, size_t speed,
                            fr_row done) {
    const double SURELY = 1.0 + 1e-3;
    const double *least = b->held_least[stage];
    memcpy(b->times, least, sizeof b->times);
    solve(b, FR_RAIL_AT_SET, FR_RAIL_BY_CUBIC, speed, 1);
    FR_EACH_LANE(l) {
        done[l] = b->times[l] > SURELY * least[l] ? 1.0 : 0.0;
    }
    return fr_count_below(done, 1.0) == 0;
}

static void keep_held(fr_block *b, fr_stage stage) {
    double *least = b->held_least[stage];
    FR_EACH_LANE(l) {
        least[l] = fr_lesser(least[l], b->times[l]);
    }
}

static void solve_from(fr_block *b, fr_solve *solve, const double *start, size_t speed, int steps) {
    memcpy(b->times, start, sizeof b->times);
    solve(b, FR_RAIL_AT_SET, FR_RAIL_BY_CUBIC, speed, steps);
    if (b->at_tank) {
        solve(b, FR_RAIL_AT_SET, FR_RAIL_EXACT, speed, STEPS_EXACT);
    }
}

/* Only the least over speeds is wanted. What is worked out for the sake of other lanes leaves a
 * lane that was done as it was. */
static void run_for_least(fr_block *b, fr_stage stage, fr_solve *solve, const double *start,
                          size_t speed) {
    fr_row done, times, guess;
    if (speed == b->plan->order[0]) {
        solve_from(b, solve, start, speed, STEPS_FIRST);
        keep_held(b, stage);
        return;
    }
    if (step_from_least(b, stage, solve, speed, done)) {
        return;
    }
    memcpy(times, b->times, sizeof times);
    memcpy(guess, b->rail_guess, sizeof guess);
    solve_from(b, solve, times, speed, STEPS_LEAST);
    for (int l = 0; l < FR_LANES; l++) {
        b->times[l] = done[l] > 0.0 ? times[l] : b->times[l];
        b->rail_guess[l] = done[l] > 0.0 ? guess[l] : b->rail_guess[l];
    }
    keep_held(b, stage);
}

/* A stage behind the rail: with the set pressure held, and where that goes past the start of sag
 * on the table. `start` keeps the answer for the next speed. */
static void run_behind_rail(fr_block *b, fr_stage stage, fr_solve *solve, double *start,
                            size_t speed) {
    if (b->points == NULL) {
        run_for_least(b, stage, solve, start, speed);
    } else {
        const int steps = stage == FR_STAGE_PORT_INJECTOR ? STEPS : STEPS_DIRECT;
        solve_from(b, solve, start, speed, speed == b->plan->order[0] ? STEPS_FIRST : steps);
        start_from(start, b->times);
        keep_held(b, stage);
    }
    if (b->draws.whole && b->want != FR_WANT_REACH && sag_matters(b, stage)) {
        fr_row held;
        memcpy(held, b->times, sizeof held);
        run_sagging(b, solve, held, speed);
        keep(b, stage, speed);
    } else if (b->points != NULL) {
        keep(b, stage, speed);
    }
}

/* With a set pressure that moves, port injection's part is kept by itself until it is polished. */
static void keep_moving_feed(fr_block *b, size_t speed) {
    fr_row fixed;
    memcpy(fixed, b->times, sizeof fixed);
    fr_moving_feed_times(b);
    fr_worst_keep(b, &b->feed_worst);
    if (b->points != NULL) {
        double *point =
            b->points + (speed * FR_STAGE_COUNT + FR_STAGE_FEED_PRESSURE) * FR_LANES;
        FR_EACH_LANE(l) {
            point[l] = fr_lesser(fixed[l], b->times[l]);
        }
    }
}

static void run_before_rail(fr_block *b, size_t speed) {
    const bool all = b->want != FR_WANT_REACH;
    const bool first = speed == b->plan->order[0];
    if (b->set_is_constant || first || b->points != NULL || !fr_lift_holds_at_least(b)) {
        fr_lift_times(b);
        keep(b, FR_STAGE_LIFT_PUMP, speed);
        if (!b->set_is_constant) {
            fr_worst_keep(b, &b->lift_worst);
        }
    }
    if (b->circuit_counts) {
        fr_circuit_times(b);
        keep(b, FR_STAGE_PUMP_CIRCUIT, speed);
    }
    if (all && b->draws.whole) {
        fr_sag_start(b);
    }
    /* with the regulator at the rail these end after the lift pump does */
    if (all || b->at_tank) {
        fr_feed_times(b);
        keep(b, FR_STAGE_FEED_PRESSURE, speed);
        if (fr_feed_moves(b) && b->draws.whole) {
            keep_moving_feed(b, speed);
        }
        fr_vapour_times(b);
        keep(b, FR_STAGE_VAPOUR, speed);
    }
}

static void run_speed(fr_block *b, size_t speed) {
    fr_rows_of_speed(b, speed);
    run_before_rail(b, speed);
    if (b->with_direct) {
        fr_direct_of_speed(b, speed);
    }
    if (b->with_port) {
        run_behind_rail(b, FR_STAGE_PORT_INJECTOR, solve_port, b->port_start, speed);
    }
    if (b->with_direct && !b->automatic) {
        run_behind_rail(b, FR_STAGE_DIRECT_PRESSURE, solve_pressure, b->direct_start, speed);
        if (b->want != FR_WANT_REACH) {
            fr_direct_injector_times(b);
            keep(b, FR_STAGE_DIRECT_INJECTOR, speed);
            run_behind_rail(b, FR_STAGE_HIGH_PRESSURE_PUMP, solve_pump, b->pump_start, speed);
        }
    }
}

/* ---- a blend ---- */

static void prepare(fr_block *b, const fr_draw_plan *plan, fr_block_want want) {
    const fr_build *base = plan->base;
    b->plan = plan;
    b->want = want;
    b->line_count = base->feed.line_count;
    b->follows_manifold = base->feed.manifold_referenced;
    b->at_tank = base->feed.regulation == FR_MECHANICAL_RETURNLESS;
    b->set_is_constant = !base->feed.manifold_referenced;
    b->with_port = base->port.present;
    b->with_direct = base->direct.present;
    b->automatic = base->share == FR_SHARE_AUTO;
    for (int stage = 0; stage < FR_STAGE_COUNT; stage++) {
        FR_EACH_LANE(l) {
            b->result.stage_times[stage][l] = b->held_least[stage][l] = INFINITY;
        }
    }
    FR_EACH_LANE(l) {
        b->port_start[l] = b->direct_start[l] = b->pump_start[l] = 1.0;
        b->rail_guess[l] = b->draws.rail_limit[l];
        b->sag_times[l] = 1.0;
        b->lift_worst.times[l] = b->feed_worst.times[l] = INFINITY;
    }
}

/* What sag has not lowered ends where the set pressure is held. */
static void take_held(fr_block *b) {
    for (int stage = FR_STAGE_PORT_INJECTOR; stage < FR_STAGE_COUNT; stage++) {
        double *times = b->result.stage_times[stage];
        FR_EACH_LANE(l) {
            times[l] = fr_lesser(times[l], b->held_least[stage][l]);
        }
    }
}

static void polish_moving(fr_block *b) {
    double *lift = b->result.stage_times[FR_STAGE_LIFT_PUMP];
    double *feed = b->result.stage_times[FR_STAGE_FEED_PRESSURE];
    fr_worst_polish(b, &b->lift_worst, true, 0.0, lift);
    if (b->want != FR_WANT_REACH && fr_feed_moves(b) && b->draws.whole) {
        fr_row by_port;
        fr_worst_polish(b, &b->feed_worst, false, FR_SAG_ALLOWED, by_port);
        FR_EACH_LANE(l) {
            feed[l] = fr_lesser(feed[l], by_port[l]);
        }
    }
}

static void run_all_speeds(fr_block *b, const fr_blend_figures *figures) {
    fr_rows_of_blend(b, figures);
    fr_feed_of_blend(b);
    if (b->with_direct) {
        fr_direct_of_blend(b);
    }
    b->circuit_counts = false;
    if (b->plan->base->pumps.fuse_a > 0.0) {
        fr_circuit_of_blend(b);
    }
    for (size_t i = 0; i < b->plan->speed_count; i++) {
        run_speed(b, b->plan->order[i]);
    }
    if (!b->set_is_constant) {
        polish_moving(b);
    }
    take_held(b);
}

/* The walk ended before the set pressure was met. */
static bool walked_too_little(const fr_block *b) {
    if (!b->draws.walk.cut_short) {
        return false;
    }
    for (int l = 0; l < FR_LANES; l++) {
        if (b->table.rail[b->table.end][l] < b->draws.pressure[l]) {
            return true;
        }
    }
    return false;
}

/* A lift pump that is past its end with no fuel drawn is set aside, and the sag that it leaves
 * behind then counts; one that is short at the target makes other stages short with it. */
static bool lift_needs_whole(const fr_block *b, fr_block_want want) {
    const double enough = want == FR_WANT_REACH ? 0.0 : 1.0;
    for (int l = 0; l < FR_LANES; l++) {
        if (!(b->result.stage_times[FR_STAGE_LIFT_PUMP][l] > enough)) {
            return true;
        }
    }
    return false;
}

/* Stages that end a reach; direct-pressure speaks for the other two direct ones. */
static const fr_stage COUNTED[] = {FR_STAGE_LIFT_PUMP,     FR_STAGE_PUMP_CIRCUIT,
                                   FR_STAGE_FEED_PRESSURE, FR_STAGE_VAPOUR,
                                   FR_STAGE_PORT_INJECTOR, FR_STAGE_DIRECT_PRESSURE};

static void put_reach(fr_block *b) {
    for (int l = 0; l < FR_LANES; l++) {
        double least = INFINITY;
        for (size_t i = 0; i < sizeof COUNTED / sizeof *COUNTED; i++) {
            const double times = b->result.stage_times[COUNTED[i]][l];
            least = times > 0.0 && times < least ? times : least;
        }
        b->result.times[l] = least <= FR_REACH_TIMES_MAX ? least : INFINITY;
    }
}

static void put_inlet(fr_block *b) {
    const bool given = b->plan->base->site.tank_temperature_given;
    for (int l = 0; l < FR_LANES; l++) {
        const double use = b->tank_pa[l] / (b->draws.air[l] - b->draws.strainer[l]);
        b->result.stage_times[FR_STAGE_PUMP_INLET][l] =
            given && use > 1.0 + USE_TOLERANCE ? 0.0 : INFINITY;
    }
}

static void put_shorts(fr_block *b) {
    fr_block_result *r = &b->result;
    for (int l = 0; l < FR_LANES; l++) {
        const bool pressure = r->stage_times[FR_STAGE_DIRECT_PRESSURE][l] < SHORT_BELOW;
        r->any_short[l] = r->beyond_mending[l] = 0.0;
        for (int stage = 0; stage < FR_STAGE_COUNT; stage++) {
            const bool spoken_for =
                stage == FR_STAGE_DIRECT_INJECTOR || stage == FR_STAGE_HIGH_PRESSURE_PUMP;
            r->stage_times[stage][l] = fr_greater(r->stage_times[stage][l], 0.0);
            const double times = r->stage_times[stage][l];
            const bool is_short = times < SHORT_BELOW && (pressure || !spoken_for);
            r->is_short[stage][l] = is_short ? 1.0 : 0.0;
            r->any_short[l] = is_short ? 1.0 : r->any_short[l];
            r->beyond_mending[l] = is_short && times <= 0.0 ? 1.0 : r->beyond_mending[l];
        }
    }
}

const fr_block_result *fr_block_run(fr_block *block, const fr_draw_plan *plan, double ethanol,
                                    fr_block_want want) {
    const fr_blend_figures figures = fr_blend_figures_of(plan, ethanol);
    if (want == FR_WANT_STAGES && !block->draws.whole) {
        return NULL;
    }
    prepare(block, plan, want);
    run_all_speeds(block, &figures);
    if (!block->draws.whole && (walked_too_little(block) || lift_needs_whole(block, want))) {
        return NULL;
    }
    if (want == FR_WANT_REACH && lift_needs_whole(block, want)) {
        prepare(block, plan, FR_WANT_STAGES);
        run_all_speeds(block, &figures);
    }
    put_reach(block);
    if (want != FR_WANT_REACH) {
        put_inlet(block);
        put_shorts(block);
    }
    return &block->result;
}
