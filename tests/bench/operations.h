/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Floating-point operations: how many some work does, and how many the machine can do. */
#ifndef FR_TESTS_BENCH_OPERATIONS_H
#define FR_TESTS_BENCH_OPERATIONS_H

/* Additions, subtractions, multiplications, divisions and roots on doubles that `work` does, each
 * counted as one, by going through it an instruction at a time; no other arithmetic, no comparison.
 * `work` must be compiled for plain x86-64. Negative where this machine cannot be asked. */
double bench_operations(void (*work)(void *context), void *context);

/* Operations a second that one core does when there is nothing but independent multiplications with
 * an addition each: `fused`, both in one instruction where the machine has it, or not. */
double bench_peak(int fused);
double bench_peak_fused(void);
double bench_peak_apart(void);

#endif
