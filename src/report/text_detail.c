/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table over speed, a table a blend. */
#include <math.h>

#include "report/document_words.h"
#include "report/point_figures.h"
#include "report/prose.h"
#include "report/stage_words.h"
#include "report/table.h"
#include "report/text.h"

/* One column: what it shows of a point, and when the build has it. `spare` says which goes first
 * where both kinds of injection leave no room. */
typedef struct detail_column {
    const char *head;
    fr_measure measure;
    size_t offset;
    fr_rounding rounding;
    bool port, direct; /* only with port, only with direct injection */
    unsigned spare;
} detail_column;

#define AT(member) offsetof(fr_point, member)

static const detail_column detail_columns[] = {
    {"Speed", FR_MEASURE_SPEED, AT(speed_rpm), FR_NEAREST, false, false, 0},
    {"Power", FR_MEASURE_POWER, AT(power_w), FR_NEAREST, false, false, 0},
    {"Fuel", FR_MEASURE_FUEL_VOLUME, AT(fuel_m3_s), FR_UP, false, false, 0},
    {"Fill", FR_MEASURE_PERCENT, AT(volumetric_efficiency), FR_NEAREST, false, false, 3},
    {"Lift", FR_MEASURE_PUMP_FLOW, AT(lift_needed_m3_s), FR_UP, false, false, 5},
    {"of", FR_MEASURE_PUMP_FLOW, AT(lift_available_m3_s), FR_DOWN, false, false, 1},
    {"Pump", FR_MEASURE_VOLTAGE, AT(pump_voltage_v), FR_DOWN, false, false, 4},
    {"Pump", FR_MEASURE_CURRENT, AT(pump_current_a), FR_UP, false, false, 2},
    {"Feed", FR_MEASURE_PRESSURE, AT(feed_gauge_pa), FR_DOWN, false, false, 0},
    {"Duty", FR_MEASURE_PERCENT, AT(port_duty), FR_UP, true, false, 0},
    {"Share", FR_MEASURE_PERCENT, AT(direct_share), FR_DOWN, true, true, 0},
    {"Open", FR_MEASURE_ANGLE, AT(direct_angle_deg), FR_UP, false, true, 0},
    {"of", FR_MEASURE_ANGLE, AT(direct_window_deg), FR_DOWN, false, true, 6},
    {"Rail", FR_MEASURE_RAIL_PRESSURE, AT(direct_required_pa), FR_UP, false, true, 0},
    {"of", FR_MEASURE_RAIL_PRESSURE, AT(direct_available_pa), FR_DOWN, false, true, 0},
    {"HP pump", FR_MEASURE_FUEL_MASS, AT(hp_delivery_kg_s), FR_DOWN, false, true, 7},
};

enum { DETAIL_COLUMNS = sizeof detail_columns / sizeof detail_columns[0] };

static const char legend_port[] =
    "Fill: air over the cylinders' volume. Lift: pump flow needed, of what there is. Feed: "
    "pressure held, gauge.";
static const char legend_direct[] =
    "Open: crank angle needed at the commanded pressure, of the window. Rail: pressure needed, of "
    "the greatest that can be had (absolute).";

static bool has(const fr_build *build, const detail_column *column) {
    return (build->port.present || !column->port) && (build->direct.present || !column->direct);
}

static void fill_row(const fr_text *text, fr_table *table, const fr_point *point) {
    size_t at = 0;
    if (!fr_table_add_row(table))
        return;
    for (size_t c = 0; c < DETAIL_COLUMNS; c++) {
        const detail_column *column = &detail_columns[c];
        double value = fr_point_at(point, column->offset);
        fr_words words;
        if (!has(text->document->build, column))
            continue;
        fr_words_clear(&words);
        if (isfinite(value))
            fr_show_bare(&words, column->measure, text->style.units, value, column->rounding);
        else
            fr_words_add(&words, "-");
        fr_table_set(table, at++, FR_PLAIN, words.text);
    }
}

static void write_blend(const fr_text *text, const fr_blend_result *blend, fr_table *table) {
    char name[FR_BLEND_NAME_MAX];
    fr_blend_name(blend->ethanol, name);
    table->row_count = 0;
    for (size_t i = 0; i < blend->point_count; i++)
        fill_row(text, table, &blend->points[i]);
    fprintf(text->out, "\n%s\n", name);
    fr_table_write(text->out, table, text->style.colour);
}

void fr_text_detail(const fr_text *text) {
    const fr_check_result *result = text->document->result;
    fr_table table = {.indent = 2};
    for (size_t c = 0; c < DETAIL_COLUMNS; c++)
        if (has(text->document->build, &detail_columns[c]))
            fr_table_add_column(&table, detail_columns[c].head,
                                fr_measure_unit(detail_columns[c].measure, text->style.units),
                                false, detail_columns[c].spare);
    fprintf(text->out, "\nOver speed%s\n",
            text->document->build->engine.at_wheels ? ", powers at the wheels" : "");
    fr_prose(text->out, 0, 0, legend_port);
    if (text->document->build->direct.present)
        fr_prose(text->out, 0, 0, legend_direct);
    for (size_t i = 0; i < result->blend_count; i++)
        write_blend(text, &result->blends[i], &table);
}
