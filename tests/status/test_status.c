/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support.h"

static void every_status_has_a_text_and_an_exit_code(void **state) {
    (void)state;
    static const struct {
        fr_status status;
        int code;
    } rows[] = {{FR_OK, 0}, {FR_BAD_INPUT, 2}, {FR_SYSTEM, 3}, {FR_NO_MEMORY, 3}, {FR_FAULT, 3}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        assert_int_equal(fr_status_exit_code(rows[i].status), rows[i].code);
        assert_true(strlen(fr_status_text(rows[i].status)) > 3);
    }
    assert_string_equal(fr_status_text(FR_NO_MEMORY), "out of memory");
}

static void a_number_that_is_no_status_is_a_fault(void **state) {
    (void)state;
    assert_int_equal(fr_status_exit_code((fr_status)77), 3);
    assert_string_equal(fr_status_text((fr_status)77), fr_status_text(FR_FAULT));
}

static void a_report_keeps_copies(void **state) {
    (void)state;
    fr_report report = FR_REPORT_EMPTY;
    char message[] = "wrong";
    char file[] = "a.yaml";
    fr_report_add(&report, FR_ERROR, file, 7, 3, "engine.boost", message, "right", "  boost: x");
    message[0] = 'W';
    file[0] = 'b';
    assert_int_equal(report.count, 1);
    assert_string_equal(report.remarks[0].file, "a.yaml");
    assert_string_equal(report.remarks[0].message, "wrong");
    assert_string_equal(report.remarks[0].path, "engine.boost");
    assert_string_equal(report.remarks[0].hint, "right");
    assert_string_equal(report.remarks[0].excerpt, "  boost: x");
    assert_int_equal(report.remarks[0].line, 7);
    assert_int_equal(report.remarks[0].column, 3);
    fr_report_close(&report);
    assert_int_equal(report.count, 0);
    assert_null(report.remarks);
}

static void what_is_not_said_stays_null(void **state) {
    (void)state;
    fr_report report = FR_REPORT_EMPTY;
    fr_report_add(&report, FR_NOTE, NULL, 0, 0, NULL, "only this", NULL, NULL);
    assert_null(report.remarks[0].file);
    assert_null(report.remarks[0].path);
    assert_null(report.remarks[0].hint);
    assert_null(report.remarks[0].excerpt);
    fr_report_close(&report);
}

static void only_errors_count_as_errors(void **state) {
    (void)state;
    fr_report report = FR_REPORT_EMPTY;
    assert_int_equal(fr_report_errors(&report), 0);
    fr_report_add(&report, FR_CAUTION, NULL, 0, 0, NULL, "unlikely", NULL, NULL);
    fr_report_add(&report, FR_ERROR, NULL, 0, 0, NULL, "wrong", NULL, NULL);
    fr_report_add(&report, FR_NOTE, NULL, 0, 0, NULL, "by the way", NULL, NULL);
    fr_report_add(&report, FR_ERROR, NULL, 0, 0, NULL, "wrong too", NULL, NULL);
    assert_int_equal(fr_report_errors(&report), 2);
    fr_report_close(&report);
}

static void sorting_goes_by_file_as_first_seen_then_place_and_is_stable(void **state) {
    (void)state;
    static const struct {
        const char *file;
        size_t line, column;
        const char *message;
    } given[] = {{"z", 9, 1, "5"}, {"a", 2, 2, "7"},  {"z", 3, 8, "2"},
                 {"z", 3, 8, "3"}, {NULL, 0, 0, "8"}, {"a", 1, 9, "6"},
                 {"z", 3, 2, "1"}, {"z", 3, 8, "4"},  {NULL, 0, 0, "9"}};
    fr_report report = FR_REPORT_EMPTY;
    for (size_t i = 0; i < sizeof given / sizeof given[0]; i++) {
        fr_report_add(&report, FR_ERROR, given[i].file, given[i].line, given[i].column, NULL,
                      given[i].message, NULL, NULL);
    }
    fr_report_sort(&report);
    static const char *const wanted[] = {"1", "2", "3", "4", "5", "6", "7", "8", "9"};
    assert_int_equal(report.count, sizeof wanted / sizeof wanted[0]);
    for (size_t i = 0; i < report.count; i++) {
        assert_string_equal(report.remarks[i].message, wanted[i]);
    }
    fr_report_close(&report);
}

static void a_report_grows(void **state) {
    (void)state;
    fr_report report = FR_REPORT_EMPTY;
    for (size_t i = 0; i < 1000; i++) {
        fr_report_add(&report, FR_ERROR, "f", 1000 - i, 1, NULL, "m", NULL, NULL);
    }
    fr_report_sort(&report);
    assert_int_equal(report.count, 1000);
    for (size_t i = 0; i < 1000; i++) {
        assert_int_equal(report.remarks[i].line, i + 1);
    }
    assert_int_equal(report.out_of_memory, 0);
    fr_report_close(&report);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_status_has_a_text_and_an_exit_code),
        cmocka_unit_test(a_number_that_is_no_status_is_a_fault),
        cmocka_unit_test(a_report_keeps_copies),
        cmocka_unit_test(what_is_not_said_stays_null),
        cmocka_unit_test(only_errors_count_as_errors),
        cmocka_unit_test(sorting_goes_by_file_as_first_seen_then_place_and_is_stable),
        cmocka_unit_test(a_report_grows),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
