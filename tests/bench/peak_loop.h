/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Multiplications with an addition each, twelve chains that do not wait for one another, in vectors
 * of each width; whether both are one instruction is the compiler's flag. Included once in a file. */
#include "bench.h"
#include "chance/lanes.h"
#include "operations.h"

enum { CHAINS = 12, TURNS = 200000, PEAK_ROUNDS = 10 };

#define PEAK_LOOP(name, bytes)                                                                     \
    typedef double name##_vector __attribute__((vector_size(bytes)));                             \
    double name(double x, double y);                                                               \
    FR_CLONES double name(double x, double y) {                                                    \
        name##_vector c[CHAINS] = {{0.0}}, sum = {0.0};                                            \
        for (int turn = 0; turn < TURNS; turn++) {                                                 \
            c[0] = c[0] * x + y, c[1] = c[1] * x + y, c[2] = c[2] * x + y;                         \
            c[3] = c[3] * x + y, c[4] = c[4] * x + y, c[5] = c[5] * x + y;                         \
            c[6] = c[6] * x + y, c[7] = c[7] * x + y, c[8] = c[8] * x + y;                         \
            c[9] = c[9] * x + y, c[10] = c[10] * x + y, c[11] = c[11] * x + y;                     \
        }                                                                                          \
        for (int i = 0; i < CHAINS; i++) {                                                         \
            sum += c[i];                                                                           \
        }                                                                                          \
        return sum[0];                                                                             \
    }

/* Operations a second in vectors of so many doubles. */
static double peak_of(double (*loop)(double, double), double width) {
    volatile double x = 0.999, kept;
    double least = INFINITY;
    for (int round = 0; round < PEAK_ROUNDS; round++) {
        const double begun = bench_clock_s();
        kept = loop(x, 1e-3);
        const double spent = bench_clock_s() - begun;
        least = spent < least ? spent : least;
    }
    (void)kept;
    return 2.0 * width * CHAINS * TURNS / least;
}

static double greatest_peak(double (*narrow)(double, double), double (*middle)(double, double),
                            double (*wide)(double, double)) {
    const double two = peak_of(narrow, 2.0), four = peak_of(middle, 4.0), eight = peak_of(wide, 8.0);
    return fr_greater(two, fr_greater(four, eight));
}
