/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether a build will do: every stage within its limit at the target, or within its end at so many
 * times the target. */
#ifndef FR_SIZING_HOLDS_H
#define FR_SIZING_HOLDS_H

#include "capacity/check_memory.h"
#include "fuelreach/sizing.h"

/* What is asked of a build. */
typedef struct fr_goal {
    double times;   /* of every blend's target */
    bool to_limits; /* clear, else only not short */
    fr_size_accepts *accepts; /* in place of the above; null: none */
    void *accepts_context;
} fr_goal;

/* Stages as a set: 1u << stage. */
typedef unsigned fr_stage_set;
#define FR_IN_SET(set, stage) (((set) >> (stage)) & 1u)

/* Stages that no injector touches: lift pump, its circuit, feed pressure, vapour. */
fr_stage_set fr_stages_of_feed(void);
/* All that a part can mend: pump-inlet aside. */
fr_stage_set fr_stages_of_parts(void);

/* Remembers where the last build failed: the next is likely to fail there too. */
typedef struct fr_witness {
    size_t blend;
    size_t speed;
    fr_stage stage;      /* that failed */
    double looked;       /* builds looked at */
} fr_witness;

/* Whether the stages of the set are within the goal on every blend at every speed. */
bool fr_stages_hold(fr_check *check, const fr_build *build, const fr_goal *goal,
                    fr_stage_set stages, fr_witness *witness);

/* Least over blends of reach and of clear-to, in times of the target, and what ends it. */
typedef struct fr_scale {
    double reach_times;
    double clear_to_times;
    fr_stage weakest;
    double weakest_ethanol;
} fr_scale;
fr_scale fr_scale_of(fr_check *check, const fr_build *build);

#endif
