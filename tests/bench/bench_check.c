/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How long a check takes: the whole process against an empty one, and the kernel alone. */
#include <glob.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "bench.h"
#include "fuelreach/check.h"
#include "fuelreach/sheet.h"

#define PROGRAM FR_BUILD_DIR "/fuelreach"
#define EMPTY FR_BUILD_DIR "/tests/bench/empty"

enum { PROCESS_RUNS = 200 };

/* Aims of the project for the whole process. */
static const double aim_ratio = 3.0, aim_peak_mib = 8.0;
static const double kernel_seconds = 0.5;

typedef struct work {
    fr_check *check;
    const fr_build *build;
    size_t points;
} work;

static void whole_run(void *context) {
    work *job = context;
    fr_check_run(job->check, job->build);
}

static void outline(void *context) {
    work *job = context;
    fr_check_outline(job->check, job->build);
}

static void every_blend(void *context) {
    work *job = context;
    for (size_t i = 0; i < job->build->blend_count; i++)
        fr_check_blend(job->check, job->build, job->build->blends[i]);
}

static fr_sheet *open_sheet(const char *path) {
    static const fr_sheet_options nothing;
    fr_report remarks = FR_REPORT_EMPTY;
    fr_sheet *sheet = NULL;

    if (fr_sheet_open(path, &nothing, &remarks, &sheet) != FR_OK)
        sheet = NULL;
    fr_report_close(&remarks);
    return sheet;
}

static size_t points_of(const fr_build *build) {
    double speeds[FR_SPEEDS_MAX];
    return build->blend_count * fr_pull_speeds(build, speeds);
}

/* The example with most points; of equals, the longest sheet. */
static const char *largest_example(const glob_t *examples) {
    const char *largest = NULL;
    size_t most = 0;

    for (size_t i = 0; i < examples->gl_pathc; i++) {
        size_t length, size = 0;
        fr_sheet *sheet = open_sheet(examples->gl_pathv[i]);
        if (sheet != NULL) {
            fr_sheet_text(sheet, &length);
            size = points_of(fr_sheet_build(sheet)) * 100000 + length;
        }
        if (size > most) {
            most = size;
            largest = examples->gl_pathv[i];
        }
        fr_sheet_close(sheet);
    }
    return largest;
}

static int bench_process_of(const char *path) {
    static const char *const nothing[] = {EMPTY, NULL};
    bench_process results[2];

    bench_run_both(nothing, (const char *const[]){PROGRAM, "check", path, NULL}, PROCESS_RUNS,
                   results);
    const bench_process empty = results[0], check = results[1];
    if (empty.code != 0 || check.code < 0 || check.code > 1) {
        fprintf(stderr, "bench: '%s check %s' does not run\n", PROGRAM, path);
        return 1;
    }
    printf("check, the whole process on %s\n", path);
    bench_line("an empty program, linked the same way", empty.seconds * 1e3, "ms", 0.0);
    bench_line("check", check.seconds * 1e3, "ms", 0.0);
    bench_line("check over the empty program", check.seconds / empty.seconds, "times", aim_ratio);
    bench_line("peak memory of the empty program", empty.peak_mib, "MiB", 0.0);
    bench_line("peak memory of check", check.peak_mib, "MiB", aim_peak_mib);
    return 0;
}

static int bench_kernel(const char *path) {
    fr_sheet *sheet = open_sheet(path);
    fr_check *check = fr_check_open();

    if (sheet == NULL || check == NULL)
        return 1;
    work job = {check, fr_sheet_build(sheet), points_of(fr_sheet_build(sheet))};
    double a_point = 1e9 / (double)job.points;
    printf("the kernel, a (blend, speed) point; %zu points\n", job.points);
    bench_line("verdict and reach alone", bench_call_s(outline, &job, kernel_seconds) * a_point,
               "ns", 0.0);
    bench_line("every figure, every stage's capacity and reach",
               bench_call_s(every_blend, &job, kernel_seconds) * a_point, "ns", 0.0);
    bench_line("the same with the search for the highest blend",
               bench_call_s(whole_run, &job, kernel_seconds) * a_point, "ns", 0.0);
    fr_check_close(check);
    fr_sheet_close(sheet);
    return 0;
}

int main(void) {
    glob_t examples;
    const char *path;
    int failed;

    if (glob("examples/*.yaml", 0, NULL, &examples) != 0)
        return 1;
    path = largest_example(&examples);
    failed = path == NULL || bench_process_of(path) != 0 || bench_kernel(path) != 0;
    globfree(&examples);
    return failed;
}
