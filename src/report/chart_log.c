/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A channel of the log against what the sheet predicts, over engine speed. */
#include <math.h>

#include "report/chart_inside.h"
#include "report/chart_log.h"
#include "report/format.h"
#include "report/review_words.h"

/* More would be a thicket; the table of channels holds for all pulls. */
enum { PULLS_SHOWN = 3 };

bool fr_chart_log_has(const fr_review_channel *channel) {
    return channel->fitted && channel->nodes > 1;
}

static fr_measure measure_of(const fr_review_result *review, fr_channel channel) {
    if (channel == FR_CHANNEL_FUEL_FLOW) {
        return review->nodes[0].flow_is_mass ? FR_MEASURE_FUEL_MASS : FR_MEASURE_FUEL_VOLUME;
    }
    return fr_channel_measure(channel);
}

static void add_pull(const fr_chart_log *log, fr_measure measure, size_t pull, size_t style,
                     fr_chart *chart) {
    const fr_review_result *review = log->review;
    const fr_channel channel = log->channel->channel;
    char name[FR_CHART_TEXT_MAX];
    fr_chart_blend_name(review->pulls[pull].ethanol, "sheet, ", "", name, sizeof name);
    fr_series *predicted = fr_chart_add(chart, FR_SERIES_LINE, style, name);
    fr_chart_blend_name(review->pulls[pull].ethanol, "log, ", "", name, sizeof name);
    fr_series *measured = fr_chart_add(chart, FR_SERIES_POINTS, style, name);
    for (size_t i = 0; i < review->node_count; i++) {
        const fr_review_node *node = &review->nodes[i];
        if (node->pull == pull && node->flow_is_mass == review->nodes[0].flow_is_mass) {
            fr_series_add(predicted, node->rpm,
                          fr_measure_value(measure, log->units, node->predicted[channel]));
            fr_series_add(measured, node->rpm,
                          fr_measure_value(measure, log->units, node->measured[channel]));
        }
    }
}

void fr_chart_fill_log(const fr_chart_log *log, fr_chart *chart) {
    const fr_review_result *review = log->review;
    const fr_channel channel = log->channel->channel;
    const fr_measure measure = measure_of(review, channel);
    snprintf(chart->title, sizeof chart->title, "%s, logged and predicted",
             fr_channel_label(channel));
    snprintf(chart->desc, sizeof chart->desc,
             "Lines: what the sheet predicts. Marks: what the log says, means over a band of "
             "speeds. One pair a pull.");
    snprintf(chart->x_label, sizeof chart->x_label, "engine speed, rpm");
    snprintf(chart->y_label, sizeof chart->y_label, "%s, %s", fr_channel_subject(channel),
             fr_measure_unit(measure, log->units));
    chart->y_from_zero = true;
    chart->y_decimals = fr_measure_decimals(
        measure, log->units,
        fr_measure_value(measure, log->units, review->nodes[0].measured[channel]));
    chart->plot_height = FR_CHART_PLOT_LOW + FR_CHART_PLOT_LOW / 2;
    size_t shown = 0;
    for (size_t pull = 0; pull < review->pull_count && shown < PULLS_SHOWN; pull++) {
        if (review->pulls[pull].fate == FR_PULL_USED) {
            add_pull(log, measure, pull, shown++, chart);
        }
    }
}
