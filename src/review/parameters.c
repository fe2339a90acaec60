/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/parameters.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "review/channels.h"

static const double HALF_95 = 1.96;
/* Where the sheet has no line-loss input: how far the lines' part of the loss may be off, and the
 * filters' (as the sheet's default). Common practice, no source. */
static const double LINES_HALF = 0.20;
static const double FILTERS_HALF = 0.50;

static const char *const FACTOR_NAMES[FR_FACTOR_COUNT] = {
    [FR_FACTOR_BSFC] = "bsfc",
    [FR_FACTOR_PORT_INJECTOR] = "port-injector",
    [FR_FACTOR_DIRECT_INJECTOR] = "direct-injector",
    [FR_FACTOR_LIFT_PUMP] = "lift-pump",
    [FR_FACTOR_HIGH_PRESSURE_PUMP] = "high-pressure-pump",
    [FR_FACTOR_LINE_LOSS] = "line-loss",
};

const char *fr_factor_name(fr_factor factor) {
    return FACTOR_NAMES[factor];
}

/* "lift-pump-2" and on. */
static bool is_other_pump(const char *name) {
    static const char FIRST[] = "lift-pump-";
    return strncmp(name, FIRST, sizeof FIRST - 1) == 0;
}

static void join_pump(fr_parameters *parameters, const fr_input *other) {
    const size_t first = parameters->factor_input[FR_FACTOR_LIFT_PUMP];
    if (first == SIZE_MAX)
        return;
    fr_input *input = &parameters->inputs[first];
    for (size_t i = 0; i < other->target_count && input->target_count < FR_INPUT_TARGETS_MAX; i++)
        input->targets[input->target_count++] = other->targets[i];
    input->half_width = fmax(input->half_width, other->half_width);
}

static void note_factor(fr_parameters *parameters, size_t index) {
    for (int factor = 0; factor < FR_FACTOR_COUNT; factor++)
        if (strcmp(parameters->inputs[index].name, FACTOR_NAMES[factor]) == 0)
            parameters->factor_input[factor] = index;
}

/* The filters' share of the loss at a flow of theirs decides how well the whole is known. */
static double line_loss_half(const fr_build *build) {
    const fr_feed *feed = &build->feed;
    const double flow = feed->filter_count > 0 ? feed->filters[0].rated_flow_m3_s : 0.0;
    const fr_blend fuel = fr_blend_make(&build->gasoline, 0.0);
    const double density = fr_blend_density(&fuel, build->site.feed_temperature_c);
    const double viscosity = fr_blend_viscosity(&fuel, build->site.feed_temperature_c);
    double filters = 0.0;
    for (size_t i = 0; i < feed->filter_count; i++) {
        const double share = flow / feed->filters[i].rated_flow_m3_s;
        filters += feed->filters[i].drop_pa * share * share;
    }
    const double whole = fr_feed_loss(feed, flow, density, viscosity) / feed->loss_factor;
    const double part = whole > 0.0 ? filters / whole : 0.0;
    return hypot(part * FILTERS_HALF, (1.0 - part) * LINES_HALF);
}

static void add_line_loss(const fr_build *build, fr_parameters *parameters) {
    if (parameters->input_count == FR_REVIEW_INPUTS_MAX ||
        build->feed.filter_count + build->feed.line_count == 0)
        return;
    fr_input *input = &parameters->inputs[parameters->input_count];
    memset(input, 0, sizeof *input);
    input->name = FACTOR_NAMES[FR_FACTOR_LINE_LOSS];
    input->label = "pressure lost between tank and rail";
    input->advice = "log pressure at the tank and at the rail";
    input->kind = FR_INPUT_SCALE;
    input->half_width = line_loss_half(build);
    input->assumed = true;
    input->bad_is_high = true;
    input->target_count = 1;
    input->targets[0] = offsetof(fr_build, feed.loss_factor);
    parameters->factor_input[FR_FACTOR_LINE_LOSS] = parameters->input_count++;
}

void fr_parameters_make(const fr_build *build, const fr_input *inputs, size_t input_count,
                        const bool found[FR_CHANNEL_COUNT], fr_parameters *parameters) {
    memset(parameters, 0, sizeof *parameters);
    for (int factor = 0; factor < FR_FACTOR_COUNT; factor++)
        parameters->factor_input[factor] = SIZE_MAX;
    for (size_t i = 0; i < input_count; i++) {
        if (is_other_pump(inputs[i].name)) {
            join_pump(parameters, &inputs[i]);
        } else if (strcmp(inputs[i].name, "filter-drop") != 0 &&
                   parameters->input_count < FR_REVIEW_INPUTS_MAX) {
            parameters->inputs[parameters->input_count] = inputs[i];
            note_factor(parameters, parameters->input_count++);
        }
    }
    if (parameters->factor_input[FR_FACTOR_LINE_LOSS] == SIZE_MAX)
        add_line_loss(build, parameters);
    for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++)
        if (found[channel] && fr_channel_worth_of((fr_channel)channel)->accuracy > 0.0 &&
            !(channel == FR_CHANNEL_TORQUE && found[FR_CHANNEL_POWER]))
            parameters->bias[parameters->bias_count++] = (fr_channel)channel;
}

double fr_parameter_factor(const fr_parameters *parameters, fr_factor factor, double deviation) {
    const size_t index = parameters->factor_input[factor];
    return 1.0 + parameters->inputs[index].half_width * deviation / HALF_95;
}

double fr_parameter_bias(const fr_parameters *parameters, const double *deviations,
                         fr_channel channel) {
    /* Power and torque are one sensor. */
    for (size_t i = 0; i < parameters->bias_count; i++)
        if (parameters->bias[i] == channel ||
            (channel == FR_CHANNEL_POWER && parameters->bias[i] == FR_CHANNEL_TORQUE))
            return fr_channel_worth_of(channel)->accuracy *
                   deviations[parameters->input_count + i] / HALF_95;
    return 0.0;
}
