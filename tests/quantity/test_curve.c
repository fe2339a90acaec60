/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support.h"

#include "fuelreach/curve.h"

static fr_curve example(void) {
    return (fr_curve){.count = 4,
                      .scale = 1.0,
                      .x = {1100.0, 2300.0, 4700.0, 6900.0},
                      .y = {0.31, 0.83, 0.57, 0.61}};
}

static void a_constant_is_the_same_everywhere(void **state) {
    (void)state;
    fr_curve curve = fr_curve_constant(3.7);
    assert_close(fr_curve_at(&curve, -1e9), 3.7, 0.0);
    assert_close(fr_curve_at(&curve, 0.0), 3.7, 0.0);
    assert_close(fr_curve_at(&curve, 1e9), 3.7, 0.0);
    assert_close(fr_curve_least(&curve), 3.7, 0.0);
    assert_close(fr_curve_greatest(&curve), 3.7, 0.0);
}

static void a_curve_meets_its_points_exactly(void **state) {
    (void)state;
    fr_curve curve = example();
    for (size_t i = 0; i < curve.count; i++) {
        assert_close(fr_curve_at(&curve, curve.x[i]), curve.y[i], 0.0);
    }
}

static void between_points_it_is_straight(void **state) {
    (void)state;
    fr_curve curve = example();
    assert_close(fr_curve_at(&curve, 1700.0), 0.57, 1e-15);            /* half way */
    assert_close(fr_curve_at(&curve, 2900.0), 0.83 - 0.26 / 4, 1e-15); /* a quarter */
}

static void outside_it_is_flat(void **state) {
    (void)state;
    fr_curve curve = example();
    assert_close(fr_curve_at(&curve, 0.0), 0.31, 0.0);
    assert_close(fr_curve_at(&curve, -INFINITY), 0.31, 0.0);
    assert_close(fr_curve_at(&curve, 9999.0), 0.61, 0.0);
    assert_close(fr_curve_at(&curve, INFINITY), 0.61, 0.0);
}

static void scale_and_shift_move_the_whole(void **state) {
    (void)state;
    fr_curve curve = example();
    curve.scale = -2.0;
    curve.shift = 0.7;
    assert_close(fr_curve_at(&curve, 2300.0), 0.7 - 1.66, 1e-15);
    assert_close(fr_curve_least(&curve), 0.7 - 1.66, 1e-15);
    assert_close(fr_curve_greatest(&curve), 0.7 - 0.62, 1e-15);
}

static void no_number_in_gives_no_number_out(void **state) {
    (void)state;
    fr_curve curve = example();
    assert_nan(fr_curve_at(&curve, NAN));
}

/* The plain way, to judge the one without branches. */
static double plain_curve(const fr_curve *curve, double x) {
    if (x <= curve->x[0]) {
        return curve->y[0];
    }
    for (size_t i = 1; i < curve->count; i++) {
        if (x < curve->x[i]) {
            double part = (x - curve->x[i - 1]) / (curve->x[i] - curve->x[i - 1]);
            return curve->y[i - 1] + part * (curve->y[i] - curve->y[i - 1]);
        }
    }
    return curve->y[curve->count - 1];
}

static void random_curves_agree_with_a_plain_search(void **state) {
    (void)state;
    support_random random = {2024};
    for (size_t count = 1; count <= FR_CURVE_POINTS_MAX; count++) {
        fr_curve curve = {.count = count, .scale = 1.0};
        double x = support_random_between(&random, -5.0, 5.0);
        for (size_t i = 0; i < count; i++) {
            x += support_random_between(&random, 1e-3, 2.0);
            curve.x[i] = x;
            curve.y[i] = support_random_between(&random, -1.0, 1.0);
        }
        for (int k = 0; k < 500; k++) {
            double at = support_random_between(&random, curve.x[0] - 1.0, x + 1.0);
            assert_within(fr_curve_at(&curve, at), plain_curve(&curve, at), 1e-15);
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_constant_is_the_same_everywhere),
        cmocka_unit_test(a_curve_meets_its_points_exactly),
        cmocka_unit_test(between_points_it_is_straight),
        cmocka_unit_test(outside_it_is_flat),
        cmocka_unit_test(scale_and_shift_move_the_whole),
        cmocka_unit_test(no_number_in_gives_no_number_out),
        cmocka_unit_test(random_curves_agree_with_a_plain_search),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
