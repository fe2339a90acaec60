/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fuelreach tank as a person calls it: orders in their order, JSON, refusals, exit codes. */
#include "support.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/invocation.h"

enum { WORDS_MAX = 32 };

typedef struct called {
    int code;
    char *out;
    size_t length;
} called;

static const fr_command *tank_command(void) {
    for (const fr_command *command = fr_commands; command->name != NULL; command++)
        if (strcmp(command->name, "tank") == 0)
            return command;
    fail_msg("the table has no command 'tank'");
    return NULL;
}

/* Runs it on words that end with a null. What goes to standard error is of no interest here. */
static called call(char *const words[]) {
    called result = {0};
    int count = 0;
    while (words[count] != NULL)
        count++;
    fr_invocation invocation = {.command = tank_command()};
    invocation.out = open_memstream(&result.out, &result.length);
    assert_non_null(invocation.out);
    assert_int_equal(fr_invocation_parse(&invocation, count, words), FR_PARSED);
    result.code = invocation.command->run(&invocation);
    fr_invocation_close(&invocation);
    fclose(invocation.out);
    return result;
}
#define CALL(...) call((char *[]){__VA_ARGS__, NULL})

/* The number behind the n-th `"key":` of a JSON text. */
static double figure(const char *json, const char *key, size_t nth) {
    char wanted[64];
    snprintf(wanted, sizeof wanted, "\"%s\":", key);
    for (;;) {
        json = strstr(json, wanted);
        if (json == NULL)
            fail_msg("no %s (%zu)", key, nth);
        json += strlen(wanted);
        if (nth-- == 0)
            return strtod(json, NULL);
    }
}

static bool says(const called *result, const char *text) {
    return strstr(result->out, text) != NULL;
}

static void orders_are_carried_out_as_they_stand(void **unused) {
    (void)unused;
    called first = CALL("--size", "50 L", "--holds", "30 L@E10", "--drain", "15 L", "--add",
                        "15 L@E85", "--format", "json");
    called after = CALL("--size", "50 L", "--holds", "30 L@E10", "--add", "15 L@E85", "--drain",
                        "15 L", "--format", "json");
    assert_int_equal(first.code, 0);
    assert_close(figure(first.out, "ethanol_percent", 2), 47.5, 1e-12);
    assert_close(figure(after.out, "ethanol_percent", 2), 35.0, 1e-12);
    assert_close(figure(after.out, "volume_l", 2), 30.0, 1e-12);
    free(first.out);
    free(after.out);
}

static void gallons_and_litres_give_one_answer(void **unused) {
    (void)unused;
    called us = CALL("--size", "13 gal", "--holds", "2 gal@E8", "--add", "1 gal@E77", "--format",
                     "json");
    called metric = CALL("--size", "49.21035 L", "--holds", "7.570823568 L@E8", "--add",
                         "3.785411784 L@E77", "--format", "json");
    assert_close(figure(us.out, "ethanol_percent", 1), figure(metric.out, "ethanol_percent", 1),
                 1e-12);
    assert_close(figure(us.out, "added_l", 0), 3.785411784, 1e-12);
    free(us.out);
    free(metric.out);
}

static void each_target_takes_the_fuel_that_follows_it(void **unused) {
    (void)unused;
    called result = CALL("--size", "50 L", "--holds", "10 L@E10", "--target", "E40", "--with",
                         "E85", "--target", "E20", "--with", "E0", "--format", "json");
    assert_int_equal(result.code, 0);
    assert_close(figure(result.out, "ethanol_percent", 1), 40.0, 1e-12);
    assert_close(figure(result.out, "ethanol_percent", 2), 20.0, 1e-12);
    assert_close(figure(result.out, "added_ethanol_percent", 1), 0.0, 0.0);
    free(result.out);
}

static void a_target_out_of_reach_ends_with_1(void **unused) {
    (void)unused;
    called result = CALL("--size", "50 L", "--holds", "10 L@E10", "--target", "E80", "--with",
                         "E77", "--format", "json");
    assert_int_equal(result.code, 1);
    assert_true(says(&result, "\"reachable\":false") || says(&result, "\"reachable\": false"));
    assert_close(figure(result.out, "nearest_ethanol_percent", 0), 77.0, 1e-12);
    free(result.out);
    result = CALL("--size", "50 L", "--holds", "10 L@E10", "--target", "E80", "--with", "E77");
    assert_int_equal(result.code, 1);
    assert_true(says(&result, "NOT REACHED"));
    free(result.out);
}

static void pump_e85_gives_both_ends_and_takes_a_reading_between(void **unused) {
    (void)unused;
    called result = CALL("--size", "50 L", "--holds", "20 L@E10", "--add", "20 L@e85-pump",
                         "--reading", "E40", "--format", "json");
    assert_int_equal(result.code, 0);
    assert_true(says(&result, "\"ends\""));
    assert_close(figure(result.out, "ethanol_percent", 1), 30.5, 1e-12);
    /* top level: start and a step; then the same of each end */
    assert_close(figure(result.out, "ethanol_percent", 5), 46.5, 1e-12);
    assert_true(says(&result, "\"fits\":true") || says(&result, "\"fits\": true"));
    free(result.out);
    result = CALL("--size", "50 L", "--holds", "20 L@E10", "--add", "20 L@E85", "--reading", "40 %");
    assert_int_equal(result.code, 1);
    assert_true(says(&result, "DOES NOT FIT"));
    free(result.out);
}

/* 25 miles a US gallon is 9.408583 L/100 km (235.2146/25). */
static void miles_a_gallon_and_litres_a_distance_agree(void **unused) {
    (void)unused;
    called us = CALL("--size", "50 L", "--holds", "10 L@E10", "--add", "10 L@E85", "--line",
                     "0.3 L", "--burn", "25 mpg", "--format", "json");
    called metric = CALL("--size", "50 L", "--holds", "10 L@E10", "--add", "10 L@E85", "--line",
                         "0.3 L", "--burn", "9.408583 L/100km", "--format", "json");
    assert_close(figure(us.out, "settled_km", 0), figure(metric.out, "settled_km", 0), 1e-6);
    assert_true(says(&us, "\"settled_s\":null") || says(&us, "\"settled_s\": null"));
    free(us.out);
    free(metric.out);
}

static void what_cannot_be_used_ends_with_2(void **unused) {
    (void)unused;
    char *const bad[][WORDS_MAX] = {
        {"--size", "50 L", NULL},
        {"--holds", "10 L@E10", NULL},
        {"--size", "50 L", "--holds", "10 L", NULL},
        {"--size", "50 L", "--holds", "10@E10", NULL},
        {"--size", "50 L", "--holds", "-1 L@E10", NULL},
        {"--size", "50 L", "--holds", "60 L@E10", NULL},
        {"--size", "50 L", "--holds", "10 L@E110", NULL},
        {"--size", "0 L", "--holds", "0 L@E10", NULL},
        {"--size", "50 L", "--holds", "10 L@E10", "--size", "60 L", NULL},
        {"--size", "50 L", "--holds", "10 L@E10", "--add", "41 L@E85", NULL},
        {"--size", "50 L", "--holds", "10 L@E10", "--drain", "11 L", NULL},
        {"--size", "50 L", "--holds", "10 L@E10", "--target", "E30", NULL},
        {"--size", "50 L", "--holds", "10 L@E10", "--steps", "E30,,E50", "--with", "E85", NULL},
        {"--size", "50 L", "--holds", "10 L@E10", "--line", "0.3 L", NULL},
        {"--size", "50 L", "--holds", "10 L@E10", "--burn", "9 L/h", NULL},
        {"--size", "50 L", "--holds", "10 L@E10", "--line", "0.3 L", "--burn", "0 L/h", NULL},
        {"--size", "50 L", "--holds", "10 L@E10", "--reading", "150 %", NULL},
        {"--size", "50 L", "--holds", "10 L@E10", "--temperature", "200 C", NULL},
    };
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        called result = call(bad[i]);
        if (result.code != 2 || result.length != 0)
            fail_msg("case %zu: exit %d, wrote %zu bytes", i, result.code, result.length);
        free(result.out);
    }
}

/* Columns of the widest line, counting characters. */
static size_t widest(const char *text) {
    size_t most = 0;
    size_t columns = 0;
    for (; *text != '\0'; text++) {
        if (*text == '\n')
            columns = 0;
        else if (((unsigned char)*text & 0xC0u) != 0x80u)
            columns++;
        most = columns > most ? columns : most;
    }
    return most;
}

static void the_text_keeps_to_80_columns(void **unused) {
    (void)unused;
    called result = CALL("--size", "5000 gal", "--holds", "1800.5 gal@E8.25", "--steps",
                         "E30.5,E62.25", "--with", "E77.5", "--add", "0 L@E85-pump", "--target",
                         "E80", "--line", "12 gal", "--burn", "900 L/h", "--burn", "10 L/100km",
                         "--reading", "55.5 %", "--units", "us", "--temperature", "-20 F");
    assert_true(widest(result.out) <= 80);
    assert_true(says(&result, "gal"));
    free(result.out);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(orders_are_carried_out_as_they_stand),
        cmocka_unit_test(gallons_and_litres_give_one_answer),
        cmocka_unit_test(each_target_takes_the_fuel_that_follows_it),
        cmocka_unit_test(a_target_out_of_reach_ends_with_1),
        cmocka_unit_test(pump_e85_gives_both_ends_and_takes_a_reading_between),
        cmocka_unit_test(miles_a_gallon_and_litres_a_distance_agree),
        cmocka_unit_test(what_cannot_be_used_ends_with_2),
        cmocka_unit_test(the_text_keeps_to_80_columns),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
