/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sobol indices, points and deviations against what is known in closed form. */
#include "support.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>

#include "promise/indices.h"
#include "promise/sets.h"

enum { DRAWS = 1 << 14, DIMENSIONS_MAX = 24 };

static const double PI = 3.14159265358979323846;

typedef double test_function(const double *x, size_t dimensions);

/* Ishigami and Homma (1990), a = 7, b = 0.1, on [-pi, pi]^3. */
static double ishigami(const double *x, size_t dimensions) {
    (void)dimensions;
    const double a = PI * (2.0 * x[0] - 1.0), b = PI * (2.0 * x[1] - 1.0),
                 c = PI * (2.0 * x[2] - 1.0);
    return sin(a) + 7.0 * sin(b) * sin(b) + 0.1 * c * c * c * c * sin(a);
}

static const double G_WEIGHTS[] = {0.0, 1.0, 4.5, 9.0, 99.0, 99.0, 99.0, 99.0};

/* The g-function of Sobol (Saltelli and Sobol 1995). */
static double g_function(const double *x, size_t dimensions) {
    double product = 1.0;
    (void)dimensions;
    for (size_t i = 0; i < 8; i++) {
        product *= (fabs(4.0 * x[i] - 2.0) + G_WEIGHTS[i]) / (1.0 + G_WEIGHTS[i]);
    }
    return product;
}

/* A draw of one set, in the unit cube. */
static void point_of(const fr_sets *sets, bool first, size_t draw, double *x) {
    const double *base = (first ? sets->a : sets->b) + draw * sets->dimensions;
    const double *amounts = first ? sets->a_amounts : sets->b_amounts;
    for (size_t i = 0; i < sets->dimensions; i++) {
        x[i] = fr_shifted(base[i], amounts[i]);
    }
}

static void find_indices(test_function *f, size_t dimensions, double *first, double *total) {
    fr_sets sets;
    static fr_index_sums sums;
    assert_true(fr_sets_open(&sets, DRAWS, dimensions, 20260711));
    memset(&sums, 0, sizeof sums);
    for (size_t draw = 0; draw < DRAWS; draw++) {
        double a[DIMENSIONS_MAX], b[DIMENSIONS_MAX];
        point_of(&sets, true, draw, a);
        point_of(&sets, false, draw, b);
        const double fa = f(a, dimensions), fb = f(b, dimensions);
        fr_index_sums_pair(&sums, 1, &fa, &fb);
        for (size_t i = 0; i < dimensions; i++) {
            const double kept = a[i];
            a[i] = b[i];
            const double mixed = f(a, dimensions);
            a[i] = kept;
            fr_index_sums_input(&sums, i, 1, &fa, &fb, &mixed);
        }
    }
    for (size_t i = 0; i < dimensions; i++) {
        fr_index_of_sums(&sums, i, &first[i], &total[i]);
    }
    fr_sets_close(&sets);
}

static void check_ishigami(size_t dimensions, double within) {
    double first[DIMENSIONS_MAX], total[DIMENSIONS_MAX];
    const double a = 7.0, b = 0.1, pi4 = PI * PI * PI * PI, pi8 = pi4 * pi4;
    const double variance = a * a / 8.0 + b * pi4 / 5.0 + b * b * pi8 / 18.0 + 0.5;
    const double v1 = 0.5 * (1.0 + b * pi4 / 5.0) * (1.0 + b * pi4 / 5.0), v2 = a * a / 8.0;
    const double v13 = b * b * pi8 * (1.0 / 18.0 - 1.0 / 50.0);
    find_indices(ishigami, dimensions, first, total);
    assert_within(first[0], v1 / variance, within);
    assert_within(first[1], v2 / variance, within);
    assert_within(first[2], 0.0, within);
    assert_within(total[0], (v1 + v13) / variance, within);
    assert_within(total[1], v2 / variance, within);
    assert_within(total[2], v13 / variance, within);
    for (size_t i = 3; i < dimensions; i++) {
        assert_within(total[i], 0.0, 1e-12); /* it does not look at them */
    }
}

static void ishigamis_function_has_its_indices(void **state) {
    (void)state;
    check_ishigami(3, 0.005);
}

static void so_it_has_with_more_inputs_than_the_sequence_has_columns_for_two_sets(void **state) {
    (void)state;
    check_ishigami(DIMENSIONS_MAX, 0.03);
}

static void the_g_function_has_its_indices(void **state) {
    double first[8], total[8], parts[8], product = 1.0;
    (void)state;
    for (size_t i = 0; i < 8; i++) {
        parts[i] = 1.0 / (3.0 * (1.0 + G_WEIGHTS[i]) * (1.0 + G_WEIGHTS[i]));
        product *= 1.0 + parts[i];
    }
    find_indices(g_function, 8, first, total);
    for (size_t i = 0; i < 8; i++) {
        assert_within(first[i], parts[i] / (product - 1.0), 0.01);
        assert_within(total[i], parts[i] * (product / (1.0 + parts[i])) / (product - 1.0), 0.01);
    }
}

/* ---- deviations ---- */

static void deviations_are_normal_and_cut_at_three(void **state) {
    const double below = gsl_cdf_ugaussian_P(-3.0);
    fr_row even, z;
    (void)state;
    for (int block = 0; block < 500; block++) {
        FR_EACH_LANE(l) {
            even[l] = (block * FR_LANES + l + 0.5) / (500.0 * FR_LANES);
        }
        fr_lane_deviates(even, z);
        FR_EACH_LANE(l) {
            assert_within(z[l], gsl_cdf_ugaussian_Pinv(below + even[l] * (1.0 - 2.0 * below)),
                          1e-13);
        }
    }
}

static void exp_log_and_root_are_those_of_the_library(void **state) {
    (void)state;
    for (int i = 0; i < 20011; i++) {
        const double x = -300.0 + 600.0 * i / 20010.0, q = 1.5 * i / 20010.0;
        assert_close(fr_lane_exp(x), exp(x), 1e-15);
        assert_within(fr_lane_log(exp(x)), x, 2e-15 * (1.0 + fabs(x)));
        assert_close(fr_lane_root12(q), pow(1.0 + q, 1.0 / 12.0), 3e-14);
    }
}

/* ---- points ---- */

/* Mean of a product of d factors with mean 1, over n points under one shift. */
static double mean_of(size_t n, uint64_t seed, size_t shift) {
    enum { D = 6 };
    double amounts[D], sum = 0.0;
    fr_points *points = fr_points_open(D);
    assert_non_null(points);
    fr_points_shift(seed, shift, D, amounts);
    for (size_t i = 0; i < n; i++) {
        double base[D], product = 1.0;
        fr_points_next(points, 1, base);
        for (size_t d = 0; d < D; d++) {
            const double x = fr_shifted(base[d], amounts[d]);
            product *= 1.0 + (x - 0.5) / (1.0 + (double)d);
        }
        sum += product;
    }
    fr_points_close(points);
    return sum / (double)n;
}

static double scatter_of(size_t n) {
    enum { SHIFTS = 32 };
    double squares = 0.0;
    for (size_t shift = 0; shift < SHIFTS; shift++) {
        const double off = mean_of(n, 7, shift) - 1.0;
        squares += off * off;
    }
    return sqrt(squares / SHIFTS);
}

static void the_error_falls_faster_than_one_over_root_n(void **state) {
    (void)state;
    const double few = scatter_of(256), many = scatter_of(256 * 64);
    print_message("64 times the points: the error falls %.0f times\n", few / many);
    assert_true(few / many > 16.0); /* plain random numbers: 8 */
}

static double select_by_sorting(double *values, size_t count, double probability) {
    for (size_t i = 1; i < count; i++) {
        for (size_t k = i; k > 0 && values[k - 1] > values[k]; k--) {
            const double kept = values[k];
            values[k] = values[k - 1];
            values[k - 1] = kept;
        }
    }
    const size_t goal = (size_t)ceil(probability * (double)count);
    return values[goal > 0 ? goal - 1 : 0];
}

static void a_selected_value_is_the_sorted_one(void **state) {
    support_random random = {11};
    (void)state;
    for (int trial = 0; trial < 20000; trial++) {
        double values[31], copy[31];
        const size_t count = 1 + (size_t)support_random_between(&random, 0.0, 31.0);
        const double kinds = support_random_between(&random, 1.0, 40.0);
        for (size_t i = 0; i < count; i++) {
            values[i] = copy[i] = floor(support_random_between(&random, 0.0, kinds));
        }
        const double probability = support_random_between(&random, 0.0, 1.0);
        assert_true(fr_select(values, count, probability) ==
                    select_by_sorting(copy, count, probability));
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ishigamis_function_has_its_indices),
        cmocka_unit_test(so_it_has_with_more_inputs_than_the_sequence_has_columns_for_two_sets),
        cmocka_unit_test(the_g_function_has_its_indices),
        cmocka_unit_test(deviations_are_normal_and_cut_at_three),
        cmocka_unit_test(exp_log_and_root_are_those_of_the_library),
        cmocka_unit_test(the_error_falls_faster_than_one_over_root_n),
        cmocka_unit_test(a_selected_value_is_the_sorted_one),
    };
    gsl_set_error_handler_off();
    return cmocka_run_group_tests_name("indices", tests, NULL, NULL);
}
