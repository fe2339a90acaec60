/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "chance/flow_rows.h"

enum { FLOW_STEPS_MAX = 60 };

/* A step of third order (Chebyshev's) down a falling g: Newton's, and what the bend adds to it. */
FR_INLINE double bent_step(double g, double slope, double bend) {
    const double newton = -g / slope;
    const double more = -0.5 * bend / slope * newton;
    return newton * (1.0 + fr_lesser(fr_greater(more, -0.5), 0.5));
}

/* How the slope of the loss changes with the flow: nearly as that of a power of it. */
FR_INLINE double loss_bend(double loss, double slope, double flow) {
    const double NO_LOSS_PA = 1e-6;
    return slope * (slope / fr_greater(loss, NO_LOSS_PA) - 1.0 / flow);
}

/* Rows of its own, or the compiler must fear that they are one another's. */
typedef struct fr_balance_rows {
    fr_row goal, fixed, slope, least, per_flow, beside;
} fr_balance_rows;

/* One step towards the flow at which full drive leaves at the rail what is sought, kept between the ends;
 * halves where it would go back to an end (a pump's flow may jump, as where a relief
 * opens). A lane that has settled stays. */
FR_INLINE void flow_step(fr_block *b, const fr_balance_rows *balance, fr_bracket *in,
                         double *flow) {
    const double NEAR = 3e-5, CLOSED = 1e-13; /* a step squares the error, at worst */
    fr_row line_flow, loss, loss_slope;
    fr_piece_rows piece;
    fr_find_flows(b, flow, 0, b->draws.walk.pieces);
    fr_pick_of_walk(b, &piece);
    FR_EACH_LANE(l) {
        line_flow[l] = flow[l] - b->draws.jet[l];
    }
    fr_feed_table_loss(&b->table, &b->draws, b->line_count, line_flow, loss, loss_slope);
    FR_EACH_LANE(l) {
        const double q = flow[l], some = line_flow[l] > 0.0 ? 1.0 : 0.0;
        const fr_along rise = fr_along_piece(&piece, l, q);
        const double follows =
            balance->fixed[l] + balance->slope[l] * ((q - balance->beside[l]) * balance->per_flow[l]);
        const double set = balance->goal[l] + fr_greater(balance->least[l], follows);
        const double set_slope =
            follows > balance->least[l] ? balance->slope[l] * balance->per_flow[l] : 0.0;
        const double over = rise.value - some * loss[l] - set;
        const double slope = rise.slope - some * loss_slope[l] - set_slope;
        const double low = over >= 0.0 ? q : in->low[l], high = over >= 0.0 ? in->high[l] : q;
        const double low_asked = over >= 0.0 ? 1.0 : in->low_asked[l];
        const double high_asked = over >= 0.0 ? in->high_asked[l] : 1.0;
        const double end = over >= 0.0 ? high : low;
        const double bend =
            rise.bend - some * loss_bend(loss[l], loss_slope[l],
                                         fr_greater(line_flow[l], FR_LEAST_LINE_FLOW_M3_S));
        const double newton = slope < 0.0 ? q + bent_step(over, slope, bend) : end;
        const double bounded = fr_lesser(fr_greater(newton, low), high);
        /* within one piece nothing bends */
        const double most = piece.flow[l], least = most - piece.width[l];
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
                              double *flow) {
    fr_balance_rows rows;
    fr_bracket in = *bracket;
    fr_row at;
    take_balance(balance, &rows);
    memcpy(at, flow, sizeof at);
    for (int step = 0; step < FLOW_STEPS_MAX && fr_count_below(in.settled, 1.0) > 0; step++) {
        flow_step(b, &rows, &in, at);
    }
    memcpy(flow, at, sizeof at);
    *bracket = in;
}

/* A lane is at the low end of its bracket though that still leaves too little at the rail. */
FR_INLINE double ends_low(const fr_bracket *in, const double *flow, int l) {
    return flow[l] <= in->low[l] && in->low_asked[l] == 0.0 ? 1.0 : 0.0;
}

FR_INLINE void open_bracket(const fr_walk_rows *walk, fr_bracket *in) {
    FR_EACH_LANE(l) {
        in->low[l] = walk->until_flow[l];
        in->high[l] = walk->careful_flow[l];
        in->low_asked[l] = in->high_asked[l] = in->settled[l] = 0.0;
    }
}

FR_CLONES void fr_find_start(fr_block *b) {
    fr_draws *d = &b->draws;
    const fr_balance at_pressure = fr_still(d->pressure);
    fr_row density, ln_viscosity;
    fr_bracket in;
    open_bracket(&d->walk, &in);
    FR_EACH_LANE(l) {
        density[l] = 2.0 / (d->feed_volume.gasoline[l] + d->feed_volume.ethanol[l]);
        ln_viscosity[l] =
            0.5 * (d->feed_ln_viscosity.gasoline[l] + d->feed_ln_viscosity.ethanol[l]);
        d->start_flow[l] = in.high[l];
    }
    fr_feed_table_lines(&b->table, density, ln_viscosity);
    fr_settle_flow(b, &at_pressure, &in, d->start_flow);
    d->start_is_known = true;
}

FR_CLONES void fr_find_flow_at_set(fr_block *b, const fr_balance *set, double *flow) {
    fr_draws *d = &b->draws;
    fr_bracket in;
    double below = 0.0;
    open_bracket(&d->walk, &in);
    FR_EACH_LANE(l) {
        flow[l] = fr_lesser(fr_greater(d->start_flow[l], in.low[l]), in.high[l]);
    }
    fr_settle_flow(b, set, &in, flow);
    FR_EACH_LANE(l) {
        const double ends = ends_low(&in, flow, l);
        below += ends;
        in.low[l] = ends > 0.0 ? 0.0 : in.low[l];
        in.settled[l] = 1.0 - ends;
    }
    if (below > 0.0 && d->walk.cut_short) {
        b->walk_is_short = true;
    } else if (below > 0.0) {
        fr_settle_flow(b, set, &in, flow);
    }
}

FR_CLONES void fr_settle_on_walk(fr_block *b, const fr_balance *balance, double *flow) {
    fr_bracket in;
    FR_EACH_LANE(l) {
        in.low[l] = 0.0;
        in.high[l] = b->draws.walk.flow[0][l];
        in.low_asked[l] = in.high_asked[l] = in.settled[l] = 0.0;
    }
    fr_settle_flow(b, balance, &in, flow);
}
