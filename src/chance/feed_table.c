/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "chance/feed_table.h"

/* Churchill (1977): f = 8 (c^12 + t^-1.5)^(1/12), t = a^16 + b^16, with a = -2.457 ln((7/Re)^0.9 +
 * 0.27 roughness), b = 37530/Re, c = 8/Re. `power` is (7/Re)^0.9; slopes are d ln f/d ln Re. */
typedef struct fr_friction_of_line {
    fr_row factor, slope;
} fr_friction_of_line;

#define CHURCHILL_A 2.457

FR_INLINE void friction_anywhere(double per_reynolds, double power, double roughness,
                                 double *factor, double *slope) {
    const double inner = power + 0.27 * roughness;
    const double a = -CHURCHILL_A * fr_lane_log(inner);
    const double b = 37530.0 * per_reynolds, c = 8.0 * per_reynolds;
    const double a2 = a * a, a4 = a2 * a2, a8 = a4 * a4;
    const double b2 = b * b, b4 = b2 * b2, b8 = b4 * b4;
    const double c2 = c * c, c4 = c2 * c2, c12 = c4 * c4 * c4;
    const double a16 = a8 * a8, b16 = b8 * b8, t = a16 + b16;
    const double root = sqrt(t), turbulent = 1.0 / (t * root);
    const double sum = c12 + turbulent;
    *factor = 8.0 * fr_lane_exp(fr_lane_log(sum) * (1.0 / 12.0));
    /* a grows by A * 0.9 power/inner as ln Re grows by 1 */
    const double a_slope = CHURCHILL_A * 0.9 * power / inner;
    const double t_slope = 16.0 * (a8 * a4 * a2 * a * a_slope - b16);
    *slope = -(c12 + 0.125 * turbulent * t_slope * (turbulent * root)) / sum;
}

/* Beyond Re 4200 or so b and c hardly count: with x = (b/a)^16 and y = c^12 a^24 (1 + x)^1.5 both
 * small, f = 8/a^2 (1 + x)^(-1/8) (1 + y)^(1/12) by series, good to 1e-13. One logarithm and one
 * division in place of two, an exponential, a root and five. Returns 1 where that will do. */
FR_INLINE double friction_turbulent(double per_reynolds, double power, double roughness,
                                    double *factor, double *slope) {
    const double SMALL = 1e-3;
    const double inner = power + 0.27 * roughness;
    const double a = -CHURCHILL_A * fr_lane_log(inner);
    const double per_both = 1.0 / (a * inner), per_a = per_both * inner;
    const double b = 37530.0 * per_reynolds * per_a, c = 8.0 * per_reynolds * (a * a);
    const double b2 = b * b, b4 = b2 * b2, b8 = b4 * b4, x = b8 * b8;
    const double c2 = c * c, c4 = c2 * c2;
    const double y = c4 * c4 * c4 * (1.0 + x * (1.5 + x * (0.375 - x * 0.0625)));
    const double of_x = 1.0 - x * (1.0 / 8 - x * (9.0 / 128 - x * (51.0 / 1024)));
    const double of_y = 1.0 + y * (1.0 / 12 - y * (11.0 / 288 - y * (253.0 / 10368)));
    *factor = 8.0 * (per_a * per_a) * (of_x * of_y);
    const double a_slope = CHURCHILL_A * 0.9 * power * per_both; /* over a */
    *slope = -(y + 2.0 * (a_slope - x) * (1.0 - x)) * (1.0 - y);
    return ((x < SMALL) & (y < SMALL)) ? 1.0 : 0.0;
}

FR_CLONES void fr_feed_table_lines(fr_feed_table *table, const double *density,
                                   const double *ln_viscosity) {
    FR_EACH_LANE(l) {
        const double kinematic = fr_lane_exp(ln_viscosity[l]) / density[l];
        table->density[l] = density[l];
        table->kinematic[l] = kinematic;
        table->kinematic_power[l] = fr_lane_exp(0.9 * fr_lane_log(kinematic));
    }
}

/* In every lane the one that will do; the other is worked out only where some lane wants it.
 * `per_flow`, and `power`, which is flow^-0.9, serve all lines. */
FR_INLINE void friction(const fr_feed_table *t, const fr_line_rows *line, const double *per_flow,
                        const double *power, fr_friction_of_line *f) {
    fr_row will_do;
    FR_EACH_LANE(l) {
        double factor, slope;
        will_do[l] = friction_turbulent(
            line->per_reynolds[l] * (t->kinematic[l] * per_flow[l]),
            line->power[l] * (t->kinematic_power[l] * power[l]), line->roughness[l], &factor,
            &slope);
        f->factor[l] = factor;
        f->slope[l] = slope;
    }
    if (fr_count_below(will_do, 1.0) == 0) {
        return;
    }
    FR_EACH_LANE(l) {
        double factor, slope;
        friction_anywhere(line->per_reynolds[l] * (t->kinematic[l] * per_flow[l]),
                          line->power[l] * (t->kinematic_power[l] * power[l]), line->roughness[l],
                          &factor, &slope);
        f->factor[l] = will_do[l] > 0.0 ? f->factor[l] : factor;
        f->slope[l] = will_do[l] > 0.0 ? f->slope[l] : slope;
    }
}

FR_INLINE void add_line(const fr_feed_table *t, const fr_line_rows *line, const double *flow,
                        const double *per_flow, const double *power, double *restrict loss,
                        double *restrict slope) {
    fr_friction_of_line f;
    friction(t, line, per_flow, power, &f);
    FR_EACH_LANE(l) {
        const double fl = f.factor[l] * line->friction[l], k = line->fixed[l];
        const double rho_q = t->density[l] * flow[l];
        loss[l] += (fl + k) * rho_q * flow[l];
        slope[l] += (fl * (2.0 + f.slope[l]) + 2.0 * k) * rho_q;
    }
}

FR_INLINE void loss_of(const fr_feed_table *table, const fr_draws *d, size_t line_count,
                       const double *flow, const double *power, double *restrict loss,
                       double *restrict slope) {
    fr_row per_flow;
    FR_EACH_LANE(l) {
        per_flow[l] = 1.0 / flow[l];
        slope[l] = 2.0 * d->filters[l] * flow[l];
        loss[l] = d->filters[l] * flow[l] * flow[l];
    }
    for (size_t k = 0; k < line_count; k++) {
        add_line(table, &d->lines[k], flow, per_flow, power, loss, slope);
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

FR_CLONES void fr_feed_table_fill(fr_feed_table *table, const fr_draws *draws, size_t line_count,
                                  const double *flow_most, const double *rail_most) {
    const fr_walk_rows *walk = &draws->walk;
    size_t i = 0;
    while (i + 1 < walk->pieces && fr_no_lane_below(walk->flow[i + 1], flow_most)) {
        i++;
    }
    table->first = i;
    fill_node(table, draws, line_count, i);
    do {
        fill_node(table, draws, line_count, i + 1);
        fill_piece(table, walk, i);
        i++;
    } while (i < walk->pieces && !fr_no_lane_below(table->rail[i], rail_most));
    table->end = i;
}
