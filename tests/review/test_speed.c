/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A log of a million rows: under a second of processor time, memory bounded by a pull. */
#include "review/cases.h"

#include "support.h"

#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <time.h>

enum { BLOCK_ROWS_MAX = 12000, MILLION = 1000000 };
static const double PULL_S = 7.0;
static const double ROAD_S = 53.0;

/* A minute on the road with one pull in it, as text; how many rows in `*rows`. */
static char *make_minute(const synthetic *pull, size_t *rows, size_t *length) {
    fr_log_row *made = malloc(BLOCK_ROWS_MAX * sizeof *made);
    char *text = NULL;
    assert_non_null(made);
    FILE *out = open_memstream(&text, length);
    *rows = synthetic_idle(pull, made, BLOCK_ROWS_MAX, ROAD_S, 0.0);
    synthetic_write(pull, made, *rows, out);
    const size_t more = synthetic_rows(pull, made, BLOCK_ROWS_MAX, 1, ROAD_S);
    synthetic_write(pull, made, more, out);
    *rows += more;
    fclose(out);
    free(made);
    return text;
}

static FILE *make_log(const synthetic *pull, size_t *rows) {
    size_t length;
    size_t minute_rows;
    char *minute = make_minute(pull, &minute_rows, &length);
    FILE *log = tmpfile();
    assert_non_null(log);
    synthetic_header(pull, log);
    for (*rows = 0; *rows < MILLION; *rows += minute_rows)
        assert_int_equal(fwrite(minute, 1, length, log), length);
    free(minute);
    rewind(log);
    return log;
}

static double peak_kib(void) {
    struct rusage usage;
    assert_int_equal(getrusage(RUSAGE_SELF, &usage), 0);
    return (double)usage.ru_maxrss;
}

static double processor_s(void) {
    struct timespec now;
    assert_int_equal(clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now), 0);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static void a_million_rows_take_under_a_second(void **unused) {
    (void)unused;
    const fr_review_options options = {.log_blend = NAN, .confidence = 0.95};
    fr_report report = FR_REPORT_EMPTY;
    const fr_review_result *result;
    size_t rows;
    fr_sheet *sheet = case_open(CASE_PORT_SHEET);
    synthetic pull = synthetic_pull(fr_sheet_build(sheet), 0.3);
    pull.seconds = PULL_S;
    FILE *log = make_log(&pull, &rows);
    const double memory = peak_kib();
    const double start = processor_s();
    fr_review *review = fr_review_open(sheet, &options);
    assert_non_null(review);
    assert_int_equal(fr_review_add_log(review, "million.csv", log, &report), FR_OK);
    const double read = processor_s();
    assert_int_equal(fr_review_finish(review, &report, &result), FR_OK);
    const double end = processor_s();
    print_message("%zu rows: read in %.3f s, judged in %.3f s, %.1f MiB more at the peak\n",
                  result->rows_read, read - start, end - read, (peak_kib() - memory) / 1024.0);
    assert_true(result->rows_read >= MILLION);
    assert_int_equal(result->pulls_used, FR_REVIEW_PULLS_MAX);
#if !defined(__SANITIZE_ADDRESS__)
    assert_true(end - start < 1.0);
    const double MOST_KIB = 24 * 1024; /* room for one pull, the block kernel, the rest */
    assert_true(peak_kib() - memory < MOST_KIB);
#endif
    fr_review_close(review);
    fclose(log);
    fr_report_close(&report);
    fr_sheet_close(sheet);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_million_rows_take_under_a_second),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
