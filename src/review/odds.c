/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/odds.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "chance/chance.h"

/* ---- odds ---- */

/* Sums over draws, a replicate each, of one blend. */
typedef struct tally {
    double drawn[FR_ODDS_REPLICATES];
    double any[FR_ODDS_REPLICATES];
    double stage[FR_STAGE_COUNT];
} tally;

/* A block of draws, lane by lane; the last lanes of the last block repeat the last draw. */
static void put_draws(const fr_posterior *posterior, size_t inputs, size_t from, fr_row *z) {
    for (size_t lane = 0; lane < FR_LANES; lane++) {
        const size_t index = from + lane < posterior->count ? from + lane : posterior->count - 1;
        for (size_t i = 0; i < inputs; i++)
            z[i][lane] = posterior->draws[index * posterior->parameters + i];
    }
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

/* All draws, a block at a time. */
static void run_blocks(fr_chance *chance, const fr_posterior *posterior, size_t inputs, fr_row *z,
                       const fr_odds *odds, size_t count, tally *sums) {
    for (size_t from = 0; from < posterior->count; from += FR_LANES) {
        put_draws(posterior, inputs, from, z);
        fr_chance_draw(chance, (const fr_row *)z);
        for (size_t i = 0; i < count; i++)
            count_block(fr_chance_blend(chance, odds[i].ethanol, FR_WANT_ODDS), from,
                        posterior->count, &sums[i]);
    }
}

/* Aligned as vectors want them. */
static fr_row *rows_open(size_t count) {
    const size_t size = sizeof(fr_row) * (count + 1);
    void *rows = NULL;
    return posix_memalign(&rows, 64, size) == 0 ? memset(rows, 0, size) : NULL;
}

fr_status fr_odds_find(const fr_build *build, const fr_parameters *parameters,
                       const fr_posterior *posterior, fr_odds *odds, size_t count) {
    fr_chance *chance = fr_chance_open();
    fr_row *z = rows_open(parameters->input_count);
    tally *sums = calloc(count + 1, sizeof *sums);
    fr_status status = FR_NO_MEMORY;
    if (chance != NULL && z != NULL && sums != NULL) {
        status = fr_chance_set(chance, build, parameters->inputs, parameters->input_count)
                     ? FR_OK
                     : FR_FAULT;
        if (status == FR_OK)
            run_blocks(chance, posterior, parameters->input_count, z, odds, count, sums);
        for (size_t i = 0; i < count && status == FR_OK; i++)
            read_tally(build, &sums[i], posterior->count, &odds[i]);
    }
    free(sums);
    free(z);
    fr_chance_close(chance);
    return status;
}
