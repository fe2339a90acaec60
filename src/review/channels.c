/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/channels.h"

#include <math.h>

/* All common practice, no source: what such sensors are off by after a usual calibration. Feed
 * pressure holds the regulator's setting too; pulses are the controller's own figures. */
static const fr_channel_worth WORTH[FR_CHANNEL_COUNT] = {
    [FR_CHANNEL_LAMBDA] = {FR_CHANNEL_GIVES, true, 0.0, 0.01}, /* beside the sheet's tolerance of lambda */
    [FR_CHANNEL_ETHANOL] = {FR_CHANNEL_GIVES, false, 0.0, 0.03}, /* likewise */
    [FR_CHANNEL_MANIFOLD_PRESSURE] = {FR_CHANNEL_GIVES, true, 0.0, 0.02},
    [FR_CHANNEL_SUPPLY_VOLTAGE] = {FR_CHANNEL_GIVES, false, 0.0, 0.1},
    [FR_CHANNEL_RAIL_COMMAND] = {FR_CHANNEL_GIVES, true, 0.0, 0.02},
    [FR_CHANNEL_FUEL_TEMPERATURE] = {FR_CHANNEL_GIVES, false, 0.0, 2.0},
    [FR_CHANNEL_POWER] = {FR_CHANNEL_GIVES, true, 0.02, 0.03},
    [FR_CHANNEL_TORQUE] = {FR_CHANNEL_GIVES, true, 0.02, 0.03},
    [FR_CHANNEL_PUMP_VOLTAGE] = {FR_CHANNEL_ANSWERS, false, 0.1, 0.0},
    [FR_CHANNEL_PUMP_CURRENT] = {FR_CHANNEL_ANSWERS, true, 0.05, 0.0},
    [FR_CHANNEL_FEED_PRESSURE] = {FR_CHANNEL_ANSWERS, false, 0.1e5, 0.0},
    [FR_CHANNEL_RAIL_PRESSURE] = {FR_CHANNEL_ANSWERS, true, 0.015, 0.0},
    [FR_CHANNEL_PORT_PULSE] = {FR_CHANNEL_ANSWERS, true, 0.005, 0.0},
    [FR_CHANNEL_DIRECT_PULSE] = {FR_CHANNEL_ANSWERS, true, 0.005, 0.0},
    [FR_CHANNEL_FUEL_FLOW] = {FR_CHANNEL_ANSWERS, true, 0.02, 0.0},
};

static const double FLOOR_SHARE = 0.1; /* common practice, no source */
static const double HALF_95 = 1.96;

const fr_channel_worth *fr_channel_worth_of(fr_channel channel) {
    return &WORTH[channel];
}

double fr_channel_floor(fr_channel channel, double value) {
    const fr_channel_worth *worth = &WORTH[channel];
    const double accuracy = worth->relative ? worth->accuracy * fabs(value) : worth->accuracy;
    return FLOOR_SHARE * accuracy / HALF_95;
}
