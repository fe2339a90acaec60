/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The block kernel and the promise: time a (draw, blend, speed) point, against the check of one build,
 * the same kernel without vectors and numpy in the same run; operations against what the machine
 * can do; time over size. Times are of the processor, so that other work on the machine counts little;
 * whole studies are timed by the clock. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include <gsl/gsl_errno.h>

#include "chance/points.h"
#include "fuelreach/check.h"
#include "fuelreach/promise.h"

#include "bench.h"
#include "operations.h"
#include "promise_case.h"
#include "scalar_kernel.h"

enum { ROUNDS = 15, STEPPED_DRAWS = 1 };
static const char LARGEST[] = "examples/largest.yaml";

/* A sheet's build and inputs, in a case. */
typedef struct bench_sheet {
    fr_report report;
    fr_sheet *sheet;
    bench_case c;
} bench_sheet;

static void open_sheet(bench_sheet *s, const char *path) {
    const fr_sheet_options options = {0};
    size_t count;
    s->report = (fr_report)FR_REPORT_EMPTY;
    if (fr_sheet_open(path, &options, &s->report, &s->sheet) != FR_OK) {
        printf("%s could not be read\n", path);
        exit(3);
    }
    const fr_input *inputs = fr_sheet_inputs(s->sheet, &count);
    bench_case_open(&s->c, fr_sheet_build(s->sheet), inputs, count);
}

static void close_sheet(bench_sheet *s) {
    bench_case_close(&s->c);
    fr_sheet_close(s->sheet);
    fr_report_close(&s->report);
}

/* ---- time a point ---- */

static double check_point_s(const bench_case *c) {
    fr_check *check = fr_check_open();
    double least = INFINITY;
    static fr_build moved;
    for (int round = 0; round < ROUNDS; round++) {
        double deviations[FR_POINT_DIMENSIONS_MAX];
        for (size_t i = 0; i < c->input_count; i++) {
            deviations[i] = c->z[i][round];
        }
        fr_build_move(c->build, c->inputs, c->input_count, deviations, &moved);
        const double begun = bench_processor_s();
        fr_check_outline(check, &moved);
        const double spent = bench_processor_s() - begun;
        least = spent < least ? spent : least;
    }
    fr_check_close(check);
    return least / (double)(c->plan.speed_count * c->build->blend_count);
}

/* The same draws as the block has, one after the other. */
static double scalar_point_s(const bench_case *c) {
    scalar_kernel *kernel = scalar_kernel_open(c->build, c->inputs, c->input_count);
    double sum = 0.0;
    if (kernel == NULL) {
        exit(3);
    }
    for (size_t draw = 0; draw < FR_LANES; draw++) {
        double least = INFINITY;
        scalar_kernel_put(kernel, &c->z[0][0], FR_LANES, draw);
        for (int round = 0; round < ROUNDS; round++) {
            const double begun = bench_processor_s();
            scalar_kernel_run(kernel);
            least = fmin(least, bench_processor_s() - begun);
        }
        sum += least;
    }
    scalar_kernel_close(kernel);
    return sum / bench_case_points(c);
}

static void run_scalar(void *context) {
    scalar_kernel_run(context);
}

/* Operations a point that a draw wants; negative where they cannot be counted. */
static double operations_a_point(const bench_case *c) {
    scalar_kernel *kernel = scalar_kernel_open(c->build, c->inputs, c->input_count);
    double sum = 0.0;
    for (size_t draw = 0; kernel != NULL && draw < STEPPED_DRAWS && sum >= 0.0; draw++) {
        scalar_kernel_put(kernel, &c->z[0][0], FR_LANES, draw);
        const double count = bench_operations(run_scalar, kernel);
        sum = count < 0.0 ? -1.0 : sum + count;
    }
    scalar_kernel_close(kernel);
    return sum / (STEPPED_DRAWS * (double)(c->plan.speed_count * c->build->blend_count));
}

static void tell_operations(const bench_case *c, double reach_s, double fused, double apart) {
    const double operations = operations_a_point(c);
    if (operations < 0.0) {
        printf("  SKIPPED: operations cannot be counted here\n");
        return;
    }
    printf("  %.0f operations a point that the draw itself wants: %.1f a ns, %.0f %% of the peak with "
           "fused\n    multiply-adds, %.0f %% of that without, which the kernel keeps to\n",
           operations, operations / reach_s / BENCH_NS, 100.0 * operations / reach_s / fused,
           100.0 * operations / reach_s / apart);
}

static void bench_sheet_points(const char *path, double fused, double apart) {
    static bench_sheet s;
    bench_case *c = &s.c;
    open_sheet(&s, path);
    printf("%s: %zu inputs, %zu blends, %zu speeds\n", path, c->input_count, c->build->blend_count,
           c->plan.speed_count);
    const double check = check_point_s(c), scalar = scalar_point_s(c);
    const double reach = bench_block_point_s(c, FR_WANT_REACH, false);
    bench_line("  check of one build, verdict and reach", check * BENCH_NS, "ns a point", 0);
    bench_line("  the block's equations on one lane, no vectors", scalar * BENCH_NS, "ns a point", 0);
    bench_line("  block, overall reach", reach * BENCH_NS, "ns a point", 12);
    bench_line("  block, overall reach, drawing included",
               bench_block_point_s(c, FR_WANT_REACH, true) * BENCH_NS, "ns a point", 0);
    bench_line("  block, reach and odds of every stage",
               bench_block_point_s(c, FR_WANT_ODDS, false) * BENCH_NS, "ns a point", 0);
    bench_line("  block, every stage's reach",
               bench_block_point_s(c, FR_WANT_STAGES, false) * BENCH_NS, "ns a point", 0);
    fr_block_keep_points(c->block);
    bench_line("  block, every stage's capacity at every point",
               bench_block_point_s(c, FR_WANT_STAGES, false) * BENCH_NS, "ns a point", 40);
    printf("  block against the check: %.0f times; against one lane: %.1f times (aim: 4%s)\n",
           check / reach, scalar / reach, scalar / reach >= 4.0 ? "" : "; MISSED");
    tell_operations(c, reach, fused, apart);
    close_sheet(&s);
}

/* ---- whole studies ---- */

/* Least time by the clock and of the processor, s. */
typedef struct bench_time {
    double clock_s, processor_s;
} bench_time;

static bench_time study_s(const fr_build *build, const bench_case *c, size_t draws,
                          size_t sensitivity_draws, unsigned threads) {
    enum { STUDY_ROUNDS = 5 };
    fr_promise_result *result = calloc(1, sizeof *result);
    fr_promise_options options = fr_promise_options_default();
    bench_time least = {INFINITY, INFINITY};
    if (result == NULL) {
        exit(3);
    }
    options.threads = threads;
    options.draws = draws;
    options.sensitivity_draws = sensitivity_draws;
    for (int round = 0; round < STUDY_ROUNDS; round++) {
        const double begun = bench_clock_s(), begun_processor = bench_processor_s();
        fr_promise_run(build, c->inputs, c->input_count, &options, result);
        least.clock_s = fmin(least.clock_s, bench_clock_s() - begun);
        least.processor_s = fmin(least.processor_s, bench_processor_s() - begun_processor);
    }
    free(result);
    return least;
}

static void bench_study(const bench_case *c, unsigned threads) {
    const bench_time whole = study_s(c->build, c, 0, 0, threads);
    char what[80];
    snprintf(what, sizeof what, "  whole study, 65,536 draws, %u thread%s", threads,
             threads > 1 ? "s" : "");
    bench_line(what, whole.clock_s * 1e3, "ms", threads > 1 ? 500 : 0);
    bench_line("    of processor time", whole.processor_s * 1e3, "ms", 0);
}

/* Draws with odds and powers, next to no sensitivities: time over draws and over blends. */
static void bench_sizes(const bench_case *c) {
    enum { DRAWS = 65536, FEW = 64 };
    static fr_build fewer;
    const double speeds = (double)c->plan.speed_count;
    for (size_t draws = DRAWS / 4; draws <= 4 * DRAWS; draws *= 4) {
        const bench_time one = study_s(c->build, c, draws, FEW, 1);
        const bench_time two = study_s(c->build, c, draws, FEW, 2);
        const double points = (double)draws * (double)c->build->blend_count * speeds;
        printf("  %7zu draws, %2zu blends: %6.1f ns a point on one thread, %6.1f by the clock on two\n",
               draws, c->build->blend_count, one.processor_s / points * BENCH_NS,
               two.clock_s / points * BENCH_NS);
    }
    for (size_t blends = 3; blends <= 12; blends *= 2) {
        fewer = *c->build;
        fewer.blend_count = blends < fewer.blend_count ? blends : fewer.blend_count;
        const bench_time one = study_s(&fewer, c, DRAWS, FEW, 1);
        const double points = DRAWS * (double)fewer.blend_count * speeds;
        printf("  %7d draws, %2zu blends: %6.1f ns a point, %.0f ns a draw\n", DRAWS,
               fewer.blend_count, one.processor_s / points * BENCH_NS,
               one.processor_s / DRAWS * BENCH_NS);
    }
}

int main(void) {
    static bench_sheet largest;
    gsl_set_error_handler_off();
    printf("promise\n");
    const double fused = bench_peak(1), apart = bench_peak(0);
    printf("  this core: %.1f operations a ns at the most with fused multiply-adds, %.1f without\n",
           fused / BENCH_NS, apart / BENCH_NS);
    bench_sheet_points("examples/tern-direct.yaml", fused, apart);
    bench_sheet_points("examples/tern-return.yaml", fused, apart);
    bench_sheet_points("examples/tern-natural.yaml", fused, apart);
    bench_sheet_points(LARGEST, fused, apart);
    open_sheet(&largest, LARGEST);
    bench_study(&largest.c, 1);
    bench_study(&largest.c, 2);
    bench_sizes(&largest.c);
    close_sheet(&largest);
    bench_numpy();
    return 0;
}
