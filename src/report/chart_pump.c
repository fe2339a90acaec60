/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The lift pump's curve against what it works on. */
#include "fuelreach/supply.h"
#include "report/chart_inside.h"
#include "report/format.h"
#include "supply/pumps.h"

static double pressure(const fr_chart_source *source, double pa) {
    return fr_measure_value(FR_MEASURE_PRESSURE, source->units, pa);
}

static double pump_flow(const fr_chart_source *source, double m3_s) {
    return fr_measure_value(FR_MEASURE_PUMP_FLOW, source->units, m3_s);
}

static void add_pump_curve(const fr_chart_source *source, fr_chart *chart, double rise_most) {
    enum { STEPS = 40 };
    const fr_build *build = source->check->build;
    fr_series *series = fr_chart_add(chart, FR_SERIES_LINE, 0, "the pumps, as wired");
    for (int i = 0; i <= STEPS; i++) {
        const double rise = rise_most * (double)i / STEPS;
        const double flow = fr_pumps_flow(&build->pumps, build->site.supply_voltage_v, rise);
        fr_series_add(series, pump_flow(source, flow), pressure(source, rise));
    }
}

/* What the pumps work against at a demand, at the point of the pull that needs most. */
static void add_system_curve(const fr_chart_source *source, fr_chart *chart,
                             const fr_blend_result *blend, double flow_most) {
    enum { STEPS = 40 };
    const fr_build *build = source->check->build;
    const fr_point *most = &blend->points[0];
    for (size_t i = 0; i < blend->point_count; i++) {
        most = blend->points[i].fuel_kg_s > most->fuel_kg_s ? &blend->points[i] : most;
    }
    const bool at_tank = build->feed.regulation == FR_MECHANICAL_RETURNLESS;
    char name[FR_CHART_TEXT_MAX];
    fr_chart_blend_name(blend->ethanol, "the way to the rail, ", "", name, sizeof name);
    fr_series *series = fr_chart_add(chart, FR_SERIES_LINE, 1, name);
    for (int i = 0; i <= STEPS; i++) {
        const double flow = flow_most * (double)i / STEPS;
        const double loss =
            at_tank ? 0.0
                    : fr_feed_loss(&build->feed, flow, blend->density_kg_m3, blend->viscosity_pa_s);
        fr_series_add(series, pump_flow(source, flow), pressure(source, most->set_gauge_pa + loss));
    }
}

void fr_chart_fill_pump(const fr_chart_source *source, fr_chart *chart) {
    static const double ROOM = 1.6;
    const fr_build *build = source->check->build;
    const fr_check_result *result = source->check->result;
    const fr_blend_result *blend = &result->blends[fr_weakest_blend(result)];
    double rise_most = 0.0;
    for (size_t i = 0; i < blend->point_count; i++) {
        const double rise = blend->points[i].pump_rise_pa;
        rise_most = rise > rise_most ? rise : rise_most;
    }
    const double free_flow = fr_pumps_flow(&build->pumps, build->site.supply_voltage_v, 0.0);
    snprintf(chart->title, sizeof chart->title, "Lift pump against the way to the rail");
    snprintf(chart->desc, sizeof chart->desc,
             "The pumps' pressure falls with flow; what they work against rises with it. Where the "
             "lines cross is what can be delivered; the marks are what each speed of the pull "
             "needs, bypass and jet pump included.");
    snprintf(chart->x_label, sizeof chart->x_label, "flow, %s",
             fr_measure_unit(FR_MEASURE_PUMP_FLOW, source->units));
    snprintf(chart->y_label, sizeof chart->y_label, "pressure over the tank, %s",
             fr_measure_unit(FR_MEASURE_PRESSURE, source->units));
    chart->y_from_zero = true;
    chart->y_decimals = 2;
    add_pump_curve(source, chart, ROOM * rise_most);
    add_system_curve(source, chart, blend, free_flow);
    char name[FR_CHART_TEXT_MAX];
    fr_chart_blend_name(blend->ethanol, "needed in the pull, ", "", name, sizeof name);
    fr_series *points = fr_chart_add(chart, FR_SERIES_POINTS, 2, name);
    for (size_t i = 0; i < blend->point_count; i++) {
        fr_series_add(points, pump_flow(source, blend->points[i].lift_needed_m3_s),
                      pressure(source, blend->points[i].pump_rise_pa));
    }
}
