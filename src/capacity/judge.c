/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From use over speeds to the verdict of a stage and of a blend. */
#include <math.h>

#include "capacity/check_memory.h"

static const double USE_TOLERANCE = 1e-6;

const char *fr_verdict_name(fr_verdict verdict) {
    static const char *const NAMES[] = {"clear", "tight", "short"};
    return NAMES[verdict];
}

/* The lowest of the speeds at which the use is greatest. */
static size_t worst_speed(const fr_check *check, fr_stage stage) {
    double worst = 0.0;
    for (size_t i = 0; i < check->speed_count; i++) {
        worst = check->use[i][stage] > worst ? check->use[i][stage] : worst;
    }
    size_t at = 0;
    while (at + 1 < check->speed_count && check->use[at][stage] < worst - USE_TOLERANCE) {
        at++;
    }
    return at;
}

static double first_speed_beyond(const fr_check *check, fr_stage stage, double end) {
    for (size_t i = 0; i < check->speed_count; i++) {
        if (check->use[i][stage] > end + USE_TOLERANCE) {
            return check->speeds[i].rpm;
        }
    }
    return NAN;
}

static void judge(const fr_build *build, const fr_check *check, fr_stage_result *result) {
    const fr_stage stage = result->stage;
    result->limit = fr_build_limit(build, stage);
    result->end = fr_build_end(build, stage);
    result->worst_point = worst_speed(check, stage);
    result->worst_rpm = check->speeds[result->worst_point].rpm;
    const double use = check->use[result->worst_point][stage];
    result->use = use > FR_USE_SHOWN_MAX ? FR_USE_SHOWN_MAX : use;
    result->first_short_rpm = first_speed_beyond(check, stage, result->end);
    result->verdict = use <= result->limit + USE_TOLERANCE ? FR_CLEAR
                      : use <= result->end + USE_TOLERANCE ? FR_TIGHT
                                                           : FR_SHORT;
    if (stage == FR_STAGE_PUMP_INLET && result->verdict == FR_SHORT &&
        !build->site.tank_temperature_given) {
        result->verdict = FR_TIGHT; /* not on the strength of a temperature nobody measured */
        result->first_short_rpm = NAN;
    }
}

/* Where the pressure is there, a short pump or injector is only tight: the command can move. */
static void ease_by_command(fr_blend_result *blend) {
    fr_verdict pressure = FR_SHORT;
    for (size_t i = 0; i < blend->stage_count; i++) {
        if (blend->stages[i].stage == FR_STAGE_DIRECT_PRESSURE) {
            pressure = blend->stages[i].verdict;
        }
    }
    for (size_t i = 0; i < blend->stage_count; i++) {
        fr_stage_result *result = &blend->stages[i];
        const bool spoken_for = !fr_stage_table[result->stage].counts_for_reach;
        result->mendable_by_command =
            spoken_for && pressure != FR_SHORT && result->verdict == FR_SHORT;
        if (result->mendable_by_command) {
            result->verdict = FR_TIGHT;
            result->first_short_rpm = NAN;
        }
    }
}

void fr_judge_stages(const fr_build *build, const fr_check *check, fr_blend_result *blend) {
    blend->stage_count = 0;
    for (int i = 0; i < FR_STAGE_COUNT; i++) {
        if (fr_stage_table[i].has(build)) {
            fr_stage_result *result = &blend->stages[blend->stage_count++];
            result->stage = (fr_stage)i;
            result->ruled_by_share =
                fr_stage_table[i].ruled_by_share && build->share == FR_SHARE_AUTO;
            judge(build, check, result);
        }
    }
    ease_by_command(blend);
    blend->verdict = FR_CLEAR;
    for (size_t i = 0; i < blend->stage_count; i++) {
        const fr_verdict verdict = blend->stages[i].verdict;
        blend->verdict = verdict > blend->verdict ? verdict : blend->verdict;
    }
}

/* ---- among blends ---- */

double fr_blend_reach_times(const fr_blend_result *blend) {
    return isnan(blend->reach_w) ? FR_REACH_TIMES_MAX : blend->reach_w / blend->target_power_w;
}

size_t fr_weakest_blend(const fr_check_result *result) {
    size_t weakest = 0;
    double least = INFINITY;
    for (size_t i = 0; i < result->blend_count; i++) {
        const double times = result->blends[i].reach_w / result->blends[i].target_power_w;
        if (times < least) { /* a reach that nothing ends is NAN, and not less */
            least = times;
            weakest = i;
        }
    }
    return weakest;
}
