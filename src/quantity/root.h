/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One unknown, safeguarded, with no memory of its own: what the kernels solve with. (GSL's
 * bracketing solvers allocate, which a kernel called millions of times must not.) */
#ifndef FR_QUANTITY_ROOT_H
#define FR_QUANTITY_ROOT_H

typedef double fr_function(double x, const void *context);

/* Root of `f` in [a, b], given fa = f(a) and fb = f(b) of opposite sign (or zero), to `tolerance`
 * in x. Where f jumps through zero, the place of the jump. Chandrupatla, Adv. Eng. Software 28
 * (1997) 145: bisection, with inverse quadratic steps where they are safe. */
double fr_root(fr_function *f, const void *context, double a, double fa, double b, double fb,
               double tolerance);

#endif
