/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What each kind of chart shows. */
#include <math.h>
#include <string.h>

#include "fuelreach/supply.h"
#include "report/chart.h"
#include "report/document_words.h"
#include "report/format.h"
#include "report/stage_words.h"
#include "supply/pumps.h"

/* Styles are those of the stages; these two stages never stand among lines of reach. */
enum { TARGET_STYLE = 9, CLEAR_STYLE = FR_STAGE_PUMP_INLET, BLENDS_SHOWN = 4 };

/* ---- which blends ---- */

static double times_of(const fr_blend_result *blend) {
    static const double NONE_WITHIN = 4.0;
    return isnan(blend->reach_w) ? NONE_WITHIN : blend->reach_w / blend->target_power_w;
}

/* The blend that carries least of its target. */
static size_t weakest_blend(const fr_check_result *result) {
    size_t weakest = 0;
    for (size_t i = 1; i < result->blend_count; i++) {
        if (times_of(&result->blends[i]) < times_of(&result->blends[weakest])) {
            weakest = i;
        }
    }
    return weakest;
}

/* Up to BLENDS_SHOWN blends, spread over the list, the weakest always among them. */
static size_t shown_blends(const fr_check_result *result, size_t shown[BLENDS_SHOWN]) {
    const size_t all = result->blend_count;
    const size_t count = all < BLENDS_SHOWN ? all : BLENDS_SHOWN;
    const size_t weakest = weakest_blend(result);
    bool has_weakest = false;
    for (size_t i = 0; i < count; i++) {
        shown[i] = count == 1 ? 0 : i * (all - 1) / (count - 1);
        has_weakest = has_weakest || shown[i] == weakest;
    }
    if (!has_weakest) {
        size_t nearest = 0;
        for (size_t i = 1; i < count; i++) {
            const size_t gap = shown[i] > weakest ? shown[i] - weakest : weakest - shown[i];
            const size_t best =
                shown[nearest] > weakest ? shown[nearest] - weakest : weakest - shown[nearest];
            nearest = gap < best ? i : nearest;
        }
        shown[nearest] = weakest;
    }
    return count;
}

static void name_of(double ethanol, const char *before, const char *behind, char *name,
                    size_t size) {
    char blend[FR_BLEND_NAME_MAX];
    fr_blend_name(ethanol, blend);
    snprintf(name, size, "%s%s%s", before, blend, behind);
}

/* ---- capacity over speed ---- */

static bool always(const fr_chart_source *source) {
    (void)source;
    return true;
}

static double fuel_mass(const fr_chart_source *source, double kg_s) {
    return fr_measure_value(FR_MEASURE_FUEL_MASS, source->units, kg_s);
}

static void add_demand(const fr_chart_source *source, fr_chart *chart, size_t index,
                       fr_series_kind kind, size_t style) {
    const fr_blend_result *blend = &source->check->result->blends[index];
    char name[FR_CHART_TEXT_MAX];
    name_of(blend->ethanol, "needed on ", "", name, sizeof name);
    fr_series *series = fr_chart_add(chart, kind, style, name);
    for (size_t i = 0; i < blend->point_count; i++) {
        fr_series_add(series, blend->points[i].speed_rpm,
                      fuel_mass(source, blend->points[i].fuel_kg_s));
    }
}

static void add_capacity(const fr_chart_source *source, fr_chart *chart,
                         const fr_blend_result *blend, const fr_stage_result *stage) {
    fr_series *series =
        fr_chart_add(chart, FR_SERIES_LINE, stage->stage,
                     fr_stage_words_of(stage->stage, source->check->build)->label);
    for (size_t i = 0; i < blend->point_count; i++) {
        const double capacity = blend->points[i].capacity_kg_s[stage->stage];
        fr_series_add(series, blend->points[i].speed_rpm, fuel_mass(source, capacity));
    }
}

static bool has_capacity(const fr_blend_result *blend, fr_stage stage) {
    for (size_t i = 0; i < blend->point_count; i++) {
        if (isfinite(blend->points[i].capacity_kg_s[stage])) {
            return true;
        }
    }
    return false;
}

static void fill_capacity(const fr_chart_source *source, fr_chart *chart) {
    static const double ROOM = 2.0; /* over the greatest demand: further up nothing is decided */
    const fr_check_result *result = source->check->result;
    const size_t weakest = weakest_blend(result);
    const fr_blend_result *blend = &result->blends[weakest];
    name_of(blend->ethanol, "What each stage carries on ", ", over engine speed", chart->title,
            sizeof chart->title);
    snprintf(chart->desc, sizeof chart->desc,
             "Lines: the fuel flow at which each stage ends. Filled: the flow that the target "
             "needs. Where the needed flow rises above a line, that stage runs out.");
    snprintf(chart->x_label, sizeof chart->x_label, "engine speed, rpm");
    snprintf(chart->y_label, sizeof chart->y_label, "fuel, %s",
             fr_measure_unit(FR_MEASURE_FUEL_MASS, source->units));
    chart->y_from_zero = true;
    chart->y_decimals = 1;
    chart->y_most = ROOM * fuel_mass(source, blend->fuel_kg_s);
    add_demand(source, chart, weakest, FR_SERIES_DEMAND, TARGET_STYLE);
    for (size_t i = 0; i < blend->stage_count; i++) {
        if (has_capacity(blend, blend->stages[i].stage)) {
            add_capacity(source, chart, blend, &blend->stages[i]);
        }
    }
}

/* ---- reach over blend ---- */

static void add_power(const fr_chart_source *source, fr_series *series,
                      const fr_blend_result *blend, double power_w) {
    fr_series_add(series, 100.0 * blend->ethanol,
                  fr_measure_value(FR_MEASURE_POWER, source->units, power_w));
}

static void add_stage_reach(const fr_chart_source *source, fr_chart *chart, fr_stage stage) {
    const fr_check_result *result = source->check->result;
    bool any = false;
    for (size_t i = 0; i < result->blend_count; i++) {
        const fr_stage_result *at = fr_stage_on(&result->blends[i], stage);
        any = any || (at != NULL && isfinite(at->reach_w));
    }
    if (!any) {
        return;
    }
    fr_series *series = fr_chart_add(chart, FR_SERIES_LINE, stage,
                                     fr_stage_words_of(stage, source->check->build)->label);
    for (size_t i = 0; i < result->blend_count; i++) {
        const fr_stage_result *at = fr_stage_on(&result->blends[i], stage);
        add_power(source, series, &result->blends[i], at != NULL ? at->reach_w : NAN);
    }
}

static void fill_reach(const fr_chart_source *source, fr_chart *chart) {
    static const double ROOM = 1.9;
    const fr_check_result *result = source->check->result;
    double most = 0.0;
    snprintf(chart->title, sizeof chart->title, "The power that each stage carries, over the blend");
    snprintf(chart->desc, sizeof chart->desc,
             "Lines: the power at which each stage runs out. Filled: the power asked. Where the "
             "power asked rises above a line, that stage ends it. The line 'all clear to' is the "
             "power up to which every stage is within its limit.");
    snprintf(chart->x_label, sizeof chart->x_label, "ethanol, %%");
    snprintf(chart->y_label, sizeof chart->y_label, "power %s, %s",
             source->check->build->engine.at_wheels ? "at the wheels" : "at the crank",
             fr_measure_unit(FR_MEASURE_POWER, source->units));
    chart->y_from_zero = true;
    chart->y_decimals = 0;
    fr_series *asked = fr_chart_add(chart, FR_SERIES_DEMAND, TARGET_STYLE, "asked");
    fr_series *clear = fr_chart_add(chart, FR_SERIES_LINE, CLEAR_STYLE, "all clear to");
    for (size_t i = 0; i < result->blend_count; i++) {
        const fr_blend_result *blend = &result->blends[i];
        const double target =
            fr_measure_value(FR_MEASURE_POWER, source->units, blend->target_power_w);
        most = target > most ? target : most;
        add_power(source, asked, blend, blend->target_power_w);
        add_power(source, clear, blend, blend->clear_to_w);
    }
    chart->y_most = ROOM * most;
    for (int stage = 0; stage < FR_STAGE_COUNT; stage++) {
        if (stage != FR_STAGE_DIRECT_INJECTOR && stage != FR_STAGE_HIGH_PRESSURE_PUMP) {
            add_stage_reach(source, chart, (fr_stage)stage);
        }
    }
}

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
    size_t shown[BLENDS_SHOWN];
    const size_t count = shown_blends(source->check->result, shown);
    for (size_t n = 0; n < count; n++) {
        const fr_blend_result *blend = &source->check->result->blends[shown[n]];
        char name[FR_CHART_TEXT_MAX];
        name_of(blend->ethanol, before, "", name, sizeof name);
        fr_series *series = fr_chart_add(chart, FR_SERIES_LINE, first_style + n, name);
        for (size_t i = 0; i < blend->point_count; i++) {
            fr_series_add(series, blend->points[i].speed_rpm, figure(&blend->points[i]));
        }
    }
}

static void add_limit(const fr_chart_source *source, fr_chart *chart, fr_stage stage,
                      const char *name) {
    fr_series *series = fr_chart_add(chart, FR_SERIES_LEVEL, TARGET_STYLE, name);
    fr_series_add(series, 0.0, 100.0 * fr_build_limit(source->check->build, stage));
}

static void fill_duty(const fr_chart_source *source, fr_chart *chart) {
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

static bool has_direct(const fr_chart_source *source) {
    return source->check->build->direct.present;
}

static void add_rail(const fr_chart_source *source, fr_chart *chart, const fr_blend_result *blend,
                     const char *before, size_t style, bool required) {
    char name[FR_CHART_TEXT_MAX];
    name_of(blend->ethanol, before, "", name, sizeof name);
    fr_series *series = fr_chart_add(chart, FR_SERIES_LINE, style, name);
    for (size_t i = 0; i < blend->point_count; i++) {
        const fr_point *point = &blend->points[i];
        const double pressure = required ? point->direct_required_pa : point->direct_available_pa;
        fr_series_add(series, point->speed_rpm,
                      fr_measure_value(FR_MEASURE_RAIL_PRESSURE, source->units, pressure));
    }
}

static void fill_rail(const fr_chart_source *source, fr_chart *chart) {
    const fr_check_result *result = source->check->result;
    const fr_blend_result *weakest = &result->blends[weakest_blend(result)];
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
    fr_series *command = fr_chart_add(chart, FR_SERIES_LINE, TARGET_STYLE, "commanded");
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

/* ---- lift pump and system ---- */

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
    name_of(blend->ethanol, "the way to the rail, ", "", name, sizeof name);
    fr_series *series = fr_chart_add(chart, FR_SERIES_LINE, 1, name);
    for (int i = 0; i <= STEPS; i++) {
        const double flow = flow_most * (double)i / STEPS;
        const double loss = at_tank ? 0.0
                                    : fr_feed_loss(&build->feed, flow, blend->density_kg_m3,
                                                   blend->viscosity_pa_s);
        fr_series_add(series, pump_flow(source, flow), pressure(source, most->set_gauge_pa + loss));
    }
}

static void fill_pump(const fr_chart_source *source, fr_chart *chart) {
    static const double ROOM = 1.6;
    const fr_build *build = source->check->build;
    const fr_check_result *result = source->check->result;
    const fr_blend_result *blend = &result->blends[weakest_blend(result)];
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
    name_of(blend->ethanol, "needed over the pull, ", "", name, sizeof name);
    fr_series *points = fr_chart_add(chart, FR_SERIES_POINTS, 2, name);
    for (size_t i = 0; i < blend->point_count; i++) {
        fr_series_add(points, pump_flow(source, blend->points[i].lift_needed_m3_s),
                      pressure(source, blend->points[i].pump_rise_pa));
    }
}

/* ---- odds ---- */

static bool has_promise(const fr_chart_source *source) {
    return source->promise != NULL;
}

static void fill_odds(const fr_chart_source *source, fr_chart *chart) {
    const fr_promise_result *promise = source->promise;
    snprintf(chart->title, sizeof chart->title, "Chance that the target holds, by blend");
    snprintf(chart->desc, sizeof chart->desc,
             "With every figure as uncertain as the sheet says, how often no stage is short.");
    snprintf(chart->x_label, sizeof chart->x_label, "ethanol, %%");
    snprintf(chart->y_label, sizeof chart->y_label, "chance of holding, %%");
    chart->y_from_zero = true;
    chart->y_most = 100.0;
    chart->y_decimals = 1;
    fr_series *holds = fr_chart_add(chart, FR_SERIES_DEMAND, 0, "holds the target");
    for (size_t i = 0; i < promise->blend_count; i++) {
        fr_series_add(holds, 100.0 * promise->blends[i].ethanol,
                      100.0 * (1.0 - promise->blends[i].chance_short));
    }
    fr_series *sure = fr_chart_add(chart, FR_SERIES_LEVEL, TARGET_STYLE, "95 % sure");
    fr_series_add(sure, 0.0, 95.0);
}

/* ---- the table ---- */

const fr_chart_kind fr_chart_kinds[] = {
    {"capacity", "what each stage carries over engine speed, and what is needed", always,
     fill_capacity},
    {"reach", "the power that each stage carries over the blend, and the power asked", always,
     fill_reach},
    {"odds", "the chance that the target holds, by blend", has_promise, fill_odds},
    {"duty", "how long the injectors are open, over engine speed", always, fill_duty},
    {"rail", "rail pressure required, available and commanded", has_direct, fill_rail},
    {"pump", "the lift pump's curve against the way to the rail", always, fill_pump},
    {NULL, NULL, NULL, NULL},
};

const fr_chart_kind *fr_chart_kind_find(const char *name) {
    for (const fr_chart_kind *kind = fr_chart_kinds; kind->name != NULL; kind++) {
        if (strcmp(kind->name, name) == 0) {
            return kind;
        }
    }
    return NULL;
}
