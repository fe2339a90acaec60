/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A build with its inputs and a block of draws, for the benches of the promise. */
#ifndef FR_TESTS_BENCH_PROMISE_CASE_H
#define FR_TESTS_BENCH_PROMISE_CASE_H

#include "chance/block.h"
#include "chance/moves.h"

/* Nanoseconds a second. */
#define BENCH_NS 1e9

typedef struct bench_case {
    const fr_build *build;
    const fr_input *inputs;
    size_t input_count;
    fr_moves moves;
    fr_draw_plan plan;
    fr_block *block;
    fr_row *z;
} bench_case;

/* Time of the process's own, s, so that other work on the machine counts little. */
double bench_processor_s(void);
/* Ends the program when out of memory. */
void bench_case_open(bench_case *c, const fr_build *build, const fr_input *inputs, size_t count);
void bench_case_close(bench_case *c);
/* Points (draw, blend, speed) of one run over all blends. */
double bench_case_points(const bench_case *c);
/* Least time a point, s, of a run over all blends, with the draws put anew (`with_put`) or not. */
double bench_block_point_s(bench_case *c, fr_block_want want, bool with_put);

/* The same study in vectorised numpy, beside the block (numpy_study.c). */
void bench_numpy(void);

#endif
