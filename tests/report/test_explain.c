/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The working is right when its printed arithmetic, worked out again, comes to its printed
 * results. */
#include "support.h"

#include "fuelreach/check.h"
#include "report/arithmetic.h"
#include "report/explain.h"

static const char *const SHEETS[] = {
    "examples/tern-direct.yaml",  "examples/tern-return.yaml", "examples/tern-both.yaml",
    "examples/tern-natural.yaml", "examples/tern-us.yaml",     "examples/tern-first.yaml",
    "examples/tern-return-short.yaml"};

static void the_arithmetic_of_a_test_is_right(void **state) {
    (void)state;
    assert_close(arithmetic("2 + 3 * 4^2 / (1 - 0.2)"), 62.0, 1e-15);
    assert_close(arithmetic("100 * min(sqrt(16) / 5, 10) - max(1, 7)"), 73.0, 1e-15);
    assert_close(arithmetic("exp(ln(3))"), 3.0, 1e-15);
    assert_nan(arithmetic("2 kg"));
    assert_nan(arithmetic("(2"));
}

static void check_point(const fr_check_document *document, const fr_blend_result *blend,
                        const fr_point *point, size_t *worked_out) {
    static fr_working working;
    fr_working_fill(document, blend, point, FR_STAGE_COUNT, &working);
    assert_true(working.count > 20);
    assert_true(working.count < FR_STEPS_MAX);
    for (size_t i = 0; i < working.count; i++) {
        const fr_step *step = &working.steps[i];
        if (*step->numbers == '\0') {
            continue;
        }
        const double again = arithmetic(step->numbers);
        if (!(fabs(again - step->result) <= 2e-5 * fabs(step->result) + 1e-5)) {
            print_error("%s\n  %s\n", step->symbols, step->numbers);
        }
        /* numbers stand with seven figures; differences of nearly equal ones lose some */
        assert_within(again, step->result, 2e-5 * fabs(step->result) + 1e-5);
        (*worked_out)++;
    }
}

static void the_printed_arithmetic_comes_to_the_printed_results(void **state) {
    (void)state;
    size_t worked_out = 0;
    for (size_t s = 0; s < sizeof SHEETS / sizeof *SHEETS; s++) {
        const fr_sheet_options none = {0};
        fr_report report = FR_REPORT_EMPTY;
        fr_sheet *sheet;
        assert_int_equal(fr_sheet_open(SHEETS[s], &none, &report, &sheet), FR_OK);
        fr_check *check = fr_check_open();
        const fr_check_result *result = fr_check_run(check, fr_sheet_build(sheet));
        const fr_check_document document = {
            .sheet = sheet, .build = fr_sheet_build(sheet), .result = result};
        for (size_t b = 0; b < result->blend_count; b++) {
            const fr_blend_result *blend = &result->blends[b];
            for (size_t i = 0; i < blend->point_count; i += 3) {
                check_point(&document, blend, &blend->points[i], &worked_out);
            }
        }
        fr_check_close(check);
        fr_sheet_close(sheet);
        fr_report_close(&report);
    }
    print_message("%zu lines of arithmetic worked out again\n", worked_out);
    assert_true(worked_out > 1000);
}

static void one_stage_alone_has_fewer_steps_and_ends_with_its_use(void **state) {
    (void)state;
    const fr_sheet_options none = {0};
    fr_report report = FR_REPORT_EMPTY;
    fr_sheet *sheet;
    static fr_working all, one;
    assert_int_equal(fr_sheet_open(SHEETS[0], &none, &report, &sheet), FR_OK);
    fr_check *check = fr_check_open();
    const fr_check_result *result = fr_check_run(check, fr_sheet_build(sheet));
    const fr_check_document document = {
        .sheet = sheet, .build = fr_sheet_build(sheet), .result = result};
    const fr_blend_result *blend = &result->blends[0];
    const fr_point *point = fr_point_nearest(blend, 4510.0);
    assert_close(point->speed_rpm, 4500.0, 1e-12);
    fr_working_fill(&document, blend, point, FR_STAGE_COUNT, &all);
    fr_working_fill(&document, blend, point, FR_STAGE_LIFT_PUMP, &one);
    assert_true(one.count < all.count);
    assert_close(one.steps[one.count - 3].result, 100.0 * point->use[FR_STAGE_LIFT_PUMP], 1e-12);
    fr_check_close(check);
    fr_sheet_close(sheet);
    fr_report_close(&report);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_arithmetic_of_a_test_is_right),
        cmocka_unit_test(the_printed_arithmetic_comes_to_the_printed_results),
        cmocka_unit_test(one_stage_alone_has_fewer_steps_and_ends_with_its_use),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
