/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How long sizing takes: a generated catalogue of 1e12 sets to proven optimum; against looking at
 * every one of 1e6 sets; against a solver of mixed-integer programs on an instance that falls apart
 * into one choice a slot. Ratios of one run. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "bench.h"
#include "fuelreach/sizing.h"
#include "reference/builds.h"
#include "sizing/brute.h"
#include "sizing/catalogue.h"

static const double aim_seconds = 1.0;

typedef struct sizing {
    fr_build build;
    catalogue parts;
    fr_size_request request;
    fr_size_result result;
} sizing;

static void prepare(sizing *job, void (*make)(fr_build *), double times, uint64_t seed,
                    size_t per_kind, double price_step, fr_check *scratch) {
    make(&job->build);
    for (size_t i = 0; i < job->build.engine.target_power_w.count; i++) {
        job->build.engine.target_power_w.y[i] *= times;
    }
    catalogue_make(&job->parts, &job->build, seed, per_kind, true, price_step);
    job->request = (fr_size_request){.build = &job->build,
                                     .parts = job->parts.parts,
                                     .part_count = job->parts.count,
                                     .budget = INFINITY,
                                     .top = 1,
                                     .scratch = scratch};
}

static double size_once(sizing *job) {
    const double begun = bench_clock_s();
    if (fr_size_run(&job->request, &job->result) != FR_OK) {
        exit(1);
    }
    return bench_clock_s() - begun;
}

static void say_result(const sizing *job) {
    printf("  %.3g sets, %.4g looked at, %s\n", job->result.combinations, job->result.evaluated,
           job->result.choice_count > 0 ? "one found" : "none does it");
}

static void trillion(sizing *job, fr_check *scratch) {
    enum { PER_KIND = 42 };
    prepare(job, ref_make_direct, 1.25, 4711, PER_KIND, 1.7, scratch);
    const double seconds = size_once(job);
    bench_line("a catalogue of 1e12 sets, to proven optimum", seconds, "s", aim_seconds);
    say_result(job);
}

static void against_brute_force(sizing *job, fr_check *scratch) {
    enum { PER_KIND = 11 };
    brute_set best;
    prepare(job, ref_make_port, 1.3, 31, PER_KIND, 7.3, scratch);
    const double seconds = size_once(job);
    say_result(job);
    const double begun = bench_clock_s();
    const size_t found = brute_best(&job->request, 1, &best);
    const double brute_seconds = bench_clock_s() - begun;
    bench_line("every set looked at, over the search", brute_seconds / seconds, "times", 0.0);
    if (found != job->result.choice_count ||
        (found > 0 && fabs(best.price - job->result.choices[0].price) > 1e-6)) {
        printf("  they do not agree\n");
        exit(1);
    }
}

/* The same choice as a program of 0-1 columns, one a part, told what each does. */
static void against_solver(sizing *job, fr_check *scratch) {
    if (access("/usr/bin/glpsol", X_OK) != 0) {
        printf("  glpsol is not installed (Debian: glpk-utils): not compared\n");
        return;
    }
    enum { PER_KIND = 60 };
    prepare(job, ref_make_port, 1.3, 57, PER_KIND, 1.3, scratch);
    const double seconds = size_once(job);
    char name[] = "/tmp/fuelreach-lp-XXXXXX";
    FILE *out = fdopen(mkstemp(name), "w");
    fputs("Minimize\n cost:", out);
    for (size_t i = 0; i < job->parts.count; i++) {
        fprintf(out, " + %.17g x%zu", job->parts.parts[i].price, i);
    }
    fputs("\nSubject To\n slot:", out);
    for (size_t i = 0; i < job->parts.count; i++) {
        fprintf(out, " + 1 x%zu", i);
    }
    fputs(" >= 2\nBinary\n", out);
    for (size_t i = 0; i < job->parts.count; i++) {
        fprintf(out, " x%zu\n", i);
    }
    fputs("End\n", out);
    fclose(out);
    const char *const solver[] = {"/usr/bin/glpsol", "--lp", name, NULL};
    const char *const nothing[] = {FR_BUILD_DIR "/tests/bench/empty", NULL};
    bench_process processes[2];
    bench_run_both(solver, nothing, 11, processes);
    unlink(name);
    bench_line("glpsol on a program of the same parts, over the search with all its physics",
               (processes[0].seconds - processes[1].seconds) / seconds, "times", 0.0);
}

int main(void) {
    static sizing job;
    fr_check *scratch = fr_check_open();
    if (scratch == NULL) {
        return 1;
    }
    trillion(&job, scratch);
    against_solver(&job, scratch);
    against_brute_force(&job, scratch);
    fr_check_close(scratch);
    return 0;
}
