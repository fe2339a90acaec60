/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the draws came to, in whole numbers: sums of them do not depend on the order in which
 * threads add. Reaches are counted in bins of 50 W (100 W beyond 1.2 MW of target), so that memory
 * does not grow with the draws and quantiles are exact to 0.1 kW. */
#ifndef FR_PROMISE_TALLY_H
#define FR_PROMISE_TALLY_H

#include "chance/block.h"
#include "fuelreach/promise.h"

typedef struct fr_blend_tally {
    uint64_t draws;
    uint64_t short_of_shift[FR_PROMISE_SHIFTS];
    uint64_t draws_of_shift[FR_PROMISE_SHIFTS];
    uint64_t short_of_stage[FR_STAGE_COUNT];
    uint64_t beyond_mending, beyond_range;
    uint32_t *reach; /* bins of all draws */
    uint32_t *lost;  /* bins of those beyond mending: they hold no power */
} fr_blend_tally;

typedef struct fr_tally {
    size_t blend_count, bin_count;
    double bin_w;
    fr_blend_tally blends[FR_BLENDS_MAX];
} fr_tally;

/* Reaches up to `most_w`. Null when out of memory. */
fr_tally *fr_tally_open(size_t blend_count, double most_w);
void fr_tally_close(fr_tally *tally);
/* Counts the first `lanes` of a block on a blend. */
void fr_tally_add(fr_tally *tally, size_t blend, size_t shift, size_t lanes,
                  const fr_block_result *result);
/* Adds `more` and clears it. */
void fr_tally_merge(fr_tally *tally, fr_tally *more);

/* Least reach that a part `probability` of the draws does not exceed, W; `holding` counts draws
 * beyond mending as holding nothing. 0: no power. */
double fr_tally_quantile(const fr_tally *tally, size_t blend, double probability, bool holding);
/* Standard error of the chance of short from the scatter of the shifts' own. */
double fr_tally_short_se(const fr_blend_tally *blend);

/* What a reach counts as when nothing ends it: four times the target. */
double fr_reach_counted(double times, double target_w);

#endif
