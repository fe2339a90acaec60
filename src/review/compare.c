/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/compare.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "review/channels.h"

static const double HALF_95 = 1.96;
static const double STEP = 0.5;     /* standard deviations, for what the sheet leaves open */
static const double LOCAL = 1.5;    /* so many uncertainties at two nodes part a channel too */
enum { LOCAL_NODES = 2 };

/* A figure a channel and node, in order of pulls. */
typedef struct table {
    size_t nodes;
    double *figures;
} table;

static double *row(const table *of, int channel) {
    return of->figures + (size_t)channel * of->nodes;
}

static bool is_relative(fr_channel channel) {
    return fr_channel_worth_of(channel)->relative;
}

static bool is_compared(int channel) {
    return channel != FR_CHANNEL_TIME && channel != FR_CHANNEL_ENGINE_SPEED &&
           channel != FR_CHANNEL_ETHANOL;
}

/* Conditions are held against the sheet; answers against the prediction. */
static double predicted_of(int channel, const fr_node_figures *figures, const double *expected) {
    const bool answers = fr_channel_worth_of((fr_channel)channel)->role == FR_CHANNEL_ANSWERS;
    return answers ? figures->predicted[channel] : expected[channel];
}

static double residual_of(int channel, double measured, const fr_node_figures *figures,
                          const double *expected) {
    const double predicted = predicted_of(channel, figures, expected);
    return is_relative((fr_channel)channel) ? measured / predicted - 1.0 : measured - predicted;
}

/* Measured less predicted, everywhere. */
static void fill(const fr_problem *problem, const double *deviations, const table *residuals) {
    size_t at = 0;
    for (size_t pull = 0; pull < problem->pull_count; pull++) {
        const fr_used_pull *used = &problem->pulls[pull];
        fr_node_figures figures[FR_REVIEW_NODES_MAX];
        fr_problem_figures(problem, deviations, pull, figures);
        for (size_t node = 0; node < used->node_count; node++, at++) {
            double expected[FR_CHANNEL_COUNT];
            fr_node_expect(problem->moved, used->ethanol, used->nodes[node].rpm, expected);
            for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++)
                row(residuals, channel)[at] =
                    residual_of(channel, used->nodes[node].value[channel].mean, &figures[node],
                                expected);
        }
    }
}

void fr_channel_residuals(const fr_problem *problem, const double *deviations, fr_channel channel,
                          size_t pull, double residuals[FR_REVIEW_NODES_MAX]) {
    const fr_used_pull *used = &problem->pulls[pull];
    fr_node_figures figures[FR_REVIEW_NODES_MAX];
    fr_problem_figures(problem, deviations, pull, figures);
    for (size_t i = 0; i < used->node_count; i++) {
        double expected[FR_CHANNEL_COUNT];
        fr_node_expect(problem->moved, used->ethanol, used->nodes[i].rpm, expected);
        residuals[i] = residual_of((int)channel, used->nodes[i].value[channel].mean, &figures[i],
                                   expected);
    }
}

static double mean_of(const double *values, size_t count, size_t *used, double *rms) {
    double sum = 0.0;
    double squares = 0.0;
    *used = 0;
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(values[i]))
            continue;
        sum += values[i];
        squares += values[i] * values[i];
        ++*used;
    }
    *rms = *used > 0 ? sqrt(squares / (double)*used) : NAN;
    return *used > 0 ? sum / (double)*used : NAN;
}

/* Deviations at which the sheet stands for itself: no parameter moved. */
static const double AS_SHEET[FR_REVIEW_PARAMETERS_MAX];

/* Adds what one parameter moves to the squares of every node, and to the mean's of a channel. */
static void add_slopes(const double *base, const double *moved, size_t nodes, double *node_squares,
                       double *mean_square) {
    double sum = 0.0;
    size_t used = 0;
    for (size_t i = 0; i < nodes; i++) {
        const double slope = (moved[i] - base[i]) / STEP;
        if (!isfinite(slope))
            continue;
        node_squares[i] += slope * slope;
        sum += slope;
        used++;
    }
    if (used > 0)
        *mean_square += sum * sum / ((double)used * (double)used);
}

/* What all that the sheet and the sensors leave open does to each node's residual, and to the
 * mean of a channel: half of a 95 % interval. */
static void open_halves(const fr_problem *problem, const table *base, const table *room,
                        const table *halves, double mean_half[FR_CHANNEL_COUNT]) {
    double moved[FR_REVIEW_PARAMETERS_MAX] = {0};
    memset(halves->figures, 0, FR_CHANNEL_COUNT * halves->nodes * sizeof *halves->figures);
    memset(mean_half, 0, FR_CHANNEL_COUNT * sizeof *mean_half);
    for (size_t j = 0; j < fr_parameter_count(problem->parameters); j++) {
        moved[j] = STEP;
        fill(problem, moved, room);
        moved[j] = 0.0;
        for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++)
            add_slopes(row(base, channel), row(room, channel), base->nodes, row(halves, channel),
                       &mean_half[channel]);
    }
    for (size_t i = 0; i < FR_CHANNEL_COUNT * halves->nodes; i++)
        halves->figures[i] = HALF_95 * sqrt(halves->figures[i]);
    for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++)
        mean_half[channel] = HALF_95 * sqrt(mean_half[channel]);
}

/* Where the residual is greatest. */
static void note_worst(const fr_problem *problem, const double *base, fr_review_channel *channel) {
    size_t i = 0;
    channel->worst_residual = 0.0;
    for (size_t pull = 0; pull < problem->pull_count; pull++)
        for (size_t node = 0; node < problem->pulls[pull].node_count; node++, i++)
            if (isfinite(base[i]) && fabs(base[i]) >= fabs(channel->worst_residual)) {
                channel->worst_residual = base[i];
                channel->worst_pull = problem->pulls[pull].shown;
                channel->worst_rpm = problem->pulls[pull].nodes[node].rpm;
            }
}

static bool parts_locally(const double *base, const double *halves, double open, size_t nodes) {
    size_t beyond = 0;
    for (size_t i = 0; i < nodes; i++)
        beyond += isfinite(base[i]) && fabs(base[i]) > LOCAL * hypot(halves[i], open) &&
                  halves[i] + open > 0.0;
    return beyond >= LOCAL_NODES;
}

static void compare_one(const fr_comparison *at, int which, const table *base, const table *learnt,
                        const table *halves, double mean_half) {
    fr_review_channel *channel = &at->result->channels[at->result->channel_count];
    double rms;
    size_t nodes;
    memset(channel, 0, sizeof *channel);
    channel->mean_residual = mean_of(row(base, which), base->nodes, &nodes, &rms);
    if (nodes == 0)
        return;
    channel->channel = (fr_channel)which;
    channel->nodes = nodes;
    channel->relative = is_relative((fr_channel)which);
    channel->fitted = fr_channel_worth_of((fr_channel)which)->role == FR_CHANNEL_ANSWERS;
    channel->rms_residual = rms;
    const double open = fr_channel_worth_of((fr_channel)which)->open;
    channel->uncertainty = hypot(mean_half, open);
    note_worst(at->problem, row(base, which), channel);
    channel->parts = fabs(channel->mean_residual) > channel->uncertainty ||
                     parts_locally(row(base, which), row(halves, which), open, base->nodes);
    mean_of(row(learnt, which), learnt->nodes, &nodes, &channel->learnt_rms);
    at->result->channel_count++;
}

static void note_node(const fr_problem *problem, const fr_used_pull *used, size_t at,
                      const fr_node_figures *figures, fr_review_node *node) {
    double expected[FR_CHANNEL_COUNT];
    fr_node_expect(problem->moved, used->ethanol, used->nodes[at].rpm, expected);
    node->pull = used->shown;
    node->rpm = used->nodes[at].rpm;
    node->flow_is_mass = used->columns.flow_is_mass;
    for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++) {
        node->measured[channel] = used->nodes[at].value[channel].mean;
        node->predicted[channel] = predicted_of(channel, figures, expected);
    }
}

/* Both sides of every comparison, for who draws them. */
static void note_nodes(const fr_problem *problem, fr_review_result *result) {
    result->node_count = 0;
    for (size_t pull = 0; pull < problem->pull_count; pull++) {
        const fr_used_pull *used = &problem->pulls[pull];
        fr_node_figures figures[FR_REVIEW_NODES_MAX];
        fr_problem_figures(problem, AS_SHEET, pull, figures);
        for (size_t i = 0; i < used->node_count; i++) {
            note_node(problem, used, i, &figures[i], &result->nodes[result->node_count++]);
        }
    }
}

/* Rail pressure is left out: where it breaks down a small lack of fuel is a great one of pressure. */
static double misfit_allowed(fr_channel channel) {
    static const double SHARE = 0.06; /* of the value (common practice, no source) */
    static const double FEED_PA = 0.4e5, VOLT = 1.0; /* likewise */
    switch (channel) {
    case FR_CHANNEL_FUEL_FLOW:
    case FR_CHANNEL_PORT_PULSE:
    case FR_CHANNEL_DIRECT_PULSE:
        return SHARE;
    case FR_CHANNEL_FEED_PRESSURE:
        return FEED_PA;
    case FR_CHANNEL_PUMP_VOLTAGE:
        return VOLT;
    default:
        return INFINITY;
    }
}

static void note_misfit(fr_review_result *result) {
    double worst = 1.0;
    for (size_t i = 0; i < result->channel_count; i++) {
        const fr_review_channel *channel = &result->channels[i];
        const double share = channel->learnt_rms / misfit_allowed(channel->channel);
        if (!(share > worst))
            continue;
        worst = share;
        result->misfits = true;
        result->misfit_channel = channel->channel;
        result->misfit = channel->learnt_rms;
    }
}

bool fr_compare_channels(const fr_comparison *comparison) {
    const fr_problem *problem = comparison->problem;
    double mean_half[FR_CHANNEL_COUNT];
    size_t nodes = 0;
    for (size_t pull = 0; pull < problem->pull_count; pull++)
        nodes += problem->pulls[pull].node_count;
    const size_t size = nodes * FR_CHANNEL_COUNT;
    double *values = malloc((3 * size + 1) * sizeof *values);
    if (values == NULL)
        return false;
    const table base = {nodes, values};
    const table other = {nodes, values + size};
    const table halves = {nodes, values + 2 * size};
    fill(problem, AS_SHEET, &base);
    note_nodes(problem, comparison->result);
    open_halves(problem, &base, &other, &halves, mean_half);
    fill(problem, comparison->fit->deviations, &other);
    for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++)
        if (is_compared(channel))
            compare_one(comparison, channel, &base, &other, &halves, mean_half[channel]);
    free(values);
    for (size_t i = 0; i < comparison->result->channel_count; i++)
        fr_suggest(comparison, &comparison->result->channels[i]);
    note_misfit(comparison->result);
    return true;
}
