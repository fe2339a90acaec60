/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of questions against the table of fields, and what the page is told of both. */
#include "sheet/fields.h"
#include "sheet/tree.h"
#include "support.h"
#include "web/describe.h"
#include "web/form.h"

/* Calls `see` on every value asked for. */
static void each_ask(void (*see)(const fr_ask *ask, const fr_field *field)) {
    for (size_t i = 0; i < fr_form_count; i++)
        for (size_t k = 0; k < FR_ASKS_MAX && fr_form[i].asks[k].path; k++)
            see(&fr_form[i].asks[k], fr_field_at(fr_form[i].asks[k].path));
}

static void see_field(const fr_ask *ask, const fr_field *field) {
    if (!field)
        fail_msg("no field %s", ask->path);
    if (ask->when && strcmp(ask->when, "factory") != 0)
        assert_non_null(fr_field_at(ask->when));
    for (size_t i = 0; i < FR_SECTIONS_MAX && ask->sections[i][0]; i++)
        assert_non_null(fr_field_at(ask->sections[i][0]));
}

static void every_question_asks_for_fields_that_there_are(void **state) {
    (void)state;
    assert_int_equal(fr_form_count, 13);
    each_ask(see_field);
}

static void see_words(const fr_ask *ask, const fr_field *field) {
    for (size_t i = 0; ask->control == FR_CONTROL_WORD && ask->choices[i].label; i++)
        if (*ask->choices[i].value &&
            fr_word_find(field->words, ask->choices[i].value) == field->words->count)
            fail_msg("%s has no word %s", ask->path, ask->choices[i].value);
}

static void every_choice_is_a_word_of_its_field(void **state) {
    (void)state;
    each_ask(see_words);
}

static void see_units(const fr_ask *ask, const fr_field *field) {
    char units[64];
    if (!ask->units)
        return;
    snprintf(units, sizeof units, "%s", ask->units);
    for (char *unit = strtok(units, " "); unit; unit = strtok(NULL, " ")) {
        double factor, offset;
        fr_kind kind;
        if (!fr_unit_find(unit, field->kinds, &kind, &factor, &offset))
            fail_msg("%s is not told in %s", ask->path, unit);
    }
}

static void every_unit_is_one_of_its_fields_kind(void **state) {
    (void)state;
    each_ask(see_units);
}

static void a_new_sheet_lacks_only_what_the_form_marks_as_needed(void **state) {
    (void)state;
    fr_report report = FR_REPORT_EMPTY;
    fr_sheet *sheet;
    char *text = fr_form_begin();
    assert_non_null(text);
    assert_int_equal(fr_sheet_open_text("my-car.yaml", text, strlen(text), NULL, &report, &sheet),
                     FR_BAD_INPUT);
    const char *const lacking[] = {"target_power", "power_at", "factory_power"};
    assert_int_equal(report.count, 3);
    for (size_t i = 0; i < 3; i++)
        assert_contains(report.remarks[i].message, lacking[i]);
    fr_report_close(&report);
    free(text);
}

static char *written(void (*write)(FILE *out, const char *text), const char *text) {
    char *out = NULL;
    size_t size;
    FILE *stream = open_memstream(&out, &size);
    write(stream, text);
    fclose(stream);
    return out;
}

static void a_sheet_is_told_value_by_value(void **state) {
    (void)state;
    char *out = written(fr_describe_sheet, "a: [1, 'two']\nb: {c: \"x\\\"\"}\nd:\n");
    assert_string_equal(
        out,
        "{\"good\":true,\"sheet\":{\"a\":[\"1\",\"two\"],\"b\":{\"c\":\"x\\\"\"},\"d\":\"\"}}\n");
    free(out);
    out = written(fr_describe_sheet, "a: [1");
    assert_string_equal(out, "{\"good\":false,\"sheet\":null}\n");
    free(out);
}

static void write_program(FILE *out, const char *text) {
    (void)text;
    fr_describe_program(out);
}

static void the_page_is_told_of_all_fields_and_of_the_tanks_options(void **state) {
    (void)state;
    char *out = written(write_program, "");
    for (fr_section_id id = FR_SECTION_TOP; id < FR_SECTION_COUNT; id = (fr_section_id)(id + 1)) {
        const fr_section *section = fr_section_of(id);
        for (size_t i = 0; i < fr_section_field_count(section); i++) {
            char key[128];
            snprintf(key, sizeof key,
                     "{\"key\":\"%s\",\"about\":", fr_section_field(section, i)->key);
            assert_contains(out, key);
        }
    }
    assert_contains(out, "\"commands\":{\"tank\":[{\"name\":\"size\",\"value\":\"V\",");
    free(out);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_question_asks_for_fields_that_there_are),
        cmocka_unit_test(every_choice_is_a_word_of_its_field),
        cmocka_unit_test(every_unit_is_one_of_its_fields_kind),
        cmocka_unit_test(a_new_sheet_lacks_only_what_the_form_marks_as_needed),
        cmocka_unit_test(a_sheet_is_told_value_by_value),
        cmocka_unit_test(the_page_is_told_of_all_fields_and_of_the_tanks_options),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
