/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fuelreach fuel: what a blend is like. */
#include <stdio.h>

#include "cli/command.h"
#include "report/format.h"
#include "report/json.h"
#include "report/point_figures.h"

/* US units in SI, exact by definition: pound, US gallon, Btu (International Table), psi. */
#define LB_KG 0.45359237
#define GAL_M3 3.785411784e-3
#define BTU_LB_J_KG 2326.0
#define PSI_PA 6894.757293168361

/* A unit of the text: its SI value, and the decimals that the model deserves. */
typedef struct shown_in {
    const char *unit;
    double si;
    int decimals;
} shown_in;

typedef struct property {
    const char *heading;
    shown_in shown[2]; /* indexed by fr_units */
    const char *key;   /* in JSON, with its unit */
    double key_si;
} property;

enum property_name {
    DENSITY,
    STOICH,
    HEATING_VALUE,
    VISCOSITY,
    BULK_MODULUS,
    VAPOUR_PRESSURE,
    MASS_FRACTION,
    PROPERTY_COUNT
};

static const property properties[PROPERTY_COUNT] = {
    [DENSITY] = {"Density", {{"kg/m3", 1, 1}, {"lb/gal", LB_KG / GAL_M3, 3}}, "density_kg_m3", 1},
    [STOICH] = {"Stoich", {{"air:fuel", 1, 2}, {"air:fuel", 1, 2}}, "stoich", 1},
    [HEATING_VALUE] = {"Heating",
                       {{"MJ/kg", 1e6, 1}, {"Btu/lb", BTU_LB_J_KG, 0}},
                       "heating_value_mj_kg",
                       1e6},
    [VISCOSITY] = {"Viscosity", {{"mPa s", 1e-3, 3}, {"cP", 1e-3, 3}}, "viscosity_mpa_s", 1e-3},
    [BULK_MODULUS] = {"Bulk mod.",
                      {{"MPa", 1e6, 0}, {"kpsi", PSI_PA * 1e3, 1}},
                      "bulk_modulus_mpa",
                      1e6},
    [VAPOUR_PRESSURE] = {"Vapour",
                         {{"kPa", 1e3, 1}, {"psi", PSI_PA, 2}},
                         "vapour_pressure_kpa",
                         1e3},
    [MASS_FRACTION] = {"Ethanol", {{"% mass", 0.01, 1}, {"% mass", 0.01, 1}}, "mass_fraction", 1},
};

static const double standard_atmosphere_pa = 101325.0;
static const double default_temperature_c = 20.0;
/* Where the fits stop telling the truth: fuel systems run between these. */
static const double coldest_c = -40.0, hottest_c = 120.0;
static const double least_pressure_pa = 0.1e5, greatest_pressure_pa = 600e5;

/* Without a name on the command line: the ends, pump gasoline, and what people mix. */
static const double default_blends[] = {0.0, 0.10, 0.30, 0.50, 0.70, 0.85, 1.0};

typedef struct conditions {
    double temperature_c;
    double pressure_abs_pa; /* of density; all else at 1 atm */
} conditions;

static void find_properties(double ethanol, const conditions *at, double si[PROPERTY_COUNT]) {
    fr_gasoline gasoline = fr_gasoline_default();
    fr_blend blend = fr_blend_make(&gasoline, ethanol);

    si[DENSITY] = fr_blend_density_at_pressure(&blend, at->temperature_c, at->pressure_abs_pa);
    si[STOICH] = blend.stoich;
    si[HEATING_VALUE] = blend.heating_value_j_kg;
    si[VISCOSITY] = fr_blend_viscosity(&blend, at->temperature_c);
    si[BULK_MODULUS] = fr_blend_bulk_modulus(&blend, at->temperature_c);
    si[VAPOUR_PRESSURE] = fr_blend_vapour_pressure(&blend, at->temperature_c);
    si[MASS_FRACTION] = blend.mass_fraction;
}

static void write_json(FILE *out, const double *blends, size_t count, const conditions *at) {
    fr_json json = fr_json_to(out);

    fr_json_object(&json, NULL);
    fr_json_count(&json, "fuelreach", 1);
    fr_json_list(&json, "blends");
    for (size_t i = 0; i < count; i++) {
        double si[PROPERTY_COUNT];
        char name[FR_BLEND_NAME_MAX];
        fr_blend_name(blends[i], name);
        find_properties(blends[i], at, si);
        fr_json_object(&json, NULL);
        fr_json_text(&json, "blend", name);
        fr_json_number(&json, "ethanol_percent", fr_ethanol_percent(blends[i]));
        for (size_t p = 0; p < PROPERTY_COUNT; p++)
            fr_json_number(&json, properties[p].key, si[p] / properties[p].key_si);
        fr_json_object_end(&json);
    }
    fr_json_list_end(&json);
    fr_json_object_end(&json);
    fr_json_line_end(&json);
}

static void write_conditions(FILE *out, const conditions *at, fr_units units) {
    fr_words words;

    fr_words_clear(&words);
    fr_words_add(&words, "Gasoline-ethanol blends at ");
    fr_show(&words, FR_MEASURE_TEMPERATURE, units, at->temperature_c, FR_NEAREST);
    if (at->pressure_abs_pa != standard_atmosphere_pa) {
        fr_words_add(&words, "; density at ");
        fr_show(&words, FR_MEASURE_RAIL_PRESSURE, units, at->pressure_abs_pa, FR_NEAREST);
        fr_words_add(&words, " absolute, the rest at 1 atm");
    }
    fprintf(out, "%s\n\n", words.text);
}

static void write_text(FILE *out, const double *blends, size_t count, const conditions *at,
                       fr_units units) {
    write_conditions(out, at, units);
    fprintf(out, "%-7s", "");
    for (size_t p = 0; p < PROPERTY_COUNT; p++)
        fprintf(out, "%10s", properties[p].heading);
    fprintf(out, "\n%-7s", "");
    for (size_t p = 0; p < PROPERTY_COUNT; p++)
        fprintf(out, "%10s", properties[p].shown[units].unit);
    for (size_t i = 0; i < count; i++) {
        double si[PROPERTY_COUNT];
        char name[FR_BLEND_NAME_MAX];
        fr_blend_name(blends[i], name);
        find_properties(blends[i], at, si);
        fprintf(out, "\n%-7s", name);
        for (size_t p = 0; p < PROPERTY_COUNT; p++) {
            const shown_in *shown = &properties[p].shown[units];
            fprintf(out, "%10.*f", shown->decimals, si[p] / shown->si);
        }
    }
    fputs("\n\nThe name is the ethanol content by volume at 15 °C. Gasoline differs from pump to\n"
          "pump; this is a typical summer one.\n",
          out);
}

/* One option as a quantity between two bounds, both in the kind's SI. */
static bool read_bounded(const fr_invocation *invocation, const char *name, fr_kind kind,
                         double least, double most, double *value) {
    fr_quantity quantity = {.value = *value};

    if (!fr_invocation_quantity(invocation, name, FR_KINDS(kind), &quantity))
        return false;
    *value = quantity.value;
    if (*value >= least && *value <= most)
        return true;
    fr_usage_error(invocation, "--%s: '%s' is outside what the model is good for", name,
                   fr_invocation_value(invocation, name, ""));
    return false;
}

static bool read_blends(const fr_invocation *invocation, double *blends) {
    for (size_t i = 0; i < invocation->argument_count; i++) {
        if (fr_blend_parse(invocation->arguments[i], &blends[i]))
            continue;
        fr_usage_error(invocation, "'%s' is not a blend; write E85 or E62.5",
                       invocation->arguments[i]);
        return false;
    }
    return true;
}

int fr_command_fuel(fr_invocation *invocation) {
    conditions at = {default_temperature_c, standard_atmosphere_pa};
    double named[FR_BLENDS_MAX];
    const double *blends = named;
    size_t count = invocation->argument_count;

    if (!read_blends(invocation, named) ||
        !read_bounded(invocation, "temperature", FR_KIND_TEMPERATURE, coldest_c, hottest_c,
                      &at.temperature_c) ||
        !read_bounded(invocation, "pressure", FR_KIND_PRESSURE, least_pressure_pa,
                      greatest_pressure_pa, &at.pressure_abs_pa))
        return fr_status_exit_code(FR_BAD_INPUT);
    if (count == 0) {
        blends = default_blends;
        count = sizeof default_blends / sizeof default_blends[0];
    }
    if (fr_invocation_is(invocation, "format", "json"))
        write_json(invocation->out, blends, count, &at);
    else
        write_text(invocation->out, blends, count, &at, fr_invocation_units(invocation, FR_METRIC));
    return 0;
}
