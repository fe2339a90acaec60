/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support.h"

#include "fuelreach/quantity.h"

#include "published/checks.h"
#include "published/table.h"

static double unit(const char *spelling) {
    fr_kind kind;
    double factor, offset;
    if (!fr_unit_find(spelling, ~0u, &kind, &factor, &offset)) {
        print_error("no unit \"%s\"\n", spelling);
        fail();
    }
    return factor;
}

void units_are_what_their_definitions_say(void **state) {
    static const char exact[] = "definition (NIST SP 811)";
    (void)state;
    published_section("Units");
    published_close(exact, "1 hp, 550 ft lbf/s", "W", 745.69987158227022, unit("hp"), 1e-15);
    published_close(exact, "1 PS, 75 kgf m/s", "W", 735.49875, unit("PS"), 1e-15);
    published_close(exact, "1 psi", "Pa", 6894.7572931683613, unit("psi"), 1e-15);
    published_close(exact, "1 US gallon, 231 in³", "L", 3.785411784, 1e3 * unit("gal"), 1e-15);
    published_close(exact, "1 lb/h", "kg/h", 0.45359237, 3600.0 * unit("lb/h"), 1e-15);
    published_close(exact, "1 lb-ft", "N m", 1.3558179483314004, unit("lb-ft"), 1e-15);
    published_close("convention (NIST SP 811), mercury at 0 °C", "1 inHg", "Pa", 3386.389,
                    unit("inHg"), 1e-6);
    published_close("GNU units" AS_QUOTED, "3 bar", "psi", 43.511321, fr_in_unit(3e5, "psi"), 1e-8);
    published_close("GNU units" AS_QUOTED, "1 lb/hp/h", "g/kWh", 608.277,
                    fr_in_unit(unit("lb/hp/h"), "g/kWh"), 1e-6);
    fr_quantity read;
    assert_int_equal(fr_quantity_parse("100 °F", FR_KINDS(FR_KIND_TEMPERATURE), &read),
                     FR_QUANTITY_FINE);
    published_close("definition", "100 °F", "°C", 340.0 / 9.0, read.value, 1e-14);
}

/* Our spelling, what GNU units calls it, and the SI unit that the kind is kept in. Other spellings
 * of the same unit are held to these. */
static const char *const gnu[][3] = {
    {"W", "W", "W"},
    {"kW", "kW", "W"},
    {"hp", "hp", "W"},
    {"PS", "metrichorsepower", "W"},
    {"Nm", "N m", "N m"},
    {"lb-ft", "lbf ft", "N m"},
    {"Pa", "Pa", "Pa"},
    {"hPa", "hPa", "Pa"},
    {"kPa", "kPa", "Pa"},
    {"MPa", "MPa", "Pa"},
    {"bar", "bar", "Pa"},
    {"psi", "psi", "Pa"},
    {"inHg", "inHg", "Pa"},
    {"kg/s", "kg/s", "kg/s"},
    {"kg/h", "kg/hour", "kg/s"},
    {"g/s", "g/s", "kg/s"},
    {"g/min", "g/min", "kg/s"},
    {"lb/h", "lb/hour", "kg/s"},
    {"lb/min", "lb/min", "kg/s"},
    {"m3/s", "m^3/s", "m^3/s"},
    {"m3/h", "m^3/hour", "m^3/s"},
    {"L/h", "liter/hour", "m^3/s"},
    {"L/min", "liter/min", "m^3/s"},
    {"L/s", "liter/s", "m^3/s"},
    {"cc/min", "cm^3/min", "m^3/s"},
    {"cc/s", "cm^3/s", "m^3/s"},
    {"gal/h", "usgallon/hour", "m^3/s"},
    {"gal/min", "usgallon/min", "m^3/s"},
    {"m", "m", "m"},
    {"cm", "cm", "m"},
    {"mm", "mm", "m"},
    {"um", "micrometer", "m"},
    {"in", "inch", "m"},
    {"ft", "foot", "m"},
    {"mm2", "mm^2", "m^2"},
    {"m2", "m^2", "m^2"},
    {"L", "liter", "m^3"},
    {"cc", "cm^3", "m^3"},
    {"m3", "m^3", "m^3"},
    {"ci", "inch^3", "m^3"},
    {"gal", "usgallon", "m^3"},
    {"s", "s", "s"},
    {"ms", "ms", "s"},
    {"us", "microsecond", "s"},
    {"V", "V", "V"},
    {"mV", "mV", "V"},
    {"A", "A", "A"},
    {"mA", "mA", "A"},
    {"ohm", "ohm", "ohm"},
    {"mohm", "milliohm", "ohm"},
    {"Mohm", "megaohm", "ohm"},
    {"g/kWh", "g/(kW hour)", "kg/J"},
    {"kg/kWh", "kg/(kW hour)", "kg/J"},
    {"kg/J", "kg/J", "kg/J"},
    {"lb/hp/h", "lb/(hp hour)", "kg/J"},
    {"MJ/kg", "MJ/kg", "J/kg"},
    {"kJ/kg", "kJ/kg", "J/kg"},
    {"J/kg", "J/kg", "J/kg"},
    {"kg/m3", "kg/m^3", "kg/m^3"},
    {"g/cc", "g/cm^3", "kg/m^3"},
    {"kg/L", "kg/liter", "kg/m^3"},
    {"lb/gal", "lb/usgallon", "kg/m^3"},
    {"%", "percent", "1"},
    {"K", "K", "K"},
    {"degF", "degF", "K"},
};
enum { GNU_COUNT = sizeof gnu / sizeof gnu[0] };

/* True when the table above has a unit of this kind and size. */
static bool is_in_table(const char *spelling, fr_kind kind) {
    const double ours = unit(spelling);
    for (size_t i = 0; i < GNU_COUNT; i++) {
        fr_kind other;
        double factor, offset;
        if (fr_unit_find(gnu[i][0], FR_KINDS(kind), &other, &factor, &offset) && factor == ours) {
            return true;
        }
    }
    return false;
}

static bool is_power_of_ten(double x) {
    const double power = log10(x);
    return fabs(power - round(power)) < 1e-12;
}

static bool kept_as_written(fr_kind kind) {
    return kind == FR_KIND_SPEED || kind == FR_KIND_ANGLE || kind == FR_KIND_WIRE_GAUGE ||
           kind == FR_KIND_NUMBER;
}

void every_unit_is_what_gnu_units_says(void **state) {
    char command[160], answer[80];
    fr_kind kind;
    (void)state;
    published_section("Units");
    if (!published_ask("units --version 2>/dev/null", answer, sizeof answer)) {
        published_skip("units against GNU units: it is not installed");
    }
    int metric = 0, metric_the_same = 0;
    for (size_t i = 0; i < GNU_COUNT; i++) {
        char what[40];
        snprintf(command, sizeof command, "units -t -o %%.17g '%s' '%s' 2>/dev/null", gnu[i][1],
                 gnu[i][2]);
        assert_true(published_ask(command, answer, sizeof answer));
        const double theirs = strtod(answer, NULL), ours = unit(gnu[i][0]);
        if (is_power_of_ten(theirs)) {
            metric++;
            metric_the_same += fabs(ours / theirs - 1.0) < 1e-15;
            continue;
        }
        snprintf(what, sizeof what, "1 %s", gnu[i][0]);
        published_close("GNU units, run by the test", what, gnu[i][2], theirs, ours, 1e-14);
    }
    published_within("GNU units, run by the test", "units that are a power of ten of SI, exact", "",
                     metric, metric_the_same, 0.0);
    for (size_t i = 0; fr_unit_spelling(i, &kind) != NULL; i++) {
        if (!kept_as_written(kind) && !is_in_table(fr_unit_spelling(i, &kind), kind)) {
            print_error("no check of \"%s\"\n", fr_unit_spelling(i, &kind));
            fail();
        }
    }
}
