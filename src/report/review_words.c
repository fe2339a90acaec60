/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/review_words.h"

static const double KELVIN_TO_F = 1.8;

static const struct {
    const char *label, *subject;
    fr_measure measure;
} CHANNELS[FR_CHANNEL_COUNT] = {
    [FR_CHANNEL_TIME] = {"Time", "time", FR_MEASURE_TIME},
    [FR_CHANNEL_ENGINE_SPEED] = {"Engine speed", "engine speed", FR_MEASURE_SPEED},
    [FR_CHANNEL_ETHANOL] = {"Ethanol", "ethanol", FR_MEASURE_PERCENT},
    [FR_CHANNEL_LAMBDA] = {"Lambda", "lambda", FR_MEASURE_PERCENT},
    [FR_CHANNEL_MANIFOLD_PRESSURE] = {"Manifold pressure", "manifold pressure",
                                      FR_MEASURE_PRESSURE},
    [FR_CHANNEL_SUPPLY_VOLTAGE] = {"Supply voltage", "supply voltage", FR_MEASURE_VOLTAGE},
    [FR_CHANNEL_PUMP_VOLTAGE] = {"Pump voltage", "the voltage at the pump", FR_MEASURE_VOLTAGE},
    [FR_CHANNEL_PUMP_CURRENT] = {"Pump current", "the pump's current", FR_MEASURE_CURRENT},
    [FR_CHANNEL_FEED_PRESSURE] = {"Feed pressure", "feed pressure", FR_MEASURE_PRESSURE},
    [FR_CHANNEL_RAIL_PRESSURE] = {"Rail pressure", "rail pressure", FR_MEASURE_RAIL_PRESSURE},
    [FR_CHANNEL_RAIL_COMMAND] = {"Rail command", "the commanded rail pressure",
                                 FR_MEASURE_RAIL_PRESSURE},
    [FR_CHANNEL_PORT_PULSE] = {"Port pulse", "the port injectors' pulse", FR_MEASURE_TIME},
    [FR_CHANNEL_DIRECT_PULSE] = {"Direct pulse", "the direct injectors' pulse", FR_MEASURE_TIME},
    [FR_CHANNEL_FUEL_TEMPERATURE] = {"Fuel temperature", "fuel temperature",
                                     FR_MEASURE_TEMPERATURE},
    [FR_CHANNEL_POWER] = {"Power", "power", FR_MEASURE_POWER},
    [FR_CHANNEL_TORQUE] = {"Torque", "torque", FR_MEASURE_PERCENT},
    [FR_CHANNEL_FUEL_FLOW] = {"Fuel flow", "fuel flow", FR_MEASURE_PUMP_FLOW},
};

static const char *const FACTORS[FR_FACTOR_COUNT] = {
    [FR_FACTOR_BSFC] = "BSFC",
    [FR_FACTOR_PORT_INJECTOR] = "Port injectors",
    [FR_FACTOR_DIRECT_INJECTOR] = "Direct injectors",
    [FR_FACTOR_LIFT_PUMP] = "Lift pump",
    [FR_FACTOR_HIGH_PRESSURE_PUMP] = "High-pressure pump",
    [FR_FACTOR_LINE_LOSS] = "Loss in the line",
};

const char *fr_channel_label(fr_channel channel) {
    return CHANNELS[channel].label;
}

const char *fr_channel_subject(fr_channel channel) {
    return CHANNELS[channel].subject;
}

fr_measure fr_channel_measure(fr_channel channel) {
    return CHANNELS[channel].measure;
}

const char *fr_factor_label(fr_factor factor) {
    return FACTORS[factor];
}

void fr_show_channel(fr_words *words, fr_channel channel, fr_units units, double si,
                     bool difference) {
    const fr_measure measure = CHANNELS[channel].measure;
    if (difference && measure == FR_MEASURE_TEMPERATURE)
        fr_words_add(words, "%.1f %s", units == FR_US ? KELVIN_TO_F * si : si,
                     fr_measure_unit(measure, units));
    else if (difference && measure == FR_MEASURE_PRESSURE)
        fr_words_add(words, "%.*f %s", units == FR_US ? 1 : 2, fr_measure_value(measure, units, si),
                     fr_measure_unit(measure, units));
    else if (measure == FR_MEASURE_TIME)
        fr_words_add(words, "%.2f ms", 1e3 * si);
    else
        fr_show(words, measure, units, si, FR_NEAREST);
}
