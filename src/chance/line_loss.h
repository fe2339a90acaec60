/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What lines, fittings and filters take of the pressure. With geometry g the lines' part is
 *     rho nu^2 P(r), r = Q/nu,   P(r) = sum over lines of (f(Re) g + K') r^2, Re = r/g',
 * so that one curve P of one variable serves every draw, blend and flow of a build: it is worked out
 * once, as polynomials on pieces, and reading it takes no division, logarithm or root. */
#ifndef FR_CHANCE_LINE_LOSS_H
#define FR_CHANCE_LINE_LOSS_H

#include <stddef.h>

#include "chance/lanes.h"
#include "fuelreach/build.h"

enum {
    FR_LOSS_OCTAVES = 10, /* from the end of laminar flow (Re 1000) to Re 10^6 */
    FR_LOSS_PER_OCTAVE = 64,
    FR_LOSS_FITTED = FR_LOSS_OCTAVES * FR_LOSS_PER_OCTAVE,
    FR_LOSS_PIECES = FR_LOSS_FITTED + 2, /* and what lies below and above */
    FR_LOSS_TERMS = 6,
};

/* Piece i: P = sum of term[i][k] (r - from)^k, good to 1e-9. `from` is r with its last binary digits
 * cleared; below `least` and above `most` it is that of those. */
typedef struct fr_loss_curve {
    double least, most; /* m */
    int64_t first;      /* leading digits of `least` */
    double term[FR_LOSS_PIECES][FR_LOSS_TERMS];
} fr_loss_curve;

void fr_loss_curve_make(const fr_feed *feed, fr_loss_curve *curve);

/* One line in every draw, where draws move lengths or bores: no curve serves them all. */
typedef struct fr_line_rows {
    fr_row per_reynolds; /* 1/Re = this * nu/Q: area over bore */
    fr_row friction;     /* loss = (f * this + fixed) rho Q^2 */
    fr_row fixed;
    fr_row roughness; /* over bore */
} fr_line_rows;

void fr_line_rows_put(fr_line_rows *rows, int lane, const fr_line *line);

/* A blend in the lines of every draw. */
typedef struct fr_loss_rows {
    const fr_loss_curve *curve; /* null: `lines` count */
    const fr_line_rows *lines;
    size_t line_count;
    fr_row per_kinematic, kinematic; /* s/m2, m2/s */
    fr_row scale;                    /* loss factor * rho nu^2 */
    fr_row filters;                  /* loss = this * Q^2 */
} fr_loss_rows;

/* A figure over a flow: with its slope, and how that changes. */
typedef struct fr_over_flow {
    fr_row value, slope, bend;
} fr_over_flow;

/* A figure around a flow: a parabola. */
typedef struct fr_around_flow {
    fr_row at;
    fr_over_flow figure;
} fr_around_flow;

/* The same without a curve, as loss of each line by itself. */
void fr_loss_by_lines(const fr_loss_rows *of, const double *flow, fr_over_flow *loss);

/* Digits of a double below those that number the pieces. */
#define FR_LOSS_DIGITS (52 - 6)

FR_SHARED void fr_loss_by_curve(const fr_loss_rows *of, const double *flow, fr_over_flow *loss) {
    const fr_loss_curve *curve = of->curve;
    const int64_t within = ((int64_t)1 << FR_LOSS_DIGITS) - 1;
    fr_row along, term[FR_LOSS_TERMS];
    int64_t piece[FR_LANES] __attribute__((aligned(64)));
    FR_EACH_LANE(l) {
        const double r = fr_greater(flow[l], 0.0) * of->per_kinematic[l];
        const int64_t bits = fr_bits_of(fr_lesser(fr_greater(r, curve->least), curve->most));
        piece[l] = (int64_t)((uint64_t)bits >> FR_LOSS_DIGITS) - curve->first;
        along[l] = r - fr_from_bits(bits & ~within);
    }
    FR_EACH_LANE(l) {
        const double *from = curve->term[piece[l]];
        for (int k = 0; k < FR_LOSS_TERMS; k++) {
            term[k][l] = from[k];
        }
    }
    FR_EACH_LANE(l) {
        const double t = along[l], q = fr_greater(flow[l], 0.0);
        const double c1 = term[1][l], c2 = term[2][l], c3 = term[3][l], c4 = term[4][l];
        const double c5 = term[5][l];
        const double value = term[0][l] + t * (c1 + t * (c2 + t * (c3 + t * (c4 + t * c5))));
        const double slope =
            c1 + t * (2.0 * c2 + t * (3.0 * c3 + t * (4.0 * c4 + t * (5.0 * c5))));
        const double bend = 2.0 * c2 + t * (6.0 * c3 + t * (12.0 * c4 + t * (20.0 * c5)));
        const double per = of->per_kinematic[l], scale = of->scale[l], filters = of->filters[l];
        loss->value[l] = scale * value + filters * q * q;
        loss->slope[l] = scale * per * slope + 2.0 * filters * q;
        loss->bend[l] = scale * (per * per) * bend + 2.0 * filters;
    }
}

/* Of any flow in the line, that of none where it is below zero. */
FR_SHARED void fr_loss_of(const fr_loss_rows *of, const double *flow, fr_over_flow *loss) {
    if (of->curve != NULL) {
        fr_loss_by_curve(of, flow, loss);
    } else {
        fr_loss_by_lines(of, flow, loss);
    }
}

#endif
