/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sources of the block kernel, for kernel_again.h; and a way to run them whatever the number of
 * lanes is that they are compiled with. Included once in a file. */
#include "chance/block.c"
#include "chance/behind_rail.c"
#include "chance/blend_rows.c"
#include "chance/circuit_rows.c"
#include "chance/direct_rows.c"
#include "chance/draws.c"
#include "chance/feed_rows.c"
#include "chance/flow_rows.c"
#include "chance/line_loss.c"
#include "chance/port_rows.c"
#include "chance/pump_form.c"
#include "chance/pump_kind.c"
#include "chance/pump_walk.c"
#include "chance/speed_rows.c"

#include "chance/moves.h"

/* Puts the next draws into the lanes; those beyond the last repeat it. */
static void again_put(fr_block *block, const fr_draw_plan *plan, fr_moves *moves, const double *z,
                      size_t draws, size_t from, bool whole) {
    fr_draws *rows = fr_block_draws(block);
    fr_draws_begin(rows, whole);
    for (size_t l = 0; l < FR_WORKED_LANES; l++) {
        const size_t draw = from + l < draws ? from + l : draws - 1;
        fr_draws_put(rows, plan, (int)l, fr_moves_to(moves, z + draw, draws));
    }
    fr_draws_complete(rows, plan);
}

/* The overall reach over the target, [blend][draw], of `draws` draws: deviations z[input][draw]. */
bool FR_AGAIN(reaches)(const fr_build *build, const fr_input *inputs, size_t count,
                       const double *z, size_t draws, double *times);
bool FR_AGAIN(reaches)(const fr_build *build, const fr_input *inputs, size_t count,
                       const double *z, size_t draws, double *times) {
    static fr_moves moves;
    static fr_draw_plan plan;
    fr_block *block = fr_block_open();
    if (block == NULL || !fr_moves_start(&moves, build, inputs, count)) {
        fr_block_close(block);
        return false;
    }
    fr_draw_plan_make(build, inputs, count, &plan);
    for (size_t from = 0; from < draws; from += FR_WORKED_LANES) {
        again_put(block, &plan, &moves, z, draws, from, false);
        for (size_t i = 0; i < build->blend_count; i++) {
            const fr_block_result *result =
                fr_block_run(block, &plan, build->blends[i], FR_WANT_REACH);
            if (result == NULL) {
                again_put(block, &plan, &moves, z, draws, from, true);
                result = fr_block_run(block, &plan, build->blends[i], FR_WANT_REACH);
            }
            for (size_t l = 0; l < FR_WORKED_LANES && from + l < draws; l++) {
                times[i * draws + from + l] = result->times[l];
            }
        }
    }
    fr_block_close(block);
    return true;
}
