/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FUELREACH_TESTS_CAPACITY_SCALED_H
#define FUELREACH_TESTS_CAPACITY_SCALED_H

#include "fuelreach/build.h"

/* The build asked for `times` its target, the manifold pressure of a boosted engine with it. */
void scale_build(const fr_build *build, double times, fr_build *scaled);

#endif
