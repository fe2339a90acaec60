/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "promise_case.h"

#include <math.h>
#include <stdlib.h>
#include <time.h>

#include "chance/points.h"

enum { ROUNDS = 25 };

double bench_processor_s(void) {
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

double bench_case_points(const bench_case *c) {
    return (double)(c->plan.speed_count * c->build->blend_count) * (double)FR_LANES;
}

static void put(bench_case *c, bool whole) {
    fr_draws *draws = fr_block_draws(c->block);
    fr_draws_begin(draws, whole);
    for (int l = 0; l < FR_LANES; l++) {
        fr_draws_put(draws, &c->plan, l, fr_moves_to(&c->moves, &c->z[0][l], FR_LANES));
    }
    fr_draws_complete(draws, &c->plan);
}

void bench_case_open(bench_case *c, const fr_build *build, const fr_input *inputs, size_t count) {
    double amounts[FR_POINT_DIMENSIONS_MAX], *base = malloc(sizeof *base * FR_LANES * count);
    fr_points *points = fr_points_open(count);
    c->build = build;
    c->inputs = inputs;
    c->input_count = count;
    c->block = fr_block_open();
    if (posix_memalign((void **)&c->z, 64, sizeof(fr_row) * count) != 0 || base == NULL ||
        points == NULL || c->block == NULL ||
        !fr_moves_start(&c->moves, build, inputs, count)) {
        exit(3);
    }
    fr_points_shift(3, 0, count, amounts);
    fr_points_next(points, FR_LANES, base);
    fr_points_deviate(base, FR_LANES, count, amounts, 3, 0, 0, c->z);
    fr_draw_plan_make(build, inputs, count, &c->plan);
    fr_points_close(points);
    free(base);
}

double bench_block_point_s(bench_case *c, fr_block_want want, bool with_put) {
    const double points = bench_case_points(c);
    double least = INFINITY;
    bool whole = want == FR_WANT_STAGES;
    put(c, whole);
    for (int round = 0; round < ROUNDS; round++) {
        const double begun = bench_processor_s();
        if (with_put) {
            put(c, whole);
        }
        for (size_t i = 0; i < c->build->blend_count; i++) {
            if (fr_block_run(c->block, &c->plan, c->build->blends[i], want) == NULL) {
                whole = true; /* some draw is short of lift pump */
                put(c, true);
            }
        }
        const double spent = (bench_processor_s() - begun) / points;
        least = spent < least ? spent : least;
    }
    return least;
}

void bench_case_close(bench_case *c) {
    fr_block_close(c->block);
    free(c->z);
}
