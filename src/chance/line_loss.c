/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "chance/line_loss.h"

#include "quantity/circle.h"

/* Below it P is laminar to 1e-13 (the turbulent part of Churchill's sum against the laminar one). */
static const double LAMINAR_REYNOLDS = 1000.0;

/* Churchill (1977): f = 8 (c^12 + t^-1.5)^(1/12), t = a^16 + b^16, with a = -2.457 ln((7/Re)^0.9 +
 * 0.27 roughness), b = 37530/Re, c = 8/Re. `slope`: d ln f/d ln Re. */
FR_INLINE void friction_factor(double per_reynolds, double roughness, double *factor,
                               double *slope) {
    const double A = 2.457, LN_7 = 1.9459101490553132;
    const double power = fr_lane_exp(0.9 * (LN_7 + fr_lane_log(per_reynolds)));
    const double inner = power + 0.27 * roughness;
    const double a = -A * fr_lane_log(inner);
    const double b = 37530.0 * per_reynolds, c = 8.0 * per_reynolds;
    const double a2 = a * a, a4 = a2 * a2, a8 = a4 * a4;
    const double b2 = b * b, b4 = b2 * b2, b8 = b4 * b4;
    const double c2 = c * c, c4 = c2 * c2, c12 = c4 * c4 * c4;
    const double b16 = b8 * b8, t = a8 * a8 + b16;
    const double root = sqrt(t), turbulent = 1.0 / (t * root);
    const double sum = c12 + turbulent;
    *factor = 8.0 * fr_lane_exp(fr_lane_log(sum) * (1.0 / 12.0));
    /* a grows by A * 0.9 power/inner as ln Re grows by 1 */
    const double a_slope = A * 0.9 * power / inner;
    const double t_slope = 16.0 * (a8 * a4 * a2 * a * a_slope - b16);
    *slope = -(c12 + 0.125 * turbulent * t_slope * (turbulent * root)) / sum;
}

void fr_line_rows_put(fr_line_rows *rows, int l, const fr_line *line) {
    const double area = fr_circle_area(line->bore_m);
    rows->per_reynolds[l] = area / line->bore_m;
    rows->friction[l] = line->length_m / line->bore_m / (2.0 * area * area);
    rows->fixed[l] = line->fittings / (2.0 * area * area);
    rows->roughness[l] = line->roughness_m / line->bore_m;
}

/* ---- the curve ---- */

/* P at so many r, in place. Not static: a function with clones has a name of its own for each. */
void fr_loss_values(const fr_feed *feed, double *r, size_t count);
FR_CLONES void fr_loss_values(const fr_feed *feed, double *r, size_t count) {
    for (size_t from = 0; from < count; from += FR_WORKED_LANES) {
        fr_row sum = {0.0};
        for (size_t i = 0; i < feed->line_count; i++) {
            fr_line_rows one;
            fr_line_rows_put(&one, 0, &feed->lines[i]);
            const double per = one.per_reynolds[0], rough = one.roughness[0];
            const double friction = one.friction[0], fixed = one.fixed[0];
            FR_EACH_LANE(l) {
                double factor, slope;
                friction_factor(per / r[from + (size_t)l], rough, &factor, &slope);
                sum[l] += factor * friction + fixed;
            }
        }
        FR_EACH_LANE(l) {
            r[from + (size_t)l] = sum[l] * r[from + (size_t)l] * r[from + (size_t)l];
        }
    }
}

/* Places of a fit in a piece that goes from 0 to 1 (Chebyshev's), and what a value at each adds to the
 * terms of the polynomial through all. */
typedef struct fr_loss_fit {
    double at[FR_LOSS_TERMS], term_of_value[FR_LOSS_TERMS][FR_LOSS_TERMS];
} fr_loss_fit;

static void make_fit(fr_loss_fit *fit) {
    const double PI = 3.14159265358979323846;
    for (int k = 0; k < FR_LOSS_TERMS; k++) {
        fit->at[k] = 0.5 * (1.0 - cos(PI * (k + 0.5) / FR_LOSS_TERMS));
    }
    for (int k = 0; k < FR_LOSS_TERMS; k++) {
        /* the product of (u - u_j)/(u_k - u_j) over the others, one factor after the other */
        double poly[FR_LOSS_TERMS] = {1.0};
        for (int j = 0, degree = 0; j < FR_LOSS_TERMS; j++) {
            if (j == k) {
                continue;
            }
            const double per = 1.0 / (fit->at[k] - fit->at[j]);
            degree++;
            for (int m = degree; m >= 0; m--) {
                const double lower = m > 0 ? poly[m - 1] : 0.0;
                poly[m] = (lower - (m < degree ? poly[m] : 0.0) * fit->at[j]) * per;
            }
        }
        for (int m = 0; m < FR_LOSS_TERMS; m++) {
            fit->term_of_value[m][k] = poly[m];
        }
    }
}

/* Where piece i begins. */
static double piece_from(const fr_loss_curve *curve, int64_t i) {
    return fr_from_bits((curve->first + i) << FR_LOSS_DIGITS);
}

static void fit_piece(const fr_loss_fit *fit, const double *values, double width, double *term) {
    double scale = 1.0;
    for (int m = 0; m < FR_LOSS_TERMS; m++) {
        term[m] = 0.0;
        for (int k = 0; k < FR_LOSS_TERMS; k++) {
            term[m] += fit->term_of_value[m][k] * values[k];
        }
        term[m] *= scale;
        scale /= width;
    }
}

/* Laminar flow, f = 64/Re, around the piece's beginning. */
static void put_laminar(const fr_feed *feed, double from, double *term) {
    memset(term, 0, sizeof(double) * FR_LOSS_TERMS);
    for (size_t i = 0; i < feed->line_count; i++) {
        fr_line_rows one;
        fr_line_rows_put(&one, 0, &feed->lines[i]);
        const double linear = 64.0 * one.per_reynolds[0] * one.friction[0];
        term[0] += (linear + one.fixed[0] * from) * from;
        term[1] += linear + 2.0 * one.fixed[0] * from;
        term[2] += one.fixed[0];
    }
}

/* Beyond the last piece P goes on with the slope and the bend that it has there. */
static void put_beyond(const double *last, double width, double *term) {
    memset(term, 0, sizeof(double) * FR_LOSS_TERMS);
    for (int m = FR_LOSS_TERMS - 1; m >= 0; m--) {
        term[2] = term[2] * width + term[1];
        term[1] = term[1] * width + term[0];
        term[0] = term[0] * width + last[m];
    }
}

void fr_loss_curve_make(const fr_feed *feed, fr_loss_curve *curve) {
    enum { VALUES = FR_LOSS_FITTED * FR_LOSS_TERMS };
    double values[VALUES];
    fr_loss_fit fit;
    double laminar = feed->line_count > 0 ? INFINITY : 1.0;
    for (size_t i = 0; i < feed->line_count; i++) {
        const fr_line *line = &feed->lines[i];
        laminar = fr_lesser(laminar,
                            LAMINAR_REYNOLDS * fr_circle_area(line->bore_m) / line->bore_m);
    }
    curve->first = (fr_bits_of(laminar) >> FR_LOSS_DIGITS) - 1;
    curve->least = piece_from(curve, 0);
    curve->most = piece_from(curve, FR_LOSS_PIECES - 1);
    make_fit(&fit);
    for (int64_t i = 1; i <= FR_LOSS_FITTED; i++) {
        const double from = piece_from(curve, i), width = piece_from(curve, i + 1) - from;
        for (int k = 0; k < FR_LOSS_TERMS; k++) {
            values[(i - 1) * FR_LOSS_TERMS + k] = from + width * fit.at[k];
        }
    }
    fr_loss_values(feed, values, VALUES);
    for (int64_t i = 1; i <= FR_LOSS_FITTED; i++) {
        const double width = piece_from(curve, i + 1) - piece_from(curve, i);
        fit_piece(&fit, &values[(i - 1) * FR_LOSS_TERMS], width, curve->term[i]);
    }
    const int64_t last = FR_LOSS_FITTED;
    put_laminar(feed, curve->least, curve->term[0]);
    put_beyond(curve->term[last], piece_from(curve, last + 1) - piece_from(curve, last),
               curve->term[last + 1]);
}

/* ---- a line by itself ---- */

FR_CLONES void fr_loss_by_lines(const fr_loss_rows *of, const double *flow, fr_over_flow *loss) {
    const double LEAST_M3_S = 1e-9; /* less (0.004 L/h) counts as this: powers stay inside a double */
    const double NO_LOSS_PA = 1e-6;
    fr_row sum = {0.0}, slopes = {0.0};
    for (size_t i = 0; i < of->line_count; i++) {
        const fr_line_rows *line = &of->lines[i];
        FR_EACH_LANE(l) {
            const double q = fr_greater(flow[l], LEAST_M3_S);
            double factor, slope;
            friction_factor(line->per_reynolds[l] * of->kinematic[l] / q, line->roughness[l],
                            &factor, &slope);
            const double f = factor * line->friction[l], fixed = line->fixed[l];
            sum[l] += (f + fixed) * q * q;
            slopes[l] += (f * (2.0 + slope) + 2.0 * fixed) * q;
        }
    }
    FR_EACH_LANE(l) {
        const double q = fr_greater(flow[l], LEAST_M3_S), some = flow[l] > 0.0 ? 1.0 : 0.0;
        const double by_density = of->scale[l] * of->per_kinematic[l] * of->per_kinematic[l];
        const double value = by_density * sum[l] + of->filters[l] * q * q;
        const double slope = by_density * slopes[l] + 2.0 * of->filters[l] * q;
        loss->value[l] = some * value;
        loss->slope[l] = some * slope;
        /* nearly as that of a power of the flow */
        loss->bend[l] = some * slope * (slope / fr_greater(value, NO_LOSS_PA) - 1.0 / q);
    }
}
