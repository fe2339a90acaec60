/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/caution_words.h"

#include <math.h>

#include "report/format.h"

const char fr_remark_code[] = "sheet";

/* kg of air a kWh from kg a joule. */
static const double KWH_J = 3.6e6;
/* Ethanol content from which a blend is sold as E85 at a filling pump, or starts badly in the
 * cold (ASTM D5798: 51 to 83 %). */
static const double FLEX_FUEL_ETHANOL = 0.51;

typedef struct caution_view {
    const fr_check_document *document;
    const fr_caution *caution;
    fr_units units;
    char blend[FR_BLEND_NAME_MAX]; /* "" where none is worst */
} caution_view;

static void show(fr_words *words, const caution_view *at, fr_measure measure, double si,
                 fr_rounding rounding) {
    fr_show(words, measure, at->units, si, rounding);
}

/* " on E85", " at 5500 rpm", where it is worst. */
static void where(fr_words *words, const caution_view *at) {
    if (at->blend[0] != '\0')
        fr_words_add(words, " on %s", at->blend);
    if (isfinite(at->caution->speed_rpm))
        fr_words_add(words, " at %.0f rpm", at->caution->speed_rpm);
}

static void say_implied_airflow(fr_words *words, const caution_view *at) {
    fr_words_add(words, "Input doubtful:");
    where(words, at);
    fr_words_add(words,
                 " the engine would have to fill its cylinders to %.0f %% of their volume at that "
                 "manifold pressure; engines do 60 to 125 %%. Look at boost, displacement, BSFC, "
                 "lambda, and whether the power is at the wheels.",
                 100.0 * at->caution->value);
}

static void say_air_per_power(fr_words *words, const caution_view *at) {
    fr_words_add(words, "Input doubtful:");
    where(words, at);
    fr_words_add(words,
                 " the engine would take %.1f kg of air for each kWh; usual is 3.3 to 4.6. Look "
                 "at BSFC, the blend it was measured on, and lambda.",
                 KWH_J * at->caution->value);
}

static void say_bsfc_scaling(fr_words *words, const caution_view *at) {
    fr_words_add(words, "Reckoned by %s, %s would need %.1f %% %s fuel than shown here.",
                 at->document->build->engine.bsfc_scaling == FR_SCALE_AIR ? "energy instead of air"
                                                                          : "air instead of energy",
                 at->blend, fabs(100.0 * at->caution->value),
                 at->caution->value > 0 ? "more" : "less");
}

static void say_same_air_gain(fr_words *words, const caution_view *at) {
    fr_words_add(words,
                 "%.3g %% more work from the same air on %s is beyond what is usual (0 to 6 %% "
                 "boosted); power from more boost belongs in target_power.",
                 100.0 * at->caution->value, at->blend);
}

static void say_beyond_curve(fr_words *words, const caution_view *at) {
    fr_words_add(words, "A lift pump works against ");
    show(words, at, FR_MEASURE_PRESSURE, at->caution->value, FR_UP);
    where(words, at);
    fr_words_add(words, "; its curve is known, or its relief valve shut, only up to ");
    show(words, at, FR_MEASURE_PRESSURE, at->caution->bound, FR_DOWN);
    fr_words_add(words, ". Get its flow at that pressure.");
}

static void say_idle_pulse(fr_words *words, const caution_view *at) {
    fr_words_add(words, "The %s injectors are large for idling: on %s they would open for ",
                 at->caution->detail > 0 ? "direct" : "port", at->blend);
    show(words, at, FR_MEASURE_TIME, at->caution->value, FR_DOWN);
    fr_words_add(words, " at idle, and below ");
    show(words, at, FR_MEASURE_TIME, at->caution->bound, FR_NEAREST);
    fr_words_add(words, " they do not meter well.");
}

static void say_return_overrun(fr_words *words, const caution_view *at) {
    fr_words_add(words, "At idle ");
    show(words, at, FR_MEASURE_PUMP_FLOW, at->caution->detail, FR_UP);
    fr_words_add(words, " goes back to the tank and needs ");
    show(words, at, FR_MEASURE_PRESSURE, at->caution->value, FR_UP);
    fr_words_add(words, " to pass the return line; the rail is set to ");
    show(words, at, FR_MEASURE_PRESSURE, at->caution->bound, FR_DOWN);
    fr_words_add(words, ", so it may not come down to that. A wider return line helps.");
}

static void say_loaded_filter(fr_words *words, const caution_view *at) {
    fr_words_add(words,
                 "With a loaded filter (three times its drop) the lift pump runs short%s%s: "
                 "headroom ",
                 at->blend[0] != '\0' ? " on " : "", at->blend);
    show(words, at, FR_MEASURE_PERCENT, at->caution->value, FR_DOWN);
    fr_words_add(words, ". Change the filter in time.");
}

static void say_idle_pressure(fr_words *words, const caution_view *at) {
    fr_words_add(words, "At idle the port injectors work against ");
    show(words, at, FR_MEASURE_PRESSURE, at->caution->value, FR_UP);
    fr_words_add(words, "; above ");
    show(words, at, FR_MEASURE_PRESSURE, at->caution->bound, FR_NEAREST);
    fr_words_add(words, " many open badly.");
}

static void say_plunger_load(fr_words *words, const caution_view *at) {
    fr_words_add(words, "At the rail's pressure limit the high-pressure pump's plunger pushes ");
    show(words, at, FR_MEASURE_FORCE, at->caution->value, FR_UP);
    fr_words_add(words, " on its cam; above ");
    show(words, at, FR_MEASURE_FORCE, at->caution->bound, FR_NEAREST);
    fr_words_add(words, " cam and follower wear fast.");
}

static void say_rail_droop(fr_words *words, const caution_view *at) {
    fr_words_add(words, "One injection draws the rail down by ");
    show(words, at, FR_MEASURE_RAIL_PRESSURE, at->caution->value, FR_UP);
    where(words, at);
    fr_words_add(words, "; more than ");
    show(words, at, FR_MEASURE_RAIL_PRESSURE, at->caution->bound, FR_DOWN);
    fr_words_add(words, " (10 %% of the command) upsets the next one.");
}

static void say_cold_start(fr_words *words, const caution_view *at) {
    fr_words_add(words,
                 "Blends of E70 and more start badly below %s, and cranking takes more fuel.",
                 at->units == FR_US ? "50 °F" : "10 °C");
}

static void say_rating_by_mass(fr_words *words, const caution_view *at) {
    (void)at;
    fr_words_add(words, "Injectors rated in lb/h were often rated as cc/min / 10.5, which is 5 %% "
                        "more than n-heptane weighs: get the volume rating.");
}

typedef void say_function(fr_words *words, const caution_view *at);
static say_function *const say_functions[FR_CAUTION_COUNT] = {
    [FR_CAUTION_IMPLIED_AIRFLOW] = say_implied_airflow,
    [FR_CAUTION_AIR_PER_POWER] = say_air_per_power,
    [FR_CAUTION_BSFC_SCALING] = say_bsfc_scaling,
    [FR_CAUTION_SAME_AIR_GAIN] = say_same_air_gain,
    [FR_CAUTION_BEYOND_CURVE] = say_beyond_curve,
    [FR_CAUTION_IDLE_PULSE] = say_idle_pulse,
    [FR_CAUTION_RETURN_OVERRUN] = say_return_overrun,
    [FR_CAUTION_LOADED_FILTER] = say_loaded_filter,
    [FR_CAUTION_IDLE_PRESSURE] = say_idle_pressure,
    [FR_CAUTION_PLUNGER_LOAD] = say_plunger_load,
    [FR_CAUTION_RAIL_DROOP] = say_rail_droop,
    [FR_CAUTION_COLD_START] = say_cold_start,
    [FR_CAUTION_RATING_BY_MASS] = say_rating_by_mass,
};

void fr_caution_sentence(fr_words *words, const fr_check_document *document,
                         const fr_caution *caution, fr_units units) {
    caution_view at = {document, caution, units, ""};
    if (isfinite(caution->ethanol))
        fr_blend_name(caution->ethanol, at.blend);
    say_functions[caution->code](words, &at);
}

void fr_remark_sentence(fr_words *words, const fr_remark *remark) {
    if (remark->file != NULL && remark->line > 0)
        fr_words_add(words, "%s:%zu:%zu: ", remark->file, remark->line, remark->column);
    fr_words_add(words, "%s", remark->message);
    if (remark->hint != NULL && remark->hint[0] != '\0')
        fr_words_add(words, "; %s", remark->hint);
}

static bool has_flex_fuel(const fr_check_document *document) {
    for (size_t i = 0; i < document->result->blend_count; i++)
        if (document->result->blends[i].ethanol >= FLEX_FUEL_ETHANOL)
            return true;
    return false;
}

static bool has_direct(const fr_check_document *document) {
    return document->build->direct.present;
}

const fr_standing_caution fr_standing_cautions[] = {
    {"pump-e85", "E85 from a filling pump may hold 51-83 % ethanol (ASTM D5798): test the fuel.",
     has_flex_fuel, true},
    {"stored-pressure", "Fuel lines hold pressure with the engine off: relieve it first.", NULL,
     false},
    {"rail-pressure", "A direct-injection rail can cut skin: never loosen it under pressure.",
     has_direct, false},
    {"fire", "Fuel vapour burns: fresh air, no sparks.", NULL, false},
    {"lean-running", "A lean engine fails: on the first pulls watch lambda and fuel pressure.",
     NULL, false},
    {"materials", "Ethanol wants hoses and seals made for it.", NULL, false},
    {"road-law", "Emissions and road law may forbid it on the road.", NULL, false},
    {"scope", "This checks fuel supply only. It says nothing of knock, boost or the engine.", NULL,
     true},
    {NULL, NULL, NULL, false}};

bool fr_standing_caution_applies(const fr_standing_caution *caution,
                                 const fr_check_document *document) {
    return caution->applies == NULL || caution->applies(document);
}
