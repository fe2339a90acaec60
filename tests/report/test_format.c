/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers for people: units, and to which side they are rounded. */
#include "report/format.h"
#include "support.h"

static const char *shown(fr_measure measure, fr_units units, double si, fr_rounding rounding) {
    static fr_words words;
    fr_words_clear(&words);
    fr_show(&words, measure, units, si, rounding);
    return words.text;
}

static void needs_go_up_and_powers_go_down(void **state) {
    (void)state;
    assert_string_equal(shown(FR_MEASURE_PUMP_FLOW, FR_METRIC, 157.03 / 3.6e6, FR_UP), "158 L/h");
    assert_string_equal(shown(FR_MEASURE_PUMP_FLOW, FR_METRIC, 157.97 / 3.6e6, FR_DOWN), "157 L/h");
    assert_string_equal(shown(FR_MEASURE_POWER, FR_METRIC, 261.9e3, FR_DOWN), "261 kW");
    assert_string_equal(shown(FR_MEASURE_PERCENT, FR_METRIC, -0.1162, FR_DOWN), "-12 %");
    assert_string_equal(shown(FR_MEASURE_CAM_VOLUME, FR_METRIC, 1.2011e-6, FR_UP), "1.21 cc");
}

static void a_figure_on_a_step_is_not_moved_by_arithmetic(void **state) {
    (void)state;
    assert_string_equal(shown(FR_MEASURE_POWER, FR_METRIC, 262e3 * (1 - 1e-12), FR_DOWN), "262 kW");
    assert_string_equal(shown(FR_MEASURE_PUMP_FLOW, FR_METRIC, 157.0 / 3.6e6 * (1 + 1e-12), FR_UP),
                        "157 L/h");
    assert_true(fr_round_to(0.3 * 3, 1, FR_UP) == 0.9);
}

/* 1 hp = 745.69987 W, 1 psi = 6894.757 Pa, 1 US gal = 3.785411784 L, 1 lb = 0.45359237 kg:
 * NIST SP 811, appendix B. */
static void us_units_are_those_of_the_trade(void **state) {
    (void)state;
    assert_string_equal(shown(FR_MEASURE_POWER, FR_US, 540.2 * 745.69987, FR_DOWN), "540 hp");
    assert_string_equal(shown(FR_MEASURE_FUEL_VOLUME, FR_US, 60.82 * 3.785411784e-3 / 3600, FR_UP),
                        "60.9 gal/h");
    assert_string_equal(shown(FR_MEASURE_FUEL_MASS, FR_US, 369.2 * 0.45359237 / 3600, FR_UP),
                        "370 lb/h");
    assert_string_equal(shown(FR_MEASURE_PRESSURE, FR_US, 43.511 * 6894.757, FR_NEAREST),
                        "43.5 psi");
    assert_string_equal(shown(FR_MEASURE_TEMPERATURE, FR_US, 40, FR_NEAREST), "104 °F");
    assert_string_equal(shown(FR_MEASURE_PUMP_FLOW, FR_US, 255.0 / 3.6e6, FR_NEAREST), "255 L/h");
    assert_string_equal(shown(FR_MEASURE_FORCE, FR_US, 2000, FR_NEAREST), "450 lbf");
}

static void small_numbers_keep_figures_that_matter(void **state) {
    (void)state;
    assert_string_equal(shown(FR_MEASURE_POWER, FR_METRIC, 8370, FR_DOWN), "8.3 kW");
    assert_string_equal(shown(FR_MEASURE_POWER, FR_METRIC, 75e3, FR_DOWN), "75 kW");
    assert_string_equal(shown(FR_MEASURE_TIME, FR_METRIC, 0.000456, FR_DOWN), "0.45 ms");
    assert_string_equal(shown(FR_MEASURE_RESISTANCE, FR_METRIC, 0.0452, FR_DOWN), "45 mohm");
    assert_string_equal(shown(FR_MEASURE_RESISTANCE, FR_METRIC, 0.00452, FR_DOWN), "4.5 mohm");
}

static void what_has_no_value_says_none(void **state) {
    (void)state;
    assert_string_equal(shown(FR_MEASURE_RAIL_PRESSURE, FR_METRIC, NAN, FR_DOWN), "none");
    assert_string_equal(shown(FR_MEASURE_POWER, FR_METRIC, INFINITY, FR_DOWN), "none");
}

static void powers_that_rest_on_a_guess_go_by_fives(void **state) {
    (void)state;
    assert_true(fr_power_rounded(264.9e3, FR_METRIC, 5) == 260);
    assert_true(fr_power_rounded(265e3, FR_METRIC, 5) == 265);
    assert_true(fr_power_rounded(264.9e3, FR_METRIC, 0) == 264);
}

static void blends_are_named_and_rounded_down(void **state) {
    (void)state;
    char name[FR_BLEND_NAME_MAX];
    fr_blend_name(0.85, name);
    assert_string_equal(name, "E85");
    fr_blend_name(0.625, name);
    assert_string_equal(name, "E62.5");
    fr_blend_name(0, name);
    assert_string_equal(name, "E0");
    fr_blend_name_down(0.6499, name);
    assert_string_equal(name, "E64");
    fr_blend_name_down(0.07 * 10, name);
    assert_string_equal(name, "E70");
}

static const char *listed(const double *ethanol, const bool *chosen, size_t count) {
    static fr_words words;
    fr_words_clear(&words);
    fr_blend_list(&words, ethanol, chosen, count);
    return words.text;
}

static void a_list_of_blends_reads_as_one_would_say_it(void **state) {
    (void)state;
    static const double five[] = {0.10, 0.30, 0.50, 0.70, 0.85};
    static const double mixed[] = {0.85, 0.10, 0.50};
    assert_string_equal(listed(five, (bool[]){0, 0, 0, 1, 1}, 5), "E70 and E85");
    assert_string_equal(listed(five, (bool[]){1, 1, 1, 1, 1}, 5), "E10 to E85");
    assert_string_equal(listed(five, (bool[]){1, 1, 0, 0, 1}, 5), "E10, E30 and E85");
    assert_string_equal(listed(five, (bool[]){0, 1, 1, 1, 0}, 5), "E30 to E70");
    assert_string_equal(listed(five, (bool[]){0, 0, 0, 0, 1}, 5), "E85");
    assert_string_equal(listed(mixed, (bool[]){1, 1, 1}, 3), "E10 to E85");
    assert_string_equal(listed(mixed, (bool[]){1, 1, 0}, 3), "E10 and E85");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(needs_go_up_and_powers_go_down),
        cmocka_unit_test(a_figure_on_a_step_is_not_moved_by_arithmetic),
        cmocka_unit_test(us_units_are_those_of_the_trade),
        cmocka_unit_test(small_numbers_keep_figures_that_matter),
        cmocka_unit_test(what_has_no_value_says_none),
        cmocka_unit_test(powers_that_rest_on_a_guess_go_by_fives),
        cmocka_unit_test(blends_are_named_and_rounded_down),
        cmocka_unit_test(a_list_of_blends_reads_as_one_would_say_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
