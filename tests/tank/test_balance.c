/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The tank's balance: fillings, drains, temperature, both ends of what is sold as "E85". */
#include "tank/asks.h"

/* 231 cubic inches of 2.54 cm, by definition. */
static const double GALLON_L = 231.0 * 0.254 * 0.254 * 0.254;

/* Common practice, no source: one US gallon of E77 on about 1.8 gal at E8 reads about E32, five
 * more about E61-63. */
static void the_figures_of_the_trade_come_out(void **unused) {
    (void)unused;
    fr_tank_result result;
    fr_tank_ask ask = ask_tank(13.0 * GALLON_L, 1.8 * GALLON_L, 0.08);
    ask_order(&ask, FR_TANK_ADD, GALLON_L, 0.77);
    ask_order(&ask, FR_TANK_ADD, 5.0 * GALLON_L, 0.77);
    run_tank(&ask, &result);
    assert_within(result.steps[0].ethanol, 0.32, 0.01);
    assert_true(result.steps[1].ethanol > 0.61 && result.steps[1].ethanol < 0.63);
}

/* Ethanol and gasoline each keep their mass, worked from the blends' densities alone. */
static void mass_is_kept_at_any_temperature(void **unused) {
    (void)unused;
    const double temperatures[] = {-7.0, 15.0, 33.0};
    for (size_t i = 0; i < 3; i++) {
        const double t = temperatures[i];
        fr_tank_result result;
        fr_tank_ask ask = ask_tank(61.0, 17.3, 0.094);
        ask.temperature_c = t;
        ask_order(&ask, FR_TANK_ADD, 23.7, 0.81);
        run_tank(&ask, &result);
        const fr_blend a = fr_blend_make(&ask.gasoline, 0.094);
        const fr_blend b = fr_blend_make(&ask.gasoline, 0.81);
        const fr_blend c = fr_blend_make(&ask.gasoline, last_step(&result)->ethanol);
        const double mass_a = 17.3e-3 * fr_blend_density(&a, t);
        const double mass_b = 23.7e-3 * fr_blend_density(&b, t);
        const double mass_c = last_step(&result)->volume_m3 * fr_blend_density(&c, t);
        assert_close(mass_c, mass_a + mass_b, 1e-12);
        assert_close(mass_c * c.mass_fraction, mass_a * a.mass_fraction + mass_b * b.mass_fraction,
                     1e-12);
        assert_close(last_step(&result)->volume_m3, 41.0e-3, 1e-12);
    }
}

/* At 15 degC the rule of the forecourt holds exactly: litres of ethanol over litres. */
static void at_15_degrees_blending_is_by_litres(void **unused) {
    (void)unused;
    fr_tank_result result;
    fr_tank_ask ask = ask_tank(50.0, 11.7, 0.083);
    ask_order(&ask, FR_TANK_ADD, 29.1, 0.79);
    run_tank(&ask, &result);
    assert_close(last_step(&result)->ethanol, (11.7 * 0.083 + 29.1 * 0.79) / (11.7 + 29.1), 1e-14);
}

/* Gasoline swells more than ethanol: litres measured hot hold a little less of it. */
static void litres_measured_hot_hold_a_little_more_ethanol(void **unused) {
    (void)unused;
    double ethanol[2];
    for (size_t i = 0; i < 2; i++) {
        fr_tank_result result;
        fr_tank_ask ask = ask_tank(60.0, 21.0, 0.0);
        ask.temperature_c = i == 0 ? 15.0 : 45.0;
        ask_order(&ask, FR_TANK_ADD, 21.0, 1.0);
        run_tank(&ask, &result);
        ethanol[i] = last_step(&result)->ethanol;
    }
    const fr_gasoline gasoline = fr_gasoline_default();
    const fr_blend spirit = fr_blend_make(&gasoline, 1.0);
    const fr_blend petrol = fr_blend_make(&gasoline, 0.0);
    const double e = fr_blend_density(&spirit, 45.0) / fr_blend_density(&spirit, 15.0);
    const double g = fr_blend_density(&petrol, 45.0) / fr_blend_density(&petrol, 15.0);
    assert_close(ethanol[0], 0.5, 1e-14);
    assert_close(ethanol[1], e / (e + g), 1e-13);
    assert_true(ethanol[1] > 0.5 && ethanol[1] < 0.51);
}

static void draining_keeps_the_blend(void **unused) {
    (void)unused;
    fr_tank_result result;
    fr_tank_ask ask = ask_tank(50.0, 40.0, 0.37);
    ask.temperature_c = 28.0;
    ask_order(&ask, FR_TANK_DRAIN, 13.0, 0.0);
    run_tank(&ask, &result);
    assert_close(last_step(&result)->volume_m3, 27.0e-3, 1e-12);
    assert_close(last_step(&result)->drained_m3, 13.0e-3, 1e-12);
    assert_close(last_step(&result)->ethanol, 0.37, 1e-12);
    assert_true(isnan(last_step(&result)->added_ethanol));
}

static void draining_before_filling_and_after_it_differ(void **unused) {
    (void)unused;
    fr_tank_result first;
    fr_tank_result after;
    fr_tank_ask ask = ask_tank(50.0, 30.0, 0.10);
    ask_order(&ask, FR_TANK_DRAIN, 15.0, 0.0);
    ask_order(&ask, FR_TANK_ADD, 15.0, 0.85);
    run_tank(&ask, &first);
    ask.order_count = 0;
    ask_order(&ask, FR_TANK_ADD, 15.0, 0.85);
    ask_order(&ask, FR_TANK_DRAIN, 15.0, 0.0);
    run_tank(&ask, &after);
    assert_close(last_step(&first)->ethanol, 0.475, 1e-13);
    assert_close(last_step(&after)->ethanol, 0.35, 1e-13);
}

static void topping_up_approaches_barrel_strength_and_never_reaches_it(void **unused) {
    (void)unused;
    fr_tank_result result;
    fr_tank_ask ask = ask_tank(50.0, 40.0, 0.08);
    for (size_t i = 0; i < FR_TANK_ORDERS_MAX / 2; i++) {
        ask_order(&ask, FR_TANK_ADD, 10.0, 0.77);
        ask_order(&ask, FR_TANK_DRAIN, 10.0, 0.0);
    }
    run_tank(&ask, &result);
    double before = 0.08;
    for (size_t i = 0; i < result.step_count; i += 2) {
        assert_true(result.steps[i].ethanol > before && result.steps[i].ethanol < 0.77);
        before = result.steps[i].ethanol;
    }
    assert_within(before, 0.77, 0.001);
}

/* ASTM D5798: what is sold as E85 holds 51-83 %. */
static void pump_e85_runs_both_ends(void **unused) {
    (void)unused;
    fr_tank_result low;
    fr_tank_result high;
    fr_tank_ask ask = ask_tank(50.0, 20.0, 0.10);
    ask_order(&ask, FR_TANK_ADD, 20.0, 0.0)->blend = fr_tank_pump_e85();
    assert_true(fr_tank_run(&ask, false, &low));
    assert_true(fr_tank_run(&ask, true, &high));
    assert_close(last_step(&low)->ethanol, (0.10 + 0.51) / 2.0, 1e-13);
    assert_close(last_step(&high)->ethanol, (0.10 + 0.83) / 2.0, 1e-13);
    assert_close(last_step(&high)->added_ethanol, 0.83, 0.0);
}

static void a_sensor_may_show_three_points_more_or_less(void **unused) {
    (void)unused;
    fr_tank_result result;
    fr_tank_ask ask = ask_tank(50.0, 10.0, 0.01);
    ask_order(&ask, FR_TANK_ADD, 1.0, 0.01);
    ask_order(&ask, FR_TANK_DRAIN, 11.0, 0.0);
    ask_order(&ask, FR_TANK_ADD, 40.0, 0.99);
    run_tank(&ask, &result);
    assert_close(result.steps[0].sensor_low, 0.0, 0.0);
    assert_within(result.steps[0].sensor_high, 0.04, 1e-12);
    assert_true(isnan(result.steps[1].ethanol) && isnan(result.steps[1].sensor_low));
    assert_within(result.steps[2].sensor_low, 0.96, 1e-12);
    assert_close(result.steps[2].sensor_high, 1.0, 0.0);
}

static void what_does_not_fit_is_refused(void **unused) {
    (void)unused;
    fr_tank_result result;
    fr_tank_ask ask = ask_tank(50.0, 41.0, 0.10);
    ask_order(&ask, FR_TANK_ADD, 9.0, 0.85);
    ask_order(&ask, FR_TANK_ADD, 2.5, 0.85);
    assert_false(fr_tank_run(&ask, false, &result));
    assert_int_equal(result.obstacle, FR_TANK_OVERFLOWS);
    assert_int_equal(result.obstacle_order, 1);
    assert_int_equal(result.step_count, 1);
    assert_close(result.excess_m3, 2.5e-3, 1e-9);
    ask = ask_tank(50.0, 4.0, 0.10);
    ask_order(&ask, FR_TANK_DRAIN, 4.7, 0.0);
    assert_false(fr_tank_run(&ask, false, &result));
    assert_int_equal(result.obstacle, FR_TANK_RUNS_DRY);
    assert_close(result.excess_m3, 0.7e-3, 1e-9);
    ask = ask_tank(50.0, 51.0, 0.10);
    assert_false(fr_tank_run(&ask, false, &result));
    assert_int_equal(result.obstacle, FR_TANK_OVERFLOWS);
    assert_int_equal(result.obstacle_order, ask.order_count);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_figures_of_the_trade_come_out),
        cmocka_unit_test(mass_is_kept_at_any_temperature),
        cmocka_unit_test(at_15_degrees_blending_is_by_litres),
        cmocka_unit_test(litres_measured_hot_hold_a_little_more_ethanol),
        cmocka_unit_test(draining_keeps_the_blend),
        cmocka_unit_test(draining_before_filling_and_after_it_differ),
        cmocka_unit_test(topping_up_approaches_barrel_strength_and_never_reaches_it),
        cmocka_unit_test(pump_e85_runs_both_ends),
        cmocka_unit_test(a_sensor_may_show_three_points_more_or_less),
        cmocka_unit_test(what_does_not_fit_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
