/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Errors of layout: each with the line a person would look at, and what would be right. */
#include "support.h"

#include "sheet/tree.h"

typedef struct row {
    const char *text;
    size_t line, column;
    const char *told; /* message; hint */
} row;

#define BELOW "; nothing below was read"

/* Exactly one remark, with the line it stands on as the excerpt. */
static void check_row(const row *wanted) {
    fr_report report = FR_REPORT_EMPTY;
    fr_tree *tree = NULL;
    char spelled[1200];
    fr_status status = fr_tree_read("f", wanted->text, strlen(wanted->text), &report, &tree);
    if (report.count != 1) {
        print_error("for '%s':\n", wanted->text);
        support_print_report(&report);
    }
    assert_int_equal(status, FR_BAD_INPUT);
    assert_null(tree);
    assert_int_equal(report.count, 1);
    const fr_remark *remark = &report.remarks[0];
    snprintf(spelled, sizeof spelled, "%zu:%zu %s; %s", remark->line, remark->column,
             remark->message, remark->hint);
    char expected[1200];
    snprintf(expected, sizeof expected, "%zu:%zu %s", wanted->line, wanted->column, wanted->told);
    assert_string_equal(spelled, expected);
    assert_non_null(remark->excerpt);
    const char *line = wanted->text;
    for (size_t i = 1; i < wanted->line; i++) {
        line = strchr(line, '\n') + 1;
    }
    assert_int_equal(strlen(remark->excerpt), strcspn(line, "\n"));
    assert_memory_equal(remark->excerpt, line, strcspn(line, "\n"));
    fr_report_close(&report);
}

static void check_rows(const row *rows, size_t count) {
    for (size_t i = 0; i < count; i++) {
        check_row(&rows[i]);
    }
}

#define CHECK(rows) check_rows(rows, sizeof(rows) / sizeof((rows)[0]))

static void a_colon_without_a_space_is_blamed_on_its_own_line(void **state) {
    (void)state;
    static const row rows[] = {
        {"engine:\n  cylinders:4\n  displacement: 2.0 L\n", 2, 3,
         "no space after ':'; write 'cylinders: 4'" BELOW},
        {"engine:\n  displacement: 2.0 L\n  cylinders:4\n  idle_speed: 800 rpm\n", 3, 3,
         "no space after ':'; write 'cylinders: 4'" BELOW},
        {"engine:\n  displacement: 2.0 L\n  cylinders:4\n", 3, 3,
         "no space after ':'; write 'cylinders: 4'" BELOW},
        {"engine:\n  displacement: 2.0 L\n  cylinders:4   # four\n\n# more\n\nsite:\n", 3, 3,
         "no space after ':'; write 'cylinders: 4'" BELOW},
        {"fuelreach:1\n\n# the engine\nengine:\n  cylinders: 4\n", 1, 1,
         "no space after ':'; write 'fuelreach: 1'" BELOW},
    };
    CHECK(rows);
}

static void a_line_without_a_colon_is_blamed_on_itself(void **state) {
    (void)state;
    static const row rows[] = {
        {"My car\nengine:\n  cylinders: 4\n", 1, 1,
         "this line has no 'name: value'; for a title write 'name: My car'" BELOW},
        {"# mine\n\nMy car   # the red one\n\n# so\nengine:\n", 3, 1,
         "this line has no 'name: value'; for a title write 'name: My car'" BELOW},
        {"name: Tern\nnice car\nengine:\n", 2, 1,
         "this line has no 'name: value'; for a remark begin it with '#'" BELOW},
        {"engine:\n  cylinders: 4\n  displacement 2.0 L\n", 3, 3,
         "no ':' after 'displacement'; write 'displacement: 2.0 L'" BELOW},
    };
    CHECK(rows);
}

static void an_equals_sign_gets_the_field_that_was_meant(void **state) {
    (void)state;
    static const row rows[] = {
        {"pump = standard\nengine:\n  cylinders: 4\n", 1, 1,
         "'=' is not used here; write 'lift_pump: factory' under 'supply:'" BELOW},
        {"name: Tern\npump=stock\n", 2, 1,
         "'=' is not used here; write 'lift_pump: factory' under 'supply:'" BELOW},
        {"name: Tern\naspiration = NA\n", 2, 1,
         "'=' is not used here; write 'aspiration: natural' under 'engine:'" BELOW},
        {"name: Tern\nname = Fern\n", 2, 1, "'=' is not used here; write 'name: Fern'" BELOW},
        {"name: Tern\nzebra = striped\n", 2, 1,
         "'=' is not used here; write 'zebra: striped'" BELOW},
    };
    CHECK(rows);
}

static void a_second_colon_asks_for_quotes(void **state) {
    (void)state;
    static const row rows[] = {
        {"name: Tern: stage 3\n", 1, 11,
         "a second ': ' in one line; put the text in quotes: name: \"Tern: stage 3\"" BELOW},
        {"name: Tern: \"stage\" 3 # x\n", 1, 11,
         "a second ': ' in one line; put the text in quotes: name: 'Tern: \"stage\" 3'" BELOW},
        {"name: \u00C9t\u00E9: tr\u00E8s\n", 1, 10,
         "a second ': ' in one line; put the text in quotes: "
         "name: \"\u00C9t\u00E9: tr\u00E8s\"" BELOW},
        {"name: \u201CTern: stage 3\u201D\n", 1, 12,
         "curly quotes do not hold a text together; "
         "write straight quotes: name: \"Tern: stage 3\"" BELOW},
        {"engine:\n  cylinders: 4 displacement: 2.0 L\n", 2, 28,
         "two fields in one line; write 'displacement: 2.0 L' on a line of its own" BELOW},
        {"engine: {aspiration: turbo: yes}\n", 1, 27,
         "a second ': ' in one entry; put the text in quotes" BELOW},
    };
    CHECK(rows);
}

static void tabs_are_told_as_tabs(void **state) {
    (void)state;
#define TAB "a tab; indent with spaces. Nothing below this line was read."
    static const row rows[] = {
        {"pump_circuit:\n\tfuse: 30 A\n", 2, 1, TAB},
        {"supply:\n  pump_circuit:\n  \tfuse: 30 A\n", 3, 3, TAB},
        {"name: Tern\n\tfuse: 30 A\n", 2, 1, TAB},
        {"supply:\n  jet_pump: 0 L/h\n\tfuse: 30 A\n", 3, 1, TAB},
    };
    CHECK(rows);
}

static void indentation_that_fits_nothing_is_told(void **state) {
    (void)state;
    static const row rows[] = {
        {"engine:\n  cylinders: 4\n displacement: 2.0 L\n", 3, 2,
         "this line is indented like none above it; "
         "line it up with the fields it belongs to" BELOW},
        {"engine:\n  cylinders: 4\n    displacement: 2.0 L\n", 3, 5,
         "indented further than the line above, which has its value already; "
         "line it up with 'cylinders' on line 2" BELOW},
        {"  name: Tern\nengine:\n", 2, 1,
         "this line begins further left than the first; line all fields up" BELOW},
    };
    CHECK(rows);
}

static void brackets_and_quotes_that_do_not_close_are_told_where_they_open(void **state) {
    (void)state;
    static const row rows[] = {
        {"site: {air_pressure: 1 bar\nfuel:\n  blends: [E10]\n", 1, 7,
         "the '{' here is not closed; write '}' where it ends" BELOW},
        {"site: {air_pressure: 1 bar,\nfuel:\n  blends: [E10]\n", 1, 7,
         "the '{' here is not closed; write '}' where it ends" BELOW},
        {"fuel:\n  blends: [E10, E85\n", 2, 11,
         "the '[' here is not closed; write ']' where it ends" BELOW},
        {"name: \"Tern\nengine:\n  cylinders: 4\n", 1, 7,
         "a quote opens here and is never closed; close it on the same line" BELOW},
        {"name: 'Tern\nnotes: it's mine\n", 1, 7,
         "a quote opens here and is closed only on line 2; close it on the same line" BELOW},
        {"site: {air_pressure: 1 bar feed_temperature: 45 C}\n", 1, 44,
         "no comma between two entries inside { } or [ ]; "
         "each entry but the last ends with ','" BELOW},
        {"power_curve: {2500 rpm: 85 kW,\n              3500 rpm: 165 kW\n"
         "              4500 rpm: 230 kW}\n",
         2, 15,
         "no comma at the end of this line; "
         "each entry inside { } but the last ends with ','" BELOW},
        {"site: {air_pressure: 1 bar}}\n", 1, 28, "a '}' too many; take it out" BELOW},
        {"name: \"Tern\" hatch\n", 1, 14,
         "more text behind a value that is complete; "
         "put all of it inside the quotes or brackets" BELOW},
    };
    CHECK(rows);
}

static void characters_with_a_meaning_ask_for_quotes(void **state) {
    (void)state;
    static const row rows[] = {
        {"name: @home\n", 1, 7,
         "a value that begins with '@' has to stand in quotes; write name: \"@home\"" BELOW},
        {"name: `home`\n", 1, 7,
         "a value that begins with '`' has to stand in quotes; write name: \"`home`\"" BELOW},
        {"name: %5\n", 1, 7,
         "a value that begins with '%' has to stand in quotes; write name: \"%5\"" BELOW},
        {"name: *star*\n", 1, 7,
         "a value that begins with '*' has to stand in quotes; write name: \"*star*\"" BELOW},
        {"name: & co\n", 1, 7,
         "a value that begins with '&' has to stand in quotes; write name: \"& co\"" BELOW},
        {"name: !!! fast\n", 1, 7,
         "a value that begins with '!' has to stand in quotes; write name: \"!!! fast\"" BELOW},
        {"lines: !list [a]\n", 1, 8,
         "a value that begins with '!' has to stand in quotes; write lines: \"!list [a]\"" BELOW},
        {"name: > 300 kW\n", 1, 7,
         "a value that begins with '>' has to stand in quotes; write name: \"> 300 kW\"" BELOW},
        {"name: | 300 kW\n", 1, 7,
         "a value that begins with '|' has to stand in quotes; write name: \"| 300 kW\"" BELOW},
        {"name: *star\n", 1, 7,
         "'*' stands for an anchor, and there is none of that name; "
         "put the value in quotes if the '*' belongs to it" BELOW},
        {"name: \"C:\\garage\"\n", 1, 10,
         "a '\\' inside double quotes has a meaning of its own; use single quotes" BELOW},
        {"%YAML 1.1\nname: Tern\n", 1, 1,
         "a line that begins with '%' is an order to the YAML reader; take it out" BELOW},
    };
    CHECK(rows);
}

static void lists_that_begin_wrong_are_told(void **state) {
    (void)state;
    static const row rows[] = {
        {"filters: - filter-10\n", 1, 10,
         "a list item cannot begin behind 'name:'; write the list as [first, second]" BELOW},
        {"jet_pump: 0 L/h\n- filter-10\n", 2, 1,
         "a list item where a 'name: value' is due; "
         "indent it below the name it belongs to" BELOW},
        {"lines:\n  - bore: 8 mm\n   length: 2 m\n", 3, 4,
         "a 'name: value' where the next list item ('- ...') is due; "
         "indent it to belong to the item, or end the list" BELOW},
        {"? [a, b]\n: c\n", 1, 3,
         "a name is due here, not a list or a mapping; write 'name: value'" BELOW},
    };
    CHECK(rows);
}

static void a_second_document_is_refused(void **state) {
    (void)state;
    static const row rows[] = {
        {"name: Tern\n---\nname: Fern\n", 2, 1,
         "'---' begins a second document; a file holds one sheet" BELOW},
    };
    CHECK(rows);
}

static void an_error_of_layout_is_the_only_thing_told(void **state) {
    (void)state;
    static const row rows[] = {
        {"name: Tern\nname: Fern\nsite: {air_pressure: 1,6 bar}\nengine:\n  cylinders:4\n  a: 1\n",
         5, 3, "no space after ':'; write 'cylinders: 4'" BELOW},
    };
    CHECK(rows);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_colon_without_a_space_is_blamed_on_its_own_line),
        cmocka_unit_test(a_line_without_a_colon_is_blamed_on_itself),
        cmocka_unit_test(an_equals_sign_gets_the_field_that_was_meant),
        cmocka_unit_test(a_second_colon_asks_for_quotes),
        cmocka_unit_test(tabs_are_told_as_tabs),
        cmocka_unit_test(indentation_that_fits_nothing_is_told),
        cmocka_unit_test(brackets_and_quotes_that_do_not_close_are_told_where_they_open),
        cmocka_unit_test(characters_with_a_meaning_ask_for_quotes),
        cmocka_unit_test(lists_that_begin_wrong_are_told),
        cmocka_unit_test(a_second_document_is_refused),
        cmocka_unit_test(an_error_of_layout_is_the_only_thing_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
