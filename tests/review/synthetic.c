/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/synthetic.h"

#include <math.h>
#include <string.h>

#include "capacity/place.h"
#include "capacity/stages.h"
#include "supply/direct.h"
#include "supply/port.h"

static const double PI = 3.14159265358979323846;

/* Standard deviation of one row: relative, absolute (SI). */
static const struct {
    double relative, absolute;
} NOISE[FR_CHANNEL_COUNT] = {
    [FR_CHANNEL_ENGINE_SPEED] = {0.0, 6.0},
    [FR_CHANNEL_ETHANOL] = {0.0, 0.002},
    [FR_CHANNEL_LAMBDA] = {0.004, 0.0},
    [FR_CHANNEL_MANIFOLD_PRESSURE] = {0.006, 0.0},
    [FR_CHANNEL_SUPPLY_VOLTAGE] = {0.0, 0.04},
    [FR_CHANNEL_PUMP_VOLTAGE] = {0.0, 0.06},
    [FR_CHANNEL_PUMP_CURRENT] = {0.02, 0.0},
    [FR_CHANNEL_FEED_PRESSURE] = {0.0, 4e3},
    [FR_CHANNEL_RAIL_PRESSURE] = {0.008, 0.0},
    [FR_CHANNEL_PORT_PULSE] = {0.008, 0.0},
    [FR_CHANNEL_DIRECT_PULSE] = {0.008, 0.0},
    [FR_CHANNEL_FUEL_TEMPERATURE] = {0.0, 0.3},
    [FR_CHANNEL_POWER] = {0.008, 0.0},
    [FR_CHANNEL_TORQUE] = {0.008, 0.0},
    [FR_CHANNEL_FUEL_FLOW] = {0.012, 0.0},
};

/* Decimals that a logger writes, in the default unit. */
static const int DECIMALS[FR_CHANNEL_COUNT] = {
    [FR_CHANNEL_TIME] = 3,          [FR_CHANNEL_ENGINE_SPEED] = 0,
    [FR_CHANNEL_ETHANOL] = 1,       [FR_CHANNEL_LAMBDA] = 3,
    [FR_CHANNEL_MANIFOLD_PRESSURE] = 1, [FR_CHANNEL_SUPPLY_VOLTAGE] = 2,
    [FR_CHANNEL_PUMP_VOLTAGE] = 2,  [FR_CHANNEL_PUMP_CURRENT] = 2,
    [FR_CHANNEL_FEED_PRESSURE] = 3, [FR_CHANNEL_RAIL_PRESSURE] = 1,
    [FR_CHANNEL_RAIL_COMMAND] = 1,  [FR_CHANNEL_PORT_PULSE] = 3,
    [FR_CHANNEL_DIRECT_PULSE] = 3,  [FR_CHANNEL_FUEL_TEMPERATURE] = 1,
    [FR_CHANNEL_POWER] = 1,         [FR_CHANNEL_TORQUE] = 1,
    [FR_CHANNEL_FUEL_FLOW] = 2,
};

static const char *const TITLES[FR_CHANNEL_COUNT] = {
    [FR_CHANNEL_TIME] = "Time",
    [FR_CHANNEL_ENGINE_SPEED] = "Engine speed",
    [FR_CHANNEL_ETHANOL] = "Ethanol",
    [FR_CHANNEL_LAMBDA] = "Lambda",
    [FR_CHANNEL_MANIFOLD_PRESSURE] = "Manifold pressure",
    [FR_CHANNEL_SUPPLY_VOLTAGE] = "Battery voltage",
    [FR_CHANNEL_PUMP_VOLTAGE] = "Fuel pump voltage",
    [FR_CHANNEL_PUMP_CURRENT] = "Fuel pump current",
    [FR_CHANNEL_FEED_PRESSURE] = "Fuel pressure",
    [FR_CHANNEL_RAIL_PRESSURE] = "Rail pressure",
    [FR_CHANNEL_RAIL_COMMAND] = "Rail pressure target",
    [FR_CHANNEL_PORT_PULSE] = "Port pulse",
    [FR_CHANNEL_DIRECT_PULSE] = "Direct pulse",
    [FR_CHANNEL_FUEL_TEMPERATURE] = "Fuel temperature",
    [FR_CHANNEL_POWER] = "Power",
    [FR_CHANNEL_TORQUE] = "Torque",
    [FR_CHANNEL_FUEL_FLOW] = "Fuel flow",
};

/* xorshift64*, after Vigna (2016), from memory. */
double synthetic_uniform(uint64_t *state) {
    *state ^= *state >> 12;
    *state ^= *state << 25;
    *state ^= *state >> 27;
    return (double)((*state * 2685821657736338717u) >> 11) * 0x1p-53;
}

/* Box and Muller. */
double synthetic_normal(uint64_t *state) {
    const double u = fmax(synthetic_uniform(state), 1e-300);
    const double v = synthetic_uniform(state);
    return sqrt(-2.0 * log(u)) * cos(2.0 * PI * v);
}

synthetic synthetic_pull(const fr_build *truth, double ethanol) {
    synthetic pull = {.truth = truth, .ethanol = ethanol, .seconds = 7.0, .rows_per_s = 40.0};
    pull.noise = 1.0;
    pull.seed = 4711;
    pull.from_rpm = truth->engine.pull.x[0];
    pull.to_rpm = truth->engine.pull.x[truth->engine.pull.count - 1];
    for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++)
        pull.channels[channel] = channel != FR_CHANNEL_TORQUE;
    if (!truth->port.present)
        pull.channels[FR_CHANNEL_PORT_PULSE] = false;
    if (!truth->direct.present)
        pull.channels[FR_CHANNEL_DIRECT_PULSE] = pull.channels[FR_CHANNEL_RAIL_PRESSURE] =
            pull.channels[FR_CHANNEL_RAIL_COMMAND] = false;
    return pull;
}

static double held_pressure(const fr_place *place, const fr_operating *op) {
    const double available = fr_direct_available(place, op);
    if (isnan(available))
        return op->rail_abs_pa;
    return available < place->rail_command_pa ? available : place->rail_command_pa;
}

/* What is there, without any sensor, at a speed. */
static void truth_at(const synthetic *pull, double rpm, double values[FR_CHANNEL_COUNT]) {
    const fr_build *build = pull->truth;
    const fr_side side = fr_side_make(build, pull->ethanol);
    const fr_speed speed = fr_speed_at(build, rpm, fr_greatest_pull_power(build));
    const fr_place place = fr_place_make(&side, &speed);
    const fr_operating op = fr_operate(&place, 1.0);
    fr_pump_state pump;
    fr_circuit_current(&place, &op, &pump);
    values[FR_CHANNEL_ENGINE_SPEED] = rpm;
    values[FR_CHANNEL_ETHANOL] = pull->ethanol;
    values[FR_CHANNEL_LAMBDA] = side.need.lambda;
    values[FR_CHANNEL_MANIFOLD_PRESSURE] = op.manifold_abs_pa;
    values[FR_CHANNEL_SUPPLY_VOLTAGE] = build->site.supply_voltage_v;
    values[FR_CHANNEL_PUMP_VOLTAGE] = pump.voltage_v;
    values[FR_CHANNEL_PUMP_CURRENT] = pump.current_a;
    values[FR_CHANNEL_FEED_PRESSURE] = op.rail_gauge_pa;
    values[FR_CHANNEL_FUEL_TEMPERATURE] = build->site.feed_temperature_c;
    values[FR_CHANNEL_POWER] = side.need.stated_power_w * speed.pull;
    values[FR_CHANNEL_TORQUE] = values[FR_CHANNEL_POWER] / (rpm * PI / 30.0);
    values[FR_CHANNEL_FUEL_FLOW] = op.fuel_m3_s;
    if (build->port.present)
        values[FR_CHANNEL_PORT_PULSE] =
            fr_port_at(&build->port, build->site.supply_voltage_v, side.feed.density_kg_m3,
                       op.rail_gauge_pa, build->site.air_pressure_pa, op.manifold_abs_pa,
                       op.port_fuel_kg_s, speed.cycle_s)
                .pulse_s;
    if (build->direct.present) {
        const double held = held_pressure(&place, &op);
        const double passed = fr_spray_static(&build->direct, &place.spray, op.cylinder_abs_pa, held);
        values[FR_CHANNEL_RAIL_COMMAND] = place.rail_command_pa;
        values[FR_CHANNEL_RAIL_PRESSURE] = held;
        values[FR_CHANNEL_DIRECT_PULSE] =
            op.direct_fuel_kg_s / place.spray.injections_per_s / passed +
            build->direct.opening_delay_s;
    }
}

/* What a logger makes of it. */
static void sense(const synthetic *pull, uint64_t *random, fr_log_row *row) {
    for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++) {
        double *value = &row->value[channel];
        if (!pull->channels[channel]) {
            *value = NAN;
            continue;
        }
        if (channel == FR_CHANNEL_TIME)
            continue;
        const double sigma =
            pull->noise * (NOISE[channel].relative * *value + NOISE[channel].absolute);
        *value = *value * (1.0 + pull->off_relative[channel]) + pull->off_absolute[channel] +
                 sigma * synthetic_normal(random);
        if (synthetic_uniform(random) < pull->wrong_share)
            *value = synthetic_uniform(random) < 0.5 ? NAN : *value * 3.0 * synthetic_uniform(random);
    }
}

size_t synthetic_rows(const synthetic *pull, fr_log_row *rows, size_t most, size_t first_line,
                      double start_s) {
    uint64_t random = pull->seed * 0x9E3779B97F4A7C15u + 1;
    const size_t count = (size_t)(pull->seconds * pull->rows_per_s) + 1;
    size_t made = 0;
    for (size_t i = 0; i < count && made < most; i++) {
        const double share = (double)i / (double)(count - 1);
        fr_log_row *row = &rows[made++];
        for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++)
            row->value[channel] = NAN;
        truth_at(pull, pull->from_rpm + share * (pull->to_rpm - pull->from_rpm), row->value);
        row->value[FR_CHANNEL_TIME] = start_s + (double)i / pull->rows_per_s;
        row->value[FR_CHANNEL_ETHANOL] += share * pull->ethanol_drift;
        row->line = first_line + i;
        row->has_bad_cell = false;
        sense(pull, &random, row);
    }
    return made;
}

size_t synthetic_idle(const synthetic *pull, fr_log_row *rows, size_t most, double seconds,
                      double start_s) {
    uint64_t random = pull->seed * 0xD1342543DE82EF95u + 3;
    const size_t count = (size_t)(seconds * pull->rows_per_s);
    size_t made = 0;
    for (size_t i = 0; i < count && made < most; i++) {
        fr_log_row *row = &rows[made++];
        const double time = (double)i / pull->rows_per_s;
        const double rpm = time < 0.5 * seconds ? 870.0 : 2100.0 + 150.0 * sin(time);
        for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++)
            row->value[channel] = NAN;
        truth_at(pull, fmax(rpm, pull->from_rpm), row->value);
        row->value[FR_CHANNEL_TIME] = start_s + time;
        row->value[FR_CHANNEL_ENGINE_SPEED] = rpm;
        row->value[FR_CHANNEL_MANIFOLD_PRESSURE] = 42e3;
        row->value[FR_CHANNEL_POWER] *= 0.06;
        row->value[FR_CHANNEL_FUEL_FLOW] *= 0.05;
        row->value[FR_CHANNEL_LAMBDA] = 1.0;
        row->value[FR_CHANNEL_DIRECT_PULSE] *= 0.3;
        row->value[FR_CHANNEL_PORT_PULSE] *= 0.3;
        sense(pull, &random, row);
    }
    return made;
}

/* ---- CSV ---- */

static double in_default_unit(int channel, double value) {
    const char *unit = fr_channel_unit((fr_channel)channel);
    return unit[0] == '\0' ? value : fr_in_unit(value, unit);
}

void synthetic_header(const synthetic *pull, FILE *out) {
    const char *between = "";
    for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++) {
        if (!pull->channels[channel])
            continue;
        const char *unit = fr_channel_unit((fr_channel)channel);
        fprintf(out, unit[0] == '\0' ? "%s%s" : "%s%s (%s)", between, TITLES[channel], unit);
        between = ",";
    }
    fputc('\n', out);
}

void synthetic_write(const synthetic *pull, const fr_log_row *rows, size_t count, FILE *out) {
    for (size_t i = 0; i < count; i++) {
        const char *between = "";
        for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++) {
            if (!pull->channels[channel])
                continue;
            fputs(between, out);
            between = ",";
            if (!isnan(rows[i].value[channel]))
                fprintf(out, "%.*f", DECIMALS[channel],
                        in_default_unit(channel, rows[i].value[channel]));
        }
        fputc('\n', out);
    }
}
