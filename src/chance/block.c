/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "chance/block.h"

#include <stdlib.h>

#include "chance/rows.h"

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

FR_CLONES void fr_keep_times(fr_block *b, fr_stage stage, size_t speed) {
    double *least = b->result.stage_times[stage];
    FR_EACH_LANE(l) {
        least[l] = fr_lesser(least[l], b->times[l]);
    }
    if (b->points != NULL) {
        double *point = b->points + (speed * FR_STAGE_COUNT + stage) * FR_LANES;
        FR_EACH_LANE(l) {
            point[l] = fr_greater(b->times[l], 0.0);
        }
    }
}

/* ---- a blend ---- */

static void prepare(fr_block *b, const fr_draw_plan *plan, fr_block_want want) {
    const fr_build *base = plan->base;
    b->plan = plan;
    b->want = want;
    b->follows_manifold = base->feed.manifold_referenced;
    b->at_tank = base->feed.regulation == FR_MECHANICAL_RETURNLESS;
    b->set_is_constant = !base->feed.manifold_referenced;
    b->with_port = base->port.present;
    b->with_direct = base->direct.present;
    b->automatic = base->share == FR_SHARE_AUTO;
    b->lift_search.flow.known = b->feed_search.flow.known = 0;
    b->port_solve.fuel.known = b->direct_solve.fuel.known = b->pump_solve.fuel.known = 0;
    b->port_solve.guess.known = b->direct_solve.guess.known = b->pump_solve.guess.known = 0;
    b->lift_search.piece.picked = b->port_solve.piece.picked = false;
    b->left_piece = &b->port_solve.piece;
    for (int stage = 0; stage < FR_STAGE_COUNT; stage++) {
        FR_EACH_LANE(l) {
            b->result.stage_times[stage][l] = b->held_least[stage][l] = INFINITY;
            b->fails[stage][l] = 0.0;
        }
    }
    FR_EACH_LANE(l) {
        b->rail_guess[l] = b->draws.rail_limit[l];
        b->sag_after[l] = b->lift_least[l] = INFINITY;
    }
}

static void start_blend(fr_block *b, const fr_blend_figures *figures) {
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
}

/* ---- the least over speeds ---- */

static void run_circuit(fr_block *b, size_t speed) {
    if (b->circuit_counts) {
        fr_circuit_times(b);
        fr_keep_times(b, FR_STAGE_PUMP_CIRCUIT, speed);
    }
}

static void run_feed(fr_block *b, size_t speed) {
    fr_feed_times(b, b->plan->rpm[speed]);
    fr_keep_times(b, FR_STAGE_FEED_PRESSURE, speed);
    fr_vapour_times(b);
    fr_keep_times(b, FR_STAGE_VAPOUR, speed);
}

/* With the regulator at the rail feed pressure and vapour end after the lift pump does. */
static void run_before_rail(fr_block *b, size_t speed) {
    run_circuit(b, speed);
    if (b->want != FR_WANT_REACH || b->at_tank) {
        run_feed(b, speed);
    }
}

/* Where the set pressure is one figure, what lies before the rail ends first where most is burnt. */
static void run_all_before_rail(fr_block *b) {
    if (b->set_is_constant) {
        fr_lift_times(b, 0.0);
        fr_keep_times(b, FR_STAGE_LIFT_PUMP, 0);
        run_before_rail(b, 0);
        return;
    }
    const bool more = b->circuit_counts || b->want != FR_WANT_REACH;
    for (size_t i = 0; i < b->plan->speed_count; i++) {
        fr_rows_of_speed(b, b->plan->around[i]);
        if (i > 0) { /* the first is known with the flow of the blend */
            fr_lower_moving_lift(b);
        }
        if (more) {
            fr_flow_rows_of_speed(b);
            run_before_rail(b, b->plan->around[i]);
        }
    }
    memcpy(b->result.stage_times[FR_STAGE_LIFT_PUMP], b->lift_least, sizeof b->lift_least);
}

static void run_all_held(fr_block *b) {
    for (size_t i = 0; i < b->plan->speed_count; i++) {
        fr_rows_of_speed(b, b->plan->by_spare[i]);
        fr_run_held(b, b->plan->by_spare[i], i == 0);
    }
    for (int stage = FR_STAGE_PORT_INJECTOR; stage < FR_STAGE_COUNT; stage++) {
        memcpy(b->result.stage_times[stage], b->held_least[stage], sizeof(fr_row));
    }
}

/* A lift pump that is short at the target makes other stages short with it. */
static bool any_lift_within(const fr_block *b, double times) {
    const double *lift = b->result.stage_times[FR_STAGE_LIFT_PUMP];
    int64_t within = 0;
    FR_EACH_LANE(l) {
        within += lift[l] > times ? 0 : 1;
    }
    return within > 0;
}

/* No power mends what is too little where sag begins. */
static void keep_none(fr_block *b, fr_stage stage) {
    double *least = b->result.stage_times[stage];
    FR_EACH_LANE(l) {
        least[l] = b->times[l] > 0.0 ? least[l] : 0.0;
    }
}

static void run_all_at_target(fr_block *b) {
    if (b->want == FR_WANT_REACH || !b->draws.whole || !any_lift_within(b, 1.0)) {
        return;
    }
    if (b->follows_manifold) {
        fr_feed_flows(b);
    }
    for (size_t i = 0; i < b->plan->speed_count; i++) {
        fr_rows_of_speed(b, b->plan->around[i]);
        fr_flow_rows_of_speed(b);
        fr_run_target(b, b->plan->around[i]);
        if (b->follows_manifold) {
            fr_feed_times(b, b->plan->rpm[b->plan->around[i]]);
            keep_none(b, FR_STAGE_FEED_PRESSURE);
            fr_vapour_times(b);
            keep_none(b, FR_STAGE_VAPOUR);
        }
    }
}

/* Injectors and pump are short only where direct-pressure is, which speaks for them. */
static void run_all_spoken_for(fr_block *b) {
    const double *held = b->held_least[FR_STAGE_DIRECT_PRESSURE];
    const double *fails = b->fails[FR_STAGE_DIRECT_PRESSURE];
    int64_t any = 0;
    FR_EACH_LANE(l) {
        any += ((held[l] < FR_SHORT_BELOW) | (fails[l] > 0.0)) ? 1 : 0;
    }
    if (any == 0 || b->automatic || b->want == FR_WANT_REACH) {
        return;
    }
    for (size_t i = 0; i < b->plan->speed_count; i++) {
        fr_rows_of_speed(b, b->plan->by_spare[i]);
        fr_run_spoken_for(b, b->plan->by_spare[i]);
    }
}

static void run_least(fr_block *b, const fr_blend_figures *figures) {
    start_blend(b, figures);
    run_all_before_rail(b);
    run_all_held(b);
    run_all_at_target(b);
    if (b->with_direct) {
        run_all_spoken_for(b);
    }
}

/* ---- every stage at every speed ---- */

static void run_every_stage(fr_block *b, const fr_blend_figures *figures) {
    start_blend(b, figures);
    for (size_t speed = 0; speed < b->plan->speed_count; speed++) {
        fr_rows_of_speed(b, speed);
        fr_flow_rows_of_speed(b);
        fr_lift_times(b, b->plan->rpm[speed]);
        fr_keep_times(b, FR_STAGE_LIFT_PUMP, speed);
        run_circuit(b, speed);
        fr_put_sag_after(b);
        run_feed(b, speed);
        fr_run_every_stage(b, speed);
    }
}

/* ---- results ---- */

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

/* Short at the target, by the rules of a verdict. */
static void put_shorts(fr_block *b) {
    fr_block_result *r = &b->result;
    FR_EACH_LANE(l) {
        r->any_short[l] = 0.0;
    }
    for (int stage = FR_STAGE_COUNT - 1; stage >= 0; stage--) { /* direct-pressure comes last */
        const bool spoken_for =
            stage == FR_STAGE_DIRECT_INJECTOR || stage == FR_STAGE_HIGH_PRESSURE_PUMP;
        const double *pressure = r->is_short[FR_STAGE_DIRECT_PRESSURE];
        FR_EACH_LANE(l) {
            const double times = r->stage_times[stage][l];
            const bool beyond = (times < FR_SHORT_BELOW) | (b->fails[stage][l] > 0.0);
            const bool counts = !spoken_for | (pressure[l] > 0.0);
            r->is_short[stage][l] = (beyond & counts) ? 1.0 : 0.0;
            r->any_short[l] = fr_greater(r->any_short[l], r->is_short[stage][l]);
        }
    }
}

static void put_mending(fr_block *b) {
    fr_block_result *r = &b->result;
    FR_EACH_LANE(l) {
        r->beyond_mending[l] = 0.0;
        for (int stage = 0; stage < FR_STAGE_COUNT; stage++) {
            r->stage_times[stage][l] = fr_greater(r->stage_times[stage][l], 0.0);
            const bool none = (r->is_short[stage][l] > 0.0) & (r->stage_times[stage][l] <= 0.0);
            r->beyond_mending[l] = none ? 1.0 : r->beyond_mending[l];
        }
    }
}

/* A lift pump that is past its end with no fuel drawn is set aside in the reach, and the sag that it
 * leaves behind then counts. Other lanes do not notice. */
static void take_past_end(fr_block *b, const fr_blend_figures *figures) {
    const fr_block_result least = b->result;
    const fr_draw_plan *plan = b->plan;
    const fr_block_want want = b->want;
    prepare(b, plan, FR_WANT_STAGES);
    run_every_stage(b, figures);
    put_inlet(b);
    put_reach(b);
    FR_EACH_LANE(l) {
        const bool past = !(least.stage_times[FR_STAGE_LIFT_PUMP][l] > 0.0);
        b->result.times[l] = past ? b->result.times[l] : least.times[l];
        for (int stage = 0; stage < FR_STAGE_COUNT; stage++) {
            b->result.stage_times[stage][l] =
                past ? b->result.stage_times[stage][l] : least.stage_times[stage][l];
        }
    }
    memcpy(b->result.is_short, least.is_short, sizeof least.is_short);
    memcpy(b->result.any_short, least.any_short, sizeof least.any_short);
    b->want = want;
}

const fr_block_result *fr_block_run(fr_block *block, const fr_draw_plan *plan, double ethanol,
                                    fr_block_want want) {
    const fr_blend_figures figures = fr_blend_figures_of(plan, ethanol);
    const bool stages = want == FR_WANT_STAGES;
    if (stages && !block->draws.whole) {
        return NULL;
    }
    prepare(block, plan, want);
    if (stages) {
        run_every_stage(block, &figures);
    } else {
        run_least(block, &figures);
    }
    const double enough = want == FR_WANT_REACH ? 0.0 : 1.0;
    if (!block->draws.whole && (block->walk_is_short || any_lift_within(block, enough))) {
        return NULL;
    }
    if (want != FR_WANT_REACH) {
        put_inlet(block);
        put_shorts(block);
    }
    put_reach(block);
    if (!stages && any_lift_within(block, 0.0)) {
        take_past_end(block, &figures);
    }
    if (want != FR_WANT_REACH) {
        put_mending(block);
    }
    return &block->result;
}
