/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The block kernel compiled in other ways: the overall reach over the target, [blend][draw], of
 * deviations z[input][draw]. False when out of memory. */
#ifndef FR_TESTS_PROMISE_OTHER_KERNELS_H
#define FR_TESTS_PROMISE_OTHER_KERNELS_H

#include <stdbool.h>
#include <stddef.h>

#include "fuelreach/sheet.h"

typedef bool fr_kernel_reaches(const fr_build *build, const fr_input *inputs, size_t count,
                               const double *z, size_t draws, double *times);

fr_kernel_reaches plain_reaches;  /* no clones, no vectors (plain_kernel.c) */
fr_kernel_reaches of_16_reaches;  /* so many lanes (kernel_of_16.c and so on) */
fr_kernel_reaches of_32_reaches;
fr_kernel_reaches of_128_reaches;

#endif
