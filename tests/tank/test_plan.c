/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Targets and plans of steps: reached, with the least fuel drained; and what is said when not. */
#include "tank/asks.h"

static void a_target_is_reached_by_adding_where_there_is_room(void **unused) {
    (void)unused;
    fr_tank_result result;
    fr_tank_ask ask = ask_tank(50.0, 12.0, 0.10);
    const double target = 0.30;
    ask_targets(&ask, 0.85, 1, &target);
    run_tank(&ask, &result);
    assert_true(result.reachable);
    assert_close(last_step(&result)->drained_m3, 0.0, 0.0);
    assert_close(last_step(&result)->added_m3, 12.0e-3 * 0.20 / 0.55, 1e-12);
    assert_close(last_step(&result)->ethanol, 0.30, 1e-12);
}

static void only_as_much_is_drained_as_makes_room(void **unused) {
    (void)unused;
    fr_tank_result result;
    fr_tank_ask ask = ask_tank(50.0, 40.0, 0.10);
    ask.temperature_c = 31.0;
    const double target = 0.60;
    ask_targets(&ask, 0.77, 1, &target);
    run_tank(&ask, &result);
    assert_true(last_step(&result)->drained_m3 > 0.0);
    assert_close(last_step(&result)->volume_m3, 50.0e-3, 1e-12);
    assert_close(last_step(&result)->ethanol, 0.60, 1e-12);
}

/* Every way to share the drain out over the steps, on a fine grid: none drains less in all. */
static double least_drain_by_trial(double size, double holds, double ethanol, double with,
                                   const double targets[2]) {
    double least = INFINITY;
    for (int i = 0; i <= 2000; i++) {
        const double first = holds * i / 2000.0;
        const double filled = (holds - first) * (with - ethanol) / (with - targets[0]);
        if (filled > size * (1.0 + 1e-9))
            continue;
        const double most = size * (with - targets[1]) / (with - targets[0]);
        const double second = filled > most ? filled - most : 0.0;
        least = fmin(least, first + second);
    }
    return least;
}

static void a_plan_drains_the_least_in_all(void **unused) {
    (void)unused;
    const double cases[][6] = {
        /* size, holds, ethanol, with, then two targets */
        {50.0, 45.0, 0.08, 0.77, 0.30, 0.60}, {60.0, 20.0, 0.10, 0.85, 0.30, 0.70},
        {50.0, 50.0, 0.10, 0.83, 0.11, 0.50}, {13.0, 5.0, 0.25, 0.95, 0.30, 0.31},
        {45.0, 40.0, 0.70, 0.10, 0.50, 0.20},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const double *c = cases[i];
        const double ours = fr_tank_plan_drain(c[0], c[1], c[2], c[3], &c[4], 2);
        const double trial = least_drain_by_trial(c[0], c[1], c[2], c[3], &c[4]);
        assert_true(ours <= trial + 1e-9);
        assert_within(ours, trial, c[1] / 2000.0);
    }
}

static void a_plan_visits_every_blend_and_drains_once(void **unused) {
    (void)unused;
    fr_tank_result result;
    fr_tank_ask ask = ask_tank(50.0, 45.0, 0.08);
    ask.temperature_c = 25.0;
    const double targets[] = {0.30, 0.50, 0.62};
    ask_targets(&ask, 0.77, 3, targets);
    run_tank(&ask, &result);
    assert_true(result.reachable);
    assert_int_equal(result.step_count, 3);
    for (size_t i = 0; i < 3; i++) {
        assert_close(result.steps[i].ethanol, targets[i], 1e-12);
        assert_close(result.steps[i].target, targets[i], 0.0);
        assert_true(result.steps[i].volume_m3 <= 50.0e-3 * (1.0 + 1e-12));
    }
    assert_true(result.steps[0].drained_m3 > 0.0);
    assert_close(result.steps[1].drained_m3 + result.steps[2].drained_m3, 0.0, 0.0);
    assert_close(result.steps[2].volume_m3, 50.0e-3, 1e-12);
}

static void a_target_beyond_the_barrel_is_refused_with_the_nearest(void **unused) {
    (void)unused;
    fr_tank_result result;
    fr_tank_ask ask = ask_tank(50.0, 10.0, 0.08);
    const double target = 0.80;
    ask_targets(&ask, 0.77, 1, &target);
    run_tank(&ask, &result);
    assert_false(result.reachable);
    assert_int_equal(result.obstacle, FR_TANK_TOO_WEAK);
    assert_close(result.nearest_ethanol, 0.77, 0.0);
    assert_close(result.topped_up_ethanol, (10.0 * 0.08 + 40.0 * 0.77) / 50.0, 1e-12);
    assert_int_equal(result.step_count, 0);
}

static void the_barrels_own_strength_takes_an_emptied_tank(void **unused) {
    (void)unused;
    fr_tank_result result;
    fr_tank_ask ask = ask_tank(50.0, 10.0, 0.08);
    const double target = 0.77;
    ask_targets(&ask, 0.77, 1, &target);
    run_tank(&ask, &result);
    assert_true(result.reachable);
    assert_close(last_step(&result)->drained_m3, 10.0e-3, 1e-12);
    assert_close(last_step(&result)->added_m3, 50.0e-3, 1e-12);
    assert_close(last_step(&result)->ethanol, 0.77, 1e-12);
}

static void a_fuel_that_moves_the_wrong_way_is_refused(void **unused) {
    (void)unused;
    fr_tank_result result;
    fr_tank_ask ask = ask_tank(50.0, 10.0, 0.40);
    const double target = 0.30;
    ask_targets(&ask, 0.77, 1, &target);
    ask_order(&ask, FR_TANK_ADD, 5.0, 0.10); /* comes after the answer: not done */
    run_tank(&ask, &result);
    assert_false(result.reachable);
    assert_int_equal(result.obstacle, FR_TANK_WRONG_WAY);
    assert_close(result.nearest_ethanol, 0.40, 1e-12);
    assert_int_equal(result.step_count, 0);
}

static void a_plan_stops_at_the_first_blend_out_of_reach(void **unused) {
    (void)unused;
    fr_tank_result result;
    fr_tank_ask ask = ask_tank(50.0, 45.0, 0.08);
    const double targets[] = {0.30, 0.60, 0.85};
    ask_targets(&ask, 0.77, 3, targets);
    run_tank(&ask, &result);
    assert_false(result.reachable);
    assert_int_equal(result.step_count, 2);
    assert_close(result.obstacle_target, 0.85, 0.0);
    assert_close(result.nearest_ethanol, 0.77, 0.0);
}

static void an_empty_tank_takes_the_fuel_as_it_is(void **unused) {
    (void)unused;
    fr_tank_result result;
    fr_tank_ask ask = ask_tank(40.0, 0.0, 0.10);
    double target = 0.85;
    ask_targets(&ask, 0.85, 1, &target);
    run_tank(&ask, &result);
    assert_true(result.reachable);
    assert_close(last_step(&result)->added_m3, 40.0e-3, 1e-12);
    target = 0.5;
    ask.order_count = 0;
    ask_targets(&ask, 0.85, 1, &target);
    run_tank(&ask, &result);
    assert_false(result.reachable);
    assert_close(result.nearest_ethanol, 0.85, 0.0);
}

static void where_the_tank_is_already_nothing_is_added(void **unused) {
    (void)unused;
    fr_tank_result result;
    fr_tank_ask ask = ask_tank(40.0, 40.0, 0.30);
    const double target = 0.30;
    ask_targets(&ask, 0.85, 1, &target);
    run_tank(&ask, &result);
    assert_true(result.reachable);
    assert_close(last_step(&result)->added_m3 + last_step(&result)->drained_m3, 0.0, 0.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_target_is_reached_by_adding_where_there_is_room),
        cmocka_unit_test(only_as_much_is_drained_as_makes_room),
        cmocka_unit_test(a_plan_drains_the_least_in_all),
        cmocka_unit_test(a_plan_visits_every_blend_and_drains_once),
        cmocka_unit_test(a_target_beyond_the_barrel_is_refused_with_the_nearest),
        cmocka_unit_test(the_barrels_own_strength_takes_an_emptied_tank),
        cmocka_unit_test(a_fuel_that_moves_the_wrong_way_is_refused),
        cmocka_unit_test(a_plan_stops_at_the_first_blend_out_of_reach),
        cmocka_unit_test(an_empty_tank_takes_the_fuel_as_it_is),
        cmocka_unit_test(where_the_tank_is_already_nothing_is_added),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
