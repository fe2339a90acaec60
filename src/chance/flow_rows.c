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

/* No lane's flow has left its piece. */
FR_INLINE bool still_there(const fr_piece_rows *piece, const double *flow) {
    int64_t gone = 0;
    FR_EACH_LANE(l) {
        gone += ((flow[l] <= piece->most[l]) & (flow[l] > piece->above[l])) ? 0 : 1;
    }
    return gone == 0;
}

/* Pieces that hold these flows. */
FR_INLINE void find_pieces(const fr_walk_rows *walk, const double *flow, int64_t *piece) {
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
        piece[l] = piece[l] < walk->last_piece[l] ? piece[l] : walk->last_piece[l];
    }
}

FR_INLINE void pick_pieces(const fr_walk_rows *walk, const double *flow, fr_piece_rows *picked) {
    int64_t piece[FR_LANES] __attribute__((aligned(64)));
    find_pieces(walk, flow, piece);
    FR_EACH_LANE(l) {
        const int64_t i = piece[l];
        picked->flow[l] = walk->flow[i][l];
        picked->width[l] = walk->width[i][l];
        picked->from[l] = walk->rise[i][l];
        picked->d1[l] = walk->d1[i][l];
        picked->d2[l] = walk->d2[i][l];
        picked->d3[l] = walk->d3[i][l];
        picked->above[l] = walk->flow[i + 1][l];
    }
    FR_EACH_LANE(l) {
        picked->most[l] = piece[l] > 0 ? picked->flow[l] : INFINITY;
        picked->above[l] = piece[l] < walk->last_piece[l] ? picked->above[l] : -INFINITY;
    }
    picked->picked = true;
}

FR_INLINE void full_drive(fr_block *b, const double *flow, fr_piece_rows *piece,
                          fr_over_flow *rail) {
    const double *jet = b->draws.jet;
    fr_row line_flow;
    fr_over_flow loss;
    if (!piece->picked || !still_there(piece, flow)) {
        pick_pieces(&b->draws.walk, flow, piece);
    }
    FR_EACH_LANE(l) {
        line_flow[l] = flow[l] - jet[l];
    }
    fr_loss_of(&b->line, line_flow, &loss);
    FR_EACH_LANE(l) {
        const double some = line_flow[l] > 0.0 ? 1.0 : 0.0;
        const fr_along rise = fr_along_piece(piece, l, flow[l]);
        rail->value[l] = rise.value - some * loss.value[l];
        rail->slope[l] = rise.slope - some * loss.slope[l];
        rail->bend[l] = rise.bend - some * loss.bend[l];
    }
}

FR_CLONES void fr_full_drive(fr_block *b, const double *flow, fr_piece_rows *piece,
                             fr_over_flow *rail) {
    full_drive(b, flow, piece, rail);
}

/* ---- a flow that is sought ---- */

/* A step of third order (Chebyshev's) down a falling g: Newton's, and what the bend adds to it. */
FR_INLINE double bent_step(double g, double slope, double bend) {
    const double newton = -g / slope;
    const double more = -0.5 * bend / slope * newton;
    return newton * (1.0 + fr_lesser(fr_greater(more, -0.5), 0.5));
}

/* Rows of its own, or the compiler must fear that they are one another's. */
typedef struct fr_balance_rows {
    fr_row goal, fixed, slope, least, per_flow, beside;
} fr_balance_rows;

/* One step towards the flow at which full drive leaves at the rail what is sought, kept between the ends;
 * halves where it would go back to an end (a pump's flow may jump, as where a relief
 * opens). A lane that has settled stays. */
FR_INLINE void flow_step(fr_block *b, const fr_balance_rows *balance, fr_bracket *in,
                         fr_piece_rows *piece, double *flow) {
    const double NEAR = 3e-5, CLOSED = 1e-13; /* a step squares the error, at worst */
    fr_over_flow rail;
    full_drive(b, flow, piece, &rail);
    FR_EACH_LANE(l) {
        const double q = flow[l];
        const double follows =
            balance->fixed[l] + balance->slope[l] * ((q - balance->beside[l]) * balance->per_flow[l]);
        const double set = balance->goal[l] + fr_greater(balance->least[l], follows);
        const double set_slope =
            follows > balance->least[l] ? balance->slope[l] * balance->per_flow[l] : 0.0;
        const double over = rail.value[l] - set, slope = rail.slope[l] - set_slope;
        const double low = over >= 0.0 ? q : in->low[l], high = over >= 0.0 ? in->high[l] : q;
        const double low_asked = over >= 0.0 ? 1.0 : in->low_asked[l];
        const double high_asked = over >= 0.0 ? in->high_asked[l] : 1.0;
        const double end = over >= 0.0 ? high : low;
        const double newton = slope < 0.0 ? q + bent_step(over, slope, rail.bend[l]) : end;
        const double bounded = fr_lesser(fr_greater(newton, low), high);
        /* within one piece nothing bends */
        const double most = piece->flow[l], least = most - piece->width[l];
        const double inside = (bounded <= most && bounded >= least) || bounded == q ? 1.0 : 0.0;
        const double near = fabs(bounded - q) <= NEAR * q ? inside : 0.0;
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

FR_INLINE void take_balance(const fr_balance *from, fr_balance_rows *rows) {
    memcpy(rows->goal, from->goal, sizeof rows->goal);
    memcpy(rows->fixed, from->fixed, sizeof rows->fixed);
    memcpy(rows->slope, from->slope, sizeof rows->slope);
    memcpy(rows->least, from->least, sizeof rows->least);
    memcpy(rows->per_flow, from->per_flow, sizeof rows->per_flow);
    memcpy(rows->beside, from->beside, sizeof rows->beside);
}

FR_CLONES void fr_settle_flow(fr_block *b, const fr_balance *balance, fr_bracket *bracket,
                              fr_piece_rows *piece, double *flow) {
    fr_balance_rows rows;
    fr_bracket in = *bracket;
    fr_row at;
    take_balance(balance, &rows);
    memcpy(at, flow, sizeof at);
    for (int step = 0; step < FLOW_STEPS_MAX && fr_count_below(in.settled, 1.0) > 0; step++) {
        flow_step(b, &rows, &in, piece, at);
    }
    memcpy(flow, at, sizeof at);
    *bracket = in;
}

/* ---- once a draw and once a blend ---- */

/* A lane is at the low end of its bracket though that still leaves too little at the rail. */
FR_INLINE double ends_low(const fr_bracket *in, const double *flow, int l) {
    return flow[l] <= in->low[l] && in->low_asked[l] == 0.0 ? 1.0 : 0.0;
}

FR_INLINE void open_bracket(const double *low, const double *high, fr_bracket *in) {
    FR_EACH_LANE(l) {
        in->low[l] = low[l];
        in->high[l] = high[l];
        in->low_asked[l] = in->high_asked[l] = in->settled[l] = 0.0;
    }
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

FR_CLONES void fr_search_flow(fr_block *b, const fr_balance *balance, const double *start,
                              fr_flow_search *search) {
    fr_bracket in;
    const double *free_flow = b->draws.walk.flow[0];
    open_bracket(fr_no_row, free_flow, &in);
    if (!search->begun) {
        FR_EACH_LANE(l) {
            search->flow[l] = fr_lesser(start[l], free_flow[l]);
        }
        search->begun = true;
        search->piece.picked = false;
    }
    fr_settle_flow(b, balance, &in, &search->piece, search->flow);
}
