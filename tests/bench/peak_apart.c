/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "peak_loop.h"

PEAK_LOOP(apart_2, 16)
PEAK_LOOP(apart_4, 32)
PEAK_LOOP(apart_8, 64)

double bench_peak_apart(void) {
    return greatest_peak(apart_2, apart_4, apart_8);
}
