/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The block kernel on one lane at a time, compiled without vectors: what its equations cost as
 * scalar code. */
#ifndef FR_TESTS_BENCH_SCALAR_KERNEL_H
#define FR_TESTS_BENCH_SCALAR_KERNEL_H

#include <stdbool.h>
#include <stddef.h>

#include "fuelreach/sheet.h"

typedef struct scalar_kernel scalar_kernel;

/* Null when out of memory. */
scalar_kernel *scalar_kernel_open(const fr_build *build, const fr_input *inputs, size_t count);
void scalar_kernel_close(scalar_kernel *kernel);
/* Takes draw number `draw` of deviations z[input][draw], `draws` in a row. */
void scalar_kernel_put(scalar_kernel *kernel, const double *z, size_t draws, size_t draw);
/* Its overall reach on all blends. */
void scalar_kernel_run(scalar_kernel *kernel);

#endif
