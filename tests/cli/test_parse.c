/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The words of a command line, read against a table of our own. */
#include <stdint.h>
#include <unistd.h>

#include "cli/invocation.h"
#include "cli/nearest.h"
#include "support.h"

static const fr_option options[] = {
    {"add", 'a', true, FR_VALUE_TEXT, "V@B", "pour"},
    {"drain", 0, true, FR_VALUE_TEXT, "V", "draw off"},
    {"detail", 'd', false, FR_VALUE_NONE, NULL, "more"},
    {"format", 0, false, FR_VALUE_WORD, "text|json", "how"},
    {"draws", 'n', false, FR_VALUE_COUNT, "N", "how many"},
    {"blend", 0, true, FR_VALUE_BLEND, "B", "which"},
    {"temperature", 0, false, FR_VALUE_TEXT, "T", "how warm"},
    {NULL, 0, false, FR_VALUE_NONE, NULL, NULL},
};

static int never_run(fr_invocation *invocation) {
    (void)invocation;
    return 0;
}

static const fr_command command = {
    .name = "try",
    .summary = "a command for tests",
    .arguments = "A [B]",
    .least_arguments = 1,
    .most_arguments = 2,
    .about = "",
    .options = options,
    .run = never_run,
};

/* Standard error is kept out of the way, and looked at by the tests of the real program. */
static fr_parse_outcome parse(fr_invocation *invocation, char *const *words) {
    int count = 0;
    int kept = dup(STDERR_FILENO);

    while (words[count] != NULL)
        count++;
    *invocation = (fr_invocation){.command = &command, .out = stdout};
    fflush(stderr);
    assert_non_null(freopen("/dev/null", "w", stderr));
    fr_parse_outcome outcome = fr_invocation_parse(invocation, count, words);
    fflush(stderr);
    dup2(kept, STDERR_FILENO);
    close(kept);
    return outcome;
}

#define PARSE(invocation, ...) parse((invocation), (char *const[]){__VA_ARGS__, NULL})

static void options_stay_in_the_order_given(void **state) {
    (void)state;
    fr_invocation invocation;

    assert_int_equal(PARSE(&invocation, "--drain", "7 L", "x", "-a", "5 L@E85", "--drain=3 L"),
                     FR_PARSED);
    assert_int_equal(invocation.given_count, 3);
    assert_string_equal(invocation.given[0].option->name, "drain");
    assert_string_equal(invocation.given[0].value, "7 L");
    assert_string_equal(invocation.given[1].option->name, "add");
    assert_string_equal(invocation.given[1].value, "5 L@E85");
    assert_string_equal(invocation.given[2].value, "3 L");
    fr_invocation_close(&invocation);
}

static void values_of_one_option_stand_together(void **state) {
    (void)state;
    fr_invocation invocation;
    size_t count;

    assert_int_equal(PARSE(&invocation, "--drain", "1", "--add", "2", "--drain", "3", "x"),
                     FR_PARSED);
    const char *const *drained = fr_invocation_values(&invocation, "drain", &count);
    assert_int_equal(count, 2);
    assert_string_equal(drained[0], "1");
    assert_string_equal(drained[1], "3");
    const char *const *added = fr_invocation_values(&invocation, "add", &count);
    assert_int_equal(count, 1);
    assert_string_equal(added[0], "2");
    fr_invocation_values(&invocation, "blend", &count);
    assert_int_equal(count, 0);
    fr_invocation_close(&invocation);
}

static void the_last_of_two_values_counts(void **state) {
    (void)state;
    fr_invocation invocation;

    assert_int_equal(
        PARSE(&invocation, "x", "--format=json", "--format", "text", "-n17", "-n", "23"),
        FR_PARSED);
    assert_true(fr_invocation_is(&invocation, "format", "text"));
    assert_false(fr_invocation_is(&invocation, "format", "json"));
    assert_int_equal(fr_invocation_count(&invocation, "draws", 5), 23);
    assert_false(fr_invocation_has(&invocation, "detail"));
    assert_string_equal(fr_invocation_value(&invocation, "temperature", "none"), "none");
    fr_invocation_close(&invocation);
}

static void two_dashes_end_the_options(void **state) {
    (void)state;
    fr_invocation invocation;

    assert_int_equal(PARSE(&invocation, "-d", "--", "--format", "-a"), FR_PARSED);
    assert_int_equal(invocation.argument_count, 2);
    assert_string_equal(invocation.arguments[0], "--format");
    assert_string_equal(invocation.arguments[1], "-a");
    assert_true(fr_invocation_has(&invocation, "detail"));
    fr_invocation_close(&invocation);
}

static void one_dash_alone_is_standard_input(void **state) {
    (void)state;
    fr_invocation invocation;

    assert_int_equal(PARSE(&invocation, "-"), FR_PARSED);
    assert_string_equal(invocation.arguments[0], "-");
    fr_invocation_close(&invocation);
}

static void a_value_may_begin_with_a_dash(void **state) {
    (void)state;
    fr_invocation invocation;
    fr_quantity temperature;

    assert_int_equal(PARSE(&invocation, "x", "--temperature", "-7 C"), FR_PARSED);
    assert_true(fr_invocation_quantity(&invocation, "temperature", FR_KINDS(FR_KIND_TEMPERATURE),
                                       &temperature));
    assert_close(temperature.value, -7.0, 1e-15);
    fr_invocation_close(&invocation);
}

static void what_cannot_be_used_is_refused(void **state) {
    (void)state;
    static char *const bad[][4] = {
        {"x", "--nothing"},
        {"x", "-z"},
        {"x", "--format", "xml"},
        {"x", "--format=tex"},
        {"x", "--draws", "1.5"},
        {"x", "--draws", "-3"},
        {"x", "--draws="},
        {"x", "--blend", "E101"},
        {"x", "--blend", "93"},
        {"x", "--detail=yes"},
        {"x", "--add"},
        {"x", "y", "z"},
        {"-d"},
        {"x", "--draws", "99999999999999999999"},
    };

    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        fr_invocation invocation;
        assert_int_equal(parse(&invocation, bad[i]), FR_PARSE_BAD);
        fr_invocation_close(&invocation);
    }
}

static void help_is_seen_before_arguments_are_missed(void **state) {
    (void)state;
    fr_invocation invocation;

    assert_int_equal(PARSE(&invocation, "--help"), FR_PARSED_HELP);
    fr_invocation_close(&invocation);
    assert_int_equal(PARSE(&invocation, "-h"), FR_PARSED_HELP);
    fr_invocation_close(&invocation);
}

static void a_slip_finds_the_name_that_was_meant(void **state) {
    (void)state;
    static const struct {
        const char *typed, *meant;
    } slips[] = {
        {"chekc", "check"},

        {"prats", "parts"},
        {"par", "parts"},
        {"drft", "draft"},
        {"feul", "fuel"},
        {"xyzzy", NULL},
        {"", NULL},
        {"a-word-far-longer-than-any-name-that-we-would-ever-have", NULL},
    };
    static const char *const known[] = {"check", "fuel", "draft", "parts"};

    for (size_t i = 0; i < sizeof slips / sizeof slips[0]; i++) {
        fr_nearest nearest = {slips[i].typed, NULL, 0};
        for (size_t k = 0; k < sizeof known / sizeof known[0]; k++)
            fr_nearest_try(&nearest, known[k]);
        if (slips[i].meant == NULL)
            assert_null(nearest.best);
        else
            assert_string_equal(nearest.best, slips[i].meant);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(options_stay_in_the_order_given),
        cmocka_unit_test(values_of_one_option_stand_together),
        cmocka_unit_test(the_last_of_two_values_counts),
        cmocka_unit_test(two_dashes_end_the_options),
        cmocka_unit_test(one_dash_alone_is_standard_input),
        cmocka_unit_test(a_value_may_begin_with_a_dash),
        cmocka_unit_test(what_cannot_be_used_is_refused),
        cmocka_unit_test(help_is_seen_before_arguments_are_missed),
        cmocka_unit_test(a_slip_finds_the_name_that_was_meant),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
