/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The pumps' fuse: the walk along the pumps says at which rise their current reaches it. */
#include "chance/flow_rows.h"

enum { FLOW_STEPS = 6, TIMES_STEPS = 10 };

static const double LEAST_FLOW_M3_S = 1e-9; /* so that it has a logarithm */
static const double BEYOND_ALL_PA = 1e9; /* in place of an infinite rise */

FR_INLINE void finite_rise(const fr_block *b, double *rise) {
    FR_EACH_LANE(l) {
        rise[l] = fr_lesser(b->draws.walk.fuse_rise[l], BEYOND_ALL_PA);
    }
}

/* Line flow whose loss is `goal`: the loss goes nearly as a power of the flow, so that a step in
 * logarithms is nearly exact. */
FR_INLINE void flow_of_loss(fr_block *b, const double *goal, double *flow) {
    fr_over_flow loss;
    FR_EACH_LANE(l) {
        flow[l] = fr_greater(b->available[l] - b->draws.jet[l], LEAST_FLOW_M3_S);
    }
    for (int step = 0; step < FLOW_STEPS; step++) {
        fr_loss_in_line(b, flow, &loss);
        FR_EACH_LANE(l) {
            const double least = 1e-9, value = fr_greater(loss.value[l], least);
            const double lacking = fr_lane_log(fr_greater(goal[l], least)) - fr_lane_log(value);
            const double power = fr_greater(flow[l] * loss.slope[l] / value, 0.5);
            const double next = flow[l] * fr_lane_exp(fr_lesser(lacking / power, 20.0));
            flow[l] = fr_lesser(fr_greater(next, LEAST_FLOW_M3_S), 1.0);
        }
    }
}

FR_CLONES void fr_circuit_of_blend(fr_block *b) {
    const fr_draws *d = &b->draws;
    const fr_regulation regulation = b->plan->base->feed.regulation;
    fr_row rise, spare;
    finite_rise(b, rise);
    double counts = 0.0;
    FR_EACH_LANE(l) {
        spare[l] = rise[l] - d->pressure[l];
        counts += rise[l] < BEYOND_ALL_PA ? 1.0 : 0.0;
    }
    b->circuit_counts = counts > 0.0;
    if (!b->circuit_counts) {
        return;
    }
    if (regulation == FR_ELECTRONIC_RETURNLESS && b->set_is_constant) {
        flow_of_loss(b, spare, b->circuit_flow);
        FR_EACH_LANE(l) {
            b->circuit_flow[l] = spare[l] > 0.0 ? b->circuit_flow[l] : 0.0;
        }
    } else if (regulation == FR_RETURN) {
        fr_row line_flow;
        fr_over_flow loss;
        FR_EACH_LANE(l) {
            line_flow[l] = d->walk.fuse_flow[l] - d->jet[l];
        }
        fr_loss_in_line(b, line_flow, &loss);
        FR_EACH_LANE(l) {
            b->circuit_rail[l] = rise[l] - loss.value[l];
        }
    } else {
        FR_EACH_LANE(l) {
            b->circuit_rail[l] = rise[l]; /* regulator at the tank: the pumps see the set pressure */
        }
    }
}

/* Electronic with a set pressure that follows the manifold: set + Loss(demand) reaches the rise. */
FR_INLINE void times_at_working_rise(fr_block *b) {
    fr_row rise, flow;
    fr_over_flow loss;
    finite_rise(b, rise);
    FR_EACH_LANE(l) {
        b->times[l] = 1.0;
    }
    for (int step = 0; step < TIMES_STEPS; step++) {
        FR_EACH_LANE(l) {
            flow[l] = b->times[l] / b->times_per_flow[l];
        }
        fr_loss_in_line(b, flow, &loss);
        FR_EACH_LANE(l) {
            const double over =
                b->set_fixed[l] + fr_manifold(b, l, b->times[l]) + loss.value[l] - rise[l];
            const double per_times =
                fr_manifold_slope(b, l, b->times[l]) + loss.slope[l] / b->times_per_flow[l];
            const double next = per_times > 0.0 ? b->times[l] - over / per_times : b->times[l];
            b->times[l] = fr_greater(next, 0.0);
        }
    }
}

FR_CLONES void fr_circuit_times(fr_block *b) {
    const fr_regulation regulation = b->plan->base->feed.regulation;
    if (regulation == FR_ELECTRONIC_RETURNLESS && !b->set_is_constant) {
        times_at_working_rise(b);
    } else if (regulation == FR_ELECTRONIC_RETURNLESS) {
        FR_EACH_LANE(l) {
            b->times[l] = b->circuit_flow[l] * b->times_per_flow[l];
        }
    } else {
        const double follows = b->follows_manifold ? 1.0 : 0.0;
        FR_EACH_LANE(l) {
            /* set pressure at no fuel, and what the fuel adds to it */
            const double goal = b->circuit_rail[l] - b->set_fixed[l];
            const double least = follows * fr_manifold(b, l, 0.0);
            const double slope = follows * b->manifold_slope[l];
            const double moving = slope > 0.0 ? (goal - follows * b->manifold_fixed[l]) / slope
                                              : INFINITY;
            b->times[l] = least > goal ? 0.0 : moving;
        }
    }
}
