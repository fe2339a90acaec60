/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One row a blend: fuel, headrooms, what it carries and what ends it. */
#include <math.h>

#include "report/document_words.h"
#include "report/prose.h"
#include "report/stage_words.h"
#include "report/table.h"
#include "report/text.h"

/* The figures of a blend at its worst speed. */
typedef struct worst_figures {
    double lift_headroom; /* NAN: the pumps give nothing */
    double duty;          /* NAN: no fuel passes the injectors */
    double hp_headroom;
    double margin_pa;
    bool has_direct_fuel;
    double none_rpm; /* lowest speed at which no pressure passes the fuel; INFINITY: none */
} worst_figures;

static double lesser(double a, double b) {
    return isnan(a) || isnan(b) ? NAN : fmin(a, b);
}

static double greater(double a, double b) {
    return isnan(a) || isnan(b) ? NAN : fmax(a, b);
}

static void look_at_direct(worst_figures *worst, const fr_point *point) {
    if (!(point->direct_fuel_kg_s > 0))
        return;
    worst->has_direct_fuel = true;
    worst->hp_headroom = lesser(worst->hp_headroom, point->hp_headroom);
    worst->margin_pa = lesser(worst->margin_pa, point->direct_margin_pa);
    if (!isfinite(point->direct_available_pa))
        worst->none_rpm = fmin(worst->none_rpm, point->speed_rpm);
}

static worst_figures find_worst(const fr_blend_result *blend) {
    worst_figures worst = {INFINITY, 0, INFINITY, INFINITY, false, INFINITY};
    for (size_t i = 0; i < blend->point_count; i++) {
        const fr_point *point = &blend->points[i];
        worst.lift_headroom = lesser(worst.lift_headroom, point->lift_headroom);
        if (point->port_fuel_kg_s > 0)
            worst.duty = greater(worst.duty, point->port_duty);
        look_at_direct(&worst, point);
    }
    return worst;
}

/* Which columns the table has, by their index in it. */
typedef struct blend_columns {
    size_t blend, asked, fuel, mass, lift, duty, hp, margin, clear, reach, ends;
    bool has_asked, has_mass;
} blend_columns;

static blend_columns add_columns(const fr_text *text, fr_table *table) {
    const fr_build *build = text->document->build;
    fr_units units = text->style.units;
    blend_columns at = {.has_asked = !fr_same_target(text->document), .has_mass = units == FR_US};
    at.blend = fr_table_add_column(table, "", "", true, 0);
    if (at.has_asked)
        at.asked = fr_table_add_column(table, "", "Asked", false, 1);
    at.fuel = fr_table_add_column(table, "Fuel", fr_measure_unit(FR_MEASURE_FUEL_VOLUME, units),
                                  false, 0);
    if (at.has_mass)
        at.mass = fr_table_add_column(table, "Fuel", fr_measure_unit(FR_MEASURE_FUEL_MASS, units),
                                      false, 2);
    at.lift = fr_table_add_column(table, "Lift", "headroom", false, 0);
    if (build->port.present)
        at.duty = fr_table_add_column(table, "Injector", "duty", false, 0);
    if (build->direct.present) {
        at.hp = fr_table_add_column(table, "HP pump", "headroom", false, 0);
        at.margin = fr_table_add_column(table, "Pressure", "margin", false, 0);
    }
    at.clear = fr_table_add_column(table, "Clear", "to", false, 0);
    at.reach = fr_table_add_column(table, "Runs", "out at", false, 0);
    at.ends = fr_table_add_column(table, "", "Ends it", true, 0);
    return at;
}

static void set_figure(fr_table *table, size_t column, fr_measure measure, fr_units units,
                       double si, fr_rounding rounding, bool bare) {
    fr_words words;
    fr_words_clear(&words);
    if (bare)
        fr_show_bare(&words, measure, units, si, rounding);
    else
        fr_show(&words, measure, units, si, rounding);
    fr_table_set(table, column, FR_PLAIN, words.text);
}

static void set_margin(fr_table *table, size_t column, fr_units units, double margin_pa) {
    fr_words words;
    fr_words_clear(&words);
    if (margin_pa > 0 && isfinite(margin_pa))
        fr_words_add(&words, "+");
    fr_show(&words, FR_MEASURE_RAIL_PRESSURE, units, margin_pa, FR_DOWN);
    fr_table_set(table, column, FR_PLAIN, words.text);
}

/* Reach is sought up to this many times the target. */
static const double SOUGHT_TIMES = 4;

/* A power that the search did not find is beyond four times the target, or no power mends it. */
static void set_power(const fr_text *text, fr_table *table, size_t column,
                      const fr_blend_result *blend, double power_w, bool no_power) {
    fr_words words;
    fr_words_clear(&words);
    if (!isfinite(power_w) && !no_power) {
        fr_words_add(&words, ">");
        fr_show(&words, FR_MEASURE_POWER, text->style.units, SOUGHT_TIMES * blend->target_power_w,
                FR_DOWN);
    } else {
        fr_show_reach(&words, text->document, text->style.units, power_w, blend->target_power_w);
    }
    fr_table_set(table, column, FR_PLAIN, words.text);
}

static void fill_direct(const fr_text *text, fr_table *table, const blend_columns *at,
                        const worst_figures *worst) {
    fr_units units = text->style.units;
    if (!text->document->build->direct.present)
        return;
    if (!worst->has_direct_fuel) {
        fr_table_set(table, at->hp, FR_PLAIN, "unused");
        fr_table_set(table, at->margin, FR_PLAIN, "unused");
        return;
    }
    set_figure(table, at->hp, FR_MEASURE_PERCENT, units, worst->hp_headroom, FR_DOWN, false);
    set_margin(table, at->margin, units, worst->margin_pa);
}

static bool any_no_power_clears(const fr_blend_result *blend) {
    for (size_t i = 0; i < blend->stage_count; i++)
        if (blend->stages[i].no_power_clears && blend->stages[i].stage != FR_STAGE_PUMP_INLET)
            return true;
    return false;
}

/* True when a power of this blend is shown as "none". */
static bool shows_no_power(const fr_blend_result *blend) {
    return (!isfinite(blend->reach_w) && blend->reach_is_mended_by_no_power) ||
           (!isfinite(blend->clear_to_w) && any_no_power_clears(blend));
}

static void fill_row(const fr_text *text, fr_table *table, const blend_columns *at,
                     const fr_blend_result *blend) {
    const fr_build *build = text->document->build;
    fr_units units = text->style.units;
    const worst_figures worst = find_worst(blend);
    char name[FR_BLEND_NAME_MAX];
    if (!fr_table_add_row(table))
        return;
    fr_blend_name(blend->ethanol, name);
    fr_table_set(table, at->blend, FR_PLAIN, name);
    if (at->has_asked)
        set_figure(table, at->asked, FR_MEASURE_POWER, units, blend->target_power_w, FR_NEAREST,
                   false);
    set_figure(table, at->fuel, FR_MEASURE_FUEL_VOLUME, units, blend->fuel_m3_s, FR_UP, true);
    if (at->has_mass)
        set_figure(table, at->mass, FR_MEASURE_FUEL_MASS, units, blend->fuel_kg_s, FR_UP, true);
    set_figure(table, at->lift, FR_MEASURE_PERCENT, units, worst.lift_headroom, FR_DOWN, false);
    if (build->port.present)
        set_figure(table, at->duty, FR_MEASURE_PERCENT, units, worst.duty, FR_UP, false);
    fill_direct(text, table, at, &worst);
    set_power(text, table, at->clear, blend, blend->clear_to_w, any_no_power_clears(blend));
    set_power(text, table, at->reach, blend, blend->reach_w, blend->reach_is_mended_by_no_power);
    fr_table_set(table, at->ends, FR_PLAIN,
                 isfinite(blend->reach_w) ? fr_stage_words_of(blend->weakest, build)->short_name
                                          : "nothing");
}

/* Below the table: what "none" means, and where powers are. */
static void write_notes(const fr_text *text) {
    const fr_check_result *result = text->document->result;
    double none_rpm = INFINITY;
    bool no_power = false;
    for (size_t i = 0; i < result->blend_count; i++) {
        none_rpm = fmin(none_rpm, find_worst(&result->blends[i]).none_rpm);
        no_power = no_power || shows_no_power(&result->blends[i]);
    }
    if (isfinite(none_rpm))
        fprintf(text->out,
                "  Margin none: from %.0f rpm the pump cannot pass this fuel at any pressure.\n",
                none_rpm);
    if (no_power)
        fr_prose(text->out, 2, 4,
                 "Power none: a stage is past its limit with no fuel drawn; no "
                 "power mends it.");
    if (text->document->build->engine.at_wheels)
        fputs("  All powers are at the wheels.\n", text->out);
    if (fr_power_step(text->document) > 0)
        fprintf(text->out, "  Powers are rounded down to %.0f %s: they rest on assumed figures.\n",
                fr_power_step(text->document),
                fr_measure_unit(FR_MEASURE_POWER, text->style.units));
}

void fr_text_blends(const fr_text *text) {
    const fr_check_result *result = text->document->result;
    fr_table table = {.indent = 2};
    const blend_columns at = add_columns(text, &table);
    for (size_t i = 0; i < result->blend_count; i++)
        fill_row(text, &table, &at, &result->blends[i]);
    fputc('\n', text->out);
    fr_table_write(text->out, &table, text->style.colour);
    write_notes(text);
}
