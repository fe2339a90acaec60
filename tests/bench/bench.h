/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the benches share: a clock, whole processes with their memory, medians, aims. */
#ifndef FR_TESTS_BENCH_H
#define FR_TESTS_BENCH_H

#include <stddef.h>

/* Seconds on a clock that never goes back. */
double bench_clock_s(void);
/* Puts `values` in order and returns the one in the middle. */
double bench_median(double *values, size_t count);

/* Calls `work` until `least_s` seconds have passed, five times over; returns the median time of
 * one call, s. */
double bench_call_s(void (*work)(void *context), void *context, double least_s);

typedef struct bench_process {
    double seconds;  /* median over the runs, from fork to end */
    double peak_mib; /* greatest resident memory of a run */
    int code;        /* exit code of the last; negative: could not be run */
} bench_process;
/* Runs two programs `runs` times each, by turns, so that what else the machine does meets both;
 * their output is thrown away. Words end with null. */
void bench_run_both(const char *const *first, const char *const *second, size_t runs,
                    bench_process results[2]);

/* Prints one line: what was measured, the figure with its unit, and the aim beside it.
 * `aim` 0: none. Better is lower. */
void bench_line(const char *what, double value, const char *unit, double aim);

#endif
