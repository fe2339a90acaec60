/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fuelreach/promise.h"

#include <stdlib.h>
#include <string.h>

#include "promise/crew.h"

enum {
    DRAWS_DEFAULT = 65536,
    SENSITIVITY_DEFAULT = 4096,
    /* Points handed out at a time, each under every shift: some tens of milliseconds of work. */
    CHUNK_POINTS = 512
};

fr_promise_options fr_promise_options_default(void) {
    return (fr_promise_options){.seed = 1};
}

/* ---- draws ---- */

typedef struct fr_chunk {
    const double *base; /* points */
    size_t first, count;
    const double (*amounts)[FR_POINT_DIMENSIONS_MAX]; /* of each shift */
} fr_chunk;

/* One block of points under one shift, on all blends. */
static void run_item(const fr_crew *crew, const fr_chunk *chunk, size_t block, size_t shift,
                     fr_hand *hand) {
    const size_t from = block * FR_LANES;
    const size_t left = chunk->count - from, lanes = left < FR_LANES ? left : FR_LANES;
    fr_points_deviate(chunk->base + from * crew->input_count, lanes, crew->input_count,
                      chunk->amounts[shift], crew->options->seed, shift, chunk->first + from,
                      hand->z);
    fr_chance_draw(hand->chance, (const fr_row *)hand->z);
    for (size_t i = 0; i < crew->build->blend_count; i++) {
        fr_tally_add(hand->tally, i, shift, lanes,
                     fr_chance_blend(hand->chance, crew->build->blends[i], FR_WANT_ODDS));
    }
}

static void run_chunk(fr_crew *crew, const fr_chunk *chunk) {
    const size_t blocks = fr_blocks_of(chunk->count);
    const long items = (long)(blocks * FR_PROMISE_SHIFTS);
#pragma omp parallel for schedule(dynamic) num_threads((int)crew->hand_count)
    for (long item = 0; item < items; item++) {
        run_item(crew, chunk, (size_t)item / FR_PROMISE_SHIFTS, (size_t)item % FR_PROMISE_SHIFTS,
                 &crew->hands[fr_crew_hand()]);
    }
    for (size_t i = 0; i < crew->hand_count; i++) {
        fr_tally_merge(crew->tally, crew->hands[i].tally);
    }
    fr_crew_progress(crew, (double)items);
}

static fr_status run_draws(fr_crew *crew, size_t points_of_shift) {
    const size_t dimensions = crew->input_count;
    double(*amounts)[FR_POINT_DIMENSIONS_MAX] = calloc(FR_PROMISE_SHIFTS, sizeof *amounts);
    double *base = malloc(sizeof(double) * CHUNK_POINTS * (dimensions + 1));
    fr_points *points = fr_points_open(dimensions);
    const bool there = amounts != NULL && base != NULL && points != NULL;
    for (size_t shift = 0; there && shift < FR_PROMISE_SHIFTS; shift++) {
        fr_points_shift(crew->options->seed, shift, dimensions, amounts[shift]);
    }
    size_t done = 0;
    while (there && done < points_of_shift && !fr_crew_cancelled(crew)) {
        const size_t left = points_of_shift - done;
        const size_t count = left < CHUNK_POINTS ? left : CHUNK_POINTS;
        const fr_chunk chunk = {base, done, count,
                                (const double(*)[FR_POINT_DIMENSIONS_MAX])amounts};
        fr_points_next(points, count, base);
        run_chunk(crew, &chunk);
        done += count;
    }
    crew->result->draws = done * FR_PROMISE_SHIFTS;
    crew->result->partial = done < points_of_shift;
    fr_points_close(points);
    free(base);
    free(amounts);
    return there ? FR_OK : FR_NO_MEMORY;
}

/* ---- results ---- */

static double power_or_none(double power_w) {
    return power_w > 0.0 ? power_w : NAN;
}

static void put_blend(const fr_crew *crew, size_t i) {
    const fr_tally *tally = crew->tally;
    const fr_blend_tally *counts = &tally->blends[i];
    fr_promise_result *result = crew->result;
    fr_promise_blend *blend = &result->blends[i];
    const double draws = (double)counts->draws;
    uint64_t all_short = 0;
    for (size_t shift = 0; shift < FR_PROMISE_SHIFTS; shift++) {
        all_short += counts->short_of_shift[shift];
    }
    blend->chance_short = (double)all_short / draws;
    blend->chance_short_se = fr_tally_short_se(counts);
    blend->chance_beyond_mending = (double)counts->beyond_mending / draws;
    blend->chance_beyond_range = (double)counts->beyond_range / draws;
    for (int stage = 0; stage < FR_STAGE_COUNT; stage++) {
        blend->has[stage] = fr_build_has(crew->build, (fr_stage)stage);
        blend->stage_chance[stage] = (double)counts->short_of_stage[stage] / draws;
    }
    for (size_t k = 0; k < result->confidence_count; k++) {
        blend->promise_w[k] =
            power_or_none(fr_tally_quantile(tally, i, 1.0 - result->confidences[k], true));
    }
    blend->reach_p5_w = fr_tally_quantile(tally, i, 0.05, false);
    blend->reach_p50_w = fr_tally_quantile(tally, i, 0.50, false);
    blend->reach_p95_w = fr_tally_quantile(tally, i, 0.95, false);
}

static void put_confidences(const fr_promise_options *options, fr_promise_result *result) {
    static const double USUAL[] = {0.90, 0.95, 0.99};
    const bool given = options->confidence_count > 0;
    const size_t count = given ? options->confidence_count : sizeof USUAL / sizeof *USUAL;
    result->confidence_count =
        count < FR_PROMISE_CONFIDENCES_MAX ? count : FR_PROMISE_CONFIDENCES_MAX;
    for (size_t i = 0; i < result->confidence_count; i++) {
        result->confidences[i] = given ? options->confidences[i] : USUAL[i];
    }
}

static size_t points_of_shift(const fr_promise_options *options, size_t input_count) {
    const size_t draws = options->draws > 0 ? options->draws : DRAWS_DEFAULT;
    return input_count == 0 ? 1 : (draws + FR_PROMISE_SHIFTS - 1) / FR_PROMISE_SHIFTS;
}

static size_t sensitivity_of(const fr_promise_options *options, size_t points) {
    const size_t asked =
        options->sensitivity_draws > 0 ? options->sensitivity_draws : SENSITIVITY_DEFAULT;
    const size_t draws = points * FR_PROMISE_SHIFTS;
    return asked < draws ? asked : draws;
}

static void no_indices(fr_promise_result *result) {
    const fr_promise_input none = {NAN, NAN, NAN};
    for (size_t i = 0; i < result->blend_count; i++) {
        for (size_t k = 0; k < result->input_count; k++) {
            result->blends[i].inputs[k] = none;
        }
    }
}

/* ---- the order of inputs ---- */

/* Copies the inputs in order of rank; order[i] says which was put i-th. */
static fr_status rank_inputs(const fr_build *build, const fr_input *inputs, size_t count,
                             fr_input *ranked, size_t *order) {
    fr_chance *chance = fr_chance_open();
    fr_status status = chance != NULL ? FR_OK : FR_NO_MEMORY;
    if (status == FR_OK && !fr_chance_set(chance, build, inputs, count)) {
        status = FR_NO_MEMORY;
    }
    if (status == FR_OK) {
        fr_chance_rank(chance, order);
        for (size_t i = 0; i < count; i++) {
            ranked[i] = inputs[order[i]];
        }
    }
    fr_chance_close(chance);
    return status;
}

/* Figures of inputs back into the caller's order. */
static void unrank(fr_promise_result *result, const size_t *order) {
    for (size_t b = 0; b < result->blend_count; b++) {
        fr_promise_input ranked[FR_PROMISE_INPUTS_MAX];
        memcpy(ranked, result->blends[b].inputs, sizeof ranked);
        for (size_t i = 0; i < result->input_count; i++) {
            result->blends[b].inputs[order[i]] = ranked[i];
        }
    }
}

static fr_status run_ranked(fr_crew *crew, size_t points) {
    fr_status status = fr_crew_open(crew);
    if (status == FR_OK) {
        status = run_draws(crew, points);
    }
    for (size_t i = 0; status == FR_OK && i < crew->build->blend_count; i++) {
        put_blend(crew, i);
    }
    if (status == FR_OK && !crew->result->partial && crew->input_count > 0) {
        status = fr_sensitivity_run(crew);
    } else {
        crew->result->sensitivity_draws = 0;
    }
    fr_crew_close(crew);
    return status;
}

fr_status fr_promise_run(const fr_build *build, const fr_input *inputs, size_t input_count,
                         const fr_promise_options *options, fr_promise_result *result) {
    if (input_count > FR_PROMISE_INPUTS_MAX) {
        return FR_BAD_INPUT;
    }
    const size_t points = points_of_shift(options, input_count);
    memset(result, 0, sizeof *result);
    result->seed = options->seed;
    result->input_count = input_count;
    result->blend_count = build->blend_count;
    put_confidences(options, result);
    no_indices(result);
    size_t order[FR_PROMISE_INPUTS_MAX];
    fr_input *ranked = malloc(sizeof *ranked * (input_count + 1));
    fr_status status = ranked != NULL ? rank_inputs(build, inputs, input_count, ranked, order)
                                      : FR_NO_MEMORY;
    fr_crew crew = {.build = build,
                    .inputs = ranked,
                    .input_count = input_count,
                    .options = options,
                    .result = result};
    result->sensitivity_draws = input_count > 0 ? sensitivity_of(options, points) : 0;
    const double blocks = (double)fr_blocks_of(points) * FR_PROMISE_SHIFTS;
    const double others = (double)fr_blocks_of(result->sensitivity_draws);
    crew.work_all =
        blocks + others * (double)(input_count > 0 ? input_count + 2 + FR_PROMISE_KNOWN_MAX : 0);
    if (status == FR_OK) {
        status = run_ranked(&crew, points);
        unrank(result, order);
    }
    free(ranked);
    return status;
}
