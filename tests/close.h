/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Comparison of doubles for tests; cmocka 1.1.5 has none with a relative tolerance. */
#ifndef FUELREACH_TESTS_CLOSE_H
#define FUELREACH_TESTS_CLOSE_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

/* Difference over the larger of the two; 0 when both are NAN or both the same infinity. */
static inline double relative_difference(double ours, double theirs) {
    if ((isnan(ours) && isnan(theirs)) || ours == theirs) {
        return 0.0;
    }
    return fabs(ours - theirs) / fmax(fabs(ours), fabs(theirs));
}

static inline void check_close_at(double ours, double theirs, double tolerance, bool relative,
                                  const char *text, const char *file, int line) {
    const double difference = relative ? relative_difference(ours, theirs) : fabs(ours - theirs);
    if (!(difference <= tolerance)) {
        print_error("%s: ours %.12g, theirs %.12g, difference %.3g, allowed %.3g\n", text, ours,
                    theirs, difference, tolerance);
        _fail(file, line);
    }
}

#define assert_close(ours, theirs, relative_tolerance)                                             \
    check_close_at((ours), (theirs), (relative_tolerance), true, #ours, __FILE__, __LINE__)
#define assert_near(ours, theirs, absolute_tolerance)                                              \
    check_close_at((ours), (theirs), (absolute_tolerance), false, #ours, __FILE__, __LINE__)

#endif
