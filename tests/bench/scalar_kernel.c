/* SPDX-License-Identifier: GPL-3.0-or-later */
#define FR_BLOCK_LANES 8
#define FR_WORKED_LANES 1
#define FR_AGAIN(name) scalar_##name
#include "promise/kernel_again.h"

#include "promise/kernel_again_sources.h"

#include "scalar_kernel.h"

struct scalar_kernel {
    fr_block *block;
    fr_moves moves;
    fr_draw_plan plan;
    const double *z;
    size_t draws, draw;
};

scalar_kernel *scalar_kernel_open(const fr_build *build, const fr_input *inputs, size_t count) {
    scalar_kernel *kernel = calloc(1, sizeof *kernel);
    if (kernel != NULL) {
        kernel->block = fr_block_open();
        fr_draw_plan_make(build, inputs, count, &kernel->plan);
        if (kernel->block == NULL || !fr_moves_start(&kernel->moves, build, inputs, count)) {
            scalar_kernel_close(kernel);
            return NULL;
        }
    }
    return kernel;
}

void scalar_kernel_close(scalar_kernel *kernel) {
    fr_block_close(kernel->block);
    free(kernel);
}

void scalar_kernel_put(scalar_kernel *kernel, const double *z, size_t draws, size_t draw) {
    kernel->z = z;
    kernel->draws = draws;
    kernel->draw = draw;
    again_put(kernel->block, &kernel->plan, &kernel->moves, z, draws, draw, false);
}

void scalar_kernel_run(scalar_kernel *kernel) {
    const fr_build *build = kernel->plan.base;
    for (size_t i = 0; i < build->blend_count; i++) {
        if (fr_block_run(kernel->block, &kernel->plan, build->blends[i], FR_WANT_REACH) == NULL) {
            again_put(kernel->block, &kernel->plan, &kernel->moves, kernel->z, kernel->draws,
                      kernel->draw, true);
            fr_block_run(kernel->block, &kernel->plan, build->blends[i], FR_WANT_REACH);
        }
    }
}
