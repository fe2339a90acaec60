/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Demand, manifold and set pressure of a block at one speed. */
#include "chance/rows.h"

/* Lower than any pressure. */
static const double NO_LEAST_PA = -1e300;

/* A boost that is given follows the fuel from nothing; a natural engine keeps its pressure; boost
 * that is worked out is what the air needs, never below the site's. */
FR_INLINE void fill_manifold(fr_block *b, double boost, double cycle_s, bool natural,
                             bool worked_out) {
    const fr_draws *d = &b->draws;
    FR_EACH_LANE(l) {
        const double given = d->air[l] + (d->boost.scale[l] * boost + d->boost.shift[l]) +
                             d->manifold_shift[l];
        const double need =
            b->demand[l] * b->air_per_fuel[l] * (d->manifold_per_air[l] * cycle_s);
        b->manifold_fixed[l] = worked_out ? d->manifold_shift[l] : natural ? given : 0.0;
        b->manifold_slope[l] = worked_out ? need : natural ? 0.0 : given;
        b->manifold_least[l] = worked_out ? d->air[l] + d->manifold_shift[l] : NO_LEAST_PA;
    }
}

FR_CLONES void fr_rows_of_speed(fr_block *b, size_t speed) {
    const fr_draws *d = &b->draws;
    const fr_draw_plan *plan = b->plan;
    const fr_engine *engine = &plan->base->engine;
    const double pull = plan->pull[speed], bsfc = plan->bsfc[speed];
    FR_EACH_LANE(l) {
        b->demand[l] =
            b->fuel_per_pull[l] * pull * (d->bsfc.scale[l] * bsfc + d->bsfc.shift[l]);
    }
    fill_manifold(b, plan->boost[speed], plan->cycle_s[speed], engine->aspiration == FR_NATURAL,
                  engine->boost_source == FR_BOOST_WORKED_OUT);
}

FR_CLONES void fr_flow_rows_of_speed(fr_block *b) {
    FR_EACH_LANE(l) {
        b->times_per_flow[l] = b->density[l] / b->demand[l];
    }
}

FR_CLONES void fr_rows_of_greatest_demand(fr_block *b) {
    const fr_draws *d = &b->draws;
    const fr_draw_plan *plan = b->plan;
    fr_row greatest = {0.0};
    for (size_t i = 0; i < plan->speed_count; i++) {
        const double pull = plan->pull[i], bsfc = plan->bsfc[i];
        FR_EACH_LANE(l) {
            greatest[l] = fr_greater(greatest[l], b->fuel_per_pull[l] * pull *
                                                      (d->bsfc.scale[l] * bsfc + d->bsfc.shift[l]));
        }
    }
    memcpy(b->demand, greatest, sizeof greatest);
    memcpy(b->greatest_demand, greatest, sizeof greatest);
    fr_flow_rows_of_speed(b);
}

/* ---- steps of a solve ---- */

FR_CLONES bool fr_settle(fr_block *b, const double *before, const double *guess) {
    /* the next step would square the error; the nearer, the rarer is a bend between */
    const double NEAR = b->points != NULL ? 1e-5 : 1e-7, NEAR_GUESS = 1e-5;
    FR_EACH_LANE(l) {
        const double still = b->settled[l], times = b->times[l], rail = b->rail_guess[l];
        const double same = times == before[l] ? 1.0 : 0.0;
        const double near = fabs(times - before[l]) <= NEAR * before[l] ? 1.0 : same;
        const double rail_near = fabs(rail - guess[l]) <= NEAR_GUESS * guess[l] ? near : 0.0;
        b->times[l] = still > 0.0 ? before[l] : times;
        b->rail_guess[l] = still > 0.0 ? guess[l] : rail;
        b->settled[l] = fr_greater(still, rail_near);
    }
    return fr_count_below(b->settled, 1.0) == 0;
}

/* ---- rail pressure ---- */

FR_INLINE void rail_at_set(fr_block *b, const double *times) {
    const double follows = b->follows_manifold ? 1.0 : 0.0;
    FR_EACH_LANE(l) {
        b->rail[l] = b->set_fixed[l] + follows * fr_manifold(b, l, times[l]);
        b->rail_slope[l] = follows * fr_manifold_slope(b, l, times[l]);
    }
}

/* Pieces from `first` on, below `end`, that hold these pump flows. */
FR_CLONES void fr_find_flows(fr_block *b, const double *flow, size_t first, size_t end) {
    const fr_walk_rows *walk = &b->draws.walk;
    for (int l = 0; l < FR_WORKED_LANES; l += FR_TOGETHER) {
        const fr_few goal = FR_FEW(flow, l);
        fr_few_bits piece = {0};
        for (size_t i = first + 1; i < end; i++) {
            piece -= (fr_few_bits)(FR_FEW(walk->flow[i], l) >= goal);
        }
        *(fr_few_bits *)(b->piece + l) = piece + (int64_t)first;
    }
    /* a flow at the very end is on the lane's own last piece, whatever company the lane has */
    FR_EACH_LANE(l) {
        const int64_t last = walk->last_piece[l] > (int64_t)first ? walk->last_piece[l] : (int64_t)first;
        b->piece[l] = b->piece[l] < last ? b->piece[l] : last;
    }
}

/* With the regulator at the tank the set pressure is held there as long as the flow is on the
 * walk's last fall; beyond its start its tangent goes on, so that a solve sees no bend. */
FR_INLINE void keep_on_fall(fr_block *b) {
    const int64_t last = (int64_t)b->table.end - 1;
    FR_EACH_LANE(l) {
        const int64_t fall = b->draws.walk.last_drop[l] < last ? b->draws.walk.last_drop[l] : last;
        b->piece[l] = b->piece[l] > fall ? b->piece[l] : fall;
    }
}

/* Times into pump flows, and the pieces that hold them. */
FR_INLINE void pump_flows(fr_block *b, const double *times, bool on_fall, double *flow) {
    FR_EACH_LANE(l) {
        flow[l] = times[l] / b->times_per_flow[l] + b->draws.jet[l];
    }
    fr_find_flows(b, flow, b->table.first, b->table.end);
    if (on_fall) {
        keep_on_fall(b);
    }
}

FR_INLINE void rail_by_cubic(fr_block *b, const double *times, bool on_fall) {
    fr_row flow;
    fr_piece_rows piece;
    pump_flows(b, times, on_fall, flow);
    fr_pick_of_table(b, &piece);
    FR_EACH_LANE(l) {
        const fr_along at = fr_along_piece(&piece, l, flow[l]);
        b->rail[l] = at.value;
        b->rail_slope[l] = at.slope / b->times_per_flow[l];
    }
}

/* With the regulator at the tank, where the pumps hold its pressure in all lanes: the line's loss. */
FR_INLINE bool all_have_fall(const fr_block *b) {
    int64_t without = 0;
    FR_EACH_LANE(l) {
        without += b->draws.walk.last_drop[l] < (int64_t)b->draws.walk.pieces ? 0 : 1;
    }
    return without == 0;
}

FR_INLINE void rail_exactly(fr_block *b, const double *times, bool on_fall) {
    const fr_draws *d = &b->draws;
    fr_row flow, line_flow, rise, slope = {0.0}, loss, loss_slope;
    fr_piece_rows piece;
    if (on_fall && all_have_fall(b)) {
        FR_EACH_LANE(l) {
            flow[l] = times[l] / b->times_per_flow[l] + d->jet[l];
        }
        memcpy(rise, d->walk.rise[d->walk.pieces], sizeof rise);
    } else {
        pump_flows(b, times, on_fall, flow);
        fr_pick_of_walk(b, &piece);
        FR_EACH_LANE(l) {
            const fr_along at = fr_along_piece(&piece, l, flow[l]);
            rise[l] = at.value;
            slope[l] = at.slope;
        }
    }
    FR_EACH_LANE(l) {
        line_flow[l] = flow[l] - d->jet[l];
    }
    fr_feed_table_loss(&b->table, d, b->line_count, line_flow, loss, loss_slope);
    FR_EACH_LANE(l) {
        const double some = line_flow[l] > 0.0 ? 1.0 : 0.0;
        b->rail[l] = rise[l] - some * loss[l];
        b->rail_slope[l] = (slope[l] - some * loss_slope[l]) / b->times_per_flow[l];
    }
}

FR_CLONES void fr_rail_at(fr_block *b, fr_rail_source source, fr_rail_care care,
                          const double *times) {
    const bool on_fall = source == FR_RAIL_AT_SET;
    if (source == FR_RAIL_AT_NONE) {
        memset(b->rail, 0, sizeof b->rail);
        memset(b->rail_slope, 0, sizeof b->rail_slope);
    } else if (on_fall && !b->at_tank) {
        rail_at_set(b, times);
    } else if (care == FR_RAIL_BY_CUBIC) {
        rail_by_cubic(b, times, on_fall);
    } else {
        rail_exactly(b, times, on_fall);
    }
}
