/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every example shows what its first lines claim. */
#include "support.h"

#include <glob.h>

#include "fuelreach/check.h"
#include "fuelreach/sheet.h"

static fr_check *check;
static fr_sheet *sheet;

static int open_check(void **state) {
    (void)state;
    check = fr_check_open();
    return check == NULL;
}

static int close_check(void **state) {
    (void)state;
    fr_check_close(check);
    return 0;
}

static int close_sheet(void **state) {
    (void)state;
    fr_sheet_close(sheet);
    sheet = NULL;
    return 0;
}

static const fr_check_result *run_example(const char *name) {
    fr_report report = FR_REPORT_EMPTY;
    char path[128];
    snprintf(path, sizeof path, "examples/%s.yaml", name);
    fr_sheet_open(path, NULL, &report, &sheet);
    assert_no_errors(&report);
    fr_report_close(&report);
    assert_non_null(sheet);
    return fr_check_run(check, fr_sheet_build(sheet));
}

/* Result of a blend of the sheet, in percent of ethanol. */
static const fr_blend_result *blend_of(const fr_check_result *result, double percent) {
    for (size_t i = 0; i < result->blend_count; i++) {
        if (fabs(result->blends[i].ethanol * 100.0 - percent) < 1e-6) {
            return &result->blends[i];
        }
    }
    fail_msg("no E%g in the example", percent);
    return NULL;
}

static const fr_stage_result *stage_of(const fr_blend_result *blend, fr_stage stage) {
    for (size_t i = 0; i < blend->stage_count; i++) {
        if (blend->stages[i].stage == stage) {
            return &blend->stages[i];
        }
    }
    fail_msg("the example has no stage %s", fr_stage_name(stage));
    return NULL;
}

/* All stages but one are clear. */
static void check_only(const fr_blend_result *blend, fr_stage weak) {
    for (size_t i = 0; i < blend->stage_count; i++) {
        if (blend->stages[i].stage != weak) {
            assert_int_equal(blend->stages[i].verdict, FR_CLEAR);
        }
    }
}

static void a_car_with_a_return_line_holds_to_e85(void **state) {
    const fr_check_result *result = run_example("tern-return");
    (void)state;
    assert_int_equal(result->verdict, FR_CLEAR);
    assert_int_equal(fr_sheet_build(sheet)->feed.regulation, FR_RETURN);
    assert_true(blend_of(result, 85)->reach_w > 1.05 * blend_of(result, 85)->target_power_w);
}

static void the_same_car_runs_short_of_lift_pump_and_of_nothing_else(void **state) {
    const fr_check_result *result = run_example("tern-return-short");
    (void)state;
    assert_int_equal(blend_of(result, 10)->verdict, FR_CLEAR);
    assert_int_equal(blend_of(result, 50)->verdict, FR_TIGHT);
    assert_int_equal(blend_of(result, 85)->verdict, FR_SHORT);
    assert_int_equal(blend_of(result, 85)->weakest, FR_STAGE_LIFT_PUMP);
    check_only(blend_of(result, 85), FR_STAGE_LIFT_PUMP);
}

static void a_high_pressure_pump_runs_short_in_the_middle_of_a_pull(void **state) {
    const fr_check_result *result = run_example("tern-direct");
    const fr_blend_result *e85 = blend_of(result, 85);
    const fr_stage_result *pressure = stage_of(e85, FR_STAGE_DIRECT_PRESSURE);
    const fr_stage_result *pump = stage_of(e85, FR_STAGE_HIGH_PRESSURE_PUMP);
    (void)state;
    assert_int_equal(blend_of(result, 10)->verdict, FR_CLEAR);
    assert_int_equal(blend_of(result, 60)->verdict, FR_TIGHT);
    assert_int_equal(e85->verdict, FR_SHORT);
    assert_true(pressure->first_short_rpm >= 2500 && pressure->first_short_rpm <= 3500);
    assert_true(pump->worst_rpm >= 2750 && pump->worst_rpm <= 4000);
    assert_int_equal(stage_of(e85, FR_STAGE_DIRECT_INJECTOR)->verdict, FR_CLEAR);
    assert_int_equal(stage_of(e85, FR_STAGE_LIFT_PUMP)->verdict, FR_CLEAR);
    /* At peak power, 6500 rpm, it carries the fuel and holds what the injectors need. */
    for (size_t i = 0; i < e85->point_count; i++) {
        if (fabs(e85->points[i].speed_rpm - 6500.0) < 1.0) {
            assert_true(e85->points[i].use[FR_STAGE_HIGH_PRESSURE_PUMP] < 1.0);
            assert_true(e85->points[i].use[FR_STAGE_DIRECT_PRESSURE] < 0.9);
        }
    }
}

static void port_injectors_carry_what_the_direct_side_cannot(void **state) {
    const fr_check_result *result = run_example("tern-both");
    fr_build direct_only;
    (void)state;
    assert_int_equal(fr_sheet_build(sheet)->share, FR_SHARE_AUTO);
    assert_int_equal(result->verdict, FR_CLEAR);
    direct_only = *fr_sheet_build(sheet);
    direct_only.port.present = false;
    direct_only.share = FR_SHARE_DIRECT_ONLY;
    result = fr_check_run(check, &direct_only);
    assert_int_equal(blend_of(result, 85)->verdict, FR_SHORT);
}

static void long_thin_lines_cost_the_pressure_and_not_the_pump(void **state) {
    const fr_check_result *result = run_example("tern-natural");
    const fr_blend_result *e85 = blend_of(result, 85);
    (void)state;
    assert_int_equal(fr_sheet_build(sheet)->feed.regulation, FR_MECHANICAL_RETURNLESS);
    assert_int_equal(fr_sheet_build(sheet)->engine.aspiration, FR_NATURAL);
    assert_int_equal(blend_of(result, 50)->verdict, FR_CLEAR);
    assert_int_equal(e85->verdict, FR_SHORT);
    assert_int_equal(e85->weakest, FR_STAGE_FEED_PRESSURE);
    check_only(e85, FR_STAGE_FEED_PRESSURE);
}

static void a_first_sheet_is_short_and_says_much_that_it_assumed(void **state) {
    const fr_check_result *result = run_example("tern-first");
    size_t assumed = 0;
    size_t lines = 0;
    size_t length = 0;
    const char *text = fr_sheet_text(sheet, &length);
    const fr_assumed *first = fr_sheet_assumed(sheet, &assumed);
    (void)state;
    for (size_t i = 0; i < length; i++) {
        lines += text[i] == '\n';
    }
    assert_true(lines < 20);
    assert_true(assumed > 10);
    assert_true(first[0].is_factory);
    assert_int_equal(blend_of(result, 10)->verdict, FR_CLEAR);
    assert_int_equal(blend_of(result, 85)->verdict, FR_SHORT);
    assert_int_equal(blend_of(result, 85)->weakest, FR_STAGE_PORT_INJECTOR);
}

static void unlike_pumps_in_series_hold_to_e85_in_us_units(void **state) {
    const fr_check_result *result = run_example("tern-us");
    const fr_pumps *pumps = &fr_sheet_build(sheet)->pumps;
    fr_build alone = *fr_sheet_build(sheet);
    (void)state;
    assert_int_equal(fr_sheet_units(sheet), FR_US);
    assert_true(pumps->series);
    assert_int_equal(pumps->kind_count, 2);
    assert_int_equal(result->verdict, FR_CLEAR);
    /* The first pump alone would not do. */
    alone.pumps.kind_count = 1;
    alone.pumps.series = false;
    result = fr_check_run(check, &alone);
    assert_int_equal(blend_of(result, 85)->verdict, FR_SHORT);
}

static void the_largest_holds_on_twelve_blends(void **state) {
    const fr_check_result *result = run_example("largest");
    (void)state;
    assert_int_equal(result->blend_count, 12);
    assert_int_equal(result->verdict, FR_CLEAR);
    assert_true(blend_of(result, 100)->point_count >= 20);
    assert_true(fr_sheet_build(sheet)->engine.pull.count >= 20);
}

/* ---- all of them ---- */

/* Line `number` of a text begins so. */
static void check_line(const char *path, const char *text, int number, const char *begin) {
    while (--number > 0) {
        text += strcspn(text, "\n");
        text += *text == '\n';
    }
    if (strncmp(text, begin, strlen(begin)) != 0) {
        fail_msg("%s: a line that should begin '%s'", path, begin);
    }
}

static void every_example_says_what_it_shows_and_that_it_is_invented(void **state) {
    glob_t found;
    (void)state;
    assert_int_equal(glob("examples/*.yaml", 0, NULL, &found), 0);
    assert_true(found.gl_pathc >= 8);
    for (size_t i = 0; i < found.gl_pathc; i++) {
        const char *path = found.gl_pathv[i];
        char *text = support_read_file(path, NULL);
        assert_non_null(text);
        check_line(path, text, 1,
                   "# yaml-language-server: $schema=../docs/build-sheet.schema.json\n");
        check_line(path, text, 2, "# Shows: ");
        assert_contains(text, "\n# Invented: ");
        free(text);
    }
    globfree(&found);
}

static void no_example_is_doubtful(void **state) {
    static const char *const names[] = {
        "tern-return",  "tern-return-short", "tern-direct", "tern-both",
        "tern-natural", "tern-first",        "tern-us",     "largest"};
    (void)state;
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        const fr_check_result *result = run_example(names[i]);
        for (size_t b = 0; b < result->blend_count; b++) {
            assert_false(result->blends[b].doubtful);
        }
        close_sheet(NULL);
    }
}

int main(void) {
#define EXAMPLE(test) cmocka_unit_test_teardown(test, close_sheet)
    const struct CMUnitTest tests[] = {
        EXAMPLE(a_car_with_a_return_line_holds_to_e85),
        EXAMPLE(the_same_car_runs_short_of_lift_pump_and_of_nothing_else),
        EXAMPLE(a_high_pressure_pump_runs_short_in_the_middle_of_a_pull),
        EXAMPLE(port_injectors_carry_what_the_direct_side_cannot),
        EXAMPLE(long_thin_lines_cost_the_pressure_and_not_the_pump),
        EXAMPLE(a_first_sheet_is_short_and_says_much_that_it_assumed),
        EXAMPLE(unlike_pumps_in_series_hold_to_e85_in_us_units),
        EXAMPLE(the_largest_holds_on_twelve_blends),
        EXAMPLE(every_example_says_what_it_shows_and_that_it_is_invented),
        EXAMPLE(no_example_is_doubtful),
    };
    return cmocka_run_group_tests(tests, open_check, close_check);
}
