/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Curves and pump lines written in one place. */
#ifndef FUELREACH_TESTS_REFERENCE_MAKE_H
#define FUELREACH_TESTS_REFERENCE_MAKE_H

#include <stddef.h>

#include "fuelreach/build.h"

#define MAKE_LITRE_H (1e-3 / 3600.0)
#define MAKE_CC_MIN (1e-6 / 60.0)

fr_curve make_constant(double y);
/* x, y, x, y, ...; y times `unit`. */
fr_curve make_curve(double unit, const double *pairs, size_t pair_count);
/* Rise in bar, y times `unit`. */
fr_pump_line make_line(double unit, const double *pairs, size_t pair_count);

#define MAKE_PAIRS(...)                                                                            \
    (const double[]){__VA_ARGS__}, sizeof((const double[]){__VA_ARGS__}) / (2 * sizeof(double))
#define MAKE_CURVE(unit, ...) make_curve((unit), MAKE_PAIRS(__VA_ARGS__))
#define MAKE_LINE(unit, ...) make_line((unit), MAKE_PAIRS(__VA_ARGS__))

#endif
