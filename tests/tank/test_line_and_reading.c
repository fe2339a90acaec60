/* SPDX-License-Identifier: GPL-3.0-or-later */
/* When the engine sees the new blend, and what a reading says about what was poured. */
#include "tank/asks.h"

/* 10 L at E10 and 10 L of E85 in a 50 L tank, 0.25 L of line. */
static fr_tank_ask ask_line(double burn_l_h, double return_l_h) {
    fr_tank_ask ask = ask_tank(50.0, 10.0, 0.10);
    ask_order(&ask, FR_TANK_ADD, 10.0, 0.85);
    ask.line = (fr_tank_line){.asked = true, .volume_m3 = 0.25e-3, .bore_m = 8e-3};
    ask.line.burn_m3_s = burn_l_h / 3.6e6;
    ask.line.return_m3_s = return_l_h / 3.6e6;
    return ask;
}

/* Laminar flow without radial mixing: the axis runs at twice the mean speed, so nothing comes
 * before half a content; 5 % at 1/sqrt(4*0.95), 95 % at 1/sqrt(4*0.05) (by hand). */
static void at_cruise_the_line_is_laminar_and_mixes_long(void **unused) {
    (void)unused;
    fr_tank_result result;
    fr_tank_ask ask = ask_line(9.0, 0.0);
    run_tank(&ask, &result);
    assert_false(result.line.turbulent);
    assert_within(result.line.plug_s, 100.0, 1e-9);
    assert_within(result.line.first_change_s, 100.0 / sqrt(4.0 * 0.95), 1e-6);
    assert_within(result.line.settled_s, 100.0 / sqrt(4.0 * 0.05), 1e-6);
    assert_close(result.line.fuel_m3, 0.25e-3 / sqrt(0.2), 1e-9);
    assert_close(result.line.burned_m3, result.line.fuel_m3, 1e-12);
    assert_true(result.line.changes);
}

static void at_full_power_the_line_is_turbulent_and_nearly_a_plug(void **unused) {
    (void)unused;
    fr_tank_result result;
    fr_tank_ask ask = ask_line(180.0, 0.0);
    run_tank(&ask, &result);
    assert_true(result.line.turbulent);
    assert_within(result.line.plug_s, 5.0, 1e-9);
    assert_true(result.line.first_change_s > 0.85 * 5.0 && result.line.first_change_s < 5.0);
    assert_true(result.line.settled_s > 5.0 && result.line.settled_s < 1.15 * 5.0);
}

/* The step solution in an unbounded pipe arrives, in the mean, one dispersion length late:
 * integral of 1 - F = 1 + 1/Pe, by hand. Summed here from the share alone. */
static void dispersion_keeps_the_mean_time(void **unused) {
    (void)unused;
    for (double peclet = 20.0; peclet < 2000.0; peclet *= 3.7) {
        double mean = 0.0;
        for (int i = 0; i < 400000; i++)
            mean += (1.0 - fr_tank_line_share((i + 0.5) * 1e-5, peclet)) * 1e-5;
        assert_within(mean, 1.0 + 1.0 / peclet, 2e-5);
    }
}

static void where_the_flow_is_unknown_the_distance_is_told(void **unused) {
    (void)unused;
    fr_tank_result result;
    fr_tank_ask ask = ask_line(0.0, 0.0);
    ask.line.burn_m3_per_m = 10e-3 / 100e3; /* 10 L/100 km */
    run_tank(&ask, &result);
    assert_true(isnan(result.line.settled_s) && isnan(result.line.reynolds));
    assert_close(result.line.settled_m, 2500.0 / sqrt(0.2), 1e-9);
    assert_close(result.line.first_change_m, 2500.0 / sqrt(3.8), 1e-9);
}

static void a_return_line_is_quicker_and_carries_old_fuel_back(void **unused) {
    (void)unused;
    fr_tank_result alone;
    fr_tank_result round;
    fr_tank_ask ask = ask_line(9.0, 0.0);
    run_tank(&ask, &alone);
    ask = ask_line(9.0, 91.0);
    run_tank(&ask, &round);
    assert_true(round.line.settled_s < 0.2 * alone.line.settled_s);
    assert_close(round.line.burned_m3, round.line.fuel_m3 * 0.09, 1e-9);
    /* 91 % of the line's 0.25 L of E10 ends in about 20 L of E47.5. */
    const double returned = 0.25 * 0.91;
    const double mixed = (0.475 * 20.0 + 0.10 * returned) / (20.0 + returned);
    assert_within(round.line.new_ethanol, mixed, 2e-4);
    assert_close(alone.line.new_ethanol, 0.475, 1e-12);
}

/* Without return the grid of the return model must give what the closed form gives. */
static void a_trickle_of_return_changes_nothing(void **unused) {
    (void)unused;
    fr_tank_result none;
    fr_tank_result trickle;
    fr_tank_ask ask = ask_line(9.0, 0.0);
    run_tank(&ask, &none);
    ask = ask_line(9.0, 1e-6);
    run_tank(&ask, &trickle);
    assert_within(trickle.line.first_change_s, none.line.first_change_s, 1.0);
    assert_within(trickle.line.settled_s, none.line.settled_s, 1.0);
}

static fr_tank_result judge(double reading, double poured) {
    fr_tank_result result;
    fr_tank_ask ask = ask_tank(50.0, 20.0, 0.08);
    ask_order(&ask, FR_TANK_ADD, 20.0, poured);
    ask.has_reading = true;
    ask.reading = reading;
    ask.reading_after = 1;
    run_tank(&ask, &result);
    assert_true(result.has_reading);
    return result;
}

static void a_reading_tells_what_was_poured(void **unused) {
    (void)unused;
    assert_int_equal(judge(0.455, 0.85).finding, FR_TANK_FITS);      /* expected 46.5 % */
    assert_int_equal(judge(0.09, 0.85).finding, FR_TANK_NOT_ARRIVED);
    assert_int_equal(judge(0.40, 0.85).finding, FR_TANK_PUMP_RANGE); /* 72 % was poured */
    assert_int_equal(judge(0.20, 0.85).finding, FR_TANK_MISLABELLED); /* 32 % was poured */
    assert_int_equal(judge(0.70, 0.85).finding, FR_TANK_WATER_OR_SENSOR);
    assert_int_equal(judge(0.00, 0.30).finding, FR_TANK_SENSOR);
    assert_within(judge(0.40, 0.85).implied_ethanol, 0.72, 1e-12);
    assert_within(judge(0.20, 0.85).implied_ethanol, 0.32, 1e-12);
    assert_within(judge(0.40, 0.85).expected_ethanol, 0.465, 1e-12);
}

/* Nominal 10 % pump gasoline reads about 8 % at the sensor (common practice, no source). */
static void pump_gasoline_at_eight_percent_fits_its_label(void **unused) {
    (void)unused;
    fr_tank_result result;
    fr_tank_ask ask = ask_tank(50.0, 20.0, 0.10);
    ask.has_reading = true;
    ask.reading = 0.08;
    run_tank(&ask, &result);
    assert_int_equal(result.finding, FR_TANK_FITS);
    assert_true(isnan(result.implied_ethanol));
    ask.reading = 0.30;
    run_tank(&ask, &result);
    assert_int_equal(result.finding, FR_TANK_WATER_OR_SENSOR);
}

static void a_reading_is_judged_where_it_stands(void **unused) {
    (void)unused;
    fr_tank_result result;
    fr_tank_ask ask = ask_tank(50.0, 20.0, 0.08);
    ask_order(&ask, FR_TANK_ADD, 10.0, 0.85);
    ask_order(&ask, FR_TANK_ADD, 20.0, 0.85);
    ask.has_reading = true;
    ask.reading = 0.33;
    ask.reading_after = 1;
    run_tank(&ask, &result);
    assert_int_equal(result.finding, FR_TANK_FITS);
    ask.reading_after = 2;
    run_tank(&ask, &result);
    assert_int_not_equal(result.finding, FR_TANK_FITS);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(at_cruise_the_line_is_laminar_and_mixes_long),
        cmocka_unit_test(at_full_power_the_line_is_turbulent_and_nearly_a_plug),
        cmocka_unit_test(dispersion_keeps_the_mean_time),
        cmocka_unit_test(where_the_flow_is_unknown_the_distance_is_told),
        cmocka_unit_test(a_return_line_is_quicker_and_carries_old_fuel_back),
        cmocka_unit_test(a_trickle_of_return_changes_nothing),
        cmocka_unit_test(a_reading_tells_what_was_poured),
        cmocka_unit_test(pump_gasoline_at_eight_percent_fits_its_label),
        cmocka_unit_test(a_reading_is_judged_where_it_stands),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
