/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/odds.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "chance/block.h"

/* ---- odds ---- */

/* Sums over draws, a replicate each, of one blend. */
typedef struct tally {
    double drawn[FR_ODDS_REPLICATES];
    double any[FR_ODDS_REPLICATES];
    double stage[FR_STAGE_COUNT];
} tally;

static void put_draws(const fr_build *build, const fr_parameters *parameters,
                      const fr_posterior *posterior, size_t from, const fr_draw_plan *plan,
                      fr_build *moved, fr_draws *draws) {
    for (size_t lane = 0; lane < FR_LANES; lane++) {
        const size_t index = from + lane < posterior->count ? from + lane : posterior->count - 1;
        fr_build_move(build, parameters->inputs, parameters->input_count,
                      posterior->draws + index * posterior->parameters, moved);
        fr_draws_put(draws, plan, (int)lane, moved);
    }
    fr_draws_complete(draws, plan);
}

static void count_block(const fr_block_result *result, size_t from, size_t count, tally *sums) {
    for (size_t lane = 0; lane < FR_LANES && from + lane < count; lane++) {
        const size_t which = (from + lane) * FR_ODDS_REPLICATES / count;
        sums->drawn[which] += 1.0;
        sums->any[which] += result->any_short[lane];
        for (int stage = 0; stage < FR_STAGE_COUNT; stage++)
            sums->stage[stage] += result->is_short[stage][lane];
    }
}

static void read_tally(const fr_build *build, const tally *sums, size_t count, fr_odds *odds) {
    double mean = 0.0;
    double squares = 0.0;
    for (int i = 0; i < FR_ODDS_REPLICATES; i++) {
        const double part = sums->drawn[i] > 0.0 ? sums->any[i] / sums->drawn[i] : 0.0;
        mean += part / FR_ODDS_REPLICATES;
        squares += part * part / FR_ODDS_REPLICATES;
    }
    odds->holds = 1.0 - mean;
    odds->standard_error =
        sqrt(fmax(0.0, squares - mean * mean) / (FR_ODDS_REPLICATES - 1));
    for (int stage = 0; stage < FR_STAGE_COUNT; stage++)
        odds->is_short[stage] =
            fr_build_has(build, (fr_stage)stage) ? sums->stage[stage] / (double)count : NAN;
}

fr_status fr_odds_find(const fr_build *build, const fr_parameters *parameters,
                       const fr_posterior *posterior, fr_odds *odds, size_t count) {
    fr_block *block = fr_block_open();
    fr_draw_plan *plan = malloc(sizeof *plan);
    fr_build *moved = malloc(sizeof *moved);
    tally *sums = calloc(count + 1, sizeof *sums);
    const bool room = block != NULL && plan != NULL && moved != NULL && sums != NULL;
    if (room) {
        fr_draw_plan_make(build, plan);
        for (size_t from = 0; from < posterior->count; from += FR_LANES) {
            put_draws(build, parameters, posterior, from, plan, moved, fr_block_draws(block));
            for (size_t i = 0; i < count; i++)
                count_block(fr_block_run(block, plan, odds[i].ethanol, FR_WANT_ODDS), from,
                            posterior->count, &sums[i]);
        }
        for (size_t i = 0; i < count; i++)
            read_tally(build, &sums[i], posterior->count, &odds[i]);
    }
    free(sums);
    free(moved);
    free(plan);
    fr_block_close(block);
    return room ? FR_OK : FR_NO_MEMORY;
}
