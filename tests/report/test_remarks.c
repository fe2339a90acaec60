/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Remarks: the place in front, the line, and a caret that stands under the place. */
#include "fuelreach/document.h"
#include "report/utf8.h"
#include "support.h"

static const char *written(const fr_report *report, bool colour) {
    static char out[8192];
    FILE *file = tmpfile();
    assert_non_null(file);
    fr_write_remarks(file, report, colour);
    rewind(file);
    size_t length = fread(out, 1, sizeof out - 1, file);
    out[length] = '\0';
    fclose(file);
    return out;
}

static const char *one(fr_severity severity, size_t line, size_t column, const char *message,
                       const char *hint, const char *excerpt) {
    fr_report report = FR_REPORT_EMPTY;
    fr_report_add(&report, severity, "tern.yaml", line, column, NULL, message, hint, excerpt);
    const char *out = written(&report, false);
    fr_report_close(&report);
    return out;
}

static void a_remark_says_place_fault_and_cure(void **state) {
    (void)state;
    assert_string_equal(
        one(FR_ERROR, 7, 10, "bsfc has no unit", "write '365 g/kWh'", "  bsfc: 0.60"),
        "tern.yaml:7:10: bsfc has no unit; write '365 g/kWh'\n"
        "      bsfc: 0.60\n"
        "             ^\n");
}

static void the_caret_counts_columns_not_bytes(void **state) {
    (void)state;
    assert_string_equal(one(FR_ERROR, 2, 12, "no", NULL, "name: 燕鷗 °C x"),
                        "tern.yaml:2:12: no\n"
                        "    name: 燕鷗 °C x\n"
                        "                 ^\n");
}

static void cautions_and_notes_are_named(void **state) {
    (void)state;
    assert_string_equal(one(FR_CAUTION, 3, 1, "unlikely", "", NULL),
                        "tern.yaml:3:1: caution: unlikely\n");
    assert_string_equal(one(FR_NOTE, 0, 0, "hides a shipped part", NULL, NULL),
                        "tern.yaml: note: hides a shipped part\n");
}

static size_t caret_column(const char *out) {
    const char *line = strrchr(out, '\n');
    while (line > out && line[-1] != '\n')
        line--;
    return strcspn(line, "^");
}

static void a_long_line_is_cut_around_the_place(void **state) {
    (void)state;
    char excerpt[3001];
    char shown[4096];
    memset(excerpt, '-', sizeof excerpt - 1);
    excerpt[sizeof excerpt - 1] = '\0';
    for (size_t column = 1; column <= 3000; column += 61) {
        excerpt[column - 1] = 'X';
        const char *out = one(FR_ERROR, 1, column, "here", NULL, excerpt);
        const char *line = strchr(out, '\n') + 1;
        size_t length = strcspn(line, "\n");
        memcpy(shown, line, length);
        shown[length] = '\0';
        assert_true(fr_text_columns(shown) <= 80);
        /* The mark stands under the X: count columns up to it. */
        const char *at = strchr(shown, 'X');
        assert_non_null(at);
        char before[4096];
        memcpy(before, shown, (size_t)(at - shown));
        before[at - shown] = '\0';
        assert_int_equal(caret_column(out), fr_text_columns(before));
        excerpt[column - 1] = '-';
    }
}

static void control_characters_do_not_reach_the_terminal(void **state) {
    (void)state;
    fr_report report = FR_REPORT_EMPTY;
    fr_report_add(&report, FR_ERROR, "\033]0;owned\a.yaml", 1, 3, NULL, "bad \033[2J", "\033[5m",
                  "\033[31mred");
    const char *out = written(&report, false);
    assert_null(strchr(out, '\033'));
    assert_null(strchr(out, '\a'));
    fr_report_close(&report);
}

static void colour_marks_what_words_say_already(void **state) {
    (void)state;
    fr_report report = FR_REPORT_EMPTY;
    fr_report_add(&report, FR_CAUTION, "t", 1, 1, NULL, "unlikely", NULL, "x");
    assert_contains(written(&report, true), "\033[1;33mcaution: unlikely\033[0m");
    fr_report_close(&report);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_remark_says_place_fault_and_cure),
        cmocka_unit_test(the_caret_counts_columns_not_bytes),
        cmocka_unit_test(cautions_and_notes_are_named),
        cmocka_unit_test(a_long_line_is_cut_around_the_place),
        cmocka_unit_test(control_characters_do_not_reach_the_terminal),
        cmocka_unit_test(colour_marks_what_words_say_already),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
