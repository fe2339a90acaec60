/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a channel that parts from its prediction suggests: a rule a row. Common practice, no
 * source; each is what a mechanic would look at first. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "review/compare.h"

/* A feed pressure that falls by less does not starve a high-pressure pump. */
static const double FALL_OF_INTEREST_PA = 0.1e5;
/* It sits lower, and does not fall, where it moves about its mean by less than this share of it. */
static const double COURSE_OF_INTEREST = 0.2;
/* What the better shape of a fall leaves, over what the other leaves. */
static const double CLEARLY_LESS = 0.5;

static const fr_review_channel *find(const fr_comparison *at, fr_channel channel) {
    for (size_t i = 0; i < at->result->channel_count; i++)
        if (at->result->channels[i].channel == channel)
            return &at->result->channels[i];
    return NULL;
}

static bool agrees(const fr_comparison *at, fr_channel channel) {
    const fr_review_channel *found = find(at, channel);
    return found != NULL && !found->parts;
}

/* ---- the shape of a fall in feed pressure ---- */

enum { FALL_NODES_MAX = FR_REVIEW_PULLS_MAX * FR_REVIEW_NODES_MAX };

/* Residual of feed pressure over fuel flow, node by node. */
typedef struct fall {
    size_t count;
    double flow[FALL_NODES_MAX];
    double residual[FALL_NODES_MAX];
} fall;

static void add_pull(const fr_problem *problem, size_t pull, fall *points) {
    double residuals[FR_REVIEW_NODES_MAX];
    fr_node_figures figures[FR_REVIEW_NODES_MAX];
    const double none[FR_REVIEW_PARAMETERS_MAX] = {0};
    fr_channel_residuals(problem, none, FR_CHANNEL_FEED_PRESSURE, pull, residuals);
    fr_problem_figures(problem, none, pull, figures);
    for (size_t i = 0; i < problem->pulls[pull].node_count; i++) {
        const double flow = figures[i].predicted[FR_CHANNEL_FUEL_FLOW];
        if (!isfinite(residuals[i]) || !isfinite(flow) || points->count == FALL_NODES_MAX)
            continue;
        points->flow[points->count] = flow;
        points->residual[points->count++] = residuals[i];
    }
}

static double square(double flow, double unused) {
    (void)unused;
    return flow * flow;
}

/* Nothing up to a flow, then a straight fall. */
static double hinge(double flow, double from) {
    return flow > from ? flow - from : 0.0;
}

/* What is left, in squares, of a straight line of the residual over `shape` of flow. */
static double left_of(const fall *points, double (*shape)(double, double), double from) {
    const double n = (double)points->count;
    double x = 0.0, xx = 0.0, y = 0.0, yy = 0.0, xy = 0.0;
    for (size_t i = 0; i < points->count; i++) {
        const double at = shape(points->flow[i], from);
        x += at;
        xx += at * at;
        y += points->residual[i];
        yy += points->residual[i] * points->residual[i];
        xy += at * points->residual[i];
    }
    const double spread = n * xx - x * x;
    const double cross = n * xy - x * y;
    const double all = n * yy - y * y;
    return spread > 0.0 ? (all - cross * cross / spread) / n : all / n;
}

/* A restriction's loss goes with the square of flow from the first; a pump too weak holds its
 * pressure up to some flow and then falls along its curve. The shape that leaves less is believed;
 * the second has a place more to fit, so it must leave clearly less. */
static bool falls_with_square(const fr_problem *problem) {
    fall *points = calloc(1, sizeof *points);
    if (points == NULL)
        return false;
    for (size_t pull = 0; pull < problem->pull_count; pull++)
        add_pull(problem, pull, points);
    const double by_square = left_of(points, square, 0.0);
    double by_hinge = by_square;
    for (size_t i = 0; i < points->count; i++)
        by_hinge = fmin(by_hinge, left_of(points, hinge, points->flow[i]));
    free(points);
    return by_hinge > CLEARLY_LESS * by_square;
}

/* ---- rules ---- */

typedef const char *(*rule)(const fr_comparison *at, const fr_review_channel *channel);

static const char *on_fuel_flow(const fr_comparison *at, const fr_review_channel *channel) {
    if (channel->mean_residual > 0.0)
        return at->result->power_logged
                   ? "BSFC is higher than the sheet says"
                   : "BSFC is higher than the sheet says, or more power was made";
    return at->result->power_logged
               ? "BSFC is lower than the sheet says"
               : "BSFC is lower than the sheet says, or the pull did not make the target";
}

static const char *on_pulse(const fr_comparison *at, const fr_review_channel *channel) {
    const bool flow_agrees = agrees(at, FR_CHANNEL_FUEL_FLOW);
    if (channel->mean_residual > 0.0)
        return flow_agrees ? "injectors pass less than their rating (small, dirty, or dead time "
                             "longer)"
                           : "more fuel than predicted, or injectors smaller than rated; a log of "
                             "fuel flow would tell which";
    return flow_agrees ? "injectors pass more than their rating, or dead time is shorter"
                       : "less fuel than predicted, or injectors larger than rated; a log of fuel "
                         "flow would tell which";
}

static const char *on_feed(const fr_comparison *at, const fr_review_channel *channel) {
    const double mean = channel->mean_residual;
    const double about = sqrt(fmax(0.0, channel->rms_residual * channel->rms_residual - mean * mean));
    if (channel->worst_residual > 0.0)
        return "the regulator, or the sensor, sits higher than the sheet says";
    if (about < COURSE_OF_INTEREST * fabs(mean))
        return "the regulator, or the sensor, sits lower than the sheet says, at all flows alike";
    const fr_review_channel *voltage = find(at, FR_CHANNEL_PUMP_VOLTAGE);
    if (voltage != NULL && voltage->parts && voltage->mean_residual < 0.0)
        return "pressure falls and so does the voltage at the pump: electrical first, then the pump";
    if (falls_with_square(at->problem))
        return "pressure falls with the square of flow: a restriction upstream (filter, line, "
               "strainer)";
    return "pressure falls at high flow: the pump is weaker than its sheet, or starved";
}

static const char *on_pump_voltage(const fr_comparison *at, const fr_review_channel *channel) {
    (void)at;
    return channel->mean_residual < 0.0
               ? "electrical: more is lost between battery and pump than the sheet says (wire, "
                 "relay, contacts)"
               : "the pump's wiring loses less than the sheet says";
}

static const char *on_pump_current(const fr_comparison *at, const fr_review_channel *channel) {
    (void)at;
    return channel->mean_residual > 0.0
               ? "the pump draws more than its sheet: it works against more pressure, or is worn"
               : "the pump draws less than its sheet: low voltage, or less pressure to work against";
}

static const char *on_rail(const fr_comparison *at, const fr_review_channel *channel) {
    if (at->bounds->high_all_held)
        return channel->mean_residual > 0.0
                   ? "rail pressure was held where the sheet expects it to fall: the high-pressure "
                     "pump is stronger than its sheet"
                   : "";
    const fr_review_channel *feed = find(at, FR_CHANNEL_FEED_PRESSURE);
    if (feed != NULL && feed->worst_residual < -FALL_OF_INTEREST_PA && feed->parts)
        return "rail pressure is not held, and feed pressure falls too: look at the high-pressure "
               "pump's feed first";
    return "rail pressure is not held: the high-pressure pump gives less than the engine takes";
}

static const char *on_lambda(const fr_comparison *at, const fr_review_channel *channel) {
    (void)at;
    return channel->mean_residual > 0.0 ? "leaner than the sheet says: stop if it was not asked for"
                                        : "richer than the sheet says: more fuel than planned";
}

static const char *on_power(const fr_comparison *at, const fr_review_channel *channel) {
    (void)at;
    return channel->mean_residual < 0.0
               ? "the pull made less than the target; what is learnt is scaled to the target"
               : "the pull made more than the target; what is learnt is scaled to the target";
}

static const char *on_manifold(const fr_comparison *at, const fr_review_channel *channel) {
    (void)at;
    return channel->mean_residual < 0.0 ? "less boost than the sheet says"
                                        : "more boost than the sheet says";
}

static const char *on_supply_voltage(const fr_comparison *at, const fr_review_channel *channel) {
    (void)at;
    return channel->mean_residual < 0.0 ? "electrical: the car's voltage is lower than the sheet says"
                                        : "the car's voltage is higher than the sheet says";
}

static const char *on_temperature(const fr_comparison *at, const fr_review_channel *channel) {
    (void)at;
    return channel->mean_residual > 0.0 ? "fuel is warmer than the sheet says: vapour sooner"
                                        : "fuel is cooler than the sheet says";
}

static const char *on_command(const fr_comparison *at, const fr_review_channel *channel) {
    (void)at;
    (void)channel;
    return "the controller commands another rail pressure than the sheet says";
}

static const struct {
    fr_channel channel;
    rule says;
    double least; /* a smaller mean is not worth a word; share or SI */
} RULES[] = {
    {FR_CHANNEL_FUEL_FLOW, on_fuel_flow, 0.0},
    {FR_CHANNEL_PORT_PULSE, on_pulse, 0.0},
    {FR_CHANNEL_DIRECT_PULSE, on_pulse, 0.0},
    {FR_CHANNEL_FEED_PRESSURE, on_feed, 0.0},
    {FR_CHANNEL_PUMP_VOLTAGE, on_pump_voltage, 0.0},
    {FR_CHANNEL_PUMP_CURRENT, on_pump_current, 0.0},
    {FR_CHANNEL_RAIL_PRESSURE, on_rail, 0.0},
    {FR_CHANNEL_LAMBDA, on_lambda, 0.0},
    {FR_CHANNEL_POWER, on_power, 0.03},
    {FR_CHANNEL_TORQUE, on_power, 0.03},
    {FR_CHANNEL_MANIFOLD_PRESSURE, on_manifold, 0.03},
    {FR_CHANNEL_SUPPLY_VOLTAGE, on_supply_voltage, 0.0},
    {FR_CHANNEL_FUEL_TEMPERATURE, on_temperature, 5.0},
    {FR_CHANNEL_RAIL_COMMAND, on_command, 0.03},
};

void fr_suggest(const fr_comparison *comparison, fr_review_channel *channel) {
    const bool falls = channel->channel == FR_CHANNEL_RAIL_PRESSURE &&
                       !comparison->bounds->high_all_held;
    for (size_t i = 0; i < sizeof RULES / sizeof *RULES; i++)
        if (RULES[i].channel == channel->channel && (channel->parts || falls) &&
            fabs(channel->mean_residual) >= RULES[i].least)
            snprintf(channel->suggests, sizeof channel->suggests, "%s",
                     RULES[i].says(comparison, channel));
}
