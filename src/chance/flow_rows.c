/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "chance/flow_rows.h"

enum { FLOW_STEPS_MAX = 60 };

/* ---- at a flow ---- */

FR_CLONES void fr_put_in_line(fr_block *b, const double *density, const double *ln_viscosity) {
    const fr_draws *d = &b->draws;
    fr_loss_rows *line = &b->line;
    line->curve = b->plan->lines_move ? NULL : &b->plan->loss;
    line->lines = d->lines;
    line->line_count = b->plan->base->feed.line_count;
    FR_EACH_LANE(l) {
        const double kinematic = fr_lane_exp(ln_viscosity[l]) / density[l];
        line->kinematic[l] = kinematic;
        line->per_kinematic[l] = 1.0 / kinematic;
        line->scale[l] = d->loss_factor[l] * density[l] * kinematic * kinematic;
        line->filters[l] = d->loss_factor[l] * d->filters[l];
    }
}

FR_CLONES void fr_loss_in_line(const fr_block *b, const double *line_flow, fr_over_flow *loss) {
    fr_loss_of(&b->line, line_flow, loss);
}

/* ---- pieces of the walk ---- */

FR_SHARED void pick_piece(const fr_walk_rows *walk, int l, int64_t i, fr_piece_rows *picked) {
    picked->index[l] = i;
    picked->flow[l] = walk->flow[i][l];
    picked->width[l] = walk->width[i][l];
    picked->from[l] = walk->rise[i][l];
    picked->d1[l] = walk->d1[i][l];
    picked->d2[l] = walk->d2[i][l];
    picked->d3[l] = walk->d3[i][l];
    picked->d4[l] = walk->d4[i][l];
    picked->d5[l] = walk->d5[i][l];
    picked->most[l] = i > 0 ? picked->flow[l] : INFINITY;
    picked->above[l] = i < walk->last_piece[l] ? walk->flow[i + 1][l] : -INFINITY;
}

/* Pieces that hold these flows, wherever they are. */
FR_SHARED void find_pieces(const fr_walk_rows *walk, const double *flow, fr_piece_rows *picked) {
    int64_t piece[FR_LANES] __attribute__((aligned(64)));
    for (int l = 0; l < FR_WORKED_LANES; l += FR_TOGETHER) {
        const fr_few goal = FR_FEW(flow, l);
        fr_few_bits count = {0};
        for (size_t i = 1; i < walk->pieces; i++) {
            count -= (fr_few_bits)(FR_FEW(walk->flow[i], l) >= goal);
        }
        *(fr_few_bits *)(piece + l) = count;
    }
    /* a flow at the very end is on the lane's own last piece, whatever company the lane has */
    FR_EACH_LANE(l) {
        const int64_t last = walk->last_piece[l];
        pick_piece(walk, l, piece[l] < last ? piece[l] : last, picked);
    }
    picked->picked = true;
}

/* The same where most flows are on the piece that they were on, and the others not far off. */
FR_SHARED void follow_pieces(const fr_walk_rows *walk, const double *flow, fr_piece_rows *picked) {
    int64_t gone[FR_LANES] __attribute__((aligned(64))), any = 0;
    FR_EACH_LANE(l) {
        gone[l] = ((flow[l] <= picked->most[l]) & (flow[l] > picked->above[l])) ? 0 : 1;
        any += gone[l];
    }
    for (int l = 0; any > 0 && l < FR_WORKED_LANES; l++) {
        if (gone[l] != 0) {
            const int64_t last = walk->last_piece[l];
            int64_t i = picked->index[l];
            while (i < last && walk->flow[i + 1][l] >= flow[l]) {
                i++;
            }
            while (i > 0 && walk->flow[i][l] < flow[l]) {
                i--;
            }
            pick_piece(walk, l, i, picked);
        }
    }
}

FR_SHARED void pieces_of(const fr_block *b, const double *flow, fr_piece_rows *piece) {
    if (piece->picked) {
        follow_pieces(&b->draws.walk, flow, piece);
    } else {
        find_pieces(&b->draws.walk, flow, piece);
    }
}

FR_SHARED void full_drive(const fr_block *b, const double *flow, fr_piece_rows *piece,
                          fr_around_flow *loss, fr_over_flow *rail) {
    const double *jet = b->draws.jet;
    pieces_of(b, flow, piece);
    FR_EACH_LANE(l) {
        loss->at[l] = flow[l] - jet[l];
    }
    fr_loss_of(&b->line, loss->at, &loss->figure);
    FR_EACH_LANE(l) {
        const double some = loss->at[l] > 0.0 ? 1.0 : 0.0;
        const fr_along rise = fr_along_piece(piece, l, flow[l]);
        rail->value[l] = rise.value - some * loss->figure.value[l];
        rail->slope[l] = rise.slope - some * loss->figure.slope[l];
        rail->bend[l] = rise.bend - some * loss->figure.bend[l];
    }
}

FR_CLONES void fr_full_drive(const fr_block *b, const double *flow, fr_piece_rows *piece,
                             fr_around_flow *loss, fr_over_flow *rail) {
    full_drive(b, flow, piece, loss, rail);
}

/* ---- a flow that is sought ---- */

/* A step of third order (Chebyshev's) down a falling g: Newton's, and what the bend adds to it. */
FR_INLINE double bent_step(double g, double slope, double bend) {
    const double per_slope = 1.0 / slope, newton = -g * per_slope;
    const double more = -0.5 * bend * per_slope * newton;
    return newton * (1.0 + fr_lesser(fr_greater(more, -0.5), 0.5));
}

/* The set pressure at a flow, and its slope. */
FR_INLINE double set_at(const fr_balance *balance, int l, double flow, double *slope) {
    const double per_flow = balance->per_flow[l], fixed = balance->fixed[l];
    const double least = balance->least[l], steep = balance->slope[l] * per_flow;
    const double follows = fixed + steep * (flow - balance->beside[l]);
    *slope = follows > least ? steep : 0.0;
    return balance->goal[l] + fr_greater(least, follows);
}

/* How much more than is sought full drive leaves at a flow, and where a step goes from there. */
typedef struct fr_from_flow {
    fr_row over, next;
    fr_row near; /* 1: so near that the step settles it, and nothing bends between */
} fr_from_flow;

/* Ends of pieces bend, and so does a set pressure that stops to follow the fuel. */
FR_SHARED void step_from(const fr_balance *balance, const fr_piece_rows *piece,
                         const double *flow, const fr_over_flow *rail, fr_from_flow *from) {
    const double NEAR = 3e-4; /* a step cubes the error */
    FR_EACH_LANE(l) {
        double set_slope, next_set_slope;
        const double q = flow[l], set = set_at(balance, l, q, &set_slope);
        const double over = rail->value[l] - set, slope = rail->slope[l] - set_slope;
        const double end = over >= 0.0 ? INFINITY : -INFINITY;
        const double stepped = q + bent_step(over, slope, rail->bend[l]);
        const double next = slope < 0.0 ? stepped : end;
        const double most = piece->flow[l], least = most - piece->width[l];
        const double kept = fr_lesser(fr_greater(next, least), most);
        const double spare = fr_greater(q - balance->beside[l], 0.0);
        const double inside = next == kept ? 1.0 : 0.0;
        const double near = fabs(next - q) <= NEAR * spare ? inside : 0.0;
        (void)set_at(balance, l, next, &next_set_slope);
        from->over[l] = over;
        from->next[l] = next;
        from->near[l] = next_set_slope == set_slope ? near : 0.0;
    }
}

/* Keeps a step between the ends; halves where it would go back to an end (a pump's flow may jump, as where a
 * relief opens). A lane that has settled stays. */
FR_SHARED void keep_step(const fr_from_flow *from, fr_bracket *in, double *flow) {
    const double CLOSED = 1e-13;
    FR_EACH_LANE(l) {
        const double q = flow[l], over = from->over[l], newton = from->next[l];
        const double low = over >= 0.0 ? q : in->low[l], high = over >= 0.0 ? in->high[l] : q;
        const double low_asked = over >= 0.0 ? 1.0 : in->low_asked[l];
        const double high_asked = over >= 0.0 ? in->high_asked[l] : 1.0;
        const double bounded = fr_lesser(fr_greater(newton, low), high);
        const double near = bounded == q ? 1.0 : from->near[l];
        const double back_low = bounded <= low ? low_asked : 0.0;
        const double back_high = bounded >= high ? high_asked : 0.0;
        const double closed = high - low <= CLOSED * high ? 1.0 : 0.0;
        const double halve = near > 0.0 ? 0.0 : fr_greater(back_low, back_high);
        const double next = halve > 0.0 ? 0.5 * (low + high) : bounded;
        const double still = in->settled[l];
        flow[l] = still > 0.0 ? q : next;
        in->low[l] = still > 0.0 ? in->low[l] : low;
        in->high[l] = still > 0.0 ? in->high[l] : high;
        in->low_asked[l] = still > 0.0 ? in->low_asked[l] : low_asked;
        in->high_asked[l] = still > 0.0 ? in->high_asked[l] : high_asked;
        in->settled[l] = fr_greater(still, fr_greater(near, closed));
    }
}

FR_SHARED void open_bracket(const double *low, const double *high, fr_bracket *in) {
    FR_EACH_LANE(l) {
        in->low[l] = low[l];
        in->high[l] = high[l];
        in->low_asked[l] = in->high_asked[l] = in->settled[l] = 0.0;
    }
}

/* Goes on from `flow`. */
FR_SHARED void settle_flow(const fr_block *b, const fr_balance *balance, fr_bracket *in,
                           fr_piece_rows *piece, double *flow) {
    fr_around_flow loss;
    fr_over_flow rail;
    fr_from_flow from;
    for (int step = 0; step < FLOW_STEPS_MAX && fr_count_below(in->settled, 1.0) > 0; step++) {
        full_drive(b, flow, piece, &loss, &rail);
        step_from(balance, piece, flow, &rail, &from);
        keep_step(&from, in, flow);
    }
}

FR_CLONES void fr_settle_flow(fr_block *b, const fr_balance *balance, fr_bracket *bracket,
                              fr_piece_rows *piece, double *flow) {
    fr_bracket in = *bracket;
    fr_row at;
    memcpy(at, flow, sizeof at);
    settle_flow(b, balance, &in, piece, at);
    memcpy(flow, at, sizeof at);
    *bracket = in;
}

/* ---- a flow that is sought from speed to speed ---- */

/* A step by the line's loss around the last flow, a parabola; kept between none and all. */
FR_SHARED void near_step(const fr_block *b, const fr_balance *balance, fr_flow_search *search,
                         double *flow) {
    const double *most = b->draws.walk.flow[0], *jet = b->draws.jet;
    const fr_over_flow *loss = &search->loss.figure;
    pieces_of(b, flow, &search->piece);
    FR_EACH_LANE(l) {
        const double q = flow[l], in_line = q - jet[l], along = in_line - search->loss.at[l];
        const double some = in_line > 0.0 ? 1.0 : 0.0, bend = loss->bend[l];
        const fr_along rise = fr_along_piece(&search->piece, l, q);
        const double lost = loss->value[l] + along * (loss->slope[l] + 0.5 * along * bend);
        double set_slope;
        const double set = set_at(balance, l, q, &set_slope);
        const double over = rise.value - some * lost - set;
        const double slope = rise.slope - some * (loss->slope[l] + along * bend) - set_slope;
        const double stepped = q + bent_step(over, slope, rise.bend - some * bend);
        const double next = slope < 0.0 ? stepped : q;
        flow[l] = fr_lesser(fr_greater(next, 0.0), most[l]);
    }
}

/* A step that is nearly right, and one that is. */
FR_CLONES void fr_search_flow(fr_block *b, const fr_balance *balance, double rpm,
                              const double *start, fr_flow_search *search) {
    const double *free_flow = b->draws.walk.flow[0];
    fr_row flow;
    fr_over_flow rail;
    fr_from_flow from;
    if (search->flow.known > 0) {
        fr_course_next(&search->flow, rpm, flow);
        near_step(b, balance, search, flow);
    } else {
        FR_EACH_LANE(l) {
            flow[l] = fr_lesser(start[l], free_flow[l]);
        }
        search->piece.picked = false;
    }
    full_drive(b, flow, &search->piece, &search->loss, &rail);
    step_from(balance, &search->piece, flow, &rail, &from);
    if (fr_count_below(from.near, 1.0) > 0) {
        fr_bracket in;
        open_bracket(fr_no_row, free_flow, &in);
        keep_step(&from, &in, flow);
        settle_flow(b, balance, &in, &search->piece, flow);
        fr_course_add(&search->flow, rpm, flow);
    } else {
        fr_course_add(&search->flow, rpm, from.next);
    }
}

/* ---- once a draw and once a blend ---- */

/* A lane is at the low end of its bracket though that still leaves too little at the rail. */
FR_INLINE double ends_low(const fr_bracket *in, const double *flow, int l) {
    return flow[l] <= in->low[l] && in->low_asked[l] == 0.0 ? 1.0 : 0.0;
}

FR_CLONES void fr_find_start(fr_block *b) {
    fr_draws *d = &b->draws;
    const fr_balance at_pressure = fr_still(d->pressure);
    fr_row density, ln_viscosity;
    fr_bracket in;
    fr_piece_rows piece;
    piece.picked = false;
    open_bracket(d->walk.until_flow, d->walk.careful_flow, &in);
    FR_EACH_LANE(l) {
        density[l] = 2.0 / (d->feed_volume.gasoline[l] + d->feed_volume.ethanol[l]);
        ln_viscosity[l] =
            0.5 * (d->feed_ln_viscosity.gasoline[l] + d->feed_ln_viscosity.ethanol[l]);
        d->start_flow[l] = in.high[l];
    }
    fr_put_in_line(b, density, ln_viscosity);
    fr_settle_flow(b, &at_pressure, &in, &piece, d->start_flow);
    d->start_is_known = true;
}

FR_CLONES void fr_find_flow_at_set(fr_block *b, const fr_balance *set, double *flow) {
    fr_draws *d = &b->draws;
    fr_bracket in;
    fr_piece_rows piece;
    double below = 0.0;
    piece.picked = false;
    open_bracket(d->walk.until_flow, d->walk.careful_flow, &in);
    FR_EACH_LANE(l) {
        flow[l] = fr_lesser(fr_greater(d->start_flow[l], in.low[l]), in.high[l]);
    }
    fr_settle_flow(b, set, &in, &piece, flow);
    FR_EACH_LANE(l) {
        const double ends = ends_low(&in, flow, l);
        below += ends;
        in.low[l] = ends > 0.0 ? 0.0 : in.low[l];
        in.settled[l] = 1.0 - ends;
    }
    if (below > 0.0 && d->walk.cut_short) {
        b->walk_is_short = true;
    } else if (below > 0.0) {
        fr_settle_flow(b, set, &in, &piece, flow);
    }
}
