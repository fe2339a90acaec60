/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/plan.h"

#include <math.h>

/* A log tells little about a blend further off than this (common practice, no source). */
static const double STEP_MOST = 0.30;
/* A smaller step is not worth a tank. */
static const double STEP_LEAST = 0.05;
/* The sag that the feed-pressure stage allows port injectors: 10 % of feed pressure. */
static const double PORT_SAG = 0.10;
/* Rail pressure below its command by more is not the controller's doing (common practice). */
static const double RAIL_FIRST_FALL = 0.03;
static const double BOIL_MARGIN_PA = 1e5; /* the vapour stage's 1 bar */

/* ---- what to watch, a row a stage ---- */

typedef double (*figure)(const fr_build *build, const fr_point *point, double limit);

static double rail_expected(const fr_build *build, const fr_point *point, double limit) {
    (void)build;
    (void)limit;
    return point->direct_held_pa;
}

/* A high-pressure pump at its end: pressure leaves its command, and soon falls altogether. */
static double rail_first_fall(const fr_build *build, const fr_point *point, double limit) {
    (void)build;
    (void)limit;
    return (1.0 - RAIL_FIRST_FALL) * point->direct_command_pa;
}

/* Where the injectors would be at their limit for want of pressure. */
static double rail_lift(const fr_build *build, const fr_point *point, double limit) {
    return fmin(point->direct_required_pa / limit, rail_first_fall(build, point, limit));
}

static double direct_pulse_expected(const fr_build *build, const fr_point *point, double limit) {
    (void)build;
    (void)limit;
    return point->direct_angle_deg / (6.0 * point->speed_rpm);
}

static double direct_pulse_lift(const fr_build *build, const fr_point *point, double limit) {
    (void)build;
    return limit * point->direct_window_deg / (6.0 * point->speed_rpm);
}

static double port_pulse_expected(const fr_build *build, const fr_point *point, double limit) {
    (void)build;
    (void)limit;
    return point->port_pulse_s;
}

static double port_pulse_lift(const fr_build *build, const fr_point *point, double limit) {
    (void)build;
    return limit * 120.0 / point->speed_rpm;
}

static double feed_expected(const fr_build *build, const fr_point *point, double limit) {
    (void)build;
    (void)limit;
    return point->feed_gauge_pa;
}

/* Feed pressure at which its stage is at its limit: the greater of what each side needs. */
static double feed_lift(const fr_build *build, const fr_point *point, double limit) {
    const double port = point->set_gauge_pa - limit * PORT_SAG * build->feed.pressure_gauge_pa;
    const double direct = build->direct.minimum_inlet_gauge_pa / limit;
    if (!build->port.present)
        return direct;
    return build->direct.present ? fmax(port, direct) : port;
}

/* A lift pump at its limit still holds its pressure; the first fall of it is the sign. */
static double lift_lift(const fr_build *build, const fr_point *point, double limit) {
    static const double FIRST_FALL = 0.03; /* of set pressure (common practice) */
    (void)build;
    (void)limit;
    return (1.0 - FIRST_FALL) * point->set_gauge_pa;
}

static double vapour_lift(const fr_build *build, const fr_point *point, double limit) {
    return (point->vapour_pressure_pa + BOIL_MARGIN_PA) / limit - build->site.air_pressure_pa;
}

static double current_expected(const fr_build *build, const fr_point *point, double limit) {
    (void)build;
    (void)limit;
    return point->greatest_current_a;
}

static double current_lift(const fr_build *build, const fr_point *point, double limit) {
    (void)point;
    return limit * build->pumps.fuse_a;
}

static const struct {
    fr_channel watch;
    bool lift_above;
    figure expected, lift;
} WATCH[FR_STAGE_COUNT] = {
    [FR_STAGE_LIFT_PUMP] = {FR_CHANNEL_FEED_PRESSURE, false, feed_expected, lift_lift},
    [FR_STAGE_PUMP_CIRCUIT] = {FR_CHANNEL_PUMP_CURRENT, true, current_expected, current_lift},
    [FR_STAGE_PUMP_INLET] = {FR_CHANNEL_FEED_PRESSURE, false, feed_expected, lift_lift},
    [FR_STAGE_FEED_PRESSURE] = {FR_CHANNEL_FEED_PRESSURE, false, feed_expected, feed_lift},
    [FR_STAGE_VAPOUR] = {FR_CHANNEL_FEED_PRESSURE, false, feed_expected, vapour_lift},
    [FR_STAGE_PORT_INJECTOR] = {FR_CHANNEL_PORT_PULSE, true, port_pulse_expected, port_pulse_lift},
    [FR_STAGE_DIRECT_INJECTOR] = {FR_CHANNEL_DIRECT_PULSE, true, direct_pulse_expected,
                                  direct_pulse_lift},
    [FR_STAGE_HIGH_PRESSURE_PUMP] = {FR_CHANNEL_RAIL_PRESSURE, false, rail_expected,
                                     rail_first_fall},
    [FR_STAGE_DIRECT_PRESSURE] = {FR_CHANNEL_RAIL_PRESSURE, false, rail_expected, rail_lift},
};

static bool ruled_by_share(const fr_build *build, fr_stage stage) {
    return build->share == FR_SHARE_AUTO &&
           (stage == FR_STAGE_DIRECT_INJECTOR || stage == FR_STAGE_HIGH_PRESSURE_PUMP ||
            stage == FR_STAGE_DIRECT_PRESSURE);
}

const fr_stage_result *fr_fullest_stage(const fr_build *build, const fr_blend_result *blend) {
    const fr_stage_result *fullest = NULL;
    for (size_t i = 0; i < blend->stage_count; i++) {
        const fr_stage_result *stage = &blend->stages[i];
        if (ruled_by_share(build, stage->stage))
            continue;
        if (fullest == NULL || stage->use / stage->limit > fullest->use / fullest->limit)
            fullest = stage;
    }
    return fullest;
}

void fr_plan_watch(const fr_build *build, const fr_blend_result *blend,
                   const bool logged[FR_CHANNEL_COUNT], fr_review_step *step) {
    const fr_stage_result *fullest = fr_fullest_stage(build, blend);
    step->expected = step->lift_at = step->speed_rpm = NAN;
    if (fullest == NULL)
        return;
    const fr_point *point = &blend->points[fullest->worst_point];
    step->stage = fullest->stage;
    step->watch = WATCH[fullest->stage].watch;
    step->logged = logged[step->watch];
    step->speed_rpm = fullest->worst_rpm;
    step->lift_above = WATCH[fullest->stage].lift_above;
    step->expected = WATCH[fullest->stage].expected(build, point, fullest->limit);
    step->lift_at = WATCH[fullest->stage].lift(build, point, fullest->limit);
}

/* ---- the steps ---- */

typedef struct planner {
    const fr_build *learnt;
    fr_check *check;
    const bool *logged;
    fr_review_result *result;
} planner;

static void add_step(const planner *plan, double ethanol) {
    fr_review_result *result = plan->result;
    if (result->step_count == FR_REVIEW_STEPS_MAX)
        return;
    fr_review_step *step = &result->steps[result->step_count++];
    step->ethanol = ethanol;
    step->chance_holds = NAN;
    fr_plan_watch(plan->learnt, fr_check_blend(plan->check, plan->learnt, ethanol), plan->logged,
                  step);
}

/* Up to a blend in bites of at most STEP_MOST, in whole per cent. */
static void add_bites(const planner *plan, double from, double to) {
    const double bites = ceil((to - from) / STEP_MOST - 1e-9);
    for (double bite = 1.0; bite < bites; bite += 1.0)
        add_step(plan, floor(100.0 * (from + (to - from) * bite / bites)) / 100.0);
    add_step(plan, to);
}

void fr_plan_steps(const fr_build *learnt, fr_check *check, const bool logged[FR_CHANNEL_COUNT],
                   fr_review_result *result) {
    const planner plan = {learnt, check, logged, result};
    double at = result->most_ethanol_seen;
    result->step_count = 0;
    for (size_t i = 0; i < result->next_count; i++) {
        const fr_review_next *next = &result->next[i];
        if (next->ethanol <= at)
            continue;
        if (next->chance_holds >= result->confidence) {
            add_bites(&plan, at, next->ethanol);
            at = next->ethanol;
            continue;
        }
        /* Not as far as that: up to what is clear, where it is worth a tank. */
        const double clear = floor(100.0 * result->clear_to_ethanol) / 100.0;
        if (clear >= at + STEP_LEAST)
            add_bites(&plan, at, clear);
        return;
    }
}
