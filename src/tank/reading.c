/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Does what the sensor shows fit what was poured? */
#include "tank/reading.h"

#include <math.h>

/* A sensor's own step; keeps a reading just at the edge of its error inside. */
static const double SENSOR_EDGE = 1e-9;

static const char *const FINDING_NAMES[FR_TANK_FINDING_COUNT] = {
    [FR_TANK_FITS] = "fits",
    [FR_TANK_NOT_ARRIVED] = "not-arrived",
    [FR_TANK_PUMP_RANGE] = "pump-range",
    [FR_TANK_MISLABELLED] = "mislabelled",
    [FR_TANK_WATER_OR_SENSOR] = "water-or-sensor",
    [FR_TANK_SENSOR] = "sensor",
};

const char *fr_tank_finding_name(fr_tank_finding finding) {
    return finding < FR_TANK_FINDING_COUNT ? FINDING_NAMES[finding] : "";
}

static bool near(double a, double b) {
    return fabs(a - b) <= fr_tank_sensor_error() + SENSOR_EDGE;
}

/* Share (at the temperature of measurement) that the last fuel poured must have had. */
static double implied_share(double reading_share, fr_tank_content now,
                            const fr_tank_filling *last) {
    const double ethanol = reading_share * fr_tank_volume(now) - last->before.ethanol_m3;
    return ethanol / last->added_m3;
}

static fr_tank_finding judge_filling(double reading, double implied, double doubt,
                                     double old_ethanol, double poured) {
    const fr_tank_blend sold = fr_tank_pump_e85();
    if (near(reading, old_ethanol))
        return FR_TANK_NOT_ARRIVED;
    if (implied > 1.0 + doubt)
        return FR_TANK_WATER_OR_SENSOR;
    if (implied < -doubt)
        return FR_TANK_SENSOR;
    if (poured >= sold.low && implied >= sold.low - doubt && implied <= sold.high + doubt)
        return FR_TANK_PUMP_RANGE;
    return FR_TANK_MISLABELLED;
}

void fr_tank_judge(const fr_tank_ask *ask, const fr_tank_scale *scale, fr_tank_content now,
                   const fr_tank_filling *last, fr_tank_result *result) {
    const double expected = fr_tank_content_ethanol(scale, now);
    result->has_reading = true;
    result->expected_ethanol = expected;
    result->implied_ethanol = NAN;
    if (last->any && last->added_m3 > 0.0) {
        const double share = implied_share(fr_tank_share(scale, ask->reading), now, last);
        result->implied_ethanol = fr_tank_ethanol(scale, share);
    }
    if (near(ask->reading, expected)) {
        result->finding = FR_TANK_FITS;
    } else if (isnan(result->implied_ethanol)) {
        result->finding = ask->reading > expected ? FR_TANK_WATER_OR_SENSOR : FR_TANK_SENSOR;
    } else {
        const double doubt = fr_tank_sensor_error() * fr_tank_volume(now) / last->added_m3;
        const double old = fr_tank_content_ethanol(scale, last->before);
        result->finding = judge_filling(ask->reading, result->implied_ethanol, doubt, old,
                                        last->added_ethanol);
    }
}
