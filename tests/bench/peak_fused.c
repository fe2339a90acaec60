/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "peak_loop.h"

PEAK_LOOP(fused_2, 16)
PEAK_LOOP(fused_4, 32)
PEAK_LOOP(fused_8, 64)

double bench_peak_fused(void) {
    return greatest_peak(fused_2, fused_4, fused_8);
}
