/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a check keeps between calls. */
#ifndef FR_CAPACITY_CHECK_MEMORY_H
#define FR_CAPACITY_CHECK_MEMORY_H

#include "capacity/point.h"
#include "fuelreach/check.h"

struct fr_check {
    fr_check_result result;
    fr_blend_result one_blend;
    size_t speed_count;
    fr_speed speeds[FR_SPEEDS_MAX];
    double use[FR_SPEEDS_MAX][FR_STAGE_COUNT];
    fr_point one_blend_points[FR_SPEEDS_MAX];
    fr_point points[FR_BLENDS_MAX][FR_SPEEDS_MAX];
};

/* Worst use, verdict and first short speed of each stage, from check->use; ruled and no-power
 * flags as `blend->stages` has them. */
void fr_judge_stages(const fr_build *build, const fr_check *check, fr_blend_result *blend);
/* The highest blend; needs check->speeds. */
fr_highest_blend fr_highest_blend_find(fr_check *check, const fr_build *build);
/* Index of the speed at which the blend needs most fuel. */
size_t fr_greatest_demand(const fr_check *check, const fr_side *side);
/* Worst use of one stage over check->speeds at so many times the demand; 1e3 for all beyond. */
double fr_worst_use_of_side(const fr_check *check, const fr_side *side, double times,
                            fr_stage stage);
/* Uses of all speeds at one blend into check->use. */
void fr_uses_of_side(fr_check *check, const fr_side *side);

#endif
