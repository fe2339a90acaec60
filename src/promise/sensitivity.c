/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the scatter of the reach is made of: first-order and total Sobol indices, from two sets of
 * draws A and B and, for each input, A with that input's column from B.
 *
 * total_i  = 1/2N sum (f(A) - f(A_i))^2 / V            Jansen, Comput. Phys. Commun. 117 (1999) 35
 * first_i  = 1/N  sum f(B) (f(A_i) - f(A)) / V         Saltelli et al., ibid. 181 (2010) 259
 *
 * with f less the reach of the sheet's own figures, which takes most of the noise out of the
 * second (any constant may be taken off). Up to 20 inputs A and B are the two halves of one Sobol
 * sequence's columns. GSL ends at 40; beyond 20 inputs B is a later stretch of the same columns,
 * under a shift of its own and in random order. */
#include <stdlib.h>
#include <string.h>

#include "promise/crew.h"
#include "promise/indices.h"

/* The powers that a draw holds are kept for a quantile each. */
enum { CASES_MAX = FR_PROMISE_KNOWN_MAX + 1, BATCH_BLOCKS = 8 };

static const double HOLDS = 0.95;

typedef struct fr_sets {
    size_t draws, dimensions;
    double *a, *b; /* [draw][dimension], in the unit cube */
    double a_amounts[FR_POINT_DIMENSIONS_MAX], b_amounts[FR_POINT_DIMENSIONS_MAX];
    fr_index_sums *sums; /* [block][blend] */
    double *held;        /* [case][blend][draw] */
    size_t known[FR_PROMISE_KNOWN_MAX];
    size_t known_count;
} fr_sets;

/* ---- the two sets ---- */

static void split_columns(fr_points *points, fr_sets *sets, double *both) {
    const size_t d = sets->dimensions;
    for (size_t i = 0; i < sets->draws; i++) {
        fr_points_next(points, 1, both);
        memcpy(sets->a + i * d, both, d * sizeof(double));
        memcpy(sets->b + i * d, both + d, d * sizeof(double));
    }
}

static void shuffle_rows(double *rows, size_t count, size_t width, uint64_t seed) {
    uint64_t state = seed;
    for (size_t i = count; i-- > 1;) {
        const size_t k = (size_t)(fr_random_even(&state) * (double)(i + 1));
        for (size_t d = 0; d < width; d++) {
            const double kept = rows[i * width + d];
            rows[i * width + d] = rows[k * width + d];
            rows[k * width + d] = kept;
        }
    }
}

static bool fill_sets(fr_sets *sets, uint64_t seed) {
    const size_t d = sets->dimensions;
    const bool halves = 2 * d <= FR_SOBOL_DIMENSIONS_MAX;
    double both[FR_SOBOL_DIMENSIONS_MAX], amounts[FR_POINT_DIMENSIONS_MAX];
    fr_points *points = fr_points_open(halves ? 2 * d : d);
    if (points == NULL) {
        return false;
    }
    if (halves) {
        split_columns(points, sets, both);
        fr_points_shift(seed, FR_PROMISE_SHIFTS, 2 * d, amounts);
        memcpy(sets->a_amounts, amounts, d * sizeof(double));
        memcpy(sets->b_amounts, amounts + d, d * sizeof(double));
    } else {
        fr_points_next(points, sets->draws, sets->a);
        fr_points_next(points, sets->draws, sets->b);
        shuffle_rows(sets->b, sets->draws, d, seed);
        fr_points_shift(seed, FR_PROMISE_SHIFTS, d, sets->a_amounts);
        fr_points_shift(seed, FR_PROMISE_SHIFTS + 1, d, sets->b_amounts);
    }
    fr_points_close(points);
    return true;
}

static void deviate(const fr_crew *crew, const fr_sets *sets, bool first, size_t from, size_t lanes,
                    fr_row *z) {
    const size_t d = sets->dimensions;
    fr_points_deviate((first ? sets->a : sets->b) + from * d, lanes, d,
                      first ? sets->a_amounts : sets->b_amounts, crew->options->seed,
                      FR_PROMISE_SHIFTS + (first ? 0 : 1), from, z);
}

/* ---- indices ---- */

/* Reaches of a block on all blends, less the sheet's own. */
static void reaches(const fr_crew *crew, fr_hand *hand, const fr_row *z, fr_row *out) {
    fr_chance_draw(hand->chance, z);
    for (size_t i = 0; i < crew->build->blend_count; i++) {
        const fr_block_result *block =
            fr_chance_blend(hand->chance, crew->build->blends[i], FR_WANT_REACH);
        FR_EACH_LANE(l) {
            out[i][l] = fr_reach_counted(block->times[l], block->target_w[l]) - crew->reach_w[i];
        }
    }
}

static void index_block(const fr_crew *crew, const fr_sets *sets, size_t block, fr_hand *hand) {
    const size_t from = block * FR_LANES, blends = crew->build->blend_count;
    const size_t left = sets->draws - from, lanes = left < FR_LANES ? left : FR_LANES;
    fr_index_sums *sums = sets->sums + block * blends;
    fr_row fa[FR_BLENDS_MAX], fb[FR_BLENDS_MAX], fi[FR_BLENDS_MAX], kept;
    deviate(crew, sets, true, from, lanes, hand->z);
    deviate(crew, sets, false, from, lanes, hand->other);
    reaches(crew, hand, (const fr_row *)hand->z, fa);
    reaches(crew, hand, (const fr_row *)hand->other, fb);
    for (size_t i = 0; i < blends; i++) {
        fr_index_sums_pair(&sums[i], lanes, fa[i], fb[i]);
    }
    for (size_t k = 0; k < sets->dimensions; k++) {
        memcpy(kept, hand->z[k], sizeof kept);
        memcpy(hand->z[k], hand->other[k], sizeof kept);
        reaches(crew, hand, (const fr_row *)hand->z, fi);
        memcpy(hand->z[k], kept, sizeof kept);
        for (size_t i = 0; i < blends; i++) {
            fr_index_sums_input(&sums[i], k, lanes, fa[i], fb[i], fi[i]);
        }
    }
}

/* Sums in the order of the blocks, whoever worked them out. */
static void put_indices(const fr_crew *crew, const fr_sets *sets, size_t blocks) {
    const size_t blends = crew->build->blend_count;
    for (size_t i = 0; i < blends; i++) {
        fr_index_sums all = {0};
        for (size_t block = 0; block < blocks; block++) {
            fr_index_sums_merge(&all, &sets->sums[block * blends + i], sets->dimensions);
        }
        for (size_t k = 0; k < sets->dimensions; k++) {
            fr_promise_input *input = &crew->result->blends[i].inputs[k];
            fr_index_of_sums(&all, k, &input->first_order, &input->total);
        }
    }
}

/* ---- if it were known ---- */

static double worst_total(const fr_crew *crew, size_t input) {
    double most = -1.0;
    for (size_t i = 0; i < crew->build->blend_count; i++) {
        const double total = crew->result->blends[i].inputs[input].total;
        most = total > most ? total : most;
    }
    return most;
}

static void choose_known(const fr_crew *crew, fr_sets *sets) {
    const double LEAST_TOTAL = 0.01;
    bool taken[FR_PROMISE_INPUTS_MAX] = {false};
    for (sets->known_count = 0; sets->known_count < FR_PROMISE_KNOWN_MAX; sets->known_count++) {
        size_t best = SIZE_MAX;
        for (size_t k = 0; k < sets->dimensions; k++) {
            if (!taken[k] && worst_total(crew, k) >= LEAST_TOTAL &&
                (best == SIZE_MAX || worst_total(crew, k) > worst_total(crew, best))) {
                best = k;
            }
        }
        if (best == SIZE_MAX) {
            return;
        }
        taken[best] = true;
        sets->known[sets->known_count] = best;
    }
}

/* Powers that the draws of A hold: case 0 as they are, case c with input known[c - 1] narrowed. */
static void hold_block(const fr_crew *crew, const fr_sets *sets, size_t block, fr_hand *hand) {
    const size_t from = block * FR_LANES, blends = crew->build->blend_count;
    const size_t left = sets->draws - from, lanes = left < FR_LANES ? left : FR_LANES;
    deviate(crew, sets, true, from, lanes, hand->z);
    for (size_t c = 0; c <= sets->known_count; c++) {
        fr_row kept;
        const size_t k = c > 0 ? sets->known[c - 1] : 0;
        const fr_input *input = &crew->inputs[k];
        const double narrow =
            c > 0 ? fr_promise_known_width(crew->build, input) / input->half_width : 1.0;
        memcpy(kept, hand->z[k], sizeof kept);
        FR_EACH_LANE(l) {
            hand->z[k][l] *= narrow;
        }
        fr_chance_draw(hand->chance, (const fr_row *)hand->z);
        memcpy(hand->z[k], kept, sizeof kept);
        for (size_t i = 0; i < blends; i++) {
            const fr_block_result *b =
                fr_chance_blend(hand->chance, crew->build->blends[i], FR_WANT_REACH);
            double *held = sets->held + (c * blends + i) * sets->draws + from;
            for (size_t l = 0; l < lanes; l++) {
                held[l] = fr_reach_counted(b->times[l], b->target_w[l]);
            }
        }
    }
}

static void put_known(const fr_crew *crew, const fr_sets *sets) {
    const size_t blends = crew->build->blend_count;
    for (size_t i = 0; i < blends; i++) {
        fr_promise_blend *blend = &crew->result->blends[i];
        const double now = fr_tally_quantile(crew->tally, i, 1.0 - HOLDS, true);
        const double of_set =
            fr_select(sets->held + i * sets->draws, sets->draws, 1.0 - HOLDS);
        for (size_t c = 1; c <= sets->known_count; c++) {
            const double narrowed = fr_select(sets->held + (c * blends + i) * sets->draws,
                                              sets->draws, 1.0 - HOLDS);
            blend->inputs[sets->known[c - 1]].known_power_w =
                now > 0.0 ? now + (narrowed - of_set) : NAN;
        }
    }
}

/* ---- both ---- */

typedef void fr_block_task(const fr_crew *crew, const fr_sets *sets, size_t block, fr_hand *hand);

/* All blocks, some at a time; false when the caller would have it end. */
static bool run_blocks(fr_crew *crew, const fr_sets *sets, size_t blocks, fr_block_task *task,
                       double work) {
    for (size_t from = 0; from < blocks; from += BATCH_BLOCKS) {
        const size_t to = from + BATCH_BLOCKS < blocks ? from + BATCH_BLOCKS : blocks;
        if (fr_crew_cancelled(crew)) {
            return false;
        }
#pragma omp parallel for schedule(dynamic) num_threads((int)crew->hand_count)
        for (long block = (long)from; block < (long)to; block++) {
            task(crew, sets, (size_t)block, &crew->hands[fr_crew_hand()]);
        }
        fr_crew_progress(crew, work * (double)(to - from));
    }
    return true;
}

static bool run_sets(fr_crew *crew, fr_sets *sets, size_t blocks) {
    if (!run_blocks(crew, sets, blocks, index_block, (double)sets->dimensions + 2.0)) {
        return false;
    }
    put_indices(crew, sets, blocks);
    choose_known(crew, sets);
    if (!run_blocks(crew, sets, blocks, hold_block, (double)FR_PROMISE_KNOWN_MAX)) {
        return false;
    }
    put_known(crew, sets);
    return true;
}

fr_status fr_sensitivity_run(fr_crew *crew) {
    const size_t draws = crew->result->sensitivity_draws, blends = crew->build->blend_count;
    const size_t blocks = (draws + FR_LANES - 1) / FR_LANES;
    fr_sets *sets = calloc(1, sizeof *sets);
    if (sets == NULL) {
        return FR_NO_MEMORY;
    }
    sets->draws = draws;
    sets->dimensions = crew->input_count;
    sets->a = malloc(sizeof(double) * draws * sets->dimensions);
    sets->b = malloc(sizeof(double) * draws * sets->dimensions);
    sets->sums = calloc(blocks * blends, sizeof *sets->sums);
    sets->held = malloc(sizeof(double) * CASES_MAX * blends * draws);
    const bool there = sets->a != NULL && sets->b != NULL && sets->sums != NULL &&
                       sets->held != NULL && fill_sets(sets, crew->options->seed);
    if (there) {
        crew->result->partial = !run_sets(crew, sets, blocks);
    }
    free(sets->a);
    free(sets->b);
    free(sets->sums);
    free(sets->held);
    free(sets);
    return there ? FR_OK : FR_NO_MEMORY;
}
