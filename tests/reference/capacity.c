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

static double use_at(double k, const climb *c) {
    return ref_point_of(c->build, c->ethanol, c->rpm, k, wanted_for(c->stage)).use[c->stage];
}

/* Use over the level, at k times the demand. */
static double over_level(double k, const void *context) {
    const climb *c = context;
    return use_at(k, c) - c->level;
}

/* A crossing of one level between two neighbouring steps, where there is one. */
static bool crosses(double from, double to, double level) {
    return (from > level) != (to > level);
}

static double crossing_between(climb *c, double level, double low, double high) {
    c->level = level;
    return ref_root(over_level, c, low, high);
}

/* Steps outward from the demand, upwards where the stage is within the level, else downwards. */
static void walk(climb *c, bool up, const double levels[2], double k[2]) {
    enum { STEPS = 40 };
    double here = 1.0, use_here = use_at(here, c);
    bool open[2];
    for (int which = 0; which < 2; which++) {
        open[which] = (use_here <= levels[which]) == up;
        k[which] = open[which] ? (up ? NAN : 0.0) : k[which];
    }
    for (int i = 1; i <= STEPS && (open[0] || open[1]); i++) {
        const double part = (double)i / STEPS;
        const double next = up ? pow(most_k, part) : fmax(1.0 - part, no_fuel_k);
        const double use_next = use_at(next, c);
        for (int which = 0; which < 2; which++) {
            if (open[which] && crosses(use_here, use_next, levels[which])) {
                k[which] = crossing_between(c, levels[which], fmin(here, next), fmax(here, next));
                open[which] = false;
            }
        }
        here = next;
        use_here = use_next;
    }
}

void ref_capacities(const fr_build *build, double ethanol, double speed_rpm, fr_stage stage,
                    const double levels[2], double capacities[2]) {
    climb c = {build, ethanol, speed_rpm, stage, 0.0};
    const double demand = ref_demand_of(build, ethanol, speed_rpm, 1.0).fuel_kg_s;
    walk(&c, true, levels, capacities);
    walk(&c, false, levels, capacities);
    capacities[0] *= demand;
    capacities[1] *= demand;
}
