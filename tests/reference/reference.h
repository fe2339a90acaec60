/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The model a second time, slow and plain: every unknown is scanned for and bracketed, nothing is
 * hoisted, nothing is clever. It knows the program's headers and none of its code, so that the
 * fast kernel can be judged by it. */
#ifndef FUELREACH_TESTS_REFERENCE_H
#define FUELREACH_TESTS_REFERENCE_H

#include <stdbool.h>
#include <stddef.h>

#include "fuelreach/build.h"
#include "fuelreach/check.h"

/* What fr_point leaves to the kernel, as plain as it comes. */
typedef struct ref_blend_result {
    double ethanol;
    double target_power_w;
    fr_verdict verdict;
    fr_stage weakest;
    bool doubtful;
    double reach_w;
    double clear_to_w;
    size_t stage_count;
    fr_stage_result stages[FR_STAGE_COUNT];
    size_t point_count;
    fr_point points[FR_SPEEDS_MAX];
} ref_blend_result;

size_t ref_speeds(const fr_build *build, double speeds_rpm[FR_SPEEDS_MAX]);

/* All figures at `k` times the demand of the target, the manifold pressure of a boosted engine
 * following. Uses are not capped (INFINITY where there is nothing to use); capacities are NAN. */
fr_point ref_point_at(const fr_build *build, double ethanol, double speed_rpm, double k);

/* Fuel flows at which the use of a stage meets two levels, the manifold pressure following the
 * fuel: the first crossing met going away from the demand, upwards where the stage is within the
 * level at the demand, else downwards. 0: none below. NAN: none up to six times. */
void ref_capacities(const fr_build *build, double ethanol, double speed_rpm, fr_stage stage,
                    const double levels[2], double capacities[2]);

/* Points with capacities, stages, reach and the rest of one blend. */
void ref_check_blend(const fr_build *build, double ethanol, ref_blend_result *result);
/* The same at the target power alone: no capacities, no reach. */
void ref_judge_blend(const fr_build *build, double ethanol, ref_blend_result *result);

fr_highest_blend ref_highest_blend(const fr_build *build);

#endif
