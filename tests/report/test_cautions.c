/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cautions in sentences. */
#include "report/caution_words.h"
#include "report/fixture.h"
#include "support.h"

static report_fixture fixture;

static int open_fixture(void **state) {
    (void)state;
    fixture_port(&fixture);
    return 0;
}

static int close_fixture(void **state) {
    (void)state;
    fixture_close(&fixture);
    return 0;
}

static const char *said(fr_caution caution, fr_units units) {
    static fr_words words;
    fr_words_clear(&words);
    fr_caution_sentence(&words, &fixture.document, &caution, units);
    return words.text;
}

/* Figures in SI, odd on purpose; what a person should read of them. */
static const struct {
    fr_caution caution;
    const char *figures[3];
} cases[] = {
    {{FR_CAUTION_IMPLIED_AIRFLOW, 0.551, 0.60, 0.85, 5250, NAN}, {"E85", "5250 rpm", "55 %"}},
    {{FR_CAUTION_AIR_PER_POWER, 5.13 / 3.6e6, 4.6 / 3.6e6, 0.30, 4000, NAN},
     {"E30", "4000 rpm", "5.1 kg"}},
    {{FR_CAUTION_BSFC_SCALING, 0.0431, 0.02, 0.85, NAN, NAN}, {"E85", "4.3 %", "more"}},
    {{FR_CAUTION_SAME_AIR_GAIN, 0.12, 0.08, 0.85, NAN, NAN}, {"E85", "12 %", "target_power"}},
    {{FR_CAUTION_BEYOND_CURVE, 6.31e5, 6e5, 0.85, 7000, 0}, {"6.4 bar", "6.0 bar", "E85"}},
    {{FR_CAUTION_IDLE_PULSE, 0.000457, 0.0005, 0.10, NAN, 0}, {"port", "0.45 ms", "0.50 ms"}},
    {{FR_CAUTION_IDLE_PULSE, 0.000457, 0.0005, 0.10, NAN, 1}, {"direct", "E10", "0.45 ms"}},
    {{FR_CAUTION_RETURN_OVERRUN, 2.61e5, 2.36e5, NAN, NAN, 301.5 / 3.6e6},
     {"302 L/h", "2.7 bar", "2.3 bar"}},
    {{FR_CAUTION_LOADED_FILTER, -0.0231, 0, 0.85, NAN, 0.1}, {"E85", "-3 %", "filter"}},
    {{FR_CAUTION_IDLE_PRESSURE, 6.52e5, 6e5, NAN, NAN, NAN}, {"6.6 bar", "6.0 bar", "idle"}},
    {{FR_CAUTION_PLUNGER_LOAD, 2210, 2000, NAN, NAN, NAN}, {"2.3 kN", "2.0 kN", "plunger"}},
    {{FR_CAUTION_RAIL_DROOP, 24.3e5, 20e5, 0.85, 3500, NAN}, {"25 bar", "20 bar", "3500 rpm"}},
    {{FR_CAUTION_COLD_START, 15, 10, 0.85, NAN, NAN}, {"E70", "10 °C", "crank"}},
    {{FR_CAUTION_RATING_BY_MASS, 1.05, 1, NAN, NAN, NAN}, {"lb/h", "10.5", "n-heptane"}},
};

enum { CASES = sizeof cases / sizeof cases[0] };

static void each_figure_comes_out_in_units_of_the_trade(void **state) {
    (void)state;
    for (size_t i = 0; i < CASES; i++)
        for (size_t f = 0; f < 3; f++)
            assert_contains(said(cases[i].caution, FR_METRIC), cases[i].figures[f]);
}

static void every_code_has_a_whole_sentence(void **state) {
    (void)state;
    bool tried[FR_CAUTION_COUNT] = {false};
    for (size_t i = 0; i < CASES; i++) {
        const char *us = said(cases[i].caution, FR_US);
        assert_int_equal(us[strlen(us) - 1], '.');
        assert_null(strstr(us, "nan"));
        assert_null(strstr(us, "none"));
        assert_null(strstr(us, " bar"));
        assert_null(strstr(us, "°C"));
        tried[cases[i].caution.code] = true;
    }
    for (int code = 0; code < FR_CAUTION_COUNT; code++)
        assert_true(tried[code]);
}

static void cautions_of_fuel_systems_stand_in_every_report(void **state) {
    (void)state;
    char *text = fixture_text(&fixture, FR_METRIC);
    assert_contains(text, "hold pressure with the engine off");
    assert_contains(text, "no sparks");
    assert_contains(text, "A lean engine fails");
    assert_contains(text, "Ethanol wants hoses");
    assert_contains(text, "road law");
    assert_null(strstr(text, "rail can cut skin"));
    fixture.build.direct.present = true;
    free(text);
    text = fixture_text(&fixture, FR_METRIC);
    assert_contains(text, "rail can cut skin");
    free(text);
}

static void a_standing_caution_that_stands_alone_takes_one_line(void **state) {
    (void)state;
    for (const fr_standing_caution *at = fr_standing_cautions; at->code != NULL; at++)
        assert_true(!at->stands_alone || strlen(at->text) + 2 <= 80);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(each_figure_comes_out_in_units_of_the_trade, open_fixture,
                                        close_fixture),
        cmocka_unit_test_setup_teardown(every_code_has_a_whole_sentence, open_fixture,
                                        close_fixture),
        cmocka_unit_test_setup_teardown(cautions_of_fuel_systems_stand_in_every_report,
                                        open_fixture, close_fixture),
        cmocka_unit_test(a_standing_caution_that_stands_alone_takes_one_line),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
