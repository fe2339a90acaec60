/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fuelreach review as a person calls it. */
#include "review/cases.h"

#include "support.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/invocation.h"

enum { ROWS_MAX = 4096, PATH_LENGTH = 64 };

typedef struct called {
    int code;
    char *out;
    size_t length;
} called;

static char folder[] = "/tmp/fuelreach-review-XXXXXX";

static void path_of(const char *name, char path[PATH_LENGTH]) {
    snprintf(path, PATH_LENGTH, "%s/%s", folder, name);
}

static void write_file(const char *name, const char *text, size_t length) {
    char path[PATH_LENGTH];
    path_of(name, path);
    FILE *out = fopen(path, "wb");
    assert_non_null(out);
    assert_int_equal(fwrite(text, 1, length, out), length);
    assert_int_equal(fclose(out), 0);
}

static char *read_file(const char *name) {
    char path[PATH_LENGTH];
    char *text = NULL;
    size_t room = 0;
    path_of(name, path);
    FILE *in = fopen(path, "rb");
    if (in == NULL)
        return NULL;
    assert_true(getdelim(&text, &room, '\0', in) > 0);
    fclose(in);
    return text;
}

static const fr_command *review_command(void) {
    for (const fr_command *command = fr_commands; command->name != NULL; command++)
        if (strcmp(command->name, "review") == 0)
            return command;
    fail_msg("the table has no command 'review'");
    return NULL;
}

static bool is_file(const char *word) {
    const char *dot = strrchr(word, '.');
    return dot != NULL && (strcmp(dot, ".csv") == 0 || strcmp(dot, ".yaml") == 0);
}

static called call(const char *const words[]) {
    called result = {0};
    char paths[8][PATH_LENGTH];
    char *given[16];
    int count = 0;
    size_t used = 0;
    for (; words[count] != NULL; count++) {
        given[count] = (char *)(uintptr_t)words[count];
        if (is_file(words[count])) {
            path_of(words[count], paths[used]);
            given[count] = paths[used++];
        }
    }
    given[count] = NULL;
    fr_invocation invocation = {.command = review_command()};
    invocation.out = open_memstream(&result.out, &result.length);
    assert_non_null(invocation.out);
    assert_int_equal(fr_invocation_parse(&invocation, count, given), FR_PARSED);
    result.code = invocation.command->run(&invocation);
    fr_invocation_close(&invocation);
    fclose(invocation.out);
    return result;
}
#define CALL(...) call((const char *const[]){__VA_ARGS__, NULL})

static bool says(const called *result, const char *text) {
    return strstr(result->out, text) != NULL;
}

static double figure(const char *json, const char *key) {
    char wanted[64];
    snprintf(wanted, sizeof wanted, "\"%s\":", key);
    json = strstr(json, wanted);
    if (json == NULL)
        fail_msg("no %s", key);
    return strtod(json + strlen(wanted), NULL);
}

/* Writes a log of one pull. */
static void write_log(const char *name, const synthetic *pull) {
    fr_log_row *rows = malloc(ROWS_MAX * sizeof *rows);
    char *text = NULL;
    size_t length = 0;
    assert_non_null(rows);
    FILE *out = open_memstream(&text, &length);
    synthetic_header(pull, out);
    synthetic_write(pull, rows, synthetic_idle(pull, rows, ROWS_MAX, 4.0, 0.0), out);
    synthetic_write(pull, rows, synthetic_rows(pull, rows, ROWS_MAX, 1, 4.0), out);
    fclose(out);
    write_file(name, text, length);
    free(text);
    free(rows);
}

static void true_pull(double bsfc, double ethanol, synthetic *pull, fr_build *truth) {
    fr_sheet *sheet = case_open(CASE_PORT_SHEET);
    *truth = *fr_sheet_build(sheet);
    truth->engine.bsfc_kg_j.scale *= bsfc;
    *pull = synthetic_pull(truth, ethanol);
    fr_sheet_close(sheet);
}

static int set_up(void **state) {
    (void)state;
    if (mkdtemp(folder) == NULL)
        return -1;
    write_file("car.yaml", CASE_PORT_SHEET, strlen(CASE_PORT_SHEET));
    return 0;
}

static int tear_down(void **state) {
    (void)state;
    char command[PATH_LENGTH + 16];
    snprintf(command, sizeof command, "rm -r %s", folder);
    return system(command);
}

/* ---- tests ---- */

static void json_has_every_key_of_the_results(void **unused) {
    (void)unused;
    static const char *const KEYS[] = {
        "fuelreach", "sheet", "name", "rows_read", "rows_used", "rows_left_out", "pulls",
        "first_row", "last_row", "ethanol_percent", "channels", "channel", "unit", "mean_residual",
        "rms_residual", "uncertainty", "suggests", "factors", "factor", "value", "low", "high",
        "told_by_log", "next", "blend", "chance_holds", "verdict", "stages", "stage",
        "chance_short", "distance_percent", "clear_to", "confidence_percent", "plan", "watch",
        "rpm"};
    fr_build truth;
    synthetic pull;
    true_pull(1.04, 0.30, &pull, &truth);
    write_log("e30.csv", &pull);
    called result = CALL("car.yaml", "e30.csv", "--format", "json");
    assert_int_equal(result.code, 0);
    for (size_t i = 0; i < sizeof KEYS / sizeof *KEYS; i++) {
        char key[64];
        snprintf(key, sizeof key, "\"%s\":", KEYS[i]);
        if (!says(&result, key))
            fail_msg("no key %s", KEYS[i]);
    }
    assert_null(strstr(result.out, "nan"));
    assert_within(figure(result.out, "value"), 1.04, 0.035); /* bsfc comes first */
    assert_within(figure(strstr(result.out, "\"clear_to\""), "confidence_percent"), 95.0, 1e-9);
    free(result.out);
}

/* What was learnt is taken by the next review as its start: a factor on the sheet, not twice. */
static void what_was_learnt_goes_back_into_the_sheet(void **unused) {
    (void)unused;
    fr_build truth;
    synthetic pull;
    true_pull(1.07, 0.30, &pull, &truth);
    write_log("e30.csv", &pull);
    called first = CALL("car.yaml", "e30.csv", "--format", "json", "--learn", "learnt.yaml");
    char *learnt = read_file("learnt.yaml");
    assert_non_null(learnt);
    assert_non_null(strstr(learnt, "learnt: {bsfc: 10"));
    char *both = malloc(strlen(CASE_PORT_SHEET) + strlen(learnt) + 1);
    assert_non_null(both);
    sprintf(both, "%s%s", CASE_PORT_SHEET, learnt);
    write_file("next.yaml", both, strlen(both));
    called second = CALL("next.yaml", "e30.csv", "--format", "json");
    assert_int_equal(second.code, first.code);
    const double before = figure(first.out, "value");
    const double after = figure(second.out, "value");
    print_message("bsfc learnt: %.4f, once more %.4f\n", before, after);
    assert_true(before > 1.03 && after >= before - 0.002 && after < 1.08);
    const double width = figure(first.out, "high") - figure(first.out, "low");
    assert_true(figure(second.out, "high") - figure(second.out, "low") < width);
    free(both);
    free(learnt);
    free(first.out);
    free(second.out);
}

static void a_learnt_file_is_whole_or_not_there(void **unused) {
    (void)unused;
    fr_build truth;
    synthetic pull;
    true_pull(1.0, 0.30, &pull, &truth);
    write_log("e30.csv", &pull);
    called result = CALL("car.yaml", "e30.csv", "--learn", "nowhere/learnt.yaml");
    assert_int_equal(result.code, 3);
    free(result.out);
    write_file("keep.yaml", "old\n", 4);
    result = CALL("car.yaml", "none.csv", "--learn", "keep.yaml");
    assert_int_equal(result.code, 3);
    char *kept = read_file("keep.yaml");
    assert_string_equal(kept, "old\n");
    free(kept);
    free(result.out);
}

static void a_line_being_refilled_is_set_aside_and_said(void **unused) {
    (void)unused;
    fr_build truth;
    synthetic pull;
    true_pull(1.0, 0.30, &pull, &truth);
    write_log("still.csv", &pull);
    pull.ethanol_drift = 0.08;
    write_log("moving.csv", &pull);
    called result = CALL("car.yaml", "moving.csv");
    assert_int_equal(result.code, 2);
    assert_int_equal(result.length, 0);
    free(result.out);
    result = CALL("car.yaml", "still.csv", "moving.csv");
    assert_int_equal(result.code, 0);
    assert_true(says(&result, "SET ASIDE"));
    assert_true(says(&result, "refilled"));
    assert_true(says(&result, "1 pull in 2 logs"));
    free(result.out);
}

static void a_log_without_ethanol_needs_the_blend(void **unused) {
    (void)unused;
    fr_build truth;
    synthetic pull;
    true_pull(1.0, 0.50, &pull, &truth);
    pull.channels[FR_CHANNEL_ETHANOL] = false;
    write_log("e50.csv", &pull);
    called result = CALL("car.yaml", "e50.csv");
    assert_int_equal(result.code, 2);
    free(result.out);
    result = CALL("car.yaml", "e50.csv", "--blend", "E50", "--format", "json");
    assert_int_equal(result.code, 0);
    assert_within(figure(result.out, "ethanol_percent"), 50.0, 1e-9);
    free(result.out);
}

static void a_log_without_a_pull_is_refused(void **unused) {
    (void)unused;
    static const char TEXT[] = "Time,Engine speed,Ethanol\n0,900,30\n0.1,910,30\n0.2,905,30\n";
    write_file("idle.csv", TEXT, sizeof TEXT - 1);
    called result = CALL("car.yaml", "idle.csv");
    assert_int_equal(result.code, 2);
    assert_int_equal(result.length, 0);
    free(result.out);
}

/* The decision: a car that burns far more than its sheet says is not cleared for what the sheet
 * alone would clear. */
static void the_decision_follows_the_car_not_the_sheet(void **unused) {
    (void)unused;
    fr_build truth;
    synthetic pull;
    true_pull(0.98, 0.30, &pull, &truth);
    write_log("good.csv", &pull);
    true_pull(1.16, 0.30, &pull, &truth);
    write_log("thirsty.csv", &pull);
    called good = CALL("car.yaml", "good.csv", "--next", "E85", "--format", "json", "--set",
                       "engine.target_power=415 kW");
    called thirsty = CALL("car.yaml", "thirsty.csv", "--next", "E85", "--format", "json", "--set",
                          "engine.target_power=415 kW");
    print_message("holds: good %.3f, thirsty %.3f\n", figure(good.out, "chance_holds"),
                  figure(thirsty.out, "chance_holds"));
    assert_int_equal(good.code, 0);
    assert_int_equal(thirsty.code, 1);
    assert_true(figure(good.out, "chance_holds") > 0.95);
    assert_true(figure(thirsty.out, "chance_holds") < 0.5);
    free(good.out);
    free(thirsty.out);
}

/* A log of another car clears nothing, however good the sheet's own odds are. */
static void a_log_that_does_not_fit_clears_nothing(void **unused) {
    (void)unused;
    fr_build truth;
    synthetic pull;
    true_pull(1.0, 0.30, &pull, &truth);
    truth.engine.bsfc_kg_j.y[0] *= 0.7; /* no factor makes this shape */
    truth.engine.bsfc_kg_j.y[1] *= 1.25;
    write_log("other.csv", &pull);
    called result = CALL("car.yaml", "other.csv");
    assert_int_equal(result.code, 1);
    assert_contains(result.out, "NOT CLEAR: the log does not fit");
    free(result.out);
}

static size_t widest(const char *text) {
    size_t most = 0;
    size_t columns = 0;
    const char *line = text;
    for (; *text != '\0'; text++) {
        if (*text == '\n') {
            if (columns > 80)
                print_error("%zu columns: %.*s\n", columns, (int)(text - line), line);
            line = text + 1;
            columns = 0;
        } else if (((unsigned char)*text & 0xC0u) != 0x80u)
            columns++;
        most = columns > most ? columns : most;
    }
    return most;
}

static void the_text_keeps_to_80_columns(void **unused) {
    (void)unused;
    fr_build truth;
    synthetic pull;
    true_pull(1.07, 0.30, &pull, &truth);
    pull.off_absolute[FR_CHANNEL_FEED_PRESSURE] = -0.4e5;
    write_log("e30.csv", &pull);
    called result = CALL("car.yaml", "e30.csv", "--units", "us", "--next", "E62.5", "--next", "E85");
    assert_true(widest(result.out) <= 80);
    assert_true(says(&result, "E62.5"));
    assert_true(says(&result, "psi"));
    free(result.out);
}

static void options_that_make_no_sense_are_refused(void **unused) {
    (void)unused;
    called result = CALL("car.yaml", "e30.csv", "--confidence", "100 %");
    assert_int_equal(result.code, 2);
    free(result.out);
    result = CALL("car.yaml", "e30.csv", "--confidence", "a lot");
    assert_int_equal(result.code, 2);
    free(result.out);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(json_has_every_key_of_the_results),
        cmocka_unit_test(what_was_learnt_goes_back_into_the_sheet),
        cmocka_unit_test(a_learnt_file_is_whole_or_not_there),
        cmocka_unit_test(a_line_being_refilled_is_set_aside_and_said),
        cmocka_unit_test(a_log_without_ethanol_needs_the_blend),
        cmocka_unit_test(a_log_without_a_pull_is_refused),
        cmocka_unit_test(the_decision_follows_the_car_not_the_sheet),
        cmocka_unit_test(a_log_that_does_not_fit_clears_nothing),
        cmocka_unit_test(the_text_keeps_to_80_columns),
        cmocka_unit_test(options_that_make_no_sense_are_refused),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
