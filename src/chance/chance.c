/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "chance/chance.h"

#include <stdlib.h>

#include "chance/moves.h"
#include "chance/points.h"

struct fr_chance {
    fr_block *block;
    fr_draw_plan plan;
    fr_moves moves;
    bool by_block;
    bool moves_walk[FR_POINT_DIMENSIONS_MAX]; /* an input does */
    bool drawn;                               /* since the build was taken */
    /* without the block */
    fr_check *check;
    fr_build one_blend;
    fr_block_result scalar;
    fr_row *z; /* of the block drawn, in case it is wanted again */
};

fr_chance *fr_chance_open(void) {
    fr_chance *chance = calloc(1, sizeof *chance);
    if (chance == NULL) {
        return NULL;
    }
    chance->block = fr_block_open();
    if (chance->block == NULL || posix_memalign((void **)&chance->z, 64,
                                                sizeof(fr_row) * FR_POINT_DIMENSIONS_MAX) != 0) {
        fr_chance_close(chance);
        return NULL;
    }
    return chance;
}

void fr_chance_close(fr_chance *chance) {
    if (chance != NULL) {
        fr_block_close(chance->block);
        fr_check_close(chance->check);
        free(chance->z);
        free(chance);
    }
}

bool fr_chance_set(fr_chance *chance, const fr_build *build, const fr_input *inputs, size_t count) {
    if (count > FR_POINT_DIMENSIONS_MAX || !fr_moves_start(&chance->moves, build, inputs, count)) {
        return false;
    }
    fr_draw_plan_make(build, inputs, count, &chance->plan);
    chance->drawn = false;
    chance->by_block = fr_moves_suit_block(build, inputs, count);
    for (size_t i = 0; i < count; i++) {
        chance->moves_walk[i] = fr_moves_walk(build, &inputs[i]);
    }
    if (!chance->by_block && chance->check == NULL) {
        chance->check = fr_check_open();
        return chance->check != NULL;
    }
    return true;
}

static void put_draws(fr_chance *chance, bool whole) {
    fr_draws *draws = fr_block_draws(chance->block);
    const double *z = (const double *)chance->z;
    fr_draws_begin(draws, whole);
    for (int l = 0; l < FR_LANES; l++) {
        fr_draws_put(draws, &chance->plan, l, fr_moves_to(&chance->moves, z + l, FR_LANES));
    }
    fr_draws_complete(draws, &chance->plan);
}

static bool same_row(const double *a, const double *b) {
    int64_t other = 0;
    FR_EACH_LANE(l) {
        other += a[l] == b[l] ? 0 : 1;
    }
    return other == 0;
}

/* What moves the walk is as in the draw before. */
static bool has_walk(const fr_chance *chance, const fr_row *z) {
    bool same = chance->drawn;
    for (size_t i = 0; i < chance->moves.input_count && same; i++) {
        same = !chance->moves_walk[i] || same_row(chance->z[i], z[i]);
    }
    return same;
}

static void put_beside_walk(fr_chance *chance) {
    fr_draws *draws = fr_block_draws(chance->block);
    const double *z = (const double *)chance->z;
    FR_EACH_LANE(l) {
        const fr_build *moved = fr_moves_to(&chance->moves, z + l, FR_LANES);
        fr_draws_put_beside_walk(draws, &chance->plan, l, moved);
    }
    fr_draws_complete(draws, &chance->plan);
}

void fr_chance_draw(fr_chance *chance, const fr_row *z) {
    const bool walked = has_walk(chance, z);
    memcpy(chance->z, z, sizeof(fr_row) * chance->moves.input_count);
    if (!chance->by_block) {
        return;
    }
    if (walked) {
        put_beside_walk(chance);
    } else {
        put_draws(chance, false);
    }
    chance->drawn = true;
}

bool fr_chance_keeps_walk(const fr_chance *chance, size_t input) {
    return chance->by_block && !chance->moves_walk[input];
}

/* ---- inputs that the block cannot follow ---- */

static void put_scalar(fr_block_result *result, int l, const fr_blend_result *blend) {
    result->target_w[l] = blend->target_power_w;
    result->times[l] =
        isfinite(blend->reach_w) ? blend->reach_w / blend->target_power_w : INFINITY;
    result->any_short[l] = blend->verdict == FR_SHORT ? 1.0 : 0.0;
    for (int stage = 0; stage < FR_STAGE_COUNT; stage++) {
        result->is_short[stage][l] = 0.0;
        result->stage_times[stage][l] = NAN;
    }
    for (size_t i = 0; i < blend->stage_count; i++) {
        const fr_stage_result *stage = &blend->stages[i];
        result->is_short[stage->stage][l] = stage->verdict == FR_SHORT ? 1.0 : 0.0;
    }
    const bool inlet = result->is_short[FR_STAGE_PUMP_INLET][l] > 0.0;
    result->beyond_mending[l] = inlet || blend->reach_is_mended_by_no_power ? 1.0 : 0.0;
}

static const fr_block_result *run_scalar(fr_chance *chance, double ethanol) {
    for (int l = 0; l < FR_LANES; l++) {
        chance->one_blend = *fr_moves_to(&chance->moves, (const double *)chance->z + l, FR_LANES);
        chance->one_blend.blend_count = 1;
        chance->one_blend.blends[0] = ethanol;
        const fr_check_result *result = fr_check_outline(chance->check, &chance->one_blend);
        put_scalar(&chance->scalar, l, &result->blends[0]);
    }
    return &chance->scalar;
}

const fr_block_result *fr_chance_blend(fr_chance *chance, double ethanol, fr_block_want want) {
    if (!chance->by_block) {
        return run_scalar(chance, ethanol);
    }
    const fr_block_result *result = fr_block_run(chance->block, &chance->plan, ethanol, want);
    if (result == NULL) {
        put_draws(chance, true);
        result = fr_block_run(chance->block, &chance->plan, ethanol, want);
    }
    return result;
}

/* ---- what matters most ---- */

static double counted(double times) {
    return times < FR_REACH_TIMES_MAX ? times : FR_REACH_TIMES_MAX;
}

/* Lanes 2i and 2i + 1 hold input `from` + i at its ends. */
static void rank_block(fr_chance *chance, fr_row *z, size_t from, size_t count, double *effect) {
    const double END = 1.96;
    const fr_build *build = chance->plan.base;
    memset(z, 0, sizeof(fr_row) * chance->moves.input_count);
    for (size_t i = 0; i < count; i++) {
        z[from + i][2 * i] = END;
        z[from + i][2 * i + 1] = -END;
    }
    fr_chance_draw(chance, (const fr_row *)z);
    for (size_t b = 0; b < build->blend_count; b++) {
        const fr_block_result *result = fr_chance_blend(chance, build->blends[b], FR_WANT_REACH);
        for (size_t i = 0; i < count; i++) {
            const double high = counted(result->times[2 * i]) * result->target_w[2 * i];
            const double low = counted(result->times[2 * i + 1]) * result->target_w[2 * i + 1];
            const double moved = fabs(high - low) / fr_greater(high + low, 1e-300);
            effect[from + i] = fr_greater(effect[from + i], moved);
        }
    }
}

void fr_chance_rank(fr_chance *chance, size_t *order) {
    enum { INPUTS_A_BLOCK = FR_LANES / 2 };
    const size_t count = chance->moves.input_count;
    double effect[FR_POINT_DIMENSIONS_MAX] = {0.0};
    fr_row *z = NULL;
    if (posix_memalign((void **)&z, 64, sizeof(fr_row) * (count + 1)) == 0) {
        for (size_t from = 0; from < count; from += INPUTS_A_BLOCK) {
            const size_t left = count - from;
            rank_block(chance, z, from, left < INPUTS_A_BLOCK ? left : INPUTS_A_BLOCK, effect);
        }
        free(z);
    }
    for (size_t i = 0; i < count; i++) {
        size_t k = i;
        for (; k > 0 && effect[order[k - 1]] < effect[i]; k--) {
            order[k] = order[k - 1];
        }
        order[k] = i;
    }
}

/* ---- one figure ---- */

static double count_short(const fr_block_result *result, size_t lanes) {
    double count = 0.0;
    for (size_t l = 0; l < lanes; l++) {
        count += result->any_short[l];
    }
    return count;
}

double fr_chance_of_short(fr_chance *chance, size_t draws, uint64_t seed, double *of_blend) {
    const fr_build *build = chance->plan.base;
    const size_t dimensions = chance->moves.input_count;
    double counts[FR_BLENDS_MAX] = {0.0}, amounts[FR_POINT_DIMENSIONS_MAX];
    size_t order[FR_POINT_DIMENSIONS_MAX];
    fr_points *points = fr_points_open(dimensions);
    double *base = malloc(sizeof(double) * FR_LANES * (dimensions + 1));
    fr_row *z = NULL, *by_rank = NULL;
    if (points == NULL || base == NULL ||
        posix_memalign((void **)&z, 64, sizeof(fr_row) * (2 * dimensions + 1)) != 0) {
        fr_points_close(points);
        free(base);
        return NAN;
    }
    by_rank = z + dimensions;
    fr_chance_rank(chance, order);
    fr_points_shift(seed, 0, dimensions, amounts);
    for (size_t done = 0; done < draws; done += FR_LANES) {
        const size_t lanes = draws - done < FR_LANES ? draws - done : FR_LANES;
        fr_points_next(points, lanes, base);
        fr_points_deviate(base, lanes, dimensions, amounts, seed, 0, done, by_rank);
        for (size_t d = 0; d < dimensions; d++) {
            memcpy(z[order[d]], by_rank[d], sizeof(fr_row));
        }
        fr_chance_draw(chance, (const fr_row *)z);
        for (size_t i = 0; i < build->blend_count; i++) {
            counts[i] += count_short(fr_chance_blend(chance, build->blends[i], FR_WANT_ODDS), lanes);
        }
    }
    fr_points_close(points);
    free(base);
    free(z);
    double greatest = 0.0;
    for (size_t i = 0; i < build->blend_count; i++) {
        const double part = draws > 0 ? counts[i] / (double)draws : 0.0;
        greatest = part > greatest ? part : greatest;
        if (of_blend != NULL) {
            of_blend[i] = part;
        }
    }
    return greatest;
}
