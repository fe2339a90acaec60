/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/advice.h"

#include <math.h>

#include "report/document_words.h"
#include "report/format.h"
#include "report/stage_words.h"

/* One stage on one blend at its worst speed: all that a sentence about it needs. */
typedef struct view {
    const fr_build *build;
    const fr_blend_result *blend;
    const fr_stage_result *stage;
    const fr_point *point;
    fr_units units;
} view;

/* Adds "from A to B" style figures: a number with its unit. */
static void show(fr_words *words, const view *at, fr_measure measure, double si,
                 fr_rounding rounding) {
    fr_show(words, measure, at->units, si, rounding);
}

static void show_pump_flow(fr_words *words, const view *at, double m3_s, fr_rounding rounding) {
    show(words, at, FR_MEASURE_PUMP_FLOW, m3_s, rounding);
    if (at->units == FR_US) {
        fr_words_add(words, " (");
        show(words, at, FR_MEASURE_FUEL_VOLUME, m3_s, rounding);
        fr_words_add(words, ")");
    }
}

static void at_speed(fr_words *words, const view *at) {
    fr_words_add(words, "At %.0f rpm", at->point->speed_rpm);
}

static void what_lift_pump(fr_words *words, const view *at) {
    bool many = fr_lift_pump_count(at->build) > 1;
    at_speed(words, at);
    fr_words_add(words, " and ");
    show(words, at, FR_MEASURE_PRESSURE, at->point->pump_rise_pa, FR_UP);
    fr_words_add(words, " %s must give ", many ? "they" : "it");
    show_pump_flow(words, at, at->point->lift_needed_m3_s, FR_UP);
    fr_words_add(words, " and %s ", many ? "give" : "gives");
    if (at->point->lift_available_m3_s > 0)
        show_pump_flow(words, at, at->point->lift_available_m3_s, FR_DOWN);
    else
        fr_words_add(words, "nothing");
    fr_words_add(words, ".");
}

static void what_pump_circuit(fr_words *words, const view *at) {
    at_speed(words, at);
    fr_words_add(words, " %s draws ", fr_lift_pump_count(at->build) > 1 ? "a pump" : "the pump");
    show(words, at, FR_MEASURE_CURRENT, at->point->greatest_current_a, FR_UP);
    fr_words_add(words, " through a fuse of ");
    show(words, at, FR_MEASURE_CURRENT, at->build->pumps.fuse_a, FR_NEAREST);
    fr_words_add(words, ".");
}

static void what_pump_inlet(fr_words *words, const view *at) {
    const fr_site *site = &at->build->site;
    fr_words_add(words, "In a tank at ");
    show(words, at, FR_MEASURE_TEMPERATURE, site->tank_temperature_c, FR_NEAREST);
    fr_words_add(words, " the fuel's vapour pressure is ");
    show(words, at, FR_MEASURE_PRESSURE, at->point->inlet_vapour_pressure_pa, FR_UP);
    fr_words_add(words, "; behind the strainer the pump has ");
    show(words, at, FR_MEASURE_PRESSURE, site->air_pressure_pa - at->build->feed.strainer_loss_pa,
         FR_DOWN);
    fr_words_add(words, " (absolute). No power mends it; a cooler tank or a less volatile "
                        "gasoline does.");
    if (!site->tank_temperature_given)
        fr_words_add(words, " The tank's temperature is assumed: measure it.");
}

static void what_feed_pressure(fr_words *words, const view *at) {
    at_speed(words, at);
    fr_words_add(words, " the feed holds ");
    show(words, at, FR_MEASURE_PRESSURE, at->point->feed_gauge_pa, FR_DOWN);
    fr_words_add(words, " of the ");
    show(words, at, FR_MEASURE_PRESSURE, at->point->set_gauge_pa, FR_NEAREST);
    fr_words_add(words, " set");
    if (at->build->direct.present) {
        fr_words_add(words, "; the high-pressure pump wants ");
        show(words, at, FR_MEASURE_PRESSURE, at->build->direct.minimum_inlet_gauge_pa, FR_NEAREST);
        fr_words_add(words, " at its inlet");
    }
    fr_words_add(words, ".");
}

static void what_vapour(fr_words *words, const view *at) {
    double temperature = at->build->direct.present ? at->build->site.hp_inlet_temperature_c
                                                   : at->build->site.feed_temperature_c;
    fr_words_add(words, "At ");
    show(words, at, FR_MEASURE_TEMPERATURE, temperature, FR_NEAREST);
    fr_words_add(words, " the fuel's vapour pressure is ");
    show(words, at, FR_MEASURE_PRESSURE, at->point->vapour_pressure_pa, FR_UP);
    fr_words_add(words, "; the feed holds ");
    show(words, at, FR_MEASURE_PRESSURE, at->point->feed_abs_pa, FR_DOWN);
    fr_words_add(words, " (absolute), and should stay ");
    fr_words_add(words, at->units == FR_US ? "14.5 psi" : "1 bar");
    fr_words_add(words, " above it.");
}

static void what_port_injector(fr_words *words, const view *at) {
    at_speed(words, at);
    if (!isfinite(at->point->port_duty)) {
        fr_words_add(words, " the rail holds no more than the manifold: no fuel passes.");
        return;
    }
    fr_words_add(words, " they are open %.0f %% of the time; beyond %.0f %% they cannot close.",
                 fr_use_percent(at->point->port_duty),
                 fr_round_to(100.0 * at->stage->end, 0, FR_DOWN));
}

static void what_direct_injector(fr_words *words, const view *at) {
    at_speed(words, at);
    fr_words_add(words, " and ");
    show(words, at, FR_MEASURE_RAIL_PRESSURE, at->point->direct_command_pa, FR_NEAREST);
    if (!isfinite(at->point->direct_angle_deg)) {
        fr_words_add(words, " no fuel passes in the time there is.");
        return;
    }
    fr_words_add(words, " they need ");
    fr_show_bare(words, FR_MEASURE_ANGLE, at->units, at->point->direct_angle_deg, FR_UP);
    fr_words_add(words, " of the ");
    show(words, at, FR_MEASURE_ANGLE, at->point->direct_window_deg, FR_DOWN);
    fr_words_add(words, " window.");
}

static void what_high_pressure_pump(fr_words *words, const view *at) {
    at_speed(words, at);
    fr_words_add(words, " and ");
    show(words, at, FR_MEASURE_RAIL_PRESSURE, at->point->direct_command_pa, FR_NEAREST);
    fr_words_add(words, " it passes ");
    fr_show_bare(words, FR_MEASURE_FUEL_MASS, at->units, at->point->hp_delivery_kg_s, FR_DOWN);
    fr_words_add(words, " of the ");
    show(words, at, FR_MEASURE_FUEL_MASS, at->point->direct_fuel_kg_s, FR_UP);
    fr_words_add(words, " needed.");
}

/* Where no pressure passes the fuel, the speed at which most of it is lacking says more than the one
 * at which the required pressure is furthest off. */
static view at_greatest_lack(const view *at) {
    view most = *at;
    for (size_t i = 0; i < at->blend->point_count; i++) {
        const fr_point *point = &at->blend->points[i];
        const bool none = isnan(point->direct_available_pa) && isfinite(point->direct_required_pa);
        if (none && (!isfinite(most.point->hp_short_kg_s) ||
                     point->hp_short_kg_s > most.point->hp_short_kg_s))
            most.point = point;
    }
    return most;
}

static void what_direct_pressure(fr_words *words, const view *worst) {
    const view most = at_greatest_lack(worst), *at = &most;
    at_speed(words, at);
    if (!isfinite(at->point->direct_required_pa)) {
        fr_words_add(words, " no time is left to inject.");
        return;
    }
    fr_words_add(words, " the injectors need ");
    show(words, at, FR_MEASURE_RAIL_PRESSURE, at->point->direct_required_pa, FR_UP);
    if (isfinite(at->point->direct_available_pa)) {
        fr_words_add(words, " and the pump can hold ");
        show(words, at, FR_MEASURE_RAIL_PRESSURE, at->point->direct_available_pa, FR_DOWN);
        fr_words_add(words, ".");
        return;
    }
    fr_words_add(words, "; the pump passes this fuel at no pressure: ");
    show(words, at, FR_MEASURE_FUEL_MASS, at->point->hp_short_kg_s, FR_UP);
    fr_words_add(words, " is lacking.");
}

typedef void what_function(fr_words *words, const view *at);
static what_function *const what_functions[FR_STAGE_COUNT] = {
    [FR_STAGE_LIFT_PUMP] = what_lift_pump,
    [FR_STAGE_PUMP_CIRCUIT] = what_pump_circuit,
    [FR_STAGE_PUMP_INLET] = what_pump_inlet,
    [FR_STAGE_FEED_PRESSURE] = what_feed_pressure,
    [FR_STAGE_VAPOUR] = what_vapour,
    [FR_STAGE_PORT_INJECTOR] = what_port_injector,
    [FR_STAGE_DIRECT_INJECTOR] = what_direct_injector,
    [FR_STAGE_HIGH_PRESSURE_PUMP] = what_high_pressure_pump,
    [FR_STAGE_DIRECT_PRESSURE] = what_direct_pressure,
};

/* "short from 3000 rpm. ", or what is tight about it. */
static void how_bad(fr_words *words, const view *at) {
    if (at->stage->stage == FR_STAGE_PUMP_INLET)
        fr_words_add(words,
                     at->stage->verdict == FR_SHORT ? "the fuel boils. " : "close to boiling. ");
    else if (at->stage->verdict == FR_SHORT && isfinite(at->stage->first_short_rpm))
        fr_words_add(words, "short from %.0f rpm. ", at->stage->first_short_rpm);
    else if (at->stage->verdict == FR_SHORT)
        fr_words_add(words, "short. ");
    else if (at->stage->mendable_by_command)
        fr_words_add(words, "more than the commanded rail pressure allows, but that can move. ");
    else
        fr_words_add(words, "over its %.4g %% limit. ", 100.0 * at->stage->limit);
}

void fr_advice_what(fr_words *words, const fr_check_document *document,
                    const fr_blend_result *blend, const fr_stage_result *stage, fr_units units) {
    const view at = {document->build, blend, stage, fr_worst_point(blend, stage), units};
    if (stage->verdict == FR_CLEAR)
        return;
    how_bad(words, &at);
    what_functions[stage->stage](words, &at);
}

const fr_mended_stage *fr_mends_of(const fr_check_document *document, fr_stage stage) {
    const fr_mends *mends = document->mends;
    if (mends == NULL)
        return NULL;
    for (size_t i = 0; i < mends->stage_count; i++)
        if (mends->stages[i].stage == stage)
            return &mends->stages[i];
    return NULL;
}

void fr_advice_sentence(fr_words *words, const fr_check_document *document,
                        const fr_blend_result *blend, const fr_stage_result *stage,
                        fr_units units) {
    size_t start = words->length;
    const fr_mended_stage *mended = fr_mends_of(document, stage->stage);
    fr_advice_what(words, document, blend, stage, units);
    fr_words_capital(words, start);
    if (stage->verdict == FR_CLEAR || mended == NULL || mended->mend_count == 0)
        return;
    const fr_blend_result *worst = &document->result->blends[mended->blend];
    if (worst != blend) {
        char name[FR_BLEND_NAME_MAX];
        fr_blend_name(worst->ethanol, name);
        fr_words_add(words, " For %s, where it is worst:", name);
    }
    fr_words_add(words, " ");
    fr_advice_mends(words, document, mended, units);
}
