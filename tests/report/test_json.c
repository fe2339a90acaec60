/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The JSON writer: what it writes reads back the same. */
#include <float.h>

#include "report/json.h"
#include "support.h"

static const char *number(double value) {
    static char out[FR_JSON_NUMBER_MAX];
    fr_number_write(value, out);
    return out;
}

static void numbers_are_as_short_as_they_can_be(void **state) {
    (void)state;
    assert_string_equal(number(85), "85");
    assert_string_equal(number(0.1), "0.1");
    assert_string_equal(number(-27.3), "-27.3");
    assert_string_equal(number(0.1 + 0.2), "0.30000000000000004");
    assert_string_equal(number(1.0 / 3.0), "0.3333333333333333");
    assert_string_equal(number(-0.0), "0");
}

static void every_number_reads_back_the_same(void **state) {
    (void)state;
    support_random random = {20240517};
    for (size_t i = 0; i < 20000; i++) {
        uint64_t bits = support_random_bits(&random);
        double value;
        memcpy(&value, &bits, sizeof value);
        if (!isfinite(value))
            continue;
        assert_true(strtod(number(value), NULL) == value);
    }
    assert_true(strtod(number(DBL_MAX), NULL) == DBL_MAX);
    assert_true(strtod(number(DBL_TRUE_MIN), NULL) == DBL_TRUE_MIN);
    assert_true(strtod(number(-DBL_MIN), NULL) == -DBL_MIN);
}

static void there_is_no_infinity(void **state) {
    (void)state;
    assert_string_equal(number(NAN), "null");
    assert_string_equal(number(INFINITY), "null");
    assert_string_equal(number(-INFINITY), "null");
}

static const char *written(void (*write)(fr_json *json)) {
    static char out[1024];
    FILE *file = tmpfile();
    assert_non_null(file);
    fr_json json = fr_json_to(file);
    write(&json);
    rewind(file);
    size_t length = fread(out, 1, sizeof out - 1, file);
    out[length] = '\0';
    fclose(file);
    return out;
}

static void write_nested(fr_json *json) {
    fr_json_object(json, NULL);
    fr_json_list(json, "blends");
    for (size_t i = 0; i < 2; i++) {
        fr_json_object(json, NULL);
        fr_json_count(json, "rpm", 2500 + i);
        fr_json_bool(json, "short", i == 1);
        fr_json_object_end(json);
    }
    fr_json_list_end(json);
    fr_json_list(json, "empty");
    fr_json_list_end(json);
    fr_json_number(json, "use", 0.875);
    fr_json_object_end(json);
    fr_json_line_end(json);
}

static void commas_and_brackets_are_its_business(void **state) {
    (void)state;
    assert_string_equal(
        written(write_nested),
        "{\"blends\":[{\"rpm\":2500,\"short\":false},{\"rpm\":2501,\"short\":true}],"
        "\"empty\":[],\"use\":0.875}\n");
}

static void write_hostile(fr_json *json) {
    fr_json_list(json, NULL);
    fr_json_text(json, NULL, "\"quoted\" back\\slash\nnew\ttab\x01\x7f");
    fr_json_text(json, NULL, "</script>");
    fr_json_text(json, NULL, "45 °C 燕");
    fr_json_text(json, NULL, "old\xB0page\xE2\x80\xA8");
    fr_json_text(json, NULL, NULL);
    fr_json_list_end(json);
}

static void hostile_text_stays_text(void **state) {
    (void)state;
    assert_string_equal(written(write_hostile),
                        "[\"\\\"quoted\\\" back\\\\slash\\nnew\\ttab\\u0001\\u007f\","
                        "\"<\\/script>\",\"45 °C 燕\",\"old�page\\u2028\",null]");
}

static void write_deep(fr_json *json) {
    for (size_t i = 0; i < 3 * FR_JSON_DEPTH_MAX; i++)
        fr_json_list(json, NULL);
    for (size_t i = 0; i < 3 * FR_JSON_DEPTH_MAX; i++)
        fr_json_list_end(json);
}

static void a_depth_beyond_the_most_does_not_leave_its_memory(void **state) {
    (void)state;
    assert_true(strlen(written(write_deep)) >= 6 * FR_JSON_DEPTH_MAX);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers_are_as_short_as_they_can_be),
        cmocka_unit_test(every_number_reads_back_the_same),
        cmocka_unit_test(there_is_no_infinity),
        cmocka_unit_test(commas_and_brackets_are_its_business),
        cmocka_unit_test(hostile_text_stays_text),
        cmocka_unit_test(a_depth_beyond_the_most_does_not_leave_its_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
