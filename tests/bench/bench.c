/* SPDX-License-Identifier: GPL-3.0-or-later */
/* wait4 tells the memory of one child; POSIX has nothing that does. */
#define _DEFAULT_SOURCE

#include "bench.h"

#include <fcntl.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/time.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { REPEATS = 5, RUNS_MAX = 500, CANNOT_RUN = 127 };

double bench_clock_s(void) {
    struct timespec now;

    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static int rising(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

double bench_median(double *values, size_t count) {
    qsort(values, count, sizeof *values, rising);
    return 0.5 * (values[(count - 1) / 2] + values[count / 2]);
}

double bench_call_s(void (*work)(void *context), void *context, double least_s) {
    double times[REPEATS];

    work(context); /* the first finds its memory cold */
    for (size_t repeat = 0; repeat < REPEATS; repeat++) {
        double start = bench_clock_s(), passed = 0.0;
        size_t calls = 0;
        while (passed < least_s / REPEATS) {
            work(context);
            calls++;
            passed = bench_clock_s() - start;
        }
        times[repeat] = passed / (double)calls;
    }
    return bench_median(times, REPEATS);
}

static double run_once(const char *const *words, bench_process *process) {
    double start = bench_clock_s();
    int status;
    struct rusage usage;
    pid_t child = fork();

    if (child == 0) {
        int nowhere = open("/dev/null", O_RDWR);
        dup2(nowhere, STDIN_FILENO);
        dup2(nowhere, STDOUT_FILENO);
        execv(words[0], (char *const *)(uintptr_t)words);
        _exit(CANNOT_RUN);
    }
    if (child < 0 || wait4(child, &status, 0, &usage) != child || !WIFEXITED(status)) {
        process->code = -1;
        return 0.0;
    }
    double passed = bench_clock_s() - start;
    double peak_mib = (double)usage.ru_maxrss / 1024.0;
    process->code = WEXITSTATUS(status) == CANNOT_RUN ? -1 : WEXITSTATUS(status);
    process->peak_mib = peak_mib > process->peak_mib ? peak_mib : process->peak_mib;
    return passed;
}

void bench_run_both(const char *const *first, const char *const *second, size_t runs,
                    bench_process results[2]) {
    const char *const *words[2] = {first, second};
    double times[2][RUNS_MAX];

    results[0] = results[1] = (bench_process){0.0, 0.0, 0};
    runs = runs < RUNS_MAX ? runs : RUNS_MAX;
    for (size_t i = 0; i < runs; i++)
        for (size_t which = 0; which < 2; which++)
            times[which][i] = run_once(words[which], &results[which]);
    for (size_t which = 0; which < 2; which++)
        results[which].seconds = bench_median(times[which], runs);
}

void bench_line(const char *what, double value, const char *unit, double aim) {
    int decimals = fabs(value) >= 100.0 ? 0 : fabs(value) >= 10.0 ? 1 : 2;

    printf("  %-52s %9.*f %-6s", what, decimals, value, unit);
    if (aim > 0.0)
        printf(" aim %g%s", aim, value <= aim ? "" : ": MISSED");
    putchar('\n');
}
