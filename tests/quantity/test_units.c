/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every unit against a figure written down here on its own. Factors of customary units are those
 * of NIST SP 811 (2008), appendix B.8, to the digits it gives or exact by definition. */
#include "support.h"

#include <ctype.h>
#include <strings.h>

#include "fuelreach/quantity.h"

typedef struct answer {
    const char *spelling;
    fr_kind kind;
    double of_seven; /* SI value of 7 units */
} answer;

static const answer answers[] = {
    {"W", FR_KIND_POWER, 7.0},
    {"kW", FR_KIND_POWER, 7000.0},
    {"hp", FR_KIND_POWER, 7 * 745.69987158227022}, /* 550 ft lbf/s */
    {"bhp", FR_KIND_POWER, 7 * 745.69987158227022},
    {"horsepower", FR_KIND_POWER, 7 * 745.69987158227022},
    {"PS", FR_KIND_POWER, 7 * 735.49875}, /* horsepower (metric) */
    {"Nm", FR_KIND_TORQUE, 7.0},
    {"lb-ft", FR_KIND_TORQUE, 7 * 1.3558179483314004},
    {"lbs-ft", FR_KIND_TORQUE, 7 * 1.3558179483314004},
    {"lbf-ft", FR_KIND_TORQUE, 7 * 1.3558179483314004},
    {"ft-lb", FR_KIND_TORQUE, 7 * 1.3558179483314004},
    {"ft-lbs", FR_KIND_TORQUE, 7 * 1.3558179483314004},
    {"ft-lbf", FR_KIND_TORQUE, 7 * 1.3558179483314004},
    {"Pa", FR_KIND_PRESSURE, 7.0},
    {"hPa", FR_KIND_PRESSURE, 700.0},
    {"kPa", FR_KIND_PRESSURE, 7000.0},
    {"MPa", FR_KIND_PRESSURE, 7e6},
    {"bar", FR_KIND_PRESSURE, 7e5},
    {"mbar", FR_KIND_PRESSURE, 700.0},
    {"psi", FR_KIND_PRESSURE, 7 * 6894.757293168361},
    {"inHg", FR_KIND_PRESSURE, 7 * 3386.388640341}, /* conventional mercury; SP 811: 3386.389 */
    {"kg/s", FR_KIND_MASS_FLOW, 7.0},
    {"kg/h", FR_KIND_MASS_FLOW, 7.0 / 3600},
    {"kg/hr", FR_KIND_MASS_FLOW, 7.0 / 3600},
    {"g/s", FR_KIND_MASS_FLOW, 0.007},
    {"g/sec", FR_KIND_MASS_FLOW, 0.007},
    {"g/min", FR_KIND_MASS_FLOW, 0.007 / 60},
    {"lb/h", FR_KIND_MASS_FLOW, 7 * 1.2599788055555556e-4},
    {"lb/hr", FR_KIND_MASS_FLOW, 7 * 1.2599788055555556e-4},
    {"lbs/h", FR_KIND_MASS_FLOW, 7 * 1.2599788055555556e-4},
    {"lbs/hr", FR_KIND_MASS_FLOW, 7 * 1.2599788055555556e-4},
    {"#/hr", FR_KIND_MASS_FLOW, 7 * 1.2599788055555556e-4},
    {"pph", FR_KIND_MASS_FLOW, 7 * 1.2599788055555556e-4},
    {"lb/min", FR_KIND_MASS_FLOW, 7 * 7.559872833333333e-3},
    {"m3/s", FR_KIND_VOLUME_FLOW, 7.0},
    {"m3/h", FR_KIND_VOLUME_FLOW, 7.0 / 3600},
    {"L/h", FR_KIND_VOLUME_FLOW, 7.0 / 3.6e6},
    {"L/hr", FR_KIND_VOLUME_FLOW, 7.0 / 3.6e6},
    {"lph", FR_KIND_VOLUME_FLOW, 7.0 / 3.6e6},
    {"L/min", FR_KIND_VOLUME_FLOW, 7.0 / 6e4},
    {"lpm", FR_KIND_VOLUME_FLOW, 7.0 / 6e4},
    {"L/s", FR_KIND_VOLUME_FLOW, 0.007},
    {"cc/min", FR_KIND_VOLUME_FLOW, 7.0 / 6e7},
    {"cm3/min", FR_KIND_VOLUME_FLOW, 7.0 / 6e7},
    {"mL/min", FR_KIND_VOLUME_FLOW, 7.0 / 6e7},
    {"cc/s", FR_KIND_VOLUME_FLOW, 7e-6},
    {"cc/sec", FR_KIND_VOLUME_FLOW, 7e-6},
    {"cm3/s", FR_KIND_VOLUME_FLOW, 7e-6},
    {"mL/s", FR_KIND_VOLUME_FLOW, 7e-6},
    {"gal/h", FR_KIND_VOLUME_FLOW, 7 * 1.0515032733333333e-6},
    {"gal/hr", FR_KIND_VOLUME_FLOW, 7 * 1.0515032733333333e-6},
    {"gph", FR_KIND_VOLUME_FLOW, 7 * 1.0515032733333333e-6},
    {"gal/min", FR_KIND_VOLUME_FLOW, 7 * 6.30901964e-5},
    {"gpm", FR_KIND_VOLUME_FLOW, 7 * 6.30901964e-5},
    {"m", FR_KIND_LENGTH, 7.0},
    {"cm", FR_KIND_LENGTH, 0.07},
    {"mm", FR_KIND_LENGTH, 0.007},
    {"um", FR_KIND_LENGTH, 7e-6},
    {"in", FR_KIND_LENGTH, 0.1778},
    {"inch", FR_KIND_LENGTH, 0.1778},
    {"inches", FR_KIND_LENGTH, 0.1778},
    {"\"", FR_KIND_LENGTH, 0.1778},
    {"ft", FR_KIND_LENGTH, 2.1336},
    {"feet", FR_KIND_LENGTH, 2.1336},
    {"foot", FR_KIND_LENGTH, 2.1336},
    {"'", FR_KIND_LENGTH, 2.1336},
    {"mm2", FR_KIND_AREA, 7e-6},
    {"mm^2", FR_KIND_AREA, 7e-6},
    {"sq mm", FR_KIND_AREA, 7e-6},
    {"m2", FR_KIND_AREA, 7.0},
    {"AWG", FR_KIND_WIRE_GAUGE, 7.0},
    {"ga", FR_KIND_WIRE_GAUGE, 7.0},
    {"gauge", FR_KIND_WIRE_GAUGE, 7.0},
    {"L", FR_KIND_VOLUME, 0.007},
    {"litre", FR_KIND_VOLUME, 0.007},
    {"litres", FR_KIND_VOLUME, 0.007},
    {"liter", FR_KIND_VOLUME, 0.007},
    {"liters", FR_KIND_VOLUME, 0.007},
    {"cc", FR_KIND_VOLUME, 7e-6},
    {"cm3", FR_KIND_VOLUME, 7e-6},
    {"mL", FR_KIND_VOLUME, 7e-6},
    {"m3", FR_KIND_VOLUME, 7.0},
    {"ci", FR_KIND_VOLUME, 7 * 1.6387064e-5},
    {"cui", FR_KIND_VOLUME, 7 * 1.6387064e-5},
    {"cid", FR_KIND_VOLUME, 7 * 1.6387064e-5},
    {"cu in", FR_KIND_VOLUME, 7 * 1.6387064e-5},
    {"in3", FR_KIND_VOLUME, 7 * 1.6387064e-5},
    {"gal", FR_KIND_VOLUME, 7 * 3.785411784e-3},
    {"gallon", FR_KIND_VOLUME, 7 * 3.785411784e-3},
    {"gallons", FR_KIND_VOLUME, 7 * 3.785411784e-3},
    {"s", FR_KIND_TIME, 7.0},
    {"sec", FR_KIND_TIME, 7.0},
    {"ms", FR_KIND_TIME, 0.007},
    {"us", FR_KIND_TIME, 7e-6},
    {"rpm", FR_KIND_SPEED, 7.0},
    {"1/min", FR_KIND_SPEED, 7.0},
    {"deg", FR_KIND_ANGLE, 7.0},
    {"degrees", FR_KIND_ANGLE, 7.0},
    {"V", FR_KIND_VOLTAGE, 7.0},
    {"mV", FR_KIND_VOLTAGE, 0.007},
    {"volt", FR_KIND_VOLTAGE, 7.0},
    {"volts", FR_KIND_VOLTAGE, 7.0},
    {"A", FR_KIND_CURRENT, 7.0},
    {"mA", FR_KIND_CURRENT, 0.007},
    {"amp", FR_KIND_CURRENT, 7.0},
    {"amps", FR_KIND_CURRENT, 7.0},
    {"ohm", FR_KIND_RESISTANCE, 7.0},
    {"ohms", FR_KIND_RESISTANCE, 7.0},
    {"mohm", FR_KIND_RESISTANCE, 0.007},
    {"mohms", FR_KIND_RESISTANCE, 0.007},
    {"Mohm", FR_KIND_RESISTANCE, 7e6},
    {"Mohms", FR_KIND_RESISTANCE, 7e6},
    {"g/kWh", FR_KIND_SPECIFIC_CONSUMPTION, 7e-3 / 3.6e6},
    {"kg/kWh", FR_KIND_SPECIFIC_CONSUMPTION, 7.0 / 3.6e6},
    {"kg/J", FR_KIND_SPECIFIC_CONSUMPTION, 7.0},
    {"lb/hp/h", FR_KIND_SPECIFIC_CONSUMPTION, 7 * 1.6896594106715585e-07}, /* 608.277 g/kWh */
    {"lb/hp/hr", FR_KIND_SPECIFIC_CONSUMPTION, 7 * 1.6896594106715585e-07},
    {"lb/hp-h", FR_KIND_SPECIFIC_CONSUMPTION, 7 * 1.6896594106715585e-07},
    {"lb/hp-hr", FR_KIND_SPECIFIC_CONSUMPTION, 7 * 1.6896594106715585e-07},
    {"lb/bhp/h", FR_KIND_SPECIFIC_CONSUMPTION, 7 * 1.6896594106715585e-07},
    {"lb/bhp/hr", FR_KIND_SPECIFIC_CONSUMPTION, 7 * 1.6896594106715585e-07},
    {"lb/bhp-h", FR_KIND_SPECIFIC_CONSUMPTION, 7 * 1.6896594106715585e-07},
    {"lb/bhp-hr", FR_KIND_SPECIFIC_CONSUMPTION, 7 * 1.6896594106715585e-07},
    {"lbs/hp/hr", FR_KIND_SPECIFIC_CONSUMPTION, 7 * 1.6896594106715585e-07},
    {"lbs/hp-hr", FR_KIND_SPECIFIC_CONSUMPTION, 7 * 1.6896594106715585e-07},
    {"MJ/kg", FR_KIND_SPECIFIC_ENERGY, 7e6},
    {"kJ/kg", FR_KIND_SPECIFIC_ENERGY, 7e3},
    {"J/kg", FR_KIND_SPECIFIC_ENERGY, 7.0},
    {"kg/m3", FR_KIND_DENSITY, 7.0},
    {"kg/m^3", FR_KIND_DENSITY, 7.0},
    {"g/cc", FR_KIND_DENSITY, 7000.0},
    {"g/cm3", FR_KIND_DENSITY, 7000.0},
    {"kg/L", FR_KIND_DENSITY, 7000.0},
    {"lb/gal", FR_KIND_DENSITY, 7 * 119.82642731689663},
    {"%", FR_KIND_FRACTION, 0.07},
    {"percent", FR_KIND_FRACTION, 0.07},
    {"degC", FR_KIND_TEMPERATURE, 7.0},
    {"C", FR_KIND_TEMPERATURE, 7.0},
    {"K", FR_KIND_TEMPERATURE, -266.15},
    {"degF", FR_KIND_TEMPERATURE, -13.888888888888889},
    {"F", FR_KIND_TEMPERATURE, -13.888888888888889},
};

enum { ANSWERS = sizeof answers / sizeof answers[0] };

static const answer *find_answer(const char *spelling) {
    for (size_t i = 0; i < ANSWERS; i++) {
        if (strcmp(answers[i].spelling, spelling) == 0) {
            return &answers[i];
        }
    }
    return NULL;
}

static void check_seven(const char *text, const answer *wanted) {
    fr_quantity got;
    fr_quantity_fault fault = fr_quantity_parse(text, FR_KINDS(wanted->kind), &got);
    if (fault != FR_QUANTITY_FINE) {
        print_error("'%s': fault %d\n", text, (int)fault);
    }
    assert_int_equal(fault, FR_QUANTITY_FINE);
    assert_int_equal(got.kind, wanted->kind);
    assert_close(got.value, wanted->of_seven, 2e-13);
    assert_false(got.has_tolerance);
}

static void every_unit_has_its_known_value(void **state) {
    (void)state;
    for (size_t i = 0; i < ANSWERS; i++) {
        char text[64];
        snprintf(text, sizeof text, "7 %s", answers[i].spelling);
        check_seven(text, &answers[i]);
        snprintf(text, sizeof text, "  7.0%s ", answers[i].spelling); /* no space between */
        if (isdigit((unsigned char)answers[i].spelling[0]) == 0) {
            check_seven(text, &answers[i]);
        }
    }
}

static void no_unit_of_the_table_is_without_a_known_value(void **state) {
    (void)state;
    fr_kind kind;
    size_t count = 0;
    for (const char *spelling; (spelling = fr_unit_spelling(count, &kind)) != NULL; count++) {
        const answer *known = find_answer(spelling);
        if (known == NULL) {
            print_error("no known value for '%s'\n", spelling);
        }
        assert_non_null(known);
        assert_int_equal(known->kind, kind);
    }
    assert_int_equal(count, ANSWERS);
}

static void letter_case_does_not_matter(void **state) {
    (void)state;
    for (size_t i = 0; i < ANSWERS; i++) {
        char upper[64];
        char lower[64];
        size_t length = strlen(answers[i].spelling);
        if (strcasecmp(answers[i].spelling, "mohm") == 0 ||
            strcasecmp(answers[i].spelling, "mohms") == 0) {
            continue; /* told apart by it, below */
        }
        snprintf(upper, sizeof upper, "7 %s", answers[i].spelling);
        snprintf(lower, sizeof lower, "7 %s", answers[i].spelling);
        for (size_t k = 0; k < length; k++) {
            upper[2 + k] = (char)toupper((unsigned char)upper[2 + k]);
            lower[2 + k] = (char)tolower((unsigned char)lower[2 + k]);
        }
        check_seven(upper, &answers[i]);
        check_seven(lower, &answers[i]);
    }
}

static void milliohm_and_megohm_differ_by_their_first_letter_alone(void **state) {
    (void)state;
    check_seven("7 mohm", find_answer("mohm"));
    check_seven("7 mOhm", find_answer("mohm"));
    check_seven("7 mOHM", find_answer("mohm"));
    check_seven("7 Mohm", find_answer("Mohm"));
    check_seven("7 MOHM", find_answer("Mohm"));
}

static void blanks_hyphens_and_points_inside_a_unit_are_overlooked(void **state) {
    (void)state;
    check_seven("7 lb ft", find_answer("lb-ft"));
    check_seven("7 lb.ft", find_answer("lb-ft"));
    check_seven("7 N\u00B7m", find_answer("Nm"));
    check_seven("7 N m", find_answer("Nm"));
    check_seven("7 g/(kW\u00B7h)", find_answer("g/kWh"));
    check_seven("7 g/(kW h)", find_answer("g/kWh"));
    check_seven("7 lb/(hp h)", find_answer("lb/hp-h"));
    check_seven("7 cu. in.", find_answer("cu in"));
    check_seven("7 in Hg", find_answer("inHg"));
    check_seven("7 cm\u00B3/min", find_answer("cm3/min"));
    check_seven("7 mm\u00B2", find_answer("mm2"));
    check_seven("7 kg/m\u00B3", find_answer("kg/m3"));
    check_seven("7 deg C", find_answer("degC"));
}

static void a_value_comes_back_from_every_unit(void **state) {
    (void)state;
    support_random random = {77};
    for (size_t i = 0; i < ANSWERS; i++) {
        for (int k = 0; k < 20; k++) {
            char text[96];
            fr_quantity got;
            double number = support_random_between(&random, 0.01, 500.0);
            snprintf(text, sizeof text, "%.17g %s", number, answers[i].spelling);
            assert_int_equal(fr_quantity_parse(text, FR_KINDS(answers[i].kind), &got),
                             FR_QUANTITY_FINE);
            assert_within(fr_in_unit(got.value, answers[i].spelling), number, 1e-15 * 700.0);
        }
    }
}

static void a_unit_is_found_by_spelling_and_kind(void **state) {
    (void)state;
    fr_kind kind;
    double factor = 0.0;
    double offset = -1.0;
    assert_true(fr_unit_find(" \u00B0F", FR_KINDS(FR_KIND_TEMPERATURE), &kind, &factor, &offset));
    assert_int_equal(kind, FR_KIND_TEMPERATURE);
    assert_close(factor * 212.0 + offset, 100.0, 1e-14);
    assert_false(fr_unit_find("bar", FR_KINDS(FR_KIND_POWER), &kind, &factor, &offset));
    assert_int_equal(kind, FR_KIND_PRESSURE);
    assert_false(fr_unit_find("furlong", ~0u, &kind, &factor, &offset));
    assert_int_equal(kind, FR_KIND_COUNT);
    assert_nan(fr_in_unit(1.0, "furlong"));
    assert_close(fr_in_unit(300e3, "hp"), 402.306627, 1e-8);
}

static void every_kind_has_a_name_and_an_example_that_is_one(void **state) {
    (void)state;
    for (int kind = 0; kind < FR_KIND_COUNT; kind++) {
        fr_quantity got;
        assert_int_equal(
            fr_quantity_parse(fr_kind_example((fr_kind)kind), FR_KINDS((unsigned)kind), &got),
            FR_QUANTITY_FINE);
        assert_int_equal((int)got.kind, kind);
        assert_true(strlen(fr_kind_name((fr_kind)kind)) > 4);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_unit_has_its_known_value),
        cmocka_unit_test(no_unit_of_the_table_is_without_a_known_value),
        cmocka_unit_test(letter_case_does_not_matter),
        cmocka_unit_test(milliohm_and_megohm_differ_by_their_first_letter_alone),
        cmocka_unit_test(blanks_hyphens_and_points_inside_a_unit_are_overlooked),
        cmocka_unit_test(a_value_comes_back_from_every_unit),
        cmocka_unit_test(a_unit_is_found_by_spelling_and_kind),
        cmocka_unit_test(every_kind_has_a_name_and_an_example_that_is_one),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
