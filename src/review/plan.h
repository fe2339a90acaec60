/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which blend next, what to watch there, and the figure at which to lift. */
#ifndef FR_REVIEW_PLAN_H
#define FR_REVIEW_PLAN_H

#include "fuelreach/review.h"

/* The fullest stage of a blend by use over limit; under automatic share not the direct stages, which
 * sit at their limits by rule. Null: none. */
const fr_stage_result *fr_fullest_stage(const fr_build *build, const fr_blend_result *blend);
/* Fills what to watch for one blend. `blend` is of the build with the learnt factors. */
void fr_plan_watch(const fr_build *build, const fr_blend_result *blend,
                   const bool logged[FR_CHANNEL_COUNT], fr_review_step *step);
/* Fills result->steps, all but their chances, from result->next and clear_to_ethanol. `check` is
 * scratch. */
void fr_plan_steps(const fr_build *learnt, fr_check *check, const bool logged[FR_CHANNEL_COUNT],
                   fr_review_result *result);

#endif
