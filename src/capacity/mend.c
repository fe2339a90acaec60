/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The least change, one lever at a time, that makes a stage clear. */
#include "capacity/mend.h"

#include <math.h>

#include "quantity/root.h"
#include "supply/pumps.h"

static const double USE_TOLERANCE = 1e-6;

/* Levers of a stage, most natural first, and whether more of them or less helps. */
typedef struct fr_stage_levers {
    fr_lever levers[FR_MENDS_MAX];
} fr_stage_levers;

static const fr_stage_levers STAGE_LEVERS[FR_STAGE_COUNT] = {
    [FR_STAGE_LIFT_PUMP] = {{FR_LEVER_LIFT_FLOW, FR_LEVER_WIRING}},
    [FR_STAGE_PUMP_CIRCUIT] = {{FR_LEVER_FUSE}},
    [FR_STAGE_PUMP_INLET] = {{FR_LEVER_TANK_TEMPERATURE}},
    [FR_STAGE_FEED_PRESSURE] = {{FR_LEVER_LIFT_FLOW, FR_LEVER_LINE_BORE, FR_LEVER_FEED_PRESSURE}},
    [FR_STAGE_VAPOUR] = {{FR_LEVER_FEED_PRESSURE, FR_LEVER_LIFT_FLOW}},
    [FR_STAGE_PORT_INJECTOR] = {{FR_LEVER_PORT_FLOW, FR_LEVER_FEED_PRESSURE}},
    [FR_STAGE_DIRECT_INJECTOR] = {{FR_LEVER_DIRECT_FLOW, FR_LEVER_RAIL_COMMAND,
                                   FR_LEVER_DIRECT_SHARE}},
    [FR_STAGE_HIGH_PRESSURE_PUMP] = {{FR_LEVER_HP_DISPLACEMENT, FR_LEVER_RAIL_COMMAND,
                                      FR_LEVER_DIRECT_SHARE}},
    [FR_STAGE_DIRECT_PRESSURE] = {{FR_LEVER_DIRECT_FLOW, FR_LEVER_HP_DISPLACEMENT,
                                   FR_LEVER_DIRECT_SHARE}},
};

static bool less_helps(fr_stage stage, fr_lever lever) {
    return lever == FR_LEVER_WIRING || lever == FR_LEVER_DIRECT_SHARE ||
           lever == FR_LEVER_TANK_TEMPERATURE ||
           (lever == FR_LEVER_RAIL_COMMAND && stage == FR_STAGE_HIGH_PRESSURE_PUMP);
}

double fr_worst_use(fr_check *check, const fr_build *build, double ethanol, fr_stage stage) {
    const fr_side side = fr_side_make(build, ethanol);
    check->speed_count = fr_speeds_of_pull(build, check->speeds);
    return fr_worst_use_of_side(check, &side, 1.0, stage);
}

/* ---- one lever ---- */

typedef struct fr_mend_search {
    fr_check *check;
    const fr_build *build;
    double ethanol;
    fr_stage stage;
    fr_lever lever;
} fr_mend_search;

static double over_limit(double log_factor, const void *context) {
    const fr_mend_search *search = context;
    fr_build trial = *search->build;
    fr_lever_scale(&trial, search->lever, exp(log_factor));
    return fr_worst_use(search->check, &trial, search->ethanol, search->stage) -
           fr_build_limit(&trial, search->stage);
}

/* Least factor that brings the stage to its limit; NAN when none up to a hundredfold does. The
 * search widens step by step, so that the nearest answer is found. */
static double least_factor(const fr_mend_search *search) {
    static const double STEP = 0.2, WIDEST = 4.6;
    const double step = less_helps(search->stage, search->lever) ? -STEP : STEP;
    double from = 0.0, over_from = over_limit(0.0, search);
    if (over_from <= 0.0) {
        return 1.0;
    }
    for (double to = step; fabs(to) <= WIDEST; to += step) {
        const double over_to = over_limit(to, search);
        if (over_to <= 0.0) {
            const double at =
                fr_root(over_limit, search, from, over_from, to, over_to, USE_TOLERANCE / 20.0);
            /* on the clear side of what the solver leaves */
            return exp(at + (step > 0.0 ? 1.0 : -1.0) * USE_TOLERANCE / 10.0);
        }
        from = to;
        over_from = over_to;
    }
    return NAN;
}

/* ---- levers that are not a factor ---- */

static double over_at_temperature(double temperature_c, const void *context) {
    const fr_mend_search *search = context;
    fr_build trial = *search->build;
    trial.site.tank_temperature_c = temperature_c;
    return fr_worst_use(search->check, &trial, search->ethanol, search->stage) -
           fr_build_limit(&trial, search->stage);
}

static double highest_tank_temperature(const fr_mend_search *search) {
    static const double COLDEST_C = -40.0;
    const double now = search->build->site.tank_temperature_c;
    const double over_now = over_at_temperature(now, search);
    const double over_cold = over_at_temperature(COLDEST_C, search);
    return over_cold > 0.0 ? NAN
                           : fr_root(over_at_temperature, search, COLDEST_C, over_cold, now,
                                     over_now, 1e-4) -
                                 1e-4;
}

/* What the pumps deliver where the lift pump is fullest. */
static double lift_flow_at_worst(fr_check *check, const fr_build *build, double ethanol) {
    const fr_side side = fr_side_make(build, ethanol);
    double worst = -1.0, available = NAN;
    check->speed_count = fr_speeds_of_pull(build, check->speeds);
    for (size_t i = 0; i < check->speed_count; i++) {
        const fr_place place = fr_place_make(&side, &check->speeds[i]);
        const fr_operating op = fr_operate(&place, 1.0);
        const double use = fr_stage_use(&place, &op, FR_STAGE_LIFT_PUMP);
        if (use > worst) {
            worst = use;
            available = op.available_m3_s;
        }
    }
    return available;
}

static fr_mend mend_of(const fr_mend_search *search) {
    fr_mend mend = {.stage = search->stage, .lever = search->lever, .needs = NAN};
    mend.has = search->lever == FR_LEVER_LIFT_FLOW
                   ? lift_flow_at_worst(search->check, search->build, search->ethanol)
                   : fr_lever_get(search->build, search->lever);
    if (!isfinite(mend.has) || mend.has == 0.0) {
        return mend;
    }
    if (search->lever == FR_LEVER_TANK_TEMPERATURE) {
        mend.needs = highest_tank_temperature(search);
        mend.factor = NAN;
    } else {
        mend.factor = least_factor(search);
        mend.needs = mend.has * mend.factor;
    }
    return mend;
}

size_t fr_mend_stage(fr_check *check, const fr_build *build, double ethanol, fr_stage stage,
                     fr_mend mends[FR_MENDS_MAX]) {
    size_t count = 0;
    for (size_t i = 0; i < FR_MENDS_MAX; i++) {
        const fr_lever lever = STAGE_LEVERS[stage].levers[i];
        if (lever == FR_LEVER_NONE) {
            continue;
        }
        const fr_mend_search search = {check, build, ethanol, stage, lever};
        const fr_mend mend = mend_of(&search);
        if (isfinite(mend.needs)) {
            mends[count++] = mend;
        }
    }
    return count;
}
