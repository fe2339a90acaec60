/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Factory parts: what the power that a car had when new tells of the parts it was built with. */
#include <math.h>

#include "capacity/check_memory.h"
#include "quantity/root.h"

/* How full a maker leaves each stage at the power that the car is sold with: common practice, no
 * source. */
static const double LIFT_PUMP_USE = 0.65;
static const double PORT_INJECTOR_USE = 0.75;
static const double DIRECT_INJECTOR_USE = 0.80;
static const double HIGH_PRESSURE_PUMP_USE = 0.72;
static const double FACTORY_ETHANOL = 0.10;

static const double LITRE_PER_HOUR = 1e-3 / 3600.0;
static const double LARGEST_PUMP_L_H = 400.0;
static const double PUMP_RATED_AT_PA = 3e5;
enum { PUMPS_MAX = 3 };

typedef struct fr_factory_search {
    fr_check *check;
    fr_build build; /* a trial */
    fr_stage stage;
    double use;
} fr_factory_search;

/* Worst use of the stage at factory power: the place operating at that part of its demand. */
static double use_at_factory_power(const fr_factory_search *search) {
    const fr_side side = fr_side_make(&search->build, FACTORY_ETHANOL);
    search->check->speed_count = fr_speeds_of_pull(&search->build, search->check->speeds);
    return fr_worst_use_of_side(search->check, &side,
                                search->build.engine.factory_power_w / side.need.crank_power_w,
                                search->stage);
}

static void set_pumps(fr_build *build, unsigned count, double size_l_h) {
    fr_pump *pump = &build->pumps.kinds[0];
    const double flow_factor = pump->flow_factor;
    *pump = fr_pump_typical(size_l_h * LITRE_PER_HOUR, PUMP_RATED_AT_PA);
    pump->count = count;
    pump->flow_factor = flow_factor;
    build->pumps.kind_count = 1;
}

static double over_with_pump(double size_l_h, const void *context) {
    fr_factory_search trial = *(const fr_factory_search *)context;
    set_pumps(&trial.build, trial.build.pumps.kinds[0].count, size_l_h);
    return use_at_factory_power(&trial) - trial.use;
}

static bool size_lift_pump(fr_build *build, double scale, fr_check *check) {
    static const double SMALLEST_L_H = 1.0, TOLERANCE_L_H = 1e-7;
    fr_factory_search search = {check, *build, FR_STAGE_LIFT_PUMP, LIFT_PUMP_USE};
    for (unsigned count = 1; count <= PUMPS_MAX; count++) {
        search.build.pumps.kinds[0].count = count;
        const double over_largest = over_with_pump(LARGEST_PUMP_L_H, &search);
        if (over_largest <= 0.0) {
            const double over_smallest = over_with_pump(SMALLEST_L_H, &search);
            const double size = over_smallest <= 0.0
                                    ? SMALLEST_L_H
                                    : fr_root(over_with_pump, &search, SMALLEST_L_H, over_smallest,
                                              LARGEST_PUMP_L_H, over_largest, TOLERANCE_L_H);
            set_pumps(build, count, size * scale);
            return true;
        }
    }
    return false;
}

/* ---- parts that one figure sizes ---- */

static double *figure_of(fr_build *build, fr_stage stage) {
    return stage == FR_STAGE_PORT_INJECTOR      ? &build->port.flow_kg_s
           : stage == FR_STAGE_DIRECT_INJECTOR  ? &build->direct.flow_kg_s
                                                : &build->direct.displacement_m3;
}

static double over_with_scale(double log_scale, const void *context) {
    fr_factory_search trial = *(const fr_factory_search *)context;
    *figure_of(&trial.build, trial.stage) *= exp(log_scale);
    return use_at_factory_power(&trial) - trial.use;
}

/* As if all fuel went the part's own way. */
static bool size_figure(fr_build *build, fr_stage stage, double use, double scale,
                        fr_check *check) {
    static const double WIDEST = 7.0; /* a factor of about a thousand either way */
    fr_factory_search search = {check, *build, stage, use};
    search.build.share =
        stage == FR_STAGE_PORT_INJECTOR ? FR_SHARE_PORT_ONLY : FR_SHARE_DIRECT_ONLY;
    const double over_small = over_with_scale(-WIDEST, &search);
    const double over_large = over_with_scale(WIDEST, &search);
    if (!(over_small > 0.0) || !(over_large < 0.0)) {
        return false;
    }
    const double log_scale = fr_root(over_with_scale, &search, -WIDEST, over_small, WIDEST,
                                     over_large, 1e-10);
    *figure_of(build, stage) *= exp(log_scale) * scale;
    return true;
}

bool fr_factory_size(fr_build *build, const fr_factory *factory, fr_check *scratch) {
    bool sized = true;
    if (factory->lift_pump) {
        sized = size_lift_pump(build, factory->lift_pump_scale, scratch);
    }
    if (factory->port_injector) {
        sized = size_figure(build, FR_STAGE_PORT_INJECTOR, PORT_INJECTOR_USE,
                            factory->port_injector_scale, scratch) &&
                sized;
    }
    if (factory->direct_injector) {
        sized = size_figure(build, FR_STAGE_DIRECT_INJECTOR, DIRECT_INJECTOR_USE,
                            factory->direct_injector_scale, scratch) &&
                sized;
    }
    if (factory->high_pressure_pump) {
        sized = size_figure(build, FR_STAGE_HIGH_PRESSURE_PUMP, HIGH_PRESSURE_PUMP_USE,
                            factory->high_pressure_pump_scale, scratch) &&
                sized;
    }
    return sized;
}
