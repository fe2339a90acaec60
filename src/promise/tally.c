/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "promise/tally.h"

#include <math.h>
#include <stdlib.h>

static const double BIN_W = 50.0;
static const size_t BINS_FINE_MAX = 100000;

double fr_reach_counted(double times, double target_w) {
    return (times < FR_REACH_TIMES_MAX ? times : FR_REACH_TIMES_MAX) * target_w;
}

fr_tally *fr_tally_open(size_t blend_count, double most_w) {
    fr_tally *tally = calloc(1, sizeof *tally);
    if (tally == NULL) {
        return NULL;
    }
    tally->blend_count = blend_count;
    tally->bin_w = most_w / BIN_W <= (double)BINS_FINE_MAX ? BIN_W : 2.0 * BIN_W;
    tally->bin_count = (size_t)ceil(most_w / tally->bin_w) + 2;
    for (size_t i = 0; i < blend_count; i++) {
        tally->blends[i].reach = calloc(tally->bin_count, sizeof(uint32_t));
        tally->blends[i].lost = calloc(tally->bin_count, sizeof(uint32_t));
        if (tally->blends[i].reach == NULL || tally->blends[i].lost == NULL) {
            fr_tally_close(tally);
            return NULL;
        }
    }
    return tally;
}

void fr_tally_close(fr_tally *tally) {
    if (tally != NULL) {
        for (size_t i = 0; i < tally->blend_count; i++) {
            free(tally->blends[i].reach);
            free(tally->blends[i].lost);
        }
        free(tally);
    }
}

static size_t bin_of(const fr_tally *tally, double reach_w) {
    const double bin = reach_w / tally->bin_w;
    const double last = (double)(tally->bin_count - 1);
    return bin > 0.0 ? (size_t)(bin < last ? bin : last) : 0;
}

void fr_tally_add(fr_tally *tally, size_t blend, size_t shift, size_t lanes,
                  const fr_block_result *result) {
    fr_blend_tally *to = &tally->blends[blend];
    for (size_t l = 0; l < lanes; l++) {
        const size_t bin =
            bin_of(tally, fr_reach_counted(result->times[l], result->target_w[l]));
        to->reach[bin]++;
        if (result->beyond_mending[l] > 0.0) {
            to->beyond_mending++;
            to->lost[bin]++;
        }
        to->beyond_range += isfinite(result->times[l]) ? 0 : 1;
        to->short_of_shift[shift] += result->any_short[l] > 0.0;
    }
    for (size_t stage = 0; stage < FR_STAGE_COUNT; stage++) {
        double count = 0.0;
        for (size_t l = 0; l < lanes; l++) {
            count += result->is_short[stage][l];
        }
        to->short_of_stage[stage] += (uint64_t)count;
    }
    to->draws += lanes;
    to->draws_of_shift[shift] += lanes;
}

static void merge_bins(uint32_t *to, uint32_t *from, size_t count) {
    for (size_t i = 0; i < count; i++) {
        to[i] += from[i];
        from[i] = 0;
    }
}

void fr_tally_merge(fr_tally *tally, fr_tally *more) {
    for (size_t i = 0; i < tally->blend_count; i++) {
        fr_blend_tally *to = &tally->blends[i], *from = &more->blends[i];
        to->draws += from->draws;
        to->beyond_mending += from->beyond_mending;
        to->beyond_range += from->beyond_range;
        for (size_t shift = 0; shift < FR_PROMISE_SHIFTS; shift++) {
            to->short_of_shift[shift] += from->short_of_shift[shift];
            to->draws_of_shift[shift] += from->draws_of_shift[shift];
        }
        for (size_t stage = 0; stage < FR_STAGE_COUNT; stage++) {
            to->short_of_stage[stage] += from->short_of_stage[stage];
        }
        merge_bins(to->reach, from->reach, tally->bin_count);
        merge_bins(to->lost, from->lost, tally->bin_count);
        const fr_blend_tally bins = {.reach = from->reach, .lost = from->lost};
        *from = bins;
    }
}

double fr_tally_quantile(const fr_tally *tally, size_t blend, double probability, bool holding) {
    const fr_blend_tally *from = &tally->blends[blend];
    const double goal = probability * (double)from->draws;
    double below = holding ? (double)from->beyond_mending : 0.0;
    if (from->draws == 0) {
        return NAN;
    }
    if (holding && below >= goal && below > 0.0) {
        return 0.0;
    }
    for (size_t i = 0; i < tally->bin_count; i++) {
        const double here = (double)from->reach[i] - (holding ? (double)from->lost[i] : 0.0);
        if (here > 0.0 && below + here >= goal) {
            /* even within the bin */
            const double part = (goal - below) / here;
            return tally->bin_w * ((double)i + (part > 0.0 ? part : 0.0));
        }
        below += here;
    }
    return tally->bin_w * (double)tally->bin_count;
}

double fr_tally_short_se(const fr_blend_tally *blend) {
    double mean = 0.0, squares = 0.0, chances[FR_PROMISE_SHIFTS];
    size_t count = 0;
    for (size_t shift = 0; shift < FR_PROMISE_SHIFTS; shift++) {
        if (blend->draws_of_shift[shift] > 0) {
            chances[count] = (double)blend->short_of_shift[shift] /
                             (double)blend->draws_of_shift[shift];
            mean += chances[count++];
        }
    }
    if (count < 2) {
        return NAN;
    }
    mean /= (double)count;
    for (size_t i = 0; i < count; i++) {
        squares += (chances[i] - mean) * (chances[i] - mean);
    }
    return sqrt(squares / ((double)count * (double)(count - 1)));
}
