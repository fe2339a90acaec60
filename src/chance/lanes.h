/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Arithmetic over a block of draws: one draw a lane, one quantity a row. Every operation works on
 * each lane alone and is rounded the same way in every vector width, so that a draw's result does
 * not depend on its lane, the block's size, the thread or the instruction set.
 *
 * exp and log are written out here because the library's vector versions need -ffast-math. */
#ifndef FR_CHANCE_LANES_H
#define FR_CHANCE_LANES_H

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <string.h>

/* How many. Nothing depends on it but speed: tests build the kernel with other numbers (8 at least,
 * so that a row fills what it is aligned to), and the bench one that works on a single lane. */
#ifndef FR_BLOCK_LANES
#define FR_BLOCK_LANES 64
#endif
#ifndef FR_WORKED_LANES
#define FR_WORKED_LANES FR_BLOCK_LANES
#endif
enum { FR_LANES = FR_BLOCK_LANES };

typedef double fr_row[FR_LANES] __attribute__((aligned(64)));

#define FR_EACH_LANE(l) for (int l = 0; l < FR_WORKED_LANES; l++)

/* One binary, three instruction sets: the loader takes the widest that the machine has. */
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(FR_NO_CLONES)
#define FR_CLONES __attribute__((target_clones("default", "arch=x86-64-v3", "arch=x86-64-v4")))
#else
#define FR_CLONES
#endif
#define FR_INLINE static inline __attribute__((always_inline))
/* What is long and shared by several functions: copied into each clone of them, but in the page for
 * browsers, which has no clones and counts its size. */
#ifdef FR_FOR_BROWSERS
#define FR_SHARED static inline
#else
#define FR_SHARED FR_INLINE
#endif

/* Blocks that so many draws take. */
FR_INLINE size_t fr_blocks_of(size_t draws) {
    return (draws + FR_LANES - 1) / FR_LANES;
}

FR_INLINE double fr_lesser(double a, double b) {
    return a < b ? a : b;
}

FR_INLINE double fr_greater(double a, double b) {
    return a > b ? a : b;
}

FR_INLINE int64_t fr_bits_of(double x) {
    int64_t bits;
    memcpy(&bits, &x, sizeof bits);
    return bits;
}

FR_INLINE double fr_from_bits(int64_t bits) {
    double x;
    memcpy(&x, &bits, sizeof x);
    return x;
}

/* e^x for |x| < 700, within 2 units in the last place: x = n ln 2 + r, Taylor in r. */
FR_SHARED double fr_lane_exp(double x) {
    const double PER_LN2 = 1.4426950408889634, LN2_HIGH = 6.93147180369123816490e-01,
                 LN2_LOW = 1.90821492927058770002e-10;
    const double ROUND = 6755399441055744.0; /* 1.5 * 2^52: adding it rounds to a whole number */
    const double shifted = x * PER_LN2 + ROUND;
    const double n = shifted - ROUND;
    const double r = (x - n * LN2_HIGH) - n * LN2_LOW;
    const double r2 = r * r;
    /* pairs of terms, so that the chain is short */
    const double low = (1.0 + r) + r2 * (1.0 / 2 + r * (1.0 / 6));
    const double mid = (1.0 / 24 + r * (1.0 / 120)) + r2 * (1.0 / 720 + r * (1.0 / 5040));
    const double high = (1.0 / 40320 + r * (1.0 / 362880)) +
                        r2 * (1.0 / 3628800 + r * (1.0 / 39916800));
    const double r4 = r2 * r2;
    const double power = low + r4 * (mid + r4 * (high + r4 * (1.0 / 479001600)));
    /* the whole number sits in the low bits of `shifted`; move it into the exponent */
    const int64_t scale = (int64_t)((uint64_t)(fr_bits_of(shifted) + 1023) << 52);
    return power * fr_from_bits(scale);
}

/* ln x for normal x > 0, within 2 units in the last place: x = 2^e m, m near 1,
 * ln m = 2 artanh((m - 1)/(m + 1)). */
FR_SHARED double fr_lane_log(double x) {
    const double LN2_HIGH = 6.93147180369123816490e-01, LN2_LOW = 1.90821492927058770002e-10;
    const int64_t FRACTION = 0x000FFFFFFFFFFFFF, ONE = 0x3FF0000000000000,
                  TWO_TO_52 = 0x4330000000000000;
    const double SQRT_2 = 1.4142135623730951;
    const int64_t bits = fr_bits_of(x);
    const double m1 = fr_from_bits((bits & FRACTION) | ONE);
    const double e1 = fr_from_bits((int64_t)((uint64_t)bits >> 52) | TWO_TO_52) - 4503599627370496.0;
    const double above = m1 > SQRT_2 ? 1.0 : 0.0;
    const double m = m1 > SQRT_2 ? 0.5 * m1 : m1;
    const double e = (e1 - 1023.0) + above;
    const double s = (m - 1.0) / (m + 1.0), s2 = s * s, s4 = s2 * s2;
    const double low = (2.0 / 3 + s2 * (2.0 / 5)) + s4 * (2.0 / 7 + s2 * (2.0 / 9));
    const double high = (2.0 / 11 + s2 * (2.0 / 13)) + s4 * (2.0 / 15 + s2 * (2.0 / 17 + s2 * (2.0 / 19)));
    const double tail = s * s2 * (low + (s4 * s4) * high);
    return e * LN2_HIGH + (2.0 * s + (tail + e * LN2_LOW));
}

/* (1 + x)^(1/12) for 0 <= x <= 4, to 1e-8 at the end and 1e-14 up to x = 1.5 (liquid fuel to 600
 * bar): a rational start around x = 0.6, then one step of third order. */
FR_INLINE double fr_lane_root12(double x) {
    const double CENTRE = 0.6, ROOT_OF_CENTRE = 1.0399441076905043; /* 1.6^(1/12) */
    const double N = 12.0, A = 1.0 / N;
    const double y = (x - CENTRE) * (1.0 / (1.0 + CENTRE));
    const double over = 1.0 + y * ((2.0 + A) / 2.0 + y * ((2.0 + A) * (1.0 + A) / 12.0));
    const double under = 1.0 + y * ((2.0 - A) / 2.0 + y * ((2.0 - A) * (1.0 - A) / 12.0));
    /* the start is n/under; the step v (11 v^12 + 13 a)/(13 v^12 + 11 a) with one division for both */
    const double n = ROOT_OF_CENTRE * over, a = 1.0 + x;
    const double n2 = n * n, n4 = n2 * n2, n12 = n4 * n4 * n4;
    const double u2 = under * under, u4 = u2 * u2, u12 = a * (u4 * u4 * u4);
    return n * ((N - 1.0) * n12 + (N + 1.0) * u12) / (under * ((N + 1.0) * n12 + (N - 1.0) * u12));
}

/* How many lanes are not at least `bound`. Whole numbers: a sum of them may be taken in any order,
 * and so by vectors, where the least of doubles may not. */
FR_INLINE int64_t fr_count_below(const double *row, double bound) {
    int64_t count = 0;
    FR_EACH_LANE(l) {
        count += row[l] >= bound ? 0 : 1;
    }
    return count;
}

/* The positive root of m^2 + 2 beta m = gamma (beta >= 0); 0 where gamma is not positive. */
FR_INLINE double fr_lane_root(double beta, double gamma) {
    const double g = fr_greater(gamma, 0.0);
    const double below = beta + sqrt(beta * beta + g);
    return below > 0.0 ? g / below : 0.0;
}

#endif
