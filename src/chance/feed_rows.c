/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The stages before the injectors: lift pump, its circuit, feed pressure, vapour. */
#include "chance/flow_rows.h"

static const double VAPOUR_MARGIN_PA = 1e5; /* as src/capacity has it */
static const double AMPLE_M3_S = 1.0;       /* more than any engine burns */

/* ---- goals ---- */

/* Rail pressure (gauge, constant) below which the feed is short for either kind of injection. */
FR_SHARED void feed_goal(const fr_block *b, double *goal) {
    const fr_draws *d = &b->draws;
    const double port = b->with_port && !b->follows_manifold ? 1.0 : 0.0;
    const double direct = b->with_direct ? 1.0 : 0.0;
    FR_EACH_LANE(l) {
        const double by_port = port * (d->pressure[l] - FR_SAG_ALLOWED * d->pressure[l]);
        goal[l] = fr_greater(by_port, direct * d->least_inlet[l]);
    }
}

FR_SHARED void vapour_goal(const fr_block *b, double *goal) {
    FR_EACH_LANE(l) {
        goal[l] = b->vapour_pa[l] + VAPOUR_MARGIN_PA - b->draws.air[l];
    }
}

/* Port injection's part where the set pressure moves: less than that by so much. */
static bool feed_moves(const fr_block *b) {
    return b->with_port && b->follows_manifold;
}

/* What full drive must give beside the demand. */
FR_SHARED void beside_the_fuel(const fr_block *b, double *beside) {
    FR_EACH_LANE(l) {
        beside[l] = b->draws.bypass[l] + b->draws.jet[l];
    }
}

/* ---- once a blend ---- */

/* No lane sags at the target, so that feed pressure and vapour are not short there unless the set
 * pressure itself is too low. */
FR_INLINE void ample_feed(fr_block *b) {
    FR_EACH_LANE(l) {
        b->feed_flow[l] = b->vapour_flow[l] = AMPLE_M3_S;
    }
}

/* What the pumps give at the regulator's rise; nothing where a relief valve opens below it. */
FR_INLINE void available_at_tank(fr_block *b) {
    const fr_walk_rows *walk = &b->draws.walk;
    const double *end = walk->rise[walk->pieces];
    const double NEARLY = 1.0 - 1e-9;
    FR_EACH_LANE(l) {
        b->available[l] = end[l] >= NEARLY * b->draws.pressure[l] ? walk->end_flow[l] : 0.0;
    }
}

FR_INLINE void rail_at_end_of_fall(fr_block *b, double *rail) {
    const fr_draws *d = &b->draws;
    fr_over_flow loss;
    fr_row line_flow;
    FR_EACH_LANE(l) {
        line_flow[l] = d->walk.end_flow[l] - d->jet[l];
    }
    fr_loss_in_line(b, line_flow, &loss);
    FR_EACH_LANE(l) {
        rail[l] = d->walk.rise[d->walk.pieces][l] - (line_flow[l] > 0.0 ? loss.value[l] : 0.0);
    }
}

/* With the regulator at the tank the rail falls below the set pressure by the line's loss alone, up
 * to the flow at which the pumps give out. A goal that is met until then is no concern. */
FR_SHARED void flow_on_fall(fr_block *b, const double *goal, const double *rail_at_end,
                            double *flow) {
    const fr_draws *d = &b->draws;
    const fr_balance at_goal = fr_still(goal);
    fr_bracket in;
    fr_piece_rows piece;
    fr_row on_fall;
    piece.picked = false;
    FR_EACH_LANE(l) {
        in.high[l] = on_fall[l] = d->walk.end_flow[l];
        in.low[l] = fr_lesser(d->jet[l], in.high[l]);
        in.low_asked[l] = 0.0;
        in.high_asked[l] = 1.0;
        in.settled[l] = rail_at_end[l] >= goal[l] ? 1.0 : 0.0;
    }
    fr_settle_flow(b, &at_goal, &in, &piece, on_fall);
    FR_EACH_LANE(l) {
        flow[l] = rail_at_end[l] >= goal[l] ? flow[l] : on_fall[l];
    }
}

FR_INLINE void flows_at_tank(fr_block *b) {
    fr_row goal, rail_at_end;
    available_at_tank(b);
    rail_at_end_of_fall(b, rail_at_end);
    feed_goal(b, goal);
    flow_on_fall(b, goal, rail_at_end, b->feed_flow);
    vapour_goal(b, goal);
    flow_on_fall(b, goal, rail_at_end, b->vapour_flow);
}

/* Pump flow at which full drive leaves a constant pressure at the rail, wherever that is; a goal that
 * no rail falls short of is no concern. */
FR_SHARED void flow_at_goal(fr_block *b, const double *goal, double *flow) {
    const fr_balance at_goal = fr_still(goal);
    fr_flow_search *search = &b->feed_search;
    fr_search_flow(b, &at_goal, 0.0, b->draws.walk.flow[0], search);
    FR_EACH_LANE(l) {
        flow[l] = goal[l] > 0.0 ? search->flow.row[0][l] : AMPLE_M3_S;
    }
    search->flow.known = 0;
}

/* Where the set pressure moves: the speed of greatest demand first. */
FR_INLINE void find_first_lift(fr_block *b) {
    fr_row beside, flow;
    fr_rows_of_speed(b, b->plan->around[0]);
    fr_flow_rows_of_speed(b);
    beside_the_fuel(b, beside);
    const fr_balance set = fr_moving(b, b->set_fixed, beside);
    fr_find_flow_at_set(b, &set, flow);
    FR_EACH_LANE(l) {
        b->lift_least[l] = (flow[l] - beside[l]) * b->times_per_flow[l];
    }
}

/* No speed asks for more flow at the times that the first one has than the first floor's; the rail has
 * more at less flow. */
FR_INLINE void find_floors(fr_block *b) {
    static const double PARTS[FR_FLOORS] = {1.0, 0.85, 0.7};
    fr_around_flow loss;
    fr_over_flow rail;
    for (int i = FR_FLOORS - 1; i >= 0; i--) { /* so that it ends where speeds ask from */
        FR_EACH_LANE(l) {
            const double times = fr_greater(b->lift_least[l], 0.0);
            const double most =
                times * b->greatest_demand[l] * b->per_density[l] * FR_SURELY;
            b->floor_flow[i][l] = PARTS[i] * most + b->draws.bypass[l] + b->draws.jet[l];
        }
        fr_full_drive(b, b->floor_flow[i], &b->lift_search.piece, &loss, &rail);
        memcpy(b->floor_rail[i], rail.value, sizeof rail.value);
    }
}

FR_CLONES void fr_feed_flows(fr_block *b) {
    fr_row goal;
    feed_goal(b, goal);
    flow_at_goal(b, goal, b->feed_flow);
    vapour_goal(b, goal);
    flow_at_goal(b, goal, b->vapour_flow);
}

FR_CLONES void fr_feed_of_blend(fr_block *b) {
    fr_draws *d = &b->draws;
    b->walk_is_short = false;
    if (!b->at_tank && !d->start_is_known) {
        fr_find_start(b);
    }
    fr_put_in_line(b, b->density, b->ln_viscosity);
    ample_feed(b);
    if (!b->at_tank && b->set_is_constant) {
        const fr_balance set = fr_still(d->pressure);
        fr_find_flow_at_set(b, &set, b->available);
    } else if (!b->at_tank && b->want != FR_WANT_STAGES) {
        find_first_lift(b);
        find_floors(b);
    }
    if (b->want == FR_WANT_STAGES) {
        fr_feed_flows(b);
    }
    if (b->at_tank) {
        flows_at_tank(b);
    }
}

/* ---- at a speed: the lift pump ---- */

/* Times the demand at which the rail that full drive leaves, with `beside` flowing beside the demand,
 * is `goal` and the manifold's pressure on top. */
FR_SHARED void times_at_moving_set(fr_block *b, const double *goal, const double *beside,
                                   double rpm, fr_flow_search *search, double *times) {
    const fr_balance set = fr_moving(b, goal, beside);
    const double *flow = search->flow.row[0];
    fr_search_flow(b, &set, rpm, b->draws.start_flow, search);
    FR_EACH_LANE(l) {
        times[l] = (flow[l] - beside[l]) * b->times_per_flow[l];
    }
}

FR_CLONES void fr_lift_times(fr_block *b, double rpm) {
    fr_row beside;
    beside_the_fuel(b, beside);
    if (b->set_is_constant) {
        FR_EACH_LANE(l) {
            b->times[l] = (b->available[l] - beside[l]) * b->times_per_flow[l];
        }
    } else {
        times_at_moving_set(b, b->set_fixed, beside, rpm, &b->lift_search, b->times);
    }
}

/* Lanes in which the floors say for certain that the rail is above the set pressure at `flow`. */
FR_INLINE void surely_above_set(const fr_block *b, const double *flow, double *done) {
    const double SURELY_PA = 1.0;
    FR_EACH_LANE(l) {
        double floor = -INFINITY;
        for (int i = 0; i < FR_FLOORS; i++) {
            floor = flow[l] <= b->floor_flow[i][l] ? b->floor_rail[i][l] : floor;
        }
        const double set = b->set_fixed[l] + fr_manifold(b, l, b->lift_least[l]);
        done[l] = floor >= set + SURELY_PA ? 1.0 : 0.0;
    }
}

FR_CLONES void fr_lower_moving_lift(fr_block *b) {
    double *least = b->lift_least;
    fr_row flow, beside, done;
    fr_bracket in;
    int64_t beyond = 0;
    beside_the_fuel(b, beside);
    FR_EACH_LANE(l) {
        flow[l] = fr_greater(least[l], 0.0) * (b->demand[l] * b->per_density[l]) + beside[l];
    }
    surely_above_set(b, flow, done);
    if (fr_count_below(done, 1.0) == 0) {
        return;
    }
    /* asked at the least so far, and where that is too much solved from there */
    const fr_balance set = fr_moving(b, b->set_fixed, beside);
    fr_flow_rows_of_speed(b);
    FR_EACH_LANE(l) {
        in.low[l] = in.low_asked[l] = in.high_asked[l] = 0.0;
        in.high[l] = flow[l];
        in.settled[l] = done[l];
    }
    fr_settle_flow(b, &set, &in, &b->lift_search.piece, flow);
    FR_EACH_LANE(l) {
        const double times = (flow[l] - beside[l]) * b->times_per_flow[l];
        const double lowers = done[l] > 0.0 ? 0.0 : in.high_asked[l];
        least[l] = ((lowers > 0.0) & (times < least[l])) ? times : least[l];
        beyond += ((lowers > 0.0) & (flow[l] < b->draws.walk.until_flow[l])) ? 1 : 0;
    }
    if (beyond > 0 && b->draws.walk.cut_short) {
        b->walk_is_short = true;
    }
}

/* ---- at a speed: feed pressure and vapour ---- */

/* By the lift pump, which ends first: at this speed, or else at none before its least. */
FR_CLONES void fr_put_sag_after(fr_block *b) {
    const double *flow = b->set_is_constant ? b->available : b->lift_search.flow.row[0];
    if (!b->set_is_constant && b->want != FR_WANT_STAGES) {
        memcpy(b->sag_after, b->lift_least, sizeof b->sag_after);
        return;
    }
    FR_EACH_LANE(l) {
        const double beside = b->draws.bypass[l] + b->draws.jet[l];
        b->sag_after[l] = (flow[l] - beside) * b->times_per_flow[l];
    }
}

/* Sagging to a constant rail pressure; 0 where what is set is below it at the target, or where sag begins.
 * What is set does not fall with the fuel, so that it is below there if it is where the rail that is left
 * meets the goal. */
FR_SHARED void times_at_constant_rail(fr_block *b, const double *goal, const double *flow) {
    const double follows = b->follows_manifold ? 1.0 : 0.0;
    FR_EACH_LANE(l) {
        const double times = (flow[l] - b->draws.jet[l]) * b->times_per_flow[l];
        const double at = fr_lesser(fr_greater(times, 0.0), 1.0);
        const double set = b->set_fixed[l] + follows * fr_manifold(b, l, at);
        b->times[l] = set >= goal[l] ? times : 0.0;
    }
}

/* The pressure that port injection wants, as what the manifold's comes on top of. */
FR_SHARED void moving_feed_goal(const fr_block *b, double *goal) {
    FR_EACH_LANE(l) {
        goal[l] = b->set_fixed[l] - FR_SAG_ALLOWED * b->draws.pressure[l];
    }
}

FR_CLONES void fr_feed_times(fr_block *b, double rpm) {
    fr_row goal, by_port;
    feed_goal(b, goal);
    times_at_constant_rail(b, goal, b->feed_flow);
    if (!feed_moves(b)) {
        return;
    }
    const double direct = b->with_direct ? 1.0 : 0.0;
    FR_EACH_LANE(l) {
        by_port[l] = INFINITY;
    }
    if (b->want == FR_WANT_STAGES) {
        moving_feed_goal(b, goal);
        times_at_moving_set(b, goal, b->draws.jet, rpm, &b->feed_search, by_port);
    }
    FR_EACH_LANE(l) {
        b->times[l] = fr_lesser(direct > 0.0 ? b->times[l] : INFINITY, by_port[l]);
    }
}

FR_CLONES void fr_vapour_times(fr_block *b) {
    fr_row goal;
    vapour_goal(b, goal);
    times_at_constant_rail(b, goal, b->vapour_flow);
}

FR_CLONES void fr_feed_fails(fr_block *b, const double *sags) {
    const double SHORT_ABOVE = 1.0 + 1e-6;
    const double port = feed_moves(b) ? 1.0 : 0.0;
    fr_row feed, vapour, moving;
    feed_goal(b, feed);
    vapour_goal(b, vapour);
    moving_feed_goal(b, moving);
    FR_EACH_LANE(l) {
        const double rail = b->rail[l], air = b->draws.air[l];
        const double of_port = port * (moving[l] + fr_manifold(b, l, 1.0) - rail);
        const double by_port = of_port > (SHORT_ABOVE - 1.0) * FR_SAG_ALLOWED * b->draws.pressure[l]
                                   ? sags[l] : 0.0;
        const double by_rail = feed[l] > SHORT_ABOVE * rail ? sags[l] : by_port;
        const double by_vapour = vapour[l] + air > SHORT_ABOVE * (rail + air) ? sags[l] : 0.0;
        b->fails[FR_STAGE_FEED_PRESSURE][l] =
            fr_greater(b->fails[FR_STAGE_FEED_PRESSURE][l], by_rail);
        b->fails[FR_STAGE_VAPOUR][l] = fr_greater(b->fails[FR_STAGE_VAPOUR][l], by_vapour);
    }
}
