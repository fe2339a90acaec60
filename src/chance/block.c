/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "chance/block.h"

#include <stdlib.h>

#include "chance/rows.h"

/* Short where use is beyond its end by more than 1e-6. */
static const double SHORT_BELOW = 1.0 - 1e-6;
static const double USE_TOLERANCE = 1e-6;

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

void fr_keep_times(fr_block *b, fr_stage stage, size_t speed) {
    double *least = b->result.stage_times[stage];
    FR_EACH_LANE(l) {
        least[l] = fr_lesser(least[l], b->times[l]);
    }
    if (b->points != NULL) {
        memcpy(b->points + (speed * FR_STAGE_COUNT + stage) * FR_LANES, b->times,
               sizeof b->times);
    }
}

/* ---- a speed ---- */

/* With a set pressure that moves, port injection's part is kept by itself until it is polished. */
static void keep_moving_feed(fr_block *b, size_t speed) {
    const fr_row none_done = {0.0};
    fr_row fixed;
    memcpy(fixed, b->times, sizeof fixed);
    fr_moving_feed_times(b);
    fr_worst_keep(b, none_done, &b->feed_worst);
    if (b->points != NULL) {
        double *point =
            b->points + (speed * FR_STAGE_COUNT + FR_STAGE_FEED_PRESSURE) * FR_LANES;
        FR_EACH_LANE(l) {
            point[l] = fr_lesser(fixed[l], b->times[l]);
        }
    }
}

/* Where the set pressure moves with the speed; that of greatest demand is known with the table. */
static void run_moving_lift(fr_block *b, size_t speed) {
    const fr_row none_done = {0.0};
    if (b->points != NULL) {
        fr_lift_times(b);
        fr_worst_keep(b, none_done, &b->lift_worst);
        fr_keep_times(b, FR_STAGE_LIFT_PUMP, speed);
    } else if (speed != b->plan->around[0]) {
        fr_lower_moving_lift(b);
    }
}

/* Where the set pressure is one figure this is asked once, at the greatest demand. */
static void run_before_rail(fr_block *b, size_t speed) {
    const bool all = b->want != FR_WANT_REACH;
    if (b->set_is_constant) {
        fr_lift_times(b);
        fr_keep_times(b, FR_STAGE_LIFT_PUMP, speed);
    } else {
        run_moving_lift(b, speed);
    }
    if (b->circuit_counts) {
        fr_circuit_times(b);
        fr_keep_times(b, FR_STAGE_PUMP_CIRCUIT, speed);
    }
    if (all && b->draws.whole) {
        fr_sag_start(b);
    }
    /* with the regulator at the rail these end after the lift pump does */
    if (all || b->at_tank) {
        fr_feed_times(b);
        fr_keep_times(b, FR_STAGE_FEED_PRESSURE, speed);
        if (fr_feed_moves(b) && b->draws.whole) {
            keep_moving_feed(b, speed);
        }
        fr_vapour_times(b);
        fr_keep_times(b, FR_STAGE_VAPOUR, speed);
    }
}

/* Where the set pressure is one figure, what lies before the rail ends first where most is burnt. */
static bool before_rail_at_once(const fr_block *b) {
    return b->set_is_constant && b->points == NULL;
}

static void run_all_before_rail(fr_block *b) {
    if (before_rail_at_once(b)) {
        run_before_rail(b, 0);
        return;
    }
    for (size_t i = 0; i < b->plan->speed_count && b->points == NULL; i++) {
        fr_rows_of_speed(b, b->plan->around[i]);
        fr_flow_rows_of_speed(b);
        run_before_rail(b, b->plan->around[i]);
    }
}

static void run_all_behind_rail(fr_block *b) {
    const bool sags = b->draws.whole && b->want != FR_WANT_REACH;
    for (size_t i = 0; i < b->plan->speed_count; i++) {
        const size_t speed = b->points != NULL ? b->plan->around[i] : b->plan->by_spare[i];
        fr_rows_of_speed(b, speed);
        if (sags || b->at_tank || b->points != NULL) {
            fr_flow_rows_of_speed(b);
        }
        if (b->points != NULL) {
            run_before_rail(b, speed);
        } else if (sags) {
            fr_sag_start(b);
        }
        fr_run_behind_rail(b, speed, i == 0);
    }
}

/* Injectors and pump are short only where direct-pressure is, which speaks for them. */
static void run_all_spoken_for(fr_block *b) {
    const double *sagged = b->result.stage_times[FR_STAGE_DIRECT_PRESSURE];
    const double *held = b->held_least[FR_STAGE_DIRECT_PRESSURE];
    int64_t any = b->want == FR_WANT_STAGES ? 1 : 0;
    FR_EACH_LANE(l) {
        any += fr_lesser(sagged[l], held[l]) < SHORT_BELOW ? 1 : 0;
    }
    if (any == 0 || b->automatic || b->points != NULL || b->want == FR_WANT_REACH) {
        return;
    }
    for (size_t i = 0; i < b->plan->speed_count; i++) {
        fr_rows_of_speed(b, b->plan->by_spare[i]);
        if (b->draws.whole || b->at_tank) {
            fr_flow_rows_of_speed(b);
            fr_sag_start(b);
        }
        fr_run_spoken_for(b, b->plan->by_spare[i]);
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
    if (b->points != NULL) {
        fr_worst_polish(b, &b->lift_worst, true, 0.0, lift);
    } else {
        memcpy(lift, b->lift_worst.times, sizeof(fr_row));
    }
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
    fr_rows_of_greatest_demand(b);
    fr_feed_of_blend(b);
    if (b->with_direct) {
        fr_direct_of_blend(b);
    }
    b->circuit_counts = false;
    if (b->plan->base->pumps.fuse_a > 0.0) {
        fr_circuit_of_blend(b);
    }
    run_all_before_rail(b);
    run_all_behind_rail(b);
    if (b->with_direct) {
        run_all_spoken_for(b);
    }
    if (!b->set_is_constant) {
        polish_moving(b);
    }
    take_held(b);
}

/* A lift pump that is past its end with no fuel drawn is set aside, and the sag that it leaves
 * behind then counts; one that is short at the target makes other stages short with it. */
static bool lift_needs_whole(const fr_block *b, fr_block_want want) {
    const double enough = want == FR_WANT_REACH ? 0.0 : 1.0;
    FR_EACH_LANE(l) {
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
    FR_EACH_LANE(l) {
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
    FR_EACH_LANE(l) {
        const double use = b->tank_pa[l] / (b->draws.air[l] - b->draws.strainer[l]);
        b->result.stage_times[FR_STAGE_PUMP_INLET][l] =
            given && use > 1.0 + USE_TOLERANCE ? 0.0 : INFINITY;
    }
}

static void put_shorts(fr_block *b) {
    fr_block_result *r = &b->result;
    FR_EACH_LANE(l) {
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
    if (!block->draws.whole && (block->walk_is_short || lift_needs_whole(block, want))) {
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
