/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The curve of the lines' loss against the formula that it is made from (src/supply/line.c, itself
 * held against Crane TP-410 and Colebrook in tests/supply). */
#include "support.h"

#include "chance/line_loss.h"
#include "quantity/circle.h"
#include "fuelreach/supply.h"
#include "supply/line.h"

static const double DENSITY = 771.0, VISCOSITY = 0.83e-3;

static const fr_feed FEED = {
    .loss_factor = 1.17,
    .line_count = 2,
    .lines = {{.bore_m = 7.9e-3, .length_m = 4.3, .roughness_m = 1.5e-6, .fittings = 5.0},
              {.bore_m = 6.1e-3, .length_m = 0.7, .roughness_m = 45e-6, .fittings = 2.5}},
    .filter_count = 1,
    .filters = {{.drop_pa = 6e3, .rated_flow_m3_s = 4e-5}},
};

static void open_rows(fr_loss_rows *rows, const fr_loss_curve *curve) {
    const double kinematic = VISCOSITY / DENSITY, rated = FEED.filters[0].rated_flow_m3_s;
    static fr_line_rows lines[2];
    rows->curve = curve;
    rows->lines = lines;
    rows->line_count = 2;
    FR_EACH_LANE(l) {
        fr_line_rows_put(&lines[0], l, &FEED.lines[0]);
        fr_line_rows_put(&lines[1], l, &FEED.lines[1]);
        rows->kinematic[l] = kinematic;
        rows->per_kinematic[l] = 1.0 / kinematic;
        rows->scale[l] = FEED.loss_factor * DENSITY * kinematic * kinematic;
        rows->filters[l] = FEED.loss_factor * FEED.filters[0].drop_pa / (rated * rated);
    }
}

/* Flow for a Reynolds number in the first line. */
static double flow_of(double reynolds) {
    const double bore = FEED.lines[0].bore_m;
    return reynolds * VISCOSITY / DENSITY * fr_circle_area(bore) / bore;
}

/* From creeping flow to Re 500,000, thirty flows a decade. */
static void compare(const fr_loss_rows *rows, double loss_agrees, double slope_agrees) {
    for (double reynolds = 1.3; reynolds < 5e5; reynolds *= 1.08) {
        fr_row flow;
        fr_over_flow loss;
        const double q = flow_of(reynolds), step = 1e-5;
        FR_EACH_LANE(l) {
            flow[l] = q;
        }
        fr_loss_of(rows, flow, &loss);
        const double expected = fr_feed_loss(&FEED, q, DENSITY, VISCOSITY);
        const double more = fr_feed_loss(&FEED, q * (1.0 + step), DENSITY, VISCOSITY);
        const double less = fr_feed_loss(&FEED, q * (1.0 - step), DENSITY, VISCOSITY);
        assert_close(loss.value[5], expected, loss_agrees);
        assert_close(loss.slope[5], (more - less) / (2.0 * step * q), slope_agrees);
    }
}

static void the_curve_is_the_formula_in_laminar_and_turbulent_flow_and_between(void **state) {
    (void)state;
    static fr_loss_curve curve;
    static fr_loss_rows rows;
    fr_loss_curve_make(&FEED, &curve);
    open_rows(&rows, &curve);
    compare(&rows, 1e-9, 2e-6);
}

static void lines_one_by_one_are_the_formula_too(void **state) {
    (void)state;
    static fr_loss_rows rows;
    open_rows(&rows, NULL);
    compare(&rows, 1e-12, 2e-6);
}

static void no_flow_takes_nothing_and_neither_does_a_backward_one(void **state) {
    (void)state;
    static fr_loss_curve curve;
    static fr_loss_rows rows;
    fr_row flow = {0.0};
    fr_over_flow loss;
    flow[1] = -3e-5;
    fr_loss_curve_make(&FEED, &curve);
    open_rows(&rows, &curve);
    fr_loss_of(&rows, flow, &loss);
    assert_true(fabs(loss.value[0]) < 1e-12 && fabs(loss.value[1]) < 1e-12);
}

static void beyond_the_curve_the_loss_still_grows(void **state) {
    (void)state;
    static fr_loss_curve curve;
    static fr_loss_rows rows;
    fr_row flow;
    fr_over_flow loss;
    FR_EACH_LANE(l) {
        flow[l] = flow_of(1.1e6 * (1.0 + l));
    }
    fr_loss_curve_make(&FEED, &curve);
    open_rows(&rows, &curve);
    fr_loss_of(&rows, flow, &loss);
    for (int l = 1; l < FR_LANES; l++) {
        assert_true(loss.value[l] > loss.value[l - 1] && loss.slope[l] > loss.slope[l - 1]);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_curve_is_the_formula_in_laminar_and_turbulent_flow_and_between),
        cmocka_unit_test(lines_one_by_one_are_the_formula_too),
        cmocka_unit_test(no_flow_takes_nothing_and_neither_does_a_backward_one),
        cmocka_unit_test(beyond_the_curve_the_loss_still_grows),
    };
    return cmocka_run_group_tests_name("line loss", tests, NULL, NULL);
}
