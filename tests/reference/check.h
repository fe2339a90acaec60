/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FUELREACH_TESTS_REFERENCE_CHECK_H
#define FUELREACH_TESTS_REFERENCE_CHECK_H

#include <stdbool.h>

#include "fuelreach/build.h"

/* The use of a stage is over `level` with no fuel drawn at all (capacity.c). */
bool ref_past_with_no_fuel(const fr_build *build, double ethanol, double speed_rpm, fr_stage stage,
                           double level);

#endif
