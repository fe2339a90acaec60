/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Demand, manifold and set pressure of a block at one speed. */
#include "chance/flow_rows.h"

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

FR_CLONES bool fr_settle(fr_block *b, const double *before, const double *guess, double near) {
    const double NEAR_GUESS = 1e-5;
    FR_EACH_LANE(l) {
        const double still = b->settled[l], times = b->times[l], rail = b->rail_guess[l];
        const double same = times == before[l] ? 1.0 : 0.0;
        const double is_near = fabs(times - before[l]) <= near * before[l] ? 1.0 : same;
        const double rail_near = fabs(rail - guess[l]) <= NEAR_GUESS * guess[l] ? is_near : 0.0;
        b->times[l] = still > 0.0 ? before[l] : times;
        b->rail_guess[l] = still > 0.0 ? guess[l] : rail;
        b->settled[l] = fr_greater(still, rail_near);
    }
    return fr_count_below(b->settled, 1.0) == 0;
}

/* ---- rail pressure ---- */

FR_INLINE void rail_held(fr_block *b, const double *times) {
    const double follows = b->follows_manifold ? 1.0 : 0.0;
    FR_EACH_LANE(l) {
        b->rail[l] = b->set_fixed[l] + follows * fr_manifold(b, l, times[l]);
        b->rail_slope[l] = follows * fr_manifold_slope(b, l, times[l]);
    }
}

/* Regulator at the tank: less what the line takes. */
FR_INLINE void take_line_off(fr_block *b, const double *times) {
    fr_row flow;
    fr_over_flow loss;
    FR_EACH_LANE(l) {
        flow[l] = times[l] * (b->demand[l] * b->per_density[l]);
    }
    fr_loss_in_line(b, flow, &loss);
    FR_EACH_LANE(l) {
        b->rail[l] -= loss.value[l];
        b->rail_slope[l] -= loss.slope[l] * (b->demand[l] * b->per_density[l]);
    }
}

FR_INLINE bool any_may_sag(const fr_block *b, const double *times) {
    int64_t sag = 0;
    FR_EACH_LANE(l) {
        sag += times[l] > b->sag_after[l] ? 1 : 0;
    }
    return sag > 0;
}

/* The lesser of what is held and what full drive leaves, never less than nothing, in lanes that may sag: the
 * others do not notice their company. */
FR_INLINE void take_what_is_left(fr_block *b, const double *times) {
    fr_row flow;
    fr_around_flow loss;
    fr_over_flow left;
    FR_EACH_LANE(l) {
        flow[l] = times[l] * (b->demand[l] * b->per_density[l]) + b->draws.jet[l];
    }
    fr_full_drive(b, flow, b->left_piece, &loss, &left);
    FR_EACH_LANE(l) {
        const double held = b->rail[l], held_slope = b->rail_slope[l];
        const double gap = times[l] > b->sag_after[l] ? left.value[l] - held : INFINITY;
        const double left_slope = left.slope[l] * (b->demand[l] * b->per_density[l]);
        const double rail = fr_greater(left.value[l], 0.0);
        const double slope = left.value[l] > 0.0 ? left_slope : 0.0;
        b->rail[l] = gap < 0.0 ? rail : held;
        b->rail_slope[l] = gap < 0.0 ? slope : held_slope;
        b->left_gap[l] = gap;
        b->left_gap_slope[l] = left_slope - held_slope;
    }
}

FR_CLONES void fr_rail_at(fr_block *b, fr_rail_source source, const double *times) {
    rail_held(b, times);
    if (b->at_tank) {
        take_line_off(b, times);
    }
    if (source == FR_RAIL_LEFT && any_may_sag(b, times)) {
        take_what_is_left(b, times);
    }
}
