/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The stages before the injectors: lift pump, its circuit, feed pressure, vapour. */
#include "chance/flow_rows.h"

static const double VAPOUR_MARGIN_PA = 1e5;  /* likewise */
static const double ANY_RAIL_PA = 1e9;       /* above all */
static const double AMPLE_M3_S = 1.0;        /* more than any engine burns */
static const double ANY_FLOW_M3_S = 1e9;

/* ---- reading the table ---- */

/* Along a piece: how far the rail has risen at u. */
FR_INLINE double rail_over_piece(const fr_piece_rows *piece, int l, double u) {
    return u * (piece->d1[l] + u * (piece->d2[l] + u * piece->d3[l]));
}
FR_INLINE double rail_over_piece_slope(const fr_piece_rows *piece, int l, double u) {
    return piece->d1[l] + u * (2.0 * piece->d2[l] + u * (3.0 * piece->d3[l]));
}

/* Newton's towards the place where it has risen by `over`. */
FR_INLINE double cubic_step(const fr_piece_rows *piece, int l, double over, double u) {
    const double slope = rail_over_piece_slope(piece, l, u);
    const double next = slope > 0.0 ? u - (rail_over_piece(piece, l, u) - over) / slope : u;
    return fr_lesser(fr_greater(next, 0.0), piece->width[l]);
}

/* Pump flow at which the rail is at `rail` (constant over speed), all lanes. */
FR_INLINE void flow_at_rail(fr_block *b, const double *rail, double *flow) {
    const fr_feed_table *t = &b->table;
    for (int l = 0; l < FR_WORKED_LANES; l += FR_TOGETHER) {
        const fr_few goal = FR_FEW(rail, l);
        fr_few_bits piece = {0};
        for (size_t i = t->first + 1; i < t->end; i++) {
            piece -= (fr_few_bits)(FR_FEW(t->rail[i], l) <= goal);
        }
        *(fr_few_bits *)(b->piece + l) = piece + (int64_t)t->first;
    }
    fr_piece_rows piece;
    fr_pick_of_table(b, &piece);
    FR_EACH_LANE(l) {
        const double over = rail[l] - piece.from[l], width = piece.width[l];
        const double rise = rail_over_piece(&piece, l, width);
        double u = rise > 0.0 ? width * over / rise : 0.0;
        u = cubic_step(&piece, l, over, u);
        u = cubic_step(&piece, l, over, u);
        u = cubic_step(&piece, l, over, u);
        flow[l] = piece.flow[l] - u;
    }
}

/* Newton's towards the place where the rail is at a set pressure that follows the fuel. */
FR_INLINE double moving_step(const fr_block *b, const fr_piece_rows *piece, int l, double goal,
                             double k0, double u) {
    const double k = k0 - u * b->times_per_flow[l];
    const double value =
        piece->from[l] + rail_over_piece(piece, l, u) - (goal + fr_manifold(b, l, k));
    const double slope = rail_over_piece_slope(piece, l, u) +
                         fr_manifold_slope(b, l, k) * b->times_per_flow[l];
    const double next = slope > 0.0 ? u - value / slope : u;
    return fr_lesser(fr_greater(next, 0.0), piece->width[l]);
}

/* Times the demand at which the rail that full drive leaves, with `taken` flowing beside the
 * demand, is the set pressure less `below`; the set pressure follows the manifold. */
FR_INLINE void times_at_moving_set(fr_block *b, const double *taken, double below_share,
                                   double *times) {
    const fr_feed_table *t = &b->table;
    const fr_walk_rows *walk = &b->draws.walk;
    fr_row goal; /* set = goal + manifold */
    FR_EACH_LANE(l) {
        goal[l] = b->set_fixed[l] - below_share * b->draws.pressure[l];
    }
    for (int l = 0; l < FR_WORKED_LANES; l += FR_TOGETHER) {
        const fr_few fixed = FR_FEW(b->manifold_fixed, l) + FR_FEW(goal, l);
        const fr_few slope = FR_FEW(b->manifold_slope, l) * FR_FEW(b->times_per_flow, l);
        const fr_few least = FR_FEW(b->manifold_least, l) + FR_FEW(goal, l);
        const fr_few beside = FR_FEW(taken, l);
        fr_few_bits piece = {0};
        for (size_t i = t->first + 1; i < t->end; i++) {
            const fr_few rail = FR_FEW(t->rail[i], l);
            const fr_few set = fixed + slope * (FR_FEW(walk->flow[i], l) - beside);
            piece -= (fr_few_bits)(set >= rail) | (fr_few_bits)(least >= rail);
        }
        *(fr_few_bits *)(b->piece + l) = piece + (int64_t)t->first;
    }
    fr_piece_rows piece;
    fr_pick_of_table(b, &piece);
    FR_EACH_LANE(l) {
        const double width = piece.width[l], per_flow = b->times_per_flow[l];
        const double k0 = (piece.flow[l] - taken[l]) * per_flow;
        /* from the chord between the nodes */
        const double over = goal[l] + fr_manifold(b, l, k0) - piece.from[l];
        const double end = goal[l] + fr_manifold(b, l, k0 - width * per_flow);
        const double closing = over - (end - piece.from[l] - rail_over_piece(&piece, l, width));
        double u = closing > 0.0 ? fr_lesser(fr_greater(width * over / closing, 0.0), width) : 0.0;
        u = moving_step(b, &piece, l, goal[l], k0, u);
        u = moving_step(b, &piece, l, goal[l], k0, u);
        times[l] = k0 - u * per_flow;
    }
}

/* ---- once a blend ---- */

/* Rail pressure (gauge, constant) below which the feed is short for either kind of injection. */
FR_INLINE void feed_goal(const fr_block *b, double *goal) {
    const fr_draws *d = &b->draws;
    const double port = b->with_port && !b->follows_manifold ? 1.0 : 0.0;
    const double direct = b->with_direct ? 1.0 : 0.0;
    FR_EACH_LANE(l) {
        const double by_port = port * (d->pressure[l] - FR_SAG_ALLOWED * d->pressure[l]);
        goal[l] = fr_greater(by_port, direct * d->least_inlet[l]);
    }
}

/* ---- the feed of a blend ---- */

/* No lane sags at the target, so that feed pressure and vapour are not short there unless the set
 * pressure itself is too low. */
FR_INLINE void ample_feed(fr_block *b) {
    FR_EACH_LANE(l) {
        b->feed_flow[l] = b->vapour_flow[l] = AMPLE_M3_S;
    }
}

/* With the regulator at the tank the rail falls below the set pressure by the line's loss alone, up
 * to the flow at which the pumps give out. A goal that is met until then is no concern. */
FR_INLINE void flow_on_fall(fr_block *b, const double *goal, const double *rail_at_end,
                            double *flow) {
    const fr_draws *d = &b->draws;
    const fr_balance at_goal = fr_still(goal);
    fr_bracket in;
    fr_row on_fall;
    FR_EACH_LANE(l) {
        in.high[l] = on_fall[l] = d->walk.end_flow[l];
        in.low[l] = fr_lesser(d->jet[l], in.high[l]);
        in.low_asked[l] = 0.0;
        in.high_asked[l] = 1.0;
        in.settled[l] = rail_at_end[l] >= goal[l] ? 1.0 : 0.0;
    }
    fr_settle_flow(b, &at_goal, &in, on_fall);
    FR_EACH_LANE(l) {
        flow[l] = rail_at_end[l] >= goal[l] ? flow[l] : on_fall[l];
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
    fr_row line_flow, loss, slope;
    FR_EACH_LANE(l) {
        line_flow[l] = d->walk.end_flow[l] - d->jet[l];
    }
    fr_feed_table_loss(&b->table, d, b->line_count, line_flow, loss, slope);
    FR_EACH_LANE(l) {
        rail[l] = d->walk.rise[d->walk.pieces][l] - (line_flow[l] > 0.0 ? loss[l] : 0.0);
    }
}

FR_INLINE void vapour_goal(const fr_block *b, double *goal) {
    FR_EACH_LANE(l) {
        goal[l] = b->vapour_pa[l] + VAPOUR_MARGIN_PA - b->draws.air[l];
    }
}

/* Pump flow at which full drive leaves a constant pressure at the rail, with a whole table. */
FR_INLINE void flow_at_goal(fr_block *b, const double *goal, double *flow) {
    const fr_balance at_goal = fr_still(goal);
    flow_at_rail(b, goal, flow);
    fr_settle_on_walk(b, &at_goal, flow);
}

/* The whole table, and what is read off it. */
FR_INLINE void make_whole_table(fr_block *b) {
    fr_row goal, flow_most, rail_most;
    FR_EACH_LANE(l) {
        flow_most[l] = ANY_FLOW_M3_S;
        rail_most[l] = b->set_is_constant && !b->at_tank ? b->draws.pressure[l] : ANY_RAIL_PA;
    }
    fr_draws_fill_line_flows(&b->draws);
    fr_feed_table_fill(&b->table, &b->draws, b->line_count, flow_most, rail_most);
    feed_goal(b, goal);
    flow_at_goal(b, goal, b->feed_flow);
    vapour_goal(b, goal);
    flow_at_goal(b, goal, b->vapour_flow);
}

/* Where the set pressure moves: the speed of greatest demand first, which leaves little of the table
 * that others may ask for. */
FR_INLINE void find_first_lift(fr_block *b, double *flow) {
    fr_row beside;
    fr_rows_of_speed(b, b->plan->around[0]);
    fr_flow_rows_of_speed(b);
    FR_EACH_LANE(l) {
        beside[l] = b->draws.bypass[l] + b->draws.jet[l];
    }
    const fr_balance set = fr_moving(b, b->set_fixed, beside);
    fr_find_flow_at_set(b, &set, flow);
    FR_EACH_LANE(l) {
        b->times[l] = (flow[l] - beside[l]) * b->times_per_flow[l];
    }
    fr_worst_keep(b, fr_no_row, &b->lift_worst);
}

/* No speed asks for more flow, or for more pressure, at the times that the first one has. */
FR_INLINE void make_moving_table(fr_block *b) {
    const double BEYOND_PA = 1e3;
    fr_row flow_most, rail_most;
    FR_EACH_LANE(l) {
        rail_most[l] = 0.0;
    }
    for (size_t i = 0; i < b->plan->speed_count; i++) {
        fr_rows_of_speed(b, i);
        FR_EACH_LANE(l) {
            const double times = fr_greater(b->lift_worst.times[l], 0.0);
            rail_most[l] = fr_greater(rail_most[l], fr_manifold(b, l, times));
        }
    }
    FR_EACH_LANE(l) {
        const double times = fr_greater(b->lift_worst.times[l], 0.0);
        rail_most[l] += b->set_fixed[l] + BEYOND_PA;
        flow_most[l] = times * b->greatest_demand[l] / b->density[l] * FR_SURELY +
                       b->draws.bypass[l] + b->draws.jet[l];
    }
    fr_draws_fill_line_flows(&b->draws);
    fr_feed_table_fill(&b->table, &b->draws, b->line_count, flow_most, rail_most);
    if (b->draws.walk.cut_short && !fr_no_lane_below(b->table.rail[b->table.end], rail_most)) {
        b->walk_is_short = true;
    }
}

FR_CLONES void fr_feed_of_blend(fr_block *b) {
    fr_draws *d = &b->draws;
    fr_row goal, rail_at_end, flow;
    b->walk_is_short = false;
    if (!b->at_tank && !d->start_is_known) {
        fr_find_start(b);
    }
    fr_feed_table_lines(&b->table, b->density, b->ln_viscosity);
    ample_feed(b);
    if (!b->at_tank && b->set_is_constant) {
        const fr_balance set = fr_still(d->pressure);
        fr_find_flow_at_set(b, &set, b->available);
    } else if (!b->at_tank) {
        find_first_lift(b, flow);
    }
    if (d->whole) {
        make_whole_table(b);
    } else if (!b->set_is_constant) {
        make_moving_table(b);
    } else {
        b->table.first = 0; /* nothing is filled */
        b->table.end = d->walk.pieces;
    }
    if (b->at_tank) {
        available_at_tank(b);
        rail_at_end_of_fall(b, rail_at_end);
        feed_goal(b, goal);
        flow_on_fall(b, goal, rail_at_end, b->feed_flow);
        vapour_goal(b, goal);
        flow_on_fall(b, goal, rail_at_end, b->vapour_flow);
    }
}

/* ---- at a speed ---- */

FR_CLONES void fr_lift_times(fr_block *b) {
    const fr_draws *d = &b->draws;
    fr_row beside;
    FR_EACH_LANE(l) {
        beside[l] = d->bypass[l] + d->jet[l];
        b->times[l] = (b->available[l] - beside[l]) * b->times_per_flow[l];
    }
    if (!b->set_is_constant) {
        times_at_moving_set(b, beside, 0.0, b->times);
    }
}

/* Lanes in which the table says for certain that the rail is above the set pressure at `flow`. */
FR_INLINE void surely_above_set(fr_block *b, const double *flow, double *done) {
    const double SURELY_PA = 100.0, OF_RAIL = 4e-3; /* a cubic's error where flow turns laminar */
    const double *least = b->lift_worst.times;
    fr_piece_rows piece;
    fr_find_flows(b, flow, b->table.first, b->table.end);
    fr_pick_of_table(b, &piece);
    FR_EACH_LANE(l) {
        const double along = piece.flow[l] - flow[l];
        const double u = fr_lesser(fr_greater(along, 0.0), piece.width[l]);
        const double rail = piece.from[l] + rail_over_piece(&piece, l, u);
        const double spare = rail - (b->set_fixed[l] + fr_manifold(b, l, least[l]));
        done[l] = ((along >= 0.0) & (spare >= SURELY_PA + OF_RAIL * fabs(rail))) ? 1.0 : 0.0;
    }
}

FR_CLONES bool fr_lower_moving_lift(fr_block *b) {
    const double *least = b->lift_worst.times;
    fr_row flow, beside, done;
    fr_bracket in;
    FR_EACH_LANE(l) {
        beside[l] = b->draws.bypass[l] + b->draws.jet[l];
        flow[l] = fr_greater(least[l], 0.0) / b->times_per_flow[l] + beside[l];
    }
    surely_above_set(b, flow, done);
    if (fr_count_below(done, 1.0) == 0) {
        return false;
    }
    /* asked at the least so far, and where that is too much solved from there */
    const fr_balance set = fr_moving(b, b->set_fixed, beside);
    FR_EACH_LANE(l) {
        in.low[l] = in.low_asked[l] = in.high_asked[l] = 0.0;
        in.high[l] = flow[l];
        in.settled[l] = done[l];
    }
    fr_settle_flow(b, &set, &in, flow);
    FR_EACH_LANE(l) {
        done[l] = in.high_asked[l] > 0.0 ? done[l] : 1.0;
        b->times[l] = (flow[l] - beside[l]) * b->times_per_flow[l];
    }
    fr_worst_keep(b, done, &b->lift_worst);
    return true;
}

FR_CLONES void fr_worst_keep(fr_block *b, const double *done, fr_worst_speed *worst) {
    FR_EACH_LANE(l) {
        const double less =
            ((done[l] < 1.0) & (b->times[l] < worst->times[l])) ? 1.0 : 0.0;
        worst->times[l] = less > 0.0 ? b->times[l] : worst->times[l];
        worst->fixed[l] = less > 0.0 ? b->manifold_fixed[l] : worst->fixed[l];
        worst->slope[l] = less > 0.0 ? b->manifold_slope[l] : worst->slope[l];
        worst->least[l] = less > 0.0 ? b->manifold_least[l] : worst->least[l];
        worst->per_flow[l] = less > 0.0 ? b->times_per_flow[l] : worst->per_flow[l];
    }
}

FR_CLONES void fr_worst_polish(fr_block *b, const fr_worst_speed *worst, bool with_bypass,
                               double below, double *times) {
    fr_row beside, flow, goal;
    const fr_balance balance = {goal, worst->fixed, worst->slope,
                                worst->least, worst->per_flow, beside};
    const double bypass = with_bypass ? 1.0 : 0.0;
    FR_EACH_LANE(l) {
        goal[l] = b->set_fixed[l] - below * b->draws.pressure[l];
        beside[l] = bypass * b->draws.bypass[l] + b->draws.jet[l];
        flow[l] = worst->times[l] / worst->per_flow[l] + beside[l];
    }
    fr_settle_on_walk(b, &balance, flow);
    FR_EACH_LANE(l) {
        times[l] = (flow[l] - beside[l]) * worst->per_flow[l];
    }
}

FR_CLONES void fr_sag_start(fr_block *b) {
    FR_EACH_LANE(l) {
        b->sag_times[l] = (b->available[l] - b->draws.jet[l]) * b->times_per_flow[l];
    }
    if (!b->set_is_constant) {
        times_at_moving_set(b, b->draws.jet, 0.0, b->sag_times);
    }
}

/* Sagging to a constant rail pressure; 0 where the set pressure is below it before the sag. */
FR_INLINE void times_at_constant_rail(fr_block *b, const double *goal, const double *flow) {
    const double follows = b->follows_manifold ? 1.0 : 0.0;
    FR_EACH_LANE(l) {
        const double times = (flow[l] - b->draws.jet[l]) * b->times_per_flow[l];
        const double at = fr_lesser(fr_greater(b->sag_times[l], 0.0), 1.0);
        const double set = b->set_fixed[l] + follows * fr_manifold(b, l, at);
        b->times[l] = set >= goal[l] ? times : 0.0;
    }
}

FR_CLONES void fr_feed_times(fr_block *b) {
    fr_row goal;
    feed_goal(b, goal);
    times_at_constant_rail(b, goal, b->feed_flow);
    const double alone = b->with_direct || !b->follows_manifold ? 1.0 : 0.0;
    FR_EACH_LANE(l) {
        b->times[l] = alone > 0.0 ? b->times[l] : INFINITY;
    }
}

bool fr_feed_moves(const fr_block *b) {
    return b->with_port && b->follows_manifold;
}

FR_CLONES void fr_moving_feed_times(fr_block *b) {
    times_at_moving_set(b, b->draws.jet, FR_SAG_ALLOWED, b->times);
}

FR_CLONES void fr_vapour_times(fr_block *b) {
    fr_row goal;
    vapour_goal(b, goal);
    times_at_constant_rail(b, goal, b->vapour_flow);
}
