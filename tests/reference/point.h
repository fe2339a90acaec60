/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FUELREACH_TESTS_REFERENCE_POINT_H
#define FUELREACH_TESTS_REFERENCE_POINT_H

#include "fuelreach/check.h"

/* Groups of figures, to save work; each needs those before it, but for REF_FEED. */
enum { REF_LIFT = 1, REF_CIRCUIT = 2, REF_FEED = 4, REF_INJECTION = 8 };

fr_point ref_point_of(const fr_build *build, double ethanol, double speed_rpm, double k,
                      unsigned wanted);

#endif
