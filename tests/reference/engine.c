/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "reference/parts.h"
#include "reference/reference.h"

size_t ref_speeds(const fr_build *build, double speeds_rpm[FR_SPEEDS_MAX]) {
    const fr_curve *pull = &build->engine.pull;
    size_t count = 0;
    speeds_rpm[count++] = pull->x[0];
    for (size_t i = 1; i < pull->count; i++) {
        const double from = pull->x[i - 1], gap = pull->x[i] - from;
        int parts = 1;
        while (gap / parts > 250.0 * (1.0 + 1e-12)) {
            parts++;
        }
        for (int part = 1; part <= parts && count < FR_SPEEDS_MAX; part++) {
            speeds_rpm[count++] = part == parts ? pull->x[i] : from + gap * part / parts;
        }
    }
    return count;
}

/* Height of the pull, as power in no unit. */
static double pull_at(const fr_build *build, double rpm) {
    const double height = ref_curve(&build->engine.pull, rpm);
    return build->engine.pull_is_torque ? height * rpm : height;
}

double ref_peak_speed(const fr_build *build) {
    double speeds[FR_SPEEDS_MAX];
    const size_t count = ref_speeds(build, speeds);
    double best = speeds[0];
    for (size_t i = 1; i < count; i++) {
        if (pull_at(build, speeds[i]) > pull_at(build, best)) {
            best = speeds[i];
        }
    }
    return best;
}

double ref_target(const fr_build *build, double ethanol) {
    return ref_curve(&build->engine.target_power_w, ethanol);
}

/* Air mass flow at a volumetric efficiency of 1. */
double ref_swept_air(const fr_build *build, double rpm, double manifold_pa) {
    const double kelvin = build->engine.charge_temperature_c + 273.15;
    return build->engine.displacement_m3 * rpm / 120.0 * manifold_pa / (287.05 * kelvin);
}

static double bsfc_on(const fr_build *build, double ethanol, const ref_fuel *fuel, double rpm) {
    const fr_engine *engine = &build->engine;
    const ref_fuel ref = ref_fuel_of(&build->gasoline, engine->bsfc_ethanol);
    const double lambda = ref_curve(&engine->lambda, ethanol), lambda_ref = engine->bsfc_lambda;
    const double ratio =
        engine->bsfc_scaling == FR_SCALE_AIR
            ? ref.stoich * lambda_ref / (fuel->stoich * lambda)
            : ref.heating * fmin(lambda_ref, 1.0) / (fuel->heating * fmin(lambda, 1.0));
    const double gain_ref = ref_curve(&engine->same_air_gain, engine->bsfc_ethanol);
    const double gain = ref_curve(&engine->same_air_gain, ethanol);
    return ref_curve(&engine->bsfc_kg_j, rpm) * ratio * (1.0 + gain_ref) / (1.0 + gain);
}

/* Volumetric efficiency taken where the sheet gives no boost. */
static const double assumed_filling = 0.95;

static double manifold_at(const fr_build *build, double rpm, double air_kg_s, double k) {
    const fr_engine *engine = &build->engine;
    const double air_pa = build->site.air_pressure_pa, shift = engine->manifold_shift_pa;
    if (engine->boost_source == FR_BOOST_WORKED_OUT) {
        const double needed = air_kg_s / (assumed_filling * ref_swept_air(build, rpm, 1.0));
        return fmax(needed, air_pa) + shift;
    }
    const double given = air_pa + ref_curve(&engine->boost_gauge_pa, rpm) + shift;
    return engine->aspiration == FR_NATURAL ? given : k * given;
}

ref_demand ref_demand_of(const fr_build *build, double ethanol, double rpm, double k) {
    const fr_engine *engine = &build->engine;
    ref_demand d = {0};
    d.fuel = ref_fuel_of(&build->gasoline, ethanol + build->ethanol_shift);
    d.lambda = ref_curve(&engine->lambda, ethanol);
    d.power_w = k * ref_target(build, ethanol) * pull_at(build, rpm) /
                pull_at(build, ref_peak_speed(build));
    d.crank_power_w = engine->at_wheels ? d.power_w / (1.0 - engine->drivetrain_loss) : d.power_w;
    d.bsfc = bsfc_on(build, ethanol, &d.fuel, rpm);
    d.fuel_kg_s = d.crank_power_w * d.bsfc;
    d.fuel_m3_s = d.fuel_kg_s / ref_density(&d.fuel, build->site.feed_temperature_c);
    d.air_kg_s = d.fuel_kg_s * d.fuel.stoich * d.lambda;
    d.manifold_pa = manifold_at(build, rpm, d.air_kg_s, k);
    return d;
}
