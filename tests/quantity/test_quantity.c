/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support.h"

#include <locale.h>

#include "fuelreach/quantity.h"

#define KIND(name) FR_KINDS(FR_KIND_##name)

static fr_quantity read_fine(const char *text, fr_kinds wanted) {
    fr_quantity got;
    fr_quantity_fault fault = fr_quantity_parse(text, wanted, &got);
    if (fault != FR_QUANTITY_FINE) {
        print_error("'%s': fault %d\n", text, (int)fault);
    }
    assert_int_equal(fault, FR_QUANTITY_FINE);
    return got;
}

static void check_value(const char *text, fr_kinds wanted, double value) {
    fr_quantity got = read_fine(text, wanted);
    if (fabs(got.value - value) > 1e-14 * fabs(value)) {
        print_error("in '%s':\n", text);
    }
    assert_close(got.value, value, 1e-14);
}

static void check_fault(const char *text, fr_kinds wanted, fr_quantity_fault fault) {
    fr_quantity got;
    fr_quantity_fault found = fr_quantity_parse(text, wanted, &got);
    if (found != fault) {
        print_error("'%s': fault %d, expected %d\n", text, (int)found, (int)fault);
    }
    assert_int_equal(found, fault);
}

/* ---- numbers ---- */

static void decimal_numbers_are_read(void **state) {
    (void)state;
    check_value("4", KIND(NUMBER), 4.0);
    check_value("+4.5", KIND(NUMBER), 4.5);
    check_value("-4.5", KIND(NUMBER), -4.5);
    check_value(".5", KIND(NUMBER), 0.5);
    check_value("5.", KIND(NUMBER), 5.0);
    check_value("1e3", KIND(NUMBER), 1000.0);
    check_value("1.5E-3", KIND(NUMBER), 0.0015);
    check_value("2.5e+2", KIND(NUMBER), 250.0);
    check_value("0", KIND(NUMBER), 0.0);
    check_value("0.000", KIND(NUMBER), 0.0);
    check_value("0e999", KIND(NUMBER), 0.0);
    check_value("5. bar", KIND(PRESSURE), 5e5);
    check_value("1e3rpm", KIND(SPEED), 1000.0);
}

static void fractions_are_read(void **state) {
    (void)state;
    check_value("3/8 in", KIND(LENGTH), 0.009525);
    check_value("3/8\"", KIND(LENGTH), 0.009525);
    check_value("1 1/2 in", KIND(LENGTH), 0.0381);
    check_value("1-1/2 in", KIND(LENGTH), 0.0381);
    check_value("6 5/16in", KIND(LENGTH), 0.1603375);
    check_value("1/2", KIND(NUMBER), 0.5);
    check_value("-1 1/2", KIND(NUMBER), -1.5);
    check_value("3000 1/min", KIND(SPEED), 3000.0);
}

static void what_only_a_machine_calls_a_number_is_refused(void **state) {
    (void)state;
    static const char *const not_finite[] = {
        "nan",  "NaN V", "inf",       "-inf bar",  "Infinity", ".inf",   "-.Inf",
        ".nan", "1e999", "1e999 bar", "-1e400 kW", "1e-999",   "1e-320", "3/0 in",
        "0/0",  "1 1/0", "1e308 kW",  "1e-307 um", "9e307 MPa"};
    for (size_t i = 0; i < sizeof not_finite / sizeof not_finite[0]; i++) {
        check_fault(not_finite[i], ~0u, FR_QUANTITY_NOT_FINITE);
    }
    check_fault("0x10 bar", KIND(PRESSURE), FR_QUANTITY_UNKNOWN_UNIT);
    check_fault("0x1p3", KIND(NUMBER), FR_QUANTITY_UNKNOWN_UNIT);
    check_fault("1_000 rpm", KIND(SPEED), FR_QUANTITY_UNKNOWN_UNIT);
    check_fault("1e rpm", KIND(SPEED), FR_QUANTITY_UNKNOWN_UNIT);
}

static void a_text_without_a_number_is_not_one(void **state) {
    (void)state;
    static const char *const texts[] = {"",  " ",  "bar", "stock", "$120", "AWG 10", ".",     "-",
                                        "+", "e3", "E85", "/2 in", "+- 5", "~",      "\u00B5"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        check_fault(texts[i], ~0u, FR_QUANTITY_NOT_A_NUMBER);
    }
}

static void a_comma_is_told_apart(void **state) {
    (void)state;
    check_fault("1,6 bar", KIND(PRESSURE), FR_QUANTITY_DECIMAL_COMMA);
    check_fault("0,85", KIND(NUMBER), FR_QUANTITY_DECIMAL_COMMA);
    check_fault("0,125 in", KIND(LENGTH), FR_QUANTITY_DECIMAL_COMMA);
    check_fault("13,65 V", KIND(VOLTAGE), FR_QUANTITY_DECIMAL_COMMA);
    check_fault("2,000 rpm", KIND(SPEED), FR_QUANTITY_THOUSANDS_COMMA);
    check_fault("12,500", KIND(NUMBER), FR_QUANTITY_THOUSANDS_COMMA);
    check_fault("3, 4 bar", KIND(PRESSURE), FR_QUANTITY_UNKNOWN_UNIT);
}

/* A locale with a decimal comma: one that is installed, or one made for the purpose where Debian's
 * package `locales` is. */
static bool set_comma_locale(void) {
    static const char *const commas[] = {"de_DE.UTF-8", "de_DE.utf8", "fr_FR.UTF-8"};
    for (size_t i = 0; i < sizeof commas / sizeof commas[0]; i++) {
        if (setlocale(LC_NUMERIC, commas[i]) != NULL) {
            return true;
        }
    }
    char folder[] = "/tmp/fuelreach-locale-XXXXXX";
    char command[128];
    if (mkdtemp(folder) == NULL) {
        return false;
    }
    snprintf(command, sizeof command, "localedef -i de_DE -f UTF-8 %s/comma >/dev/null 2>&1",
             folder);
    bool made = system(command) != -1 && setenv("LOCPATH", folder, 1) == 0 &&
                setlocale(LC_NUMERIC, "comma") != NULL;
    snprintf(command, sizeof command, "rm -r %s", folder);
    return system(command) == 0 && made;
}

/* The figure must not depend on the language of the machine. */
static void the_locale_does_not_matter(void **state) {
    (void)state;
    if (!set_comma_locale()) {
        print_message("SKIPPED: no locale with a decimal comma here (Debian: locales)\n");
        skip();
    }
    assert_string_equal(localeconv()->decimal_point, ",");
    check_value("13.65 V", KIND(VOLTAGE), 13.65);
    check_fault("13,65 V", KIND(VOLTAGE), FR_QUANTITY_DECIMAL_COMMA);
    assert_non_null(setlocale(LC_NUMERIC, "C"));
}

/* ---- look-alikes ---- */

static void look_alike_characters_are_their_twins(void **state) {
    (void)state;
    check_value("1.5 \u00B5m", KIND(LENGTH), 1.5e-6);   /* micro sign */
    check_value("1.5 \u03BCm", KIND(LENGTH), 1.5e-6);   /* Greek mu */
    check_value("45 m\u2126", KIND(RESISTANCE), 0.045); /* ohm sign */
    check_value("45 m\u03A9", KIND(RESISTANCE), 0.045); /* Greek omega */
    check_value("2 M\u2126", KIND(RESISTANCE), 2e6);
    check_value("3 \u03A9", KIND(RESISTANCE), 3.0);
    check_value("\u22125 \u00B0C", KIND(TEMPERATURE), -5.0); /* minus, degree */
    check_value("45 \u00BAC", KIND(TEMPERATURE), 45.0);      /* masculine ordinal */
    check_value("45 \u02DAC", KIND(TEMPERATURE), 45.0);      /* ring above */
    check_value("45\u2103", KIND(TEMPERATURE), 45.0);        /* degree Celsius in one */
    check_value("113\u2109", KIND(TEMPERATURE), 45.0);
    check_value("240\u00B0", KIND(ANGLE), 240.0);
    check_value("5.5\u00A0bar", KIND(PRESSURE), 5.5e5); /* no-break space */
    check_value("5.5\u202Fbar", KIND(PRESSURE), 5.5e5); /* narrow no-break space */
    check_value("5.5\u2009bar", KIND(PRESSURE), 5.5e5); /* thin space */
    check_value("\u00A0 5.5 bar\u00A0", KIND(PRESSURE), 5.5e5);
}

static void curly_quotes_and_dashes_are_named(void **state) {
    (void)state;
    check_fault("\u201C5 bar\u201D", KIND(PRESSURE), FR_QUANTITY_CURLY_QUOTE);
    check_fault("\u20185 bar\u2019", KIND(PRESSURE), FR_QUANTITY_CURLY_QUOTE);
    check_fault("\u201E5 bar\u201C", KIND(PRESSURE), FR_QUANTITY_CURLY_QUOTE);
    check_fault("3/8\u201D", KIND(LENGTH), FR_QUANTITY_CURLY_QUOTE);
    check_fault("\u20135 \u00B0C", KIND(TEMPERATURE), FR_QUANTITY_DASH);
    check_fault("3\u20144 bar", KIND(PRESSURE), FR_QUANTITY_DASH);
}

/* ---- units ---- */

static void a_missing_unit_is_told(void **state) {
    (void)state;
    fr_quantity got;
    check_fault("550", KIND(VOLUME_FLOW), FR_QUANTITY_NO_UNIT);
    check_fault("0", KIND(RESISTANCE), FR_QUANTITY_NO_UNIT);
    assert_int_equal(fr_quantity_parse(" 0.60 ", KIND(SPECIFIC_CONSUMPTION), &got),
                     FR_QUANTITY_NO_UNIT);
    assert_int_equal(got.kind, FR_KIND_NUMBER);
    assert_close(got.value, 0.60, 0.0);
}

static void an_unknown_unit_is_told_and_found(void **state) {
    (void)state;
    check_fault("380 whp", KIND(POWER), FR_QUANTITY_UNKNOWN_UNIT);
    check_fault("-8 AN", KIND(LENGTH), FR_QUANTITY_UNKNOWN_UNIT);
    check_fault("10 micron", KIND(LENGTH), FR_QUANTITY_UNKNOWN_UNIT);
    check_fault("120 EUR", KIND(NUMBER), FR_QUANTITY_UNKNOWN_UNIT);
    check_fault("30 psig", KIND(PRESSURE), FR_QUANTITY_UNKNOWN_UNIT);
    check_fault("4 x 1000cc", KIND(VOLUME_FLOW), FR_QUANTITY_UNKNOWN_UNIT);
    check_fault("8 -m", KIND(LENGTH), FR_QUANTITY_UNKNOWN_UNIT);
    assert_string_equal(fr_quantity_unit_at(" 380 whp"), "whp");
    assert_string_equal(fr_quantity_unit_at("\u22128\u00A0AN"), "AN");
    assert_string_equal(fr_quantity_unit_at("3/8in"), "in");
    assert_string_equal(fr_quantity_unit_at("45 \u00B0C"), "\u00B0C");
    assert_string_equal(fr_quantity_unit_at("45"), "");
    assert_null(fr_quantity_unit_at("stock"));
    assert_null(fr_quantity_unit_at("1,6 bar"));
}

static void a_unit_of_another_kind_is_told_with_its_kind(void **state) {
    (void)state;
    fr_quantity got;
    assert_int_equal(fr_quantity_parse("1200cc", KIND(VOLUME_FLOW) | KIND(MASS_FLOW), &got),
                     FR_QUANTITY_WRONG_KIND);
    assert_int_equal(got.kind, FR_KIND_VOLUME);
    assert_close(got.value, 1.2e-3, 1e-15);
    check_fault("45 deg", KIND(TEMPERATURE), FR_QUANTITY_WRONG_KIND);
    check_fault("45 C", KIND(PRESSURE), FR_QUANTITY_WRONG_KIND);
    check_fault("82 %", KIND(NUMBER), FR_QUANTITY_WRONG_KIND);
}

static void one_of_several_kinds_is_taken(void **state) {
    (void)state;
    fr_kinds wanted = KIND(POWER) | KIND(TORQUE) | KIND(FRACTION);
    assert_int_equal(read_fine("300 kW", wanted).kind, FR_KIND_POWER);
    assert_int_equal(read_fine("400 lb-ft", wanted).kind, FR_KIND_TORQUE);
    assert_int_equal(read_fine("98 %", wanted).kind, FR_KIND_FRACTION);
    check_fault("98", wanted, FR_QUANTITY_NO_UNIT);
}

static void what_follows_a_quantity_is_told(void **state) {
    (void)state;
    fr_quantity got;
    assert_int_equal(fr_quantity_parse("340lph at top", KIND(VOLUME_FLOW), &got),
                     FR_QUANTITY_TRAILING);
    assert_int_equal(got.kind, FR_KIND_VOLUME_FLOW);
    assert_close(got.value, 340.0 / 3.6e6, 1e-14);
    check_fault("5 bar gauge", KIND(PRESSURE), FR_QUANTITY_TRAILING);
    check_fault("5 5 bar", KIND(PRESSURE), FR_QUANTITY_TRAILING);
    check_fault("1 2 3", KIND(NUMBER), FR_QUANTITY_TRAILING);
    check_fault("5 bar 3/8", KIND(PRESSURE), FR_QUANTITY_TRAILING);
}

static void a_text_of_any_length_is_survived(void **state) {
    (void)state;
    char text[1000];
    memset(text, '9', sizeof text);
    text[sizeof text - 1] = '\0';
    check_fault(text, KIND(NUMBER), FR_QUANTITY_TRAILING);
    memset(text, ' ', sizeof text - 6);
    memcpy(text + sizeof text - 6, "5 bar", 6);
    check_value(text, KIND(PRESSURE), 5e5);
    memset(text, ' ', sizeof text - 1);
    memcpy(text, "5 bar", 5);
    check_fault(text, KIND(PRESSURE), FR_QUANTITY_TRAILING);
}

/* ---- tolerances ---- */

static void check_tolerance(const char *text, fr_kinds wanted, double value, double tolerance,
                            bool relative) {
    fr_quantity got = read_fine(text, wanted);
    assert_true(got.has_tolerance);
    assert_close(got.value, value, 1e-14);
    assert_close(got.tolerance, tolerance, 1e-14);
    assert_int_equal(got.tolerance_relative, relative);
}

static void a_percentage_is_relative(void **state) {
    (void)state;
    check_tolerance("550 cc/min \u00B1 5 %", KIND(VOLUME_FLOW), 550.0 / 6e7, 0.05, true);
    check_tolerance("550 cc/min\u00B15%", KIND(VOLUME_FLOW), 550.0 / 6e7, 0.05, true);
    check_tolerance("550cc/min +/- 5 %", KIND(VOLUME_FLOW), 550.0 / 6e7, 0.05, true);
    check_tolerance("550 cc/min +-5%", KIND(VOLUME_FLOW), 550.0 / 6e7, 0.05, true);
    check_tolerance("0.82 \u00B1 2 %", KIND(NUMBER), 0.82, 0.02, true);
    check_tolerance("300 kW +/- 0 %", KIND(POWER), 3e5, 0.0, true);
}

static void a_tolerance_may_be_in_any_unit_of_the_kind(void **state) {
    (void)state;
    check_tolerance("13.6 V \u00B1 0.2 V", KIND(VOLTAGE), 13.6, 0.2, false);
    check_tolerance("13.6 V +/- 200 mV", KIND(VOLTAGE), 13.6, 0.2, false);
    check_tolerance("5 bar +- 10 psi", KIND(PRESSURE), 5e5, 68947.57293168361, false);
    check_tolerance("0.82 +/- 0.02", KIND(NUMBER), 0.82, 0.02, false);
}

static void one_unit_may_serve_both(void **state) {
    (void)state;
    check_tolerance("13.6 \u00B1 0.2 V", KIND(VOLTAGE), 13.6, 0.2, false);
    check_tolerance("15 +- 2 %", KIND(FRACTION), 0.15, 0.02, false);
    check_fault("300 +- 2 %", KIND(POWER), FR_QUANTITY_NO_UNIT);
}

static void the_tolerance_of_a_percentage_is_in_points(void **state) {
    (void)state;
    check_tolerance("15 % \u00B1 2 %", KIND(FRACTION), 0.15, 0.02, false);
}

static void the_tolerance_of_a_temperature_is_a_difference(void **state) {
    (void)state;
    check_tolerance("45 \u00B0C \u00B1 5 K", KIND(TEMPERATURE), 45.0, 5.0, false);
    check_tolerance("45 C +/- 5 C", KIND(TEMPERATURE), 45.0, 5.0, false);
    check_tolerance("113 F +/- 9 F", KIND(TEMPERATURE), 45.0, 5.0, false);
    check_tolerance("45 C +/- 9 F", KIND(TEMPERATURE), 45.0, 5.0, false);
    check_fault("45 C +/- 5 %", KIND(TEMPERATURE), FR_QUANTITY_BAD_TOLERANCE);
}

static void a_bad_tolerance_is_told(void **state) {
    (void)state;
    static const char *const bad[] = {"5 bar +-",       "5 bar +- x",        "5 bar +- -3 %",
                                      "5 bar +- 3",     "5 bar +- 3 kW",     "5 bar +- 3 smoots",
                                      "5 bar +- nan %", "5 bar +- 1e999 %",  "5 bar +- 1 +- 2 %",
                                      "5 bar +- 1,5 %", "5 bar +- 3 % or so"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        check_fault(bad[i], KIND(PRESSURE), FR_QUANTITY_BAD_TOLERANCE);
    }
    check_fault("10 AWG +- 1 AWG", KIND(WIRE_GAUGE), FR_QUANTITY_BAD_TOLERANCE);
    check_fault("10 AWG +- 5 %", KIND(WIRE_GAUGE), FR_QUANTITY_BAD_TOLERANCE);
}

/* ---- blends ---- */

static void check_blend(const char *text, double fraction) {
    double got = -1.0;
    assert_true(fr_blend_parse(text, &got));
    assert_close(got, fraction, 1e-15);
}

static void blend_names_are_read(void **state) {
    (void)state;
    check_blend("E0", 0.0);
    check_blend("E10", 0.10);
    check_blend("e85", 0.85);
    check_blend("E62.5", 0.625);
    check_blend(" E100 ", 1.0);
}

static void other_names_are_no_blends(void **state) {
    (void)state;
    static const char *const texts[] = {"",     "E",    "85",   "E 85", "Ethanol 85", "E85 %",
                                        "E101", "E-5",  "E+5",  "E1e1", "EE85",       "E8_5",
                                        "93",   "E8,5", "E1/2", "E.",   "E85x",       "B7"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        double got = -1.0;
        if (fr_blend_parse(texts[i], &got)) {
            print_error("'%s' was taken for a blend\n", texts[i]);
            fail();
        }
        assert_close(got, -1.0, 0.0);
    }
}

static void a_blend_is_spelled_as_it_is_read(void **state) {
    (void)state;
    static const char *const names[] = {"E0", "E5", "E10", "E62.5", "E85", "E99.875", "E100"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        char name[FR_BLEND_NAME_SIZE];
        double fraction;
        assert_true(fr_blend_parse(names[i], &fraction));
        fr_blend_spell(fraction, name);
        assert_string_equal(name, names[i]);
    }
    char name[FR_BLEND_NAME_SIZE];
    fr_blend_spell(-3.0, name);
    assert_string_equal(name, "E0");
    fr_blend_spell(1e300, name);
    assert_string_equal(name, "E100");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(decimal_numbers_are_read),
        cmocka_unit_test(fractions_are_read),
        cmocka_unit_test(what_only_a_machine_calls_a_number_is_refused),
        cmocka_unit_test(a_text_without_a_number_is_not_one),
        cmocka_unit_test(a_comma_is_told_apart),
        cmocka_unit_test(the_locale_does_not_matter),
        cmocka_unit_test(look_alike_characters_are_their_twins),
        cmocka_unit_test(curly_quotes_and_dashes_are_named),
        cmocka_unit_test(a_missing_unit_is_told),
        cmocka_unit_test(an_unknown_unit_is_told_and_found),
        cmocka_unit_test(a_unit_of_another_kind_is_told_with_its_kind),
        cmocka_unit_test(one_of_several_kinds_is_taken),
        cmocka_unit_test(what_follows_a_quantity_is_told),
        cmocka_unit_test(a_text_of_any_length_is_survived),
        cmocka_unit_test(a_percentage_is_relative),
        cmocka_unit_test(a_tolerance_may_be_in_any_unit_of_the_kind),
        cmocka_unit_test(one_unit_may_serve_both),
        cmocka_unit_test(the_tolerance_of_a_percentage_is_in_points),
        cmocka_unit_test(the_tolerance_of_a_temperature_is_a_difference),
        cmocka_unit_test(a_bad_tolerance_is_told),
        cmocka_unit_test(blend_names_are_read),
        cmocka_unit_test(other_names_are_no_blends),
        cmocka_unit_test(a_blend_is_spelled_as_it_is_read),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
