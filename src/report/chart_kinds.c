/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What each kind of chart shows. */
#include <math.h>
#include <string.h>

#include "report/chart_inside.h"
#include "report/document_words.h"
#include "report/format.h"
#include "report/stage_words.h"

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
    fr_chart_blend_name(blend->ethanol, "needed on ", "", name, sizeof name);
    fr_series *series = fr_chart_add(chart, kind, style, name);
    for (size_t i = 0; i < blend->point_count; i++) {
        fr_series_add(series, blend->points[i].speed_rpm,
                      fuel_mass(source, blend->points[i].fuel_kg_s));
    }
}

static void add_capacity(const fr_chart_source *source, fr_chart *chart,
                         const fr_blend_result *blend, const fr_stage_result *stage) {
    fr_series *series = fr_chart_add(chart, FR_SERIES_LINE, stage->stage,
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

void fr_chart_fill_capacity(const fr_chart_source *source, size_t index, fr_chart *chart) {
    static const double ROOM = 2.0; /* over the greatest demand: further up nothing is decided */
    const fr_blend_result *blend = &source->check->result->blends[index];
    fr_chart_blend_name(blend->ethanol, "What each stage carries on ", ", over engine speed",
                        chart->title, sizeof chart->title);
    snprintf(chart->desc, sizeof chart->desc,
             "Lines: the fuel flow at which each stage ends. Filled: the flow that the target "
             "needs. Where the needed flow rises above a line, that stage runs out.");
    snprintf(chart->x_label, sizeof chart->x_label, "engine speed, rpm");
    snprintf(chart->y_label, sizeof chart->y_label, "fuel, %s",
             fr_measure_unit(FR_MEASURE_FUEL_MASS, source->units));
    chart->y_from_zero = true;
    chart->y_decimals = 1;
    chart->y_most = ROOM * fuel_mass(source, blend->fuel_kg_s);
    add_demand(source, chart, index, FR_SERIES_DEMAND, FR_TARGET_STYLE);
    for (size_t i = 0; i < blend->stage_count; i++) {
        if (has_capacity(blend, blend->stages[i].stage)) {
            add_capacity(source, chart, blend, &blend->stages[i]);
        }
    }
}

static void fill_capacity(const fr_chart_source *source, fr_chart *chart) {
    fr_chart_fill_capacity(source, fr_weakest_blend(source->check->result), chart);
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
    snprintf(chart->title, sizeof chart->title,
             "The power that each stage carries, over the blend");
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
    fr_series *asked = fr_chart_add(chart, FR_SERIES_DEMAND, FR_TARGET_STYLE, "asked");
    fr_series *clear = fr_chart_add(chart, FR_SERIES_LINE, FR_CLEAR_STYLE, "all clear to");
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
    chart->plot_height = FR_CHART_PLOT_LOW;
    chart->y_decimals = 1;
    fr_series *holds = fr_chart_add(chart, FR_SERIES_DEMAND, 0, "holds the target");
    for (size_t i = 0; i < promise->blend_count; i++) {
        fr_series_add(holds, 100.0 * promise->blends[i].ethanol,
                      100.0 * (1.0 - promise->blends[i].chance_short));
    }
    fr_series *sure = fr_chart_add(chart, FR_SERIES_LEVEL, FR_TARGET_STYLE, "95 % sure");
    fr_series_add(sure, 0.0, 95.0);
}

/* ---- the table ---- */

const fr_chart_kind fr_chart_kinds[] = {
    {"capacity", "what each stage carries over engine speed, and what is needed", always,
     fill_capacity},
    {"reach", "the power that each stage carries over the blend, and the power asked", always,
     fill_reach},
    {"odds", "the chance that the target holds, by blend", has_promise, fill_odds},
    {"duty", "how long the injectors are open, over engine speed", always, fr_chart_fill_duty},
    {"rail", "rail pressure required, available and commanded", fr_chart_has_direct,
     fr_chart_fill_rail},
    {"pump", "the lift pump's curve against the way to the rail", always, fr_chart_fill_pump},
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
