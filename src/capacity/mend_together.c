/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The least that makes every stage of every blend clear at once. Stages couple through the feed
 * pressure, so they are mended in the order in which fuel passes them, again until nothing moves;
 * then each change is cut back to what the others leave necessary. */
#include <math.h>

#include "capacity/mend.h"
#include "quantity/root.h"

enum { ROUNDS_MAX = 12 };

bool fr_every_stage_clear(fr_check *check, const fr_build *build) {
    check->speed_count = fr_speeds_of_pull(build, check->speeds);
    for (size_t i = 0; i < build->blend_count; i++) {
        const fr_side side = fr_side_make(build, build->blends[i]);
        fr_blend_result blend = {.ethanol = build->blends[i]};
        fr_uses_of_side(check, &side);
        fr_judge_stages(build, check, &blend);
        for (size_t s = 0; s < blend.stage_count; s++) {
            if (blend.stages[s].verdict != FR_CLEAR &&
                blend.stages[s].stage != FR_STAGE_PUMP_INLET) {
                return false;
            }
        }
    }
    return true;
}

/* The blend on which a stage is furthest over its limit; false when it is clear on all. */
static bool worst_blend(fr_check *check, const fr_build *build, fr_stage stage, double *ethanol) {
    double worst = fr_build_limit(build, stage) + 1e-6;
    bool over = false;
    for (size_t i = 0; i < build->blend_count; i++) {
        const double use = fr_worst_use(check, build, build->blends[i], stage);
        if (use > worst) {
            worst = use;
            *ethanol = build->blends[i];
            over = true;
        }
    }
    return over;
}

/* Parts before settings: a part can be bought, a pressure moves other stages. */
static fr_mend part_mend(const fr_mend *mends, size_t count) {
    for (size_t i = 0; i < count; i++) {
        if (mends[i].lever != FR_LEVER_RAIL_COMMAND && mends[i].lever != FR_LEVER_DIRECT_SHARE &&
            mends[i].lever != FR_LEVER_TANK_TEMPERATURE) {
            return mends[i];
        }
    }
    return (fr_mend){.lever = FR_LEVER_NONE, .factor = NAN};
}

/* One round over the stages; true when something was changed. */
static bool mend_round(fr_check *check, fr_build *build, double factors[FR_LEVER_COUNT],
                       fr_stage blamed[FR_LEVER_COUNT]) {
    bool changed = false;
    for (int i = 0; i < FR_STAGE_COUNT; i++) {
        const fr_stage stage = (fr_stage)i;
        double ethanol = 0.0;
        if (!fr_build_has(build, stage) || stage == FR_STAGE_PUMP_INLET ||
            !worst_blend(check, build, stage, &ethanol)) {
            continue;
        }
        fr_mend mends[FR_MENDS_MAX];
        const size_t count = fr_mend_stage(check, build, ethanol, stage, mends);
        const fr_mend mend = part_mend(mends, count);
        if (mend.lever == FR_LEVER_NONE) {
            continue;
        }
        fr_lever_scale(build, mend.lever, mend.factor);
        if (factors[mend.lever] == 1.0) {
            blamed[mend.lever] = stage;
        }
        factors[mend.lever] *= mend.factor;
        changed = true;
    }
    return changed;
}

/* Least factor of one lever that keeps all clear, the others as they are. */
static double cut_back(fr_check *check, const fr_build *build, fr_lever lever, double factor) {
    static const double FINE = 1e-6; /* in the logarithm of the factor */
    double enough = log(factor), too_little = 0.0;
    double next = enough - copysign(FINE, enough); /* mostly there is nothing to cut */
    while (fabs(enough - too_little) > FINE) {
        fr_build trial = *build;
        fr_lever_scale(&trial, lever, exp(next) / factor);
        if (fr_every_stage_clear(check, &trial)) {
            enough = next;
        } else {
            too_little = next;
        }
        next = 0.5 * (enough + too_little);
    }
    return exp(enough);
}

size_t fr_mend_together(fr_check *check, const fr_build *build, fr_mend mends[FR_LEVER_COUNT],
                        bool *clear, fr_build *mended) {
    fr_build fitted = *build;
    double factors[FR_LEVER_COUNT];
    fr_stage blamed[FR_LEVER_COUNT] = {0};
    for (int i = 0; i < FR_LEVER_COUNT; i++) {
        factors[i] = 1.0;
    }
    for (int round = 0; round < ROUNDS_MAX && mend_round(check, &fitted, factors, blamed);
         round++) {
    }
    *clear = fr_every_stage_clear(check, &fitted);
    size_t count = 0;
    for (int i = 0; i < FR_LEVER_COUNT; i++) {
        const fr_lever lever = (fr_lever)i;
        if (factors[i] == 1.0) {
            continue;
        }
        if (*clear) {
            const double least = cut_back(check, &fitted, lever, factors[i]);
            fr_lever_scale(&fitted, lever, least / factors[i]);
            factors[i] = least;
        }
        const double has = fr_lever_get(build, lever);
        mends[count++] = (fr_mend){.stage = blamed[i],
                                   .lever = lever,
                                   .needs = has * factors[i],
                                   .has = has,
                                   .factor = factors[i]};
    }
    if (mended != NULL) {
        *mended = fitted;
    }
    return count;
}

/* ---- for a document ---- */

/* Blend on which a stage that is not clear is furthest over its limit; false when clear on all. */
static bool worst_result(const fr_check_result *result, fr_stage stage, size_t *blend) {
    double worst = 0.0;
    bool found = false;
    for (size_t i = 0; i < result->blend_count; i++) {
        const fr_blend_result *at = &result->blends[i];
        for (size_t s = 0; s < at->stage_count; s++) {
            const fr_stage_result *stage_result = &at->stages[s];
            if (stage_result->stage == stage && stage_result->verdict != FR_CLEAR &&
                stage_result->use / stage_result->limit > worst) {
                worst = stage_result->use / stage_result->limit;
                *blend = i;
                found = true;
            }
        }
    }
    return found;
}

void fr_mends_find(const fr_build *build, const fr_check_result *result, fr_check *scratch,
                   fr_mends *mends) {
    *mends = (fr_mends){0};
    for (int i = 0; i < FR_STAGE_COUNT; i++) {
        fr_mended_stage *mended = &mends->stages[mends->stage_count];
        mended->stage = (fr_stage)i;
        if (!worst_result(result, mended->stage, &mended->blend)) {
            continue;
        }
        mends->stage_count++;
        mended->mend_count = fr_mend_stage(scratch, build, result->blends[mended->blend].ethanol,
                                           mended->stage, mended->mends);
    }
    if (mends->stage_count == 0) {
        return;
    }
    mends->together_count =
        fr_mend_together(scratch, build, mends->together, &mends->together_clear, NULL);
    for (size_t i = 0; i < mends->stage_count && mends->alone_clears == 0; i++) {
        const fr_mended_stage *mended = &mends->stages[i];
        if (mended->mend_count > 0 && mended->mends[0].lever != FR_LEVER_TANK_TEMPERATURE) {
            fr_build trial = *build;
            fr_lever_scale(&trial, mended->mends[0].lever, mended->mends[0].factor);
            mends->alone_clears = fr_every_stage_clear(scratch, &trial) ? i + 1 : 0;
        }
    }
}
