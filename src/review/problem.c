/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/problem.h"

#include <math.h>
#include <stdlib.h>

#include "review/channels.h"

/* Rail pressure moves so much about its command while it is held (common practice, no source). */
static const double HELD_SHARE = 0.02;
/* No rail sensor in order is off by more. */
static const double SENSOR_MOST = 0.03;
enum { NODES_FOR_REFERENCE = 3 };
static const double HELD_LEAST_PA = 3e5;
/* Below this share of its command the rail has broken down: the engine no longer gets its fuel. */
static const double GONE_SHARE = 0.25;
/* A node within which it runs over more of its command has no one pressure. */
static const double COURSE_MOST = 0.10;
/* Fuel stored in, or drawn from, the rail while pressure moves; and steps of the controller:
 * share of the fuel at one node (common practice, no source). */
static const double FUEL_BALANCE_SIGMA = 0.004;

/* Residual beyond which only its sign is of use. */
static const double ASTRAY = 1e4;

fr_rail_state fr_rail_state_of(const fr_problem *problem, size_t pull, size_t node,
                               const fr_node_figures *figures) {
    const fr_node_value *value =
        &problem->pulls[pull].nodes[node].value[FR_CHANNEL_RAIL_PRESSURE];
    const double rail = value->mean;
    if (isnan(rail) || isnan(figures->high_gap) ||
        value->spread > COURSE_MOST * figures->rail_command_pa)
        return FR_RAIL_UNKNOWN;
    const double held = problem->rail_reference[pull] * figures->rail_command_pa;
    if (rail < GONE_SHARE * held)
        return FR_RAIL_GONE;
    return held - rail > fmax(HELD_SHARE * held, HELD_LEAST_PA) ? FR_RAIL_SHORT : FR_RAIL_HELD;
}

/* A sensor that is off reads so over the whole pull; a pump that gives way does not. So pressure is
 * held against the best that the pull shows, where that is near the command. */
static double rail_reference(const fr_used_pull *pull, const fr_node_figures *figures) {
    double ratios[FR_REVIEW_NODES_MAX];
    size_t count = 0;
    for (size_t i = 0; i < pull->node_count; i++) {
        const double rail = pull->nodes[i].value[FR_CHANNEL_RAIL_PRESSURE].mean;
        if (!isnan(rail) && rail > (1.0 - SENSOR_MOST) * figures[i].rail_command_pa)
            ratios[count++] = rail / figures[i].rail_command_pa;
    }
    if (count < NODES_FOR_REFERENCE)
        return 1.0;
    return fmin(fr_median(ratios, count), 1.0 + SENSOR_MOST);
}

/* ---- the figures at some deviations ---- */

static fr_sensor_errors errors_at(const fr_problem *problem, const double *deviations) {
    const fr_parameters *parameters = problem->parameters;
    return (fr_sensor_errors){
        .power = fr_parameter_bias(parameters, deviations, FR_CHANNEL_POWER),
        .rail_pressure = fr_parameter_bias(parameters, deviations, FR_CHANNEL_RAIL_PRESSURE)};
}

static void move(const fr_problem *problem, const double *deviations) {
    fr_build_move(problem->build, problem->parameters->inputs, problem->parameters->input_count,
                  deviations, problem->moved);
}

/* What the sensor of a channel would show for a true value. */
static double shown(const fr_problem *problem, const double *deviations, fr_channel channel,
                    double value) {
    const double bias = fr_parameter_bias(problem->parameters, deviations, channel);
    return fr_channel_worth_of(channel)->relative ? value * (1.0 + bias) : value + bias;
}

void fr_problem_figures(const fr_problem *problem, const double *deviations, size_t pull,
                        fr_node_figures figures[FR_REVIEW_NODES_MAX]) {
    const fr_used_pull *used = &problem->pulls[pull];
    const fr_sensor_errors errors = errors_at(problem, deviations);
    fr_driven driven;
    move(problem, deviations);
    fr_drive_pull(problem->moved, problem->work, used, &driven);
    for (size_t node = 0; node < used->node_count; node++) {
        fr_node_predict(&driven, &used->nodes[node], &errors, &figures[node]);
        for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++)
            figures[node].predicted[channel] = shown(problem, deviations, (fr_channel)channel,
                                                     figures[node].predicted[channel]);
    }
}

/* ---- residuals ---- */

static double residual(const fr_problem *problem, const fr_datum *datum,
                       const fr_node_figures *figures) {
    const fr_pull_node *node = &problem->pulls[datum->pull].nodes[datum->node];
    if (datum->kind == FR_DATUM_RAIL_SHORT)
        return figures->high_gap / datum->sigma;
    return (node->value[datum->channel].mean - figures->predicted[datum->channel]) / datum->sigma;
}

void fr_problem_residuals(const fr_problem *problem, const double *deviations, double *residuals) {
    const fr_sensor_errors errors = errors_at(problem, deviations);
    fr_node_figures figures;
    fr_driven driven = {.pull = NULL};
    move(problem, deviations);
    for (size_t i = 0; i < problem->data_count; i++) {
        const fr_datum *datum = &problem->data[i];
        const bool same = i > 0 && datum->pull == datum[-1].pull && datum->node == datum[-1].node;
        const fr_used_pull *pull = &problem->pulls[datum->pull];
        if (driven.pull != pull)
            fr_drive_pull(problem->moved, problem->work, pull, &driven);
        if (!same) {
            fr_node_predict(&driven, &pull->nodes[datum->node], &errors, &figures);
            for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++)
                figures.predicted[channel] = shown(problem, deviations, (fr_channel)channel,
                                                   figures.predicted[channel]);
        }
        residuals[i] = residual(problem, datum, &figures);
        /* The model answers at the start; where it no longer does (no pressure left over an
         * injector) the parameters have gone astray. */
        if (!isfinite(residuals[i]) || fabs(residuals[i]) > ASTRAY)
            residuals[i] = residuals[i] < 0.0 ? -ASTRAY : ASTRAY;
    }
}

/* ---- which data there are ---- */

/* Share by which the noise of what drives the node (power, lambda) moves its fuel. */
static double drive_noise(const fr_pull_node *node) {
    const fr_node_value *power = &node->value[FR_CHANNEL_POWER];
    const fr_node_value *torque = &node->value[FR_CHANNEL_TORQUE];
    const fr_node_value *pressure = &node->value[FR_CHANNEL_MANIFOLD_PRESSURE];
    const fr_node_value *lambda = &node->value[FR_CHANNEL_LAMBDA];
    const fr_node_value *drives = !isnan(power->mean)    ? power
                                  : !isnan(torque->mean) ? torque
                                                         : pressure;
    const double by_power = isnan(drives->mean) ? 0.0 : drives->sigma / drives->mean;
    const double by_lambda = isnan(lambda->mean) ? 0.0 : lambda->sigma / lambda->mean;
    return hypot(by_power, by_lambda);
}

double fr_balance_sigma(const fr_pull_node *node) {
    return hypot(FUEL_BALANCE_SIGMA, drive_noise(node));
}

static fr_datum rail_datum(const fr_datum *plain, const fr_pull_node *node,
                           const fr_node_figures *figures) {
    fr_datum datum = *plain;
    const double by_pressure = figures->high_gap_slope * plain->sigma /
                               node->value[FR_CHANNEL_RAIL_PRESSURE].mean;
    datum.kind = FR_DATUM_RAIL_SHORT;
    datum.sigma = hypot(by_pressure, fr_balance_sigma(node));
    return datum;
}

static bool follows_fuel(int channel) {
    return channel == FR_CHANNEL_FUEL_FLOW || channel == FR_CHANNEL_PORT_PULSE ||
           channel == FR_CHANNEL_DIRECT_PULSE;
}

/* Data of one node. */
static size_t node_data(const fr_problem *problem, unsigned pull, unsigned node,
                        const fr_node_figures *figures, fr_datum *data) {
    const fr_pull_node *values = &problem->pulls[pull].nodes[node];
    const double driven = drive_noise(values);
    size_t count = 0;
    for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++) {
        const fr_node_value *value = &values->value[channel];
        if (fr_channel_worth_of((fr_channel)channel)->role != FR_CHANNEL_ANSWERS ||
            isnan(value->mean) || isnan(figures->predicted[channel]))
            continue;
        const bool rail = channel == FR_CHANNEL_RAIL_PRESSURE;
        if (rail && fr_rail_state_of(problem, pull, node, figures) != FR_RAIL_SHORT)
            continue;
        fr_datum plain = {.pull = pull, .node = node, .channel = (fr_channel)channel};
        plain.sigma = hypot(value->sigma, fr_channel_floor((fr_channel)channel, value->mean));
        if (follows_fuel(channel))
            plain.sigma = hypot(plain.sigma, driven * value->mean);
        data[count++] = rail ? rail_datum(&plain, values, figures) : plain;
    }
    return count;
}

static void list_data(fr_problem *problem, const double *none) {
    for (size_t pull = 0; pull < problem->pull_count; pull++) {
        fr_node_figures figures[FR_REVIEW_NODES_MAX];
        fr_problem_figures(problem, none, pull, figures);
        problem->rail_reference[pull] = rail_reference(&problem->pulls[pull], figures);
        for (size_t node = 0; node < problem->pulls[pull].node_count; node++)
            problem->data_count += node_data(problem, (unsigned)pull, (unsigned)node,
                                             &figures[node], problem->data + problem->data_count);
    }
}

bool fr_problem_open(fr_problem *problem, const fr_build *build, const fr_parameters *parameters,
                     const fr_used_pull *pulls, size_t pull_count) {
    const double none[FR_REVIEW_PARAMETERS_MAX] = {0};
    *problem = (fr_problem){.build = build, .parameters = parameters, .pulls = pulls,
                            .pull_count = pull_count};
    size_t most = 1;
    for (size_t pull = 0; pull < pull_count; pull++)
        most += pulls[pull].node_count * FR_CHANNEL_COUNT;
    problem->data = malloc(most * sizeof *problem->data);
    problem->moved = malloc(sizeof *problem->moved);
    problem->work = malloc(sizeof *problem->work);
    if (problem->data == NULL || problem->moved == NULL || problem->work == NULL)
        return false;
    list_data(problem, none);
    return true;
}

void fr_problem_close(fr_problem *problem) {
    free(problem->data);
    free(problem->moved);
    free(problem->work);
    problem->data = NULL;
    problem->moved = problem->work = NULL;
}
