/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The example logs are what tests/review/generate_logs.c makes, and tell what they were made to
 * tell. FR_WRITE_EXAMPLES=1 writes them anew. */
#include "support.h"

#include <gsl/gsl_errno.h>
#include <stdlib.h>
#include <string.h>

#include "fuelreach/review.h"
#include "review/generate_logs.h"

static const char SHEET[] = "examples/tern-direct.yaml";
enum { PATH_MAX_HERE = 128 };

static fr_sheet *open_sheet(void) {
    const fr_sheet_options options = {0};
    fr_report report = FR_REPORT_EMPTY;
    fr_sheet *sheet = NULL;
    gsl_set_error_handler_off();
    assert_int_equal(fr_sheet_open(SHEET, &options, &report, &sheet), FR_OK);
    fr_report_close(&report);
    return sheet;
}

static void log_path(size_t index, char path[PATH_MAX_HERE]) {
    snprintf(path, PATH_MAX_HERE, "examples/logs/%s", generated_log_name(index));
}

static char *read_whole(const char *path, size_t *length) {
    FILE *in = fopen(path, "rb");
    assert_non_null(in);
    char *text = NULL;
    size_t room = 0;
    const ssize_t got = getdelim(&text, &room, '\0', in);
    fclose(in);
    assert_true(got > 0);
    *length = (size_t)got;
    return text;
}

static void write_anew(const char *path, const char *text, size_t length) {
    FILE *out = fopen(path, "wb");
    assert_non_null(out);
    assert_int_equal(fwrite(text, 1, length, out), length);
    assert_int_equal(fclose(out), 0);
}

static void the_logs_are_what_the_generator_makes(void **unused) {
    (void)unused;
    fr_sheet *sheet = open_sheet();
    const char *anew = getenv("FR_WRITE_EXAMPLES");
    for (size_t i = 0; i < GENERATED_LOGS; i++) {
        char path[PATH_MAX_HERE];
        char *made = NULL;
        size_t made_length = 0;
        size_t length;
        FILE *out = open_memstream(&made, &made_length);
        generate_log(sheet, i, out);
        fclose(out);
        log_path(i, path);
        if (anew != NULL && strcmp(anew, "1") == 0)
            write_anew(path, made, made_length);
        char *text = read_whole(path, &length);
        if (length != made_length || memcmp(text, made, length) != 0)
            fail_msg("%s is not what generate_logs.c makes; FR_WRITE_EXAMPLES=1 writes it", path);
        free(text);
        free(made);
    }
    fr_sheet_close(sheet);
}

/* Reviews the first `logs` logs together. */
static fr_review *review_logs(fr_sheet *sheet, size_t logs, const fr_review_result **result) {
    const fr_review_options options = {.log_blend = NAN, .confidence = 0.95};
    fr_report report = FR_REPORT_EMPTY;
    fr_review *review = fr_review_open(sheet, &options);
    assert_non_null(review);
    for (size_t i = 0; i < logs; i++) {
        char path[PATH_MAX_HERE];
        log_path(i, path);
        FILE *in = fopen(path, "rb");
        assert_non_null(in);
        assert_int_equal(fr_review_add_log(review, path, in, &report), FR_OK);
        fclose(in);
    }
    assert_int_equal(fr_review_finish(review, &report, result), FR_OK);
    assert_int_equal(fr_report_errors(&report), 0);
    fr_report_close(&report);
    return review;
}

static void assert_covers(const fr_review_result *result, fr_factor factor, double truth) {
    const fr_review_factor *found = &result->factors[factor];
    print_message("%s: %.4f, %.4f to %.4f; true %.4f\n", fr_factor_name(factor), found->value,
                  found->low, found->high, truth);
    assert_true(found->present);
    assert_true(found->low <= truth && truth <= found->high);
}

static void the_first_log_clears_the_next_step(void **unused) {
    (void)unused;
    const fr_review_result *result;
    fr_sheet *sheet = open_sheet();
    fr_review *review = review_logs(sheet, 1, &result);
    assert_int_equal(result->pulls_used, 1);
    assert_within(result->most_ethanol_seen, generated_log_ethanol(0), 0.003);
    assert_within(result->next[0].ethanol, 0.30, 1e-12);
    assert_true(result->next[0].chance_holds > 0.95);
    assert_true(result->factors[FR_FACTOR_BSFC].told);
    assert_false(result->factors[FR_FACTOR_HIGH_PRESSURE_PUMP].told);
    assert_true(result->factors[FR_FACTOR_HIGH_PRESSURE_PUMP].lower_bound);
    assert_true(result->factors[FR_FACTOR_HIGH_PRESSURE_PUMP].at_least < GENERATED_HIGH);
    assert_covers(result, FR_FACTOR_BSFC, GENERATED_BSFC);
    fr_review_close(review);
    fr_sheet_close(sheet);
}

static void the_last_log_shows_the_high_pressure_pump_giving_way(void **unused) {
    (void)unused;
    const fr_review_result *result;
    fr_sheet *sheet = open_sheet();
    fr_review *review = review_logs(sheet, GENERATED_LOGS, &result);
    assert_int_equal(result->pulls_used, GENERATED_LOGS);
    assert_true(result->factors[FR_FACTOR_HIGH_PRESSURE_PUMP].told);
    assert_covers(result, FR_FACTOR_BSFC, GENERATED_BSFC);
    assert_covers(result, FR_FACTOR_DIRECT_INJECTOR, GENERATED_DIRECT);
    assert_covers(result, FR_FACTOR_HIGH_PRESSURE_PUMP, GENERATED_HIGH);
    bool said = false;
    for (size_t i = 0; i < result->channel_count; i++)
        said = said || (result->channels[i].channel == FR_CHANNEL_RAIL_PRESSURE &&
                        strstr(result->channels[i].suggests, "not held") != NULL);
    assert_true(said);
    assert_int_equal(result->next_count, 1); /* E85 */
    assert_true(result->next[0].chance_holds < 0.05);
    assert_int_equal(result->next[0].weakest, FR_STAGE_HIGH_PRESSURE_PUMP);
    assert_true(result->clear_to_ethanol < 0.66);
    fr_review_close(review);
    fr_sheet_close(sheet);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_logs_are_what_the_generator_makes),
        cmocka_unit_test(the_first_log_clears_the_next_step),
        cmocka_unit_test(the_last_log_shows_the_high_pressure_pump_giving_way),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
