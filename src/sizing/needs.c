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

/* Whether direct injection is what is wanting on a blend. */
static bool wants_direct(const fr_blend_result *blend) {
    for (size_t i = 0; i < blend->stage_count; i++) {
        const fr_stage stage = blend->stages[i].stage;
        const bool direct = stage == FR_STAGE_DIRECT_INJECTOR ||
                            stage == FR_STAGE_HIGH_PRESSURE_PUMP ||
                            stage == FR_STAGE_DIRECT_PRESSURE;
        if (direct && blend->stages[i].verdict != FR_CLEAR) {
            return true;
        }
    }
    return false;
}

/* A direct-only engine may be helped by port injectors: the greatest direct share that all speeds
 * leave within the limits of the direct stages, whatever port injectors carry the rest. */
static bool direct_share_on(fr_check *scratch, const fr_build *build, double ethanol,
                            fr_size_need *need) {
    if (build->share != FR_SHARE_DIRECT_ONLY ||
        !wants_direct(fr_check_blend(scratch, build, ethanol))) {
        return false;
    }
    fr_build shared = *build;
    shared.share = FR_SHARE_AUTO;
    shared.port = (fr_port){.present = true,
                            .count = build->engine.cylinders,
                            .flow_kg_s = 1.0, /* as much as it takes */
                            .test_pressure_pa = 3e5,
                            .test_density_kg_m3 = 683.8,
                            .dead_time_s = fr_curve_constant(0.0),
                            .max_duty = 1.0};
    const fr_blend_result *blend = fr_check_blend(scratch, &shared, ethanol);
    double least = 1.0;
    for (size_t i = 0; i < blend->point_count; i++) {
        const double share = blend->points[i].direct_share;
        least = share < least ? share : least;
    }
    *need = (fr_size_need){
        ethanol,
        FR_STAGE_DIRECT_PRESSURE,
        {FR_STAGE_DIRECT_PRESSURE, FR_LEVER_DIRECT_SHARE, least, 1.0, least},
        true};
    return true;
}

size_t fr_size_needs(const fr_build *build, fr_check *scratch,
                     fr_size_need needs[FR_SIZE_NEEDS_MAX], bool *together_clear) {
    size_t count = 0;
    for (size_t i = 0; i < build->blend_count; i++) {
        count += alone_on(scratch, build, build->blends[i], needs + count);
        count += direct_share_on(scratch, build, build->blends[i], needs + count) ? 1 : 0;
    }
    fr_mend together[FR_LEVER_COUNT];
    const size_t together_count =
        fr_mend_together(scratch, build, together, together_clear, NULL);
    for (size_t i = 0; i < together_count; i++) {
        needs[count++] = (fr_size_need){NAN, together[i].stage, together[i], false};
    }
    return count;
}
