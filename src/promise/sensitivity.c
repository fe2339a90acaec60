/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the scatter of the reach is made of: first-order and total Sobol indices, from two sets of
 * draws A and B and, for each input, A with that input's column from B.
 *
 * total_i  = 1/2N sum (f(A) - f(A_i))^2 / V            Jansen, Comput. Phys. Commun. 117 (1999) 35
 * first_i  = 1/N  sum f(B) (f(A_i) - f(A)) / V         Saltelli et al., ibid. 181 (2010) 259
 *
 * with f less the reach of the sheet's own figures, which takes most of the noise out of the
 * second (any constant may be taken off). */
#include <stdlib.h>
#include <string.h>

#include "promise/crew.h"
#include "promise/indices.h"
#include "promise/sets.h"

/* The powers that a draw holds are kept for a quantile each. */
enum { CASES_MAX = FR_PROMISE_KNOWN_MAX + 1, BATCH_BLOCKS = 8 };

static const double HOLDS = 0.95;

typedef struct fr_scatter {
    fr_sets sets;
    fr_index_sums *sums; /* [block][blend] */
    double *held;        /* [case][blend][draw] */
    size_t known[FR_PROMISE_KNOWN_MAX];
    size_t known_count;
} fr_scatter;

static size_t lanes_from(const fr_scatter *scatter, size_t from) {
    const size_t left = scatter->sets.draws - from;
    return left < FR_LANES ? left : FR_LANES;
}

/* ---- indices ---- */

/* Powers that the block's draws hold on all blends. */
static void held_powers(const fr_crew *crew, fr_hand *hand, fr_row *out) {
    for (size_t i = 0; i < crew->build->blend_count; i++) {
        const fr_block_result *block =
            fr_chance_blend(hand->chance, crew->build->blends[i], FR_WANT_REACH);
        FR_EACH_LANE(l) {
            out[i][l] = fr_reach_counted(block->times[l], block->target_w[l]);
        }
    }
}

/* The same, less the sheet's own. */
static void reaches(const fr_crew *crew, fr_hand *hand, fr_row *out) {
    held_powers(crew, hand, out);
    for (size_t i = 0; i < crew->build->blend_count; i++) {
        FR_EACH_LANE(l) {
            out[i][l] -= crew->reach_w[i];
        }
    }
}

/* A with one column of B: the input's part of the sums. */
static void index_input(const fr_crew *crew, size_t k, size_t lanes, const fr_row *fa,
                        const fr_row *fb, fr_index_sums *sums, fr_hand *hand) {
    fr_row fi[FR_BLENDS_MAX], kept;
    memcpy(kept, hand->z[k], sizeof kept);
    memcpy(hand->z[k], hand->other[k], sizeof kept);
    fr_chance_draw(hand->chance, (const fr_row *)hand->z);
    memcpy(hand->z[k], kept, sizeof kept);
    reaches(crew, hand, fi);
    for (size_t i = 0; i < crew->build->blend_count; i++) {
        fr_index_sums_input(&sums[i], k, lanes, fa[i], fb[i], fi[i]);
    }
}

static void index_block(const fr_crew *crew, const fr_scatter *scatter, size_t block, fr_hand *hand) {
    const size_t from = block * FR_LANES, blends = crew->build->blend_count;
    const size_t lanes = lanes_from(scatter, from), inputs = scatter->sets.dimensions;
    fr_index_sums *sums = scatter->sums + block * blends;
    fr_row fa[FR_BLENDS_MAX], fb[FR_BLENDS_MAX];
    fr_sets_deviate(&scatter->sets, true, from, lanes, hand->z);
    fr_sets_deviate(&scatter->sets, false, from, lanes, hand->other);
    fr_chance_draw(hand->chance, (const fr_row *)hand->other);
    reaches(crew, hand, fb);
    fr_chance_draw(hand->chance, (const fr_row *)hand->z);
    reaches(crew, hand, fa);
    for (size_t i = 0; i < blends; i++) {
        fr_index_sums_pair(&sums[i], lanes, fa[i], fb[i]);
    }
    /* those first that leave the pumps as they are in A */
    for (int keeping = 1; keeping >= 0; keeping--) {
        for (size_t k = 0; k < inputs; k++) {
            if (fr_chance_keeps_walk(hand->chance, k) == (keeping == 1)) {
                index_input(crew, k, lanes, (const fr_row *)fa, (const fr_row *)fb, sums, hand);
            }
        }
    }
}

/* Sums in the order of the blocks, whoever worked them out. */
static void put_indices(const fr_crew *crew, const fr_scatter *scatter, size_t blocks) {
    const size_t blends = crew->build->blend_count;
    for (size_t i = 0; i < blends; i++) {
        fr_index_sums all = {0};
        for (size_t block = 0; block < blocks; block++) {
            fr_index_sums_merge(&all, &scatter->sums[block * blends + i], scatter->sets.dimensions);
        }
        for (size_t k = 0; k < scatter->sets.dimensions; k++) {
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

static void choose_known(const fr_crew *crew, fr_scatter *scatter) {
    const double LEAST_TOTAL = 0.01;
    bool taken[FR_PROMISE_INPUTS_MAX] = {false};
    for (scatter->known_count = 0; scatter->known_count < FR_PROMISE_KNOWN_MAX; scatter->known_count++) {
        size_t best = SIZE_MAX;
        for (size_t k = 0; k < scatter->sets.dimensions; k++) {
            if (!taken[k] && worst_total(crew, k) >= LEAST_TOTAL &&
                (best == SIZE_MAX || worst_total(crew, k) > worst_total(crew, best))) {
                best = k;
            }
        }
        if (best == SIZE_MAX) {
            return;
        }
        taken[best] = true;
        scatter->known[scatter->known_count] = best;
    }
}

/* Powers that the draws of A hold: case 0 as they are, case c with input known[c - 1] narrowed. */
static void hold_case(const fr_crew *crew, const fr_scatter *scatter, size_t c, size_t from,
                      fr_hand *hand) {
    const size_t blends = crew->build->blend_count, draws = scatter->sets.draws;
    const size_t lanes = lanes_from(scatter, from), k = c > 0 ? scatter->known[c - 1] : 0;
    const fr_input *input = &crew->inputs[k];
    const double narrow =
        c > 0 ? fr_promise_known_width(crew->build, input) / input->half_width : 1.0;
    fr_row held[FR_BLENDS_MAX], kept;
    memcpy(kept, hand->z[k], sizeof kept);
    FR_EACH_LANE(l) {
        hand->z[k][l] *= narrow;
    }
    fr_chance_draw(hand->chance, (const fr_row *)hand->z);
    memcpy(hand->z[k], kept, sizeof kept);
    held_powers(crew, hand, held);
    for (size_t i = 0; i < blends; i++) {
        memcpy(scatter->held + (c * blends + i) * draws + from, held[i], lanes * sizeof(double));
    }
}

static void hold_block(const fr_crew *crew, const fr_scatter *scatter, size_t block, fr_hand *hand) {
    const size_t from = block * FR_LANES, cases = scatter->known_count;
    fr_sets_deviate(&scatter->sets, true, from, lanes_from(scatter, from), hand->z);
    hold_case(crew, scatter, 0, from, hand);
    for (size_t i = 0; i < 2 * cases; i++) {
        const size_t c = 1 + i % cases;
        if (fr_chance_keeps_walk(hand->chance, scatter->known[c - 1]) == (i < cases)) {
            hold_case(crew, scatter, c, from, hand);
        }
    }
}

static void put_known(const fr_crew *crew, const fr_scatter *scatter) {
    const size_t blends = crew->build->blend_count;
    for (size_t i = 0; i < blends; i++) {
        fr_promise_blend *blend = &crew->result->blends[i];
        const double now = fr_tally_quantile(crew->tally, i, 1.0 - HOLDS, true);
        const double of_set =
            fr_select(scatter->held + i * scatter->sets.draws, scatter->sets.draws, 1.0 - HOLDS);
        for (size_t c = 1; c <= scatter->known_count; c++) {
            const double narrowed = fr_select(scatter->held + (c * blends + i) * scatter->sets.draws,
                                              scatter->sets.draws, 1.0 - HOLDS);
            blend->inputs[scatter->known[c - 1]].known_power_w =
                now > 0.0 ? now + (narrowed - of_set) : NAN;
        }
    }
}

/* ---- both ---- */

typedef void fr_block_task(const fr_crew *crew, const fr_scatter *scatter, size_t block, fr_hand *hand);

/* All blocks, some at a time; false when the caller would have it end. */
static bool run_blocks(fr_crew *crew, const fr_scatter *scatter, size_t blocks, fr_block_task *task,
                       double work) {
    for (size_t from = 0; from < blocks; from += BATCH_BLOCKS) {
        const size_t to = from + BATCH_BLOCKS < blocks ? from + BATCH_BLOCKS : blocks;
        if (fr_crew_cancelled(crew)) {
            return false;
        }
#pragma omp parallel for schedule(dynamic) num_threads((int)crew->hand_count)
        for (long block = (long)from; block < (long)to; block++) {
            task(crew, scatter, (size_t)block, &crew->hands[fr_crew_hand()]);
        }
        fr_crew_progress(crew, work * (double)(to - from));
    }
    return true;
}

static bool run_sets(fr_crew *crew, fr_scatter *scatter, size_t blocks) {
    if (!run_blocks(crew, scatter, blocks, index_block, (double)scatter->sets.dimensions + 2.0)) {
        return false;
    }
    put_indices(crew, scatter, blocks);
    choose_known(crew, scatter);
    if (!run_blocks(crew, scatter, blocks, hold_block, (double)FR_PROMISE_KNOWN_MAX)) {
        return false;
    }
    put_known(crew, scatter);
    return true;
}

fr_status fr_sensitivity_run(fr_crew *crew) {
    const size_t draws = crew->result->sensitivity_draws, blends = crew->build->blend_count;
    const size_t blocks = fr_blocks_of(draws);
    fr_scatter *scatter = calloc(1, sizeof *scatter);
    if (scatter == NULL) {
        return FR_NO_MEMORY;
    }
    scatter->sums = calloc(blocks * blends, sizeof *scatter->sums);
    scatter->held = malloc(sizeof(double) * CASES_MAX * blends * draws);
    const bool there =
        fr_sets_open(&scatter->sets, draws, crew->input_count, crew->options->seed) &&
        scatter->sums != NULL && scatter->held != NULL;
    if (there) {
        crew->result->partial = !run_sets(crew, scatter, blocks);
    }
    fr_sets_close(&scatter->sets);
    free(scatter->sums);
    free(scatter->held);
    free(scatter);
    return there ? FR_OK : FR_NO_MEMORY;
}
