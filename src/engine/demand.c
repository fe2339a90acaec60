/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine/demand.h"

#include <math.h>

/* Heat a kilogram of fuel gives up in the cylinder: rich of stoichiometric it follows the air. */
static double heat_released(const fr_blend *blend, double lambda) {
    return blend->heating_value_j_kg * (lambda < 1.0 ? lambda : 1.0);
}

fr_need fr_need_on_blend(const fr_build *build, double ethanol) {
    const fr_engine *engine = &build->engine;
    const fr_blend reference = fr_blend_make(&build->gasoline, engine->bsfc_ethanol);
    fr_need need;
    need.ethanol = ethanol;
    need.blend = fr_blend_make(&build->gasoline, ethanol + build->ethanol_shift);
    need.lambda = fr_curve_at(&engine->lambda, ethanol);
    need.same_air_gain = fr_curve_at(&engine->same_air_gain, ethanol);
    need.stated_power_w = fr_curve_at(&engine->target_power_w, ethanol);
    need.crank_power_w =
        engine->at_wheels ? need.stated_power_w / (1.0 - engine->drivetrain_loss) : need.stated_power_w;
    need.air_per_fuel = need.blend.stoich * need.lambda;
    const double gain = (1.0 + fr_curve_at(&engine->same_air_gain, engine->bsfc_ethanol)) /
                        (1.0 + need.same_air_gain);
    const double by_air = gain * reference.stoich * engine->bsfc_lambda / need.air_per_fuel;
    const double by_energy = gain * heat_released(&reference, engine->bsfc_lambda) /
                             heat_released(&need.blend, need.lambda);
    const bool air = engine->bsfc_scaling == FR_SCALE_AIR;
    need.bsfc_factor = air ? by_air : by_energy;
    need.bsfc_factor_other = air ? by_energy : by_air;
    return need;
}

static double pull_power(const fr_engine *engine, double rpm) {
    const double shape = fr_curve_at(&engine->pull, rpm);
    return engine->pull_is_torque ? shape * rpm : shape;
}

static const double SPEED_STEP_MAX_RPM = 250.0;

static size_t speeds_of(const fr_engine *engine, double speeds_rpm[FR_SPEEDS_MAX]) {
    const fr_curve *pull = &engine->pull;
    size_t count = 0;
    for (size_t i = 0; i + 1 < pull->count; i++) {
        const double from = pull->x[i], gap = pull->x[i + 1] - from;
        /* the small bias keeps a gap of exactly n steps from being cut n + 1 times by rounding */
        const size_t parts = (size_t)ceil(gap / SPEED_STEP_MAX_RPM - 1e-9);
        for (size_t part = 0; part < parts && count + 1 < FR_SPEEDS_MAX; part++) {
            speeds_rpm[count++] = from + gap * (double)part / (double)parts;
        }
    }
    speeds_rpm[count++] = pull->x[pull->count - 1];
    return count;
}

static double greatest_over(const fr_engine *engine, const double *rpm, size_t count) {
    double greatest = 0.0;
    for (size_t i = 0; i < count; i++) {
        const double power = pull_power(engine, rpm[i]);
        greatest = power > greatest ? power : greatest;
    }
    return greatest;
}

double fr_greatest_pull_power(const fr_build *build) {
    double rpm[FR_SPEEDS_MAX];
    return greatest_over(&build->engine, rpm, speeds_of(&build->engine, rpm));
}

fr_speed fr_speed_at(const fr_build *build, double rpm, double greatest_pull) {
    const fr_engine *engine = &build->engine;
    fr_speed speed = {.rpm = rpm};
    speed.cycle_s = 120.0 / rpm;
    speed.pull = pull_power(engine, rpm) / greatest_pull;
    speed.bsfc_kg_j = fr_curve_at(&engine->bsfc_kg_j, rpm);
    speed.manifold_per_air = FR_GAS_CONSTANT_AIR * (engine->charge_temperature_c + FR_KELVIN) /
                             (engine->displacement_m3 / speed.cycle_s);
    speed.manifold_abs_pa = build->site.air_pressure_pa + fr_curve_at(&engine->boost_gauge_pa, rpm) +
                            engine->manifold_shift_pa;
    speed.judge_airflow = engine->boost_source == FR_BOOST_CURVE ||
                          (engine->boost_source == FR_BOOST_SINGLE && speed.pull >= 1.0);
    if (build->direct.present) {
        speed.window_deg = fr_curve_at(&build->direct.window_deg, rpm);
        speed.rail_command_pa = fr_curve_at(&build->direct.rail_command_pa, rpm);
        speed.fill = fr_curve_at(&build->direct.fill, rpm * build->direct.drive_ratio);
    }
    if (build->share == FR_SHARE_CURVE) {
        speed.direct_share = fr_curve_at(&build->direct_share, rpm);
    }
    return speed;
}

size_t fr_speeds_of_pull(const fr_build *build, fr_speed speeds[FR_SPEEDS_MAX]) {
    double rpm[FR_SPEEDS_MAX];
    const size_t count = speeds_of(&build->engine, rpm);
    const double greatest = greatest_over(&build->engine, rpm, count);
    for (size_t i = 0; i < count; i++) {
        speeds[i] = fr_speed_at(build, rpm[i], greatest);
    }
    return count;
}

fr_demand fr_demand_at(const fr_build *build, const fr_need *need, const fr_speed *speed) {
    fr_demand demand;
    demand.fuel_kg_s = need->crank_power_w * speed->pull * speed->bsfc_kg_j * need->bsfc_factor;
    demand.air_kg_s = demand.fuel_kg_s * need->air_per_fuel;
    demand.manifold_need_pa =
        build->engine.boost_source == FR_BOOST_WORKED_OUT
            ? demand.air_kg_s * speed->manifold_per_air / FR_WORKED_OUT_EFFICIENCY
            : speed->manifold_abs_pa;
    return demand;
}

double fr_manifold_at(const fr_build *build, const fr_demand *demand, double times) {
    if (build->engine.boost_source == FR_BOOST_WORKED_OUT) {
        const double needed = times * demand->manifold_need_pa;
        const double air = build->site.air_pressure_pa;
        return (needed > air ? needed : air) + build->engine.manifold_shift_pa;
    }
    return build->engine.aspiration == FR_NATURAL ? demand->manifold_need_pa
                                                  : times * demand->manifold_need_pa;
}
