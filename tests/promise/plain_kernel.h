/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The block kernel without clones (plain_kernel.c). */
#ifndef FR_TESTS_PROMISE_PLAIN_KERNEL_H
#define FR_TESTS_PROMISE_PLAIN_KERNEL_H

#include "chance/block.h"

fr_block *plain_block_open(void);
void plain_block_close(fr_block *block);
fr_draws *plain_block_draws(fr_block *block);
const fr_block_result *plain_block_run(fr_block *block, const fr_draw_plan *plan, double ethanol,
                                       fr_block_want want);
void plain_draw_plan_make(const fr_build *base, fr_draw_plan *plan);
void plain_draws_begin(fr_draws *draws, bool whole);
void plain_draws_put(fr_draws *draws, const fr_draw_plan *plan, int lane, const fr_build *moved);
void plain_draws_complete(fr_draws *draws, const fr_draw_plan *plan);

#endif
