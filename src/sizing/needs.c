/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What must be there, without any catalogue. */
#include <math.h>

#include "fuelreach/sizing.h"

/* Every lever of every stage that is not clear on one blend, each alone. */
static size_t alone_on(fr_check *scratch, const fr_build *build, double ethanol,
                       fr_size_need *needs) {
    fr_stage stages[FR_STAGE_COUNT];
    size_t stage_count = 0, count = 0;
    const fr_blend_result *blend = fr_check_blend(scratch, build, ethanol);
    for (size_t i = 0; i < blend->stage_count; i++) {
        if (blend->stages[i].verdict != FR_CLEAR) {
            stages[stage_count++] = blend->stages[i].stage;
        }
    }
    for (size_t i = 0; i < stage_count; i++) {
        fr_mend mends[FR_MENDS_MAX];
        const size_t mend_count = fr_mend_stage(scratch, build, ethanol, stages[i], mends);
        for (size_t m = 0; m < mend_count; m++) {
            needs[count++] = (fr_size_need){ethanol, stages[i], mends[m], true};
        }
    }
    return count;
}

size_t fr_size_needs(const fr_build *build, fr_check *scratch,
                     fr_size_need needs[FR_SIZE_NEEDS_MAX], bool *together_clear) {
    size_t count = 0;
    for (size_t i = 0; i < build->blend_count; i++) {
        count += alone_on(scratch, build, build->blends[i], needs + count);
    }
    fr_mend together[FR_LEVER_COUNT];
    const size_t together_count =
        fr_mend_together(scratch, build, together, together_clear, NULL);
    for (size_t i = 0; i < together_count; i++) {
        needs[count++] = (fr_size_need){NAN, together[i].stage, together[i], false};
    }
    return count;
}
