/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How long the injectors are open, and the rail pressure. */
#include "report/chart_inside.h"
#include "report/format.h"

/* ---- duty and window ---- */

typedef double point_figure(const fr_point *point);

static double duty_of(const fr_point *point) {
    return 100.0 * point->port_duty;
}

static double window_use_of(const fr_point *point) {
    return 100.0 * point->direct_angle_deg / point->direct_window_deg;
}

static void add_figures(const fr_chart_source *source, fr_chart *chart, const char *before,
                        size_t first_style, point_figure *figure) {
    size_t shown[FR_CHART_BLENDS_SHOWN];
    const size_t count = fr_chart_shown_blends(source->check->result, shown);
    for (size_t n = 0; n < count; n++) {
        const fr_blend_result *blend = &source->check->result->blends[shown[n]];
        char name[FR_CHART_TEXT_MAX];
        fr_chart_blend_name(blend->ethanol, before, "", name, sizeof name);
        fr_series *series = fr_chart_add(chart, FR_SERIES_LINE, first_style + n, name);
        for (size_t i = 0; i < blend->point_count; i++) {
            fr_series_add(series, blend->points[i].speed_rpm, figure(&blend->points[i]));
        }
    }
}

static void add_limit(const fr_chart_source *source, fr_chart *chart, fr_stage stage,
                      const char *name) {
    fr_series *series = fr_chart_add(chart, FR_SERIES_LEVEL, FR_TARGET_STYLE, name);
    fr_series_add(series, 0.0, 100.0 * fr_build_limit(source->check->build, stage));
}

void fr_chart_fill_duty(const fr_chart_source *source, fr_chart *chart) {
    const fr_build *build = source->check->build;
    const bool port = build->port.present, direct = build->direct.present;
    snprintf(chart->title, sizeof chart->title, "How long the injectors are open");
    snprintf(chart->desc, sizeof chart->desc,
             "Port injectors: share of the cycle. Direct injectors: share of the injection window "
             "at the commanded rail pressure. The level is the limit.");
    snprintf(chart->x_label, sizeof chart->x_label, "engine speed, rpm");
    snprintf(chart->y_label, sizeof chart->y_label, "used, %%");
    chart->y_from_zero = true;
    chart->y_most = 160.0;
    chart->y_decimals = 0;
    if (port) {
        add_figures(source, chart, "port, ", 0, duty_of);
        add_limit(source, chart, FR_STAGE_PORT_INJECTOR, "limit, port");
    }
    if (direct) {
        add_figures(source, chart, "direct, ", 4, window_use_of);
        add_limit(source, chart, FR_STAGE_DIRECT_INJECTOR, "limit, direct");
    }
}

/* ---- rail pressure ---- */

bool fr_chart_has_direct(const fr_chart_source *source) {
    return source->check->build->direct.present;
}

static void add_rail(const fr_chart_source *source, fr_chart *chart, const fr_blend_result *blend,
                     const char *before, size_t style, bool required) {
    char name[FR_CHART_TEXT_MAX];
    fr_chart_blend_name(blend->ethanol, before, "", name, sizeof name);
    fr_series *series = fr_chart_add(chart, FR_SERIES_LINE, style, name);
    for (size_t i = 0; i < blend->point_count; i++) {
        const fr_point *point = &blend->points[i];
        const double pressure = required ? point->direct_required_pa : point->direct_available_pa;
        fr_series_add(series, point->speed_rpm,
                      fr_measure_value(FR_MEASURE_RAIL_PRESSURE, source->units, pressure));
    }
}

void fr_chart_fill_rail(const fr_chart_source *source, fr_chart *chart) {
    const fr_check_result *result = source->check->result;
    const fr_blend_result *weakest = &result->blends[fr_weakest_blend(result)];
    const fr_blend_result *first = &result->blends[0];
    snprintf(chart->title, sizeof chart->title, "Rail pressure over engine speed");
    snprintf(chart->desc, sizeof chart->desc,
             "Required: what passes the fuel in the injection window. Available: the greatest at "
             "which the high-pressure pump still delivers it; a gap means that no pressure passes "
             "the fuel. Where required meets available, injection pressure ends it.");
    snprintf(chart->x_label, sizeof chart->x_label, "engine speed, rpm");
    snprintf(chart->y_label, sizeof chart->y_label, "rail pressure, %s absolute",
             fr_measure_unit(FR_MEASURE_RAIL_PRESSURE, source->units));
    chart->y_from_zero = true;
    chart->y_decimals = 0;
    chart->y_most = 1.4 * fr_measure_value(FR_MEASURE_RAIL_PRESSURE, source->units,
                                           weakest->points[0].direct_limit_pa);
    fr_series *command = fr_chart_add(chart, FR_SERIES_LINE, FR_TARGET_STYLE, "commanded");
    for (size_t i = 0; i < weakest->point_count; i++) {
        fr_series_add(command, weakest->points[i].speed_rpm,
                      fr_measure_value(FR_MEASURE_RAIL_PRESSURE, source->units,
                                       weakest->points[i].direct_command_pa));
    }
    add_rail(source, chart, first, "required, ", 0, true);
    add_rail(source, chart, first, "available, ", 1, false);
    if (weakest != first) {
        add_rail(source, chart, weakest, "required, ", 2, true);
        add_rail(source, chart, weakest, "available, ", 3, false);
    }
}
