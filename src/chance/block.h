/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The capacity of every stage, for a block of draws at once: what src/capacity finds by safeguarded
 * searches on one build, found here in closed form or in a fixed few steps on many. Agrees with it
 * to 1e-7 in the overall reach. */
#ifndef FR_CHANCE_BLOCK_H
#define FR_CHANCE_BLOCK_H

#include "chance/draws.h"

/* What a block is asked for. */
typedef enum fr_block_want {
    FR_WANT_REACH,  /* overall reach alone */
    FR_WANT_ODDS,   /* and which stages are short at the target */
    FR_WANT_STAGES, /* and every stage's own least capacity */
} fr_block_want;

typedef struct fr_block fr_block;

/* Null when out of memory. A block is a thread's own. */
fr_block *fr_block_open(void);
void fr_block_close(fr_block *block);
/* Where the draws stand, to be put and completed by the caller. */
fr_draws *fr_block_draws(fr_block *block);

/* Results on one blend, a lane a draw. */
typedef struct fr_block_result {
    double target_w[FR_LANES]; /* where the target is stated */
    /* Reach over target by the stages that count and that power can mend; INFINITY: none ends it
     * within four times the target. */
    double times[FR_LANES];
    /* Least capacity over demand of each stage that the build has; 0: past its end with no fuel
     * drawn. FR_WANT_ODDS: behind the rail as if the set pressure were held. pump-inlet: below 1
     * where it is short. */
    double stage_times[FR_STAGE_COUNT][FR_LANES];
    /* 1 where the stage is short at the target, by the rules of a verdict, else 0. */
    double is_short[FR_STAGE_COUNT][FR_LANES];
    double any_short[FR_LANES];
    /* 1 where a stage is short that no power mends, else 0. */
    double beyond_mending[FR_LANES];
} fr_block_result;

/* All lanes of the block's draws, filled with the blend `ethanol`. The result stands in the block
 * until the next run. With FR_WANT_REACH only `target_w` and `times` are filled. Null where the
 * draws must be put whole first (fr_draws_begin): FR_WANT_STAGES always wants it, the others where
 * some lane's lift pump is short, or loses more pressure in the line than was thought of. */
const fr_block_result *fr_block_run(fr_block *block, const fr_draw_plan *plan, double ethanol,
                                    fr_block_want want);

/* Capacity over demand at each speed, from the last run with FR_WANT_STAGES on a block opened with
 * fr_block_keep_points: [speed][stage][lane]; null when out of memory. */
const double *fr_block_points(fr_block *block);
bool fr_block_keep_points(fr_block *block);

#endif
