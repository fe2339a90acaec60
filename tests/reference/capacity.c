/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "reference/parts.h"
#include "reference/point.h"
#include "reference/reference.h"

static const double most_k = 6.0;     /* times the demand, where the search ends */
static const double no_fuel_k = 1e-9; /* as good as nothing drawn */

static unsigned wanted_for(fr_stage stage) {
    switch (stage) {
    case FR_STAGE_LIFT_PUMP:
        return REF_LIFT;
    case FR_STAGE_PUMP_CIRCUIT:
        return REF_LIFT | REF_CIRCUIT;
    case FR_STAGE_PUMP_INLET:
    case FR_STAGE_FEED_PRESSURE:
    case FR_STAGE_VAPOUR:
        return REF_FEED;
    default:
        return REF_FEED | REF_INJECTION;
    }
}

typedef struct climb {
    const fr_build *build;
    double ethanol, rpm;
    fr_stage stage;
    double level;
} climb;

/* Use over the level, at k times the demand. */
static double over_level(double k, const void *context) {
    const climb *c = context;
    const unsigned wanted = wanted_for(c->stage);
    return ref_point_of(c->build, c->ethanol, c->rpm, k, wanted).use[c->stage] - c->level;
}

static double crossing_above(const climb *c) {
    enum { STEPS = 48 };
    double low = 1.0;
    for (int i = 1; i <= STEPS; i++) {
        const double high = pow(most_k, (double)i / STEPS);
        if (over_level(high, c) > 0.0) {
            return ref_root(over_level, c, low, high);
        }
        low = high;
    }
    return NAN;
}

static double crossing_below(const climb *c) {
    enum { STEPS = 48 };
    double high = 1.0;
    for (int i = STEPS - 1; i >= 0; i--) {
        const double low = i == 0 ? no_fuel_k : (double)i / STEPS;
        if (over_level(low, c) <= 0.0) {
            return ref_root(over_level, c, low, high);
        }
        high = low;
    }
    return 0.0;
}

double ref_capacity(const fr_build *build, double ethanol, double speed_rpm, fr_stage stage,
                    double level) {
    const climb c = {build, ethanol, speed_rpm, stage, level};
    const double demand = ref_demand_of(build, ethanol, speed_rpm, 1.0).fuel_kg_s;
    const double k = over_level(1.0, &c) <= 0.0 ? crossing_above(&c) : crossing_below(&c);
    return k * demand;
}

bool ref_past_with_no_fuel(const fr_build *build, double ethanol, double speed_rpm, fr_stage stage,
                           double level) {
    const climb c = {build, ethanol, speed_rpm, stage, level};
    return over_level(no_fuel_k, &c) > 0.0;
}
