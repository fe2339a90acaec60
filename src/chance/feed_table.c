/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "chance/feed_table.h"

/* Churchill (1977) and its slope d ln f/d ln Re. `power` is (7/Re)^0.9. */
FR_INLINE void friction(double reynolds, double power, double roughness, double *factor,
                        double *slope) {
    const double inner = power + 0.27 * roughness;
    const double a = -2.457 * fr_lane_log(inner);
    const double b = 37530.0 / reynolds, c = 8.0 / reynolds;
    const double a2 = a * a, a4 = a2 * a2, a8 = a4 * a4;
    const double b2 = b * b, b4 = b2 * b2, b8 = b4 * b4;
    const double c2 = c * c, c4 = c2 * c2, c12 = c4 * c4 * c4;
    const double a16 = a8 * a8, b16 = b8 * b8, t = a16 + b16;
    const double root = sqrt(t), turbulent = 1.0 / (t * root);
    const double sum = c12 + turbulent;
    *factor = 8.0 * fr_lane_exp(fr_lane_log(sum) * (1.0 / 12.0));
    /* a grows by 2.457 * 0.9 power/inner as ln Re grows by 1 */
    const double a_slope = 2.457 * 0.9 * power / inner;
    const double t_slope = 16.0 * (a8 * a4 * a2 * a * a_slope - b16);
    *slope = -(c12 + 0.125 * turbulent * t_slope * (turbulent * root)) / sum;
}

FR_CLONES void fr_feed_table_lines(fr_feed_table *table, const double *density,
                                   const double *ln_viscosity) {
    FR_EACH_LANE(l) {
        const double per_kinematic = density[l] * fr_lane_exp(-ln_viscosity[l]);
        table->density[l] = density[l];
        table->per_kinematic[l] = per_kinematic;
        table->per_kinematic_power[l] = fr_lane_exp(-0.9 * fr_lane_log(per_kinematic));
    }
}

/* `power`: flow^-0.9, which serves all lines. */
FR_INLINE void add_line(const fr_feed_table *t, const fr_line_rows *line, const double *flow,
                        const double *power, double *restrict loss, double *restrict slope) {
    FR_EACH_LANE(l) {
        double f, f_slope;
        friction(line->reynolds[l] * (t->per_kinematic[l] * flow[l]),
                 line->power[l] * (t->per_kinematic_power[l] * power[l]), line->roughness[l], &f,
                 &f_slope);
        const double fl = f * line->friction[l], k = line->fixed[l];
        const double rho_q = t->density[l] * flow[l];
        loss[l] += (fl + k) * rho_q * flow[l];
        slope[l] += (fl * (2.0 + f_slope) + 2.0 * k) * rho_q;
    }
}

FR_INLINE void loss_of(const fr_feed_table *table, const fr_draws *d, size_t line_count,
                       const double *flow, const double *power, double *restrict loss,
                       double *restrict slope) {
    FR_EACH_LANE(l) {
        slope[l] = 2.0 * d->filters[l] * flow[l];
        loss[l] = d->filters[l] * flow[l] * flow[l];
    }
    for (size_t k = 0; k < line_count; k++) {
        add_line(table, &d->lines[k], flow, power, loss, slope);
    }
    FR_EACH_LANE(l) {
        loss[l] *= d->loss_factor[l];
        slope[l] *= d->loss_factor[l];
    }
}

FR_INLINE void fill_node(fr_feed_table *table, const fr_draws *d, size_t line_count, size_t i) {
    loss_of(table, d, line_count, d->walk.line_flow[i], d->walk.line_flow_power[i],
            table->loss[i], table->loss_per_flow[i]);
    FR_EACH_LANE(l) {
        table->rail[i][l] = d->walk.rise[i][l] - table->loss[i][l];
    }
}

FR_CLONES void fr_feed_table_loss(const fr_feed_table *table, const fr_draws *draws,
                                  size_t line_count, const double *line_flow, double *loss,
                                  double *loss_per_flow) {
    fr_row flow, power;
    FR_EACH_LANE(l) {
        flow[l] = fr_greater(line_flow[l], FR_LEAST_LINE_FLOW_M3_S);
        power[l] = fr_lane_exp(-0.9 * fr_lane_log(flow[l]));
    }
    loss_of(table, draws, line_count, flow, power, loss, loss_per_flow);
}

FR_INLINE void fill_piece(fr_feed_table *table, const fr_walk_rows *walk, size_t i) {
    const double NO_WIDTH_M3_S = 1e-15;
    const double *flow = walk->flow[i], *next = walk->flow[i + 1];
    const double *rail = table->rail[i], *rail_next = table->rail[i + 1];
    const double *slope_from = walk->slope_from[i], *slope_to = walk->slope_to[i];
    const double *loss_from = table->loss_per_flow[i], *loss_to = table->loss_per_flow[i + 1];
    double *d1 = table->d1[i], *d2 = table->d2[i], *d3 = table->d3[i];
    FR_EACH_LANE(l) {
        const double w = flow[l] - next[l];
        const double narrow = w > NO_WIDTH_M3_S ? 1.0 : 0.0;
        const double per_w = narrow / fr_greater(w, NO_WIDTH_M3_S);
        /* towards less flow the rail rises: slopes by u = -slopes by Q */
        const double from = loss_from[l] - slope_from[l], to = loss_to[l] - slope_to[l];
        const double mean = (rail_next[l] - rail[l]) * per_w;
        d1[l] = narrow * from;
        d2[l] = (3.0 * mean - narrow * (2.0 * from + to)) * per_w;
        d3[l] = (narrow * (from + to) - 2.0 * mean) * per_w * per_w;
    }
}

FR_INLINE bool all_reach(const double *rail, const double *most) {
    fr_row over;
    FR_EACH_LANE(l) {
        over[l] = rail[l] - most[l];
    }
    return fr_count_below(over, 0.0) == 0;
}

FR_CLONES void fr_feed_table_fill(fr_feed_table *table, const fr_draws *draws, size_t line_count,
                                  double rail_least, const double *rail_most) {
    const fr_walk_rows *walk = &draws->walk;
    /* rail is never above rise: a node whose rise is below `least` in all lanes is below it */
    size_t i = 0;
    while (i + 1 < walk->pieces && walk->rise_most[i + 1] <= rail_least) {
        i++;
    }
    table->first = i;
    fill_node(table, draws, line_count, i);
    do {
        fill_node(table, draws, line_count, i + 1);
        fill_piece(table, walk, i);
        i++;
    } while (i < walk->pieces && !all_reach(table->rail[i], rail_most));
    table->end = i;
}
