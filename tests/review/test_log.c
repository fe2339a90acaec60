/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The log reader: every form that loggers write, and what it refuses. */
#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fuelreach/review.h"
#include "review/log_cell.h"

enum { ROWS_MAX = 64 };

typedef struct read_log {
    fr_status status;
    fr_log_columns columns;
    fr_log_count count;
    fr_report report;
    fr_log_row rows[ROWS_MAX];
    size_t row_count;
} read_log;

static bool keep(void *user, const fr_log_columns *columns, const fr_log_row *row) {
    read_log *log = user;
    (void)columns;
    if (log->row_count < ROWS_MAX)
        log->rows[log->row_count++] = *row;
    return true;
}

static const double AIR = 101325.0;

static fr_log_section map_of_columns(void) {
    fr_log_section map = {.blend = NAN};
    map.channels[FR_CHANNEL_ENGINE_SPEED].column = "Engine speed";
    map.channels[FR_CHANNEL_ETHANOL].column = "Ethanol";
    map.channels[FR_CHANNEL_FEED_PRESSURE].column = "Fuel pressure";
    map.channels[FR_CHANNEL_MANIFOLD_PRESSURE].column = "Boost";
    map.channels[FR_CHANNEL_MANIFOLD_PRESSURE].absolute = true;
    return map;
}

static void read_text(const char *text, size_t length, const fr_log_section *map, read_log *log) {
    memset(log, 0, sizeof *log);
    FILE *in = fmemopen((void *)(uintptr_t)text, length, "r");
    assert_non_null(in);
    const fr_log_file file = {"a.csv", in, map, AIR};
    log->status = fr_log_read(&file, keep, log, &log->report, &log->columns, &log->count);
    fclose(in);
}

static void read_string(const char *text, read_log *log) {
    const fr_log_section map = map_of_columns();
    read_text(text, strlen(text), &map, log);
}

static double value(const read_log *log, size_t row, fr_channel channel) {
    assert_true(row < log->row_count);
    return log->rows[row].value[channel];
}

static bool said(const read_log *log, size_t line, const char *part) {
    for (size_t i = 0; i < log->report.count; i++)
        if (log->report.remarks[i].line == line &&
            strstr(log->report.remarks[i].message, part) != NULL)
            return true;
    return false;
}

static size_t column_of(const read_log *log, size_t line) {
    for (size_t i = 0; i < log->report.count; i++)
        if (log->report.remarks[i].line == line)
            return log->report.remarks[i].column;
    return 0;
}

/* Every form gives the same two rows: 3100 rpm, 31 %, 4.5 bar; 3150.5 rpm, no ethanol, 4.25 bar. */
static void assert_the_two_rows(const read_log *log) {
    assert_int_equal(log->status, FR_OK);
    assert_int_equal(log->row_count, 2);
    assert_close(value(log, 0, FR_CHANNEL_ENGINE_SPEED), 3100.0, 1e-14);
    assert_close(value(log, 0, FR_CHANNEL_ETHANOL), 0.31, 1e-14);
    assert_close(value(log, 0, FR_CHANNEL_FEED_PRESSURE), 4.5e5, 1e-14);
    assert_close(value(log, 1, FR_CHANNEL_ENGINE_SPEED), 3150.5, 1e-14);
    assert_true(isnan(value(log, 1, FR_CHANNEL_ETHANOL)));
    assert_close(value(log, 1, FR_CHANNEL_FEED_PRESSURE), 4.25e5, 1e-14);
    assert_int_equal(log->count.bad_cells, 0);
}

static void every_form_of_csv_reads_alike(void **unused) {
    (void)unused;
    const char *const forms[] = {
        "Engine speed,Ethanol,Fuel pressure\n3100,31,4.5\n3150.5,,4.25\n",
        "Engine speed,Ethanol,Fuel pressure\r\n3100,31,4.5\r\n3150.5,,4.25\r\n",
        ("\xEF\xBB\xBF" "Engine speed,Ethanol,Fuel pressure\n3100,31,4.5\n3150.5,,4.25\n"),
        "Engine speed;Ethanol;Fuel pressure\n3100;31;4,5\n3150,5;;4,25\n",
        "Engine speed\tEthanol\tFuel pressure\n3100\t31\t4.5\n3150.5\t\t4.25\n",
        "\"Engine speed\",\"Ethanol\",\"Fuel pressure\"\n\"3100\",\"31\",\"4,5\"\n\"3150,5\",\"\",\"4.25\"\n",
        "Time, engine SPEED , Ethanol , Fuel pressure\n0.1, 3100 , 31 , 4.5\n0.2, 3150.5 , - , 4.25\n",
        "A logger's notes\nof two lines, with a comma\nEngine speed,Ethanol,Fuel pressure\n3100,31,4.5\n\n3150.5,nan,4.25",
        "Engine speed (rpm),Ethanol [%],Fuel pressure (kPa)\n3100,31,450\n3150.5,,425\n",
        "Engine speed,Ethanol,Fuel pressure\nrpm,%,kPa\n3100,31,450\n3150.5,,425\n",
        "Engine speed,Ethanol,Fuel pressure\n\"rpm\",\"%\",\"mbar\"\n3.1e3,3.1E+1,4500\n31505e-1,,4250\n",
        "Engine speed,\"A \"\"quoted\"\", long\ntitle\",Ethanol,Fuel pressure\n3100,1,31,4.5\n3150.5,2,,4.25\n",
    };
    for (size_t i = 0; i < sizeof forms / sizeof *forms; i++) {
        read_log log;
        print_message("form %zu\n", i);
        read_string(forms[i], &log);
        assert_the_two_rows(&log);
        fr_report_close(&log.report);
    }
}

static void the_sheets_unit_beats_the_logs(void **unused) {
    (void)unused;
    read_log log;
    fr_log_section map = map_of_columns();
    map.channels[FR_CHANNEL_FEED_PRESSURE].unit = "psi";
    const char *text = "Engine speed,Fuel pressure (bar)\nrpm,kPa\n3000,65.2669734646\n";
    read_text(text, strlen(text), &map, &log);
    /* 3 bar is 43.511321 psi: findings of GNU units */
    assert_close(value(&log, 0, FR_CHANNEL_FEED_PRESSURE), 4.5e5, 1e-6);
    fr_report_close(&log.report);
}

static void gauge_and_absolute_are_told_apart(void **unused) {
    (void)unused;
    read_log log;
    fr_log_section map = map_of_columns();
    const char *text = "Engine speed,Fuel pressure,Boost (kPa)\n3000,4.5,150\n";
    map.channels[FR_CHANNEL_MANIFOLD_PRESSURE].absolute = false;
    map.channels[FR_CHANNEL_FEED_PRESSURE].absolute = true;
    read_text(text, strlen(text), &map, &log);
    assert_close(value(&log, 0, FR_CHANNEL_MANIFOLD_PRESSURE), 150e3 + AIR, 1e-14);
    assert_close(value(&log, 0, FR_CHANNEL_FEED_PRESSURE), 4.5e5 - AIR, 1e-14);
    fr_report_close(&log.report);
    map.channels[FR_CHANNEL_MANIFOLD_PRESSURE].absolute = true;
    map.channels[FR_CHANNEL_FEED_PRESSURE].absolute = false;
    read_text(text, strlen(text), &map, &log);
    assert_close(value(&log, 0, FR_CHANNEL_MANIFOLD_PRESSURE), 150e3, 1e-14);
    assert_close(value(&log, 0, FR_CHANNEL_FEED_PRESSURE), 4.5e5, 1e-14);
    fr_report_close(&log.report);
}

static void a_bad_cell_is_named_left_out_and_counted(void **unused) {
    (void)unused;
    read_log log;
    read_string("Engine speed,Ethanol,Fuel pressure\n"
                "3000,30,4.5\n3100,3O,4.5\n3200,31,4.5 bar\n3300,31,inf\n0x10,31,4.5\n",
                &log);
    assert_int_equal(log.status, FR_OK);
    assert_int_equal(log.count.rows, 5);
    assert_int_equal(log.count.bad_cells, 4);
    assert_int_equal(log.count.bad_rows, 4);
    assert_true(said(&log, 3, "'3O' in column 'Ethanol' (the 2. cell)"));
    assert_true(said(&log, 4, "'4.5 bar' in column 'Fuel pressure' (the 3. cell)"));
    assert_true(said(&log, 6, "'0x10' in column 'Engine speed'"));
    assert_true(isnan(value(&log, 1, FR_CHANNEL_ETHANOL)));
    assert_close(value(&log, 1, FR_CHANNEL_FEED_PRESSURE), 4.5e5, 1e-14);
    assert_int_equal(column_of(&log, 3), 6);
    fr_report_close(&log.report);
}

static void many_bad_cells_are_counted_not_listed(void **unused) {
    (void)unused;
    read_log log;
    char text[4096] = "Engine speed,Ethanol\n";
    for (int i = 0; i < 50; i++)
        strcat(text, "3000,x\n");
    read_string(text, &log);
    assert_int_equal(log.count.bad_cells, 50);
    assert_true(log.report.count < 12);
    assert_true(said(&log, 0, "42 more cells"));
    fr_report_close(&log.report);
}

static void no_engine_speed_is_refused_with_what_is_there(void **unused) {
    (void)unused;
    read_log log;
    read_string("Speed of engine,Fuel\n1,2\n", &log);
    assert_int_equal(log.status, FR_BAD_INPUT);
    assert_true(said(&log, 1, "'Speed of engine', 'Fuel'"));
    fr_report_close(&log.report);
    read_string("\n", &log);
    assert_int_equal(log.status, FR_BAD_INPUT);
    fr_report_close(&log.report);
}

static void what_is_no_text_is_refused(void **unused) {
    (void)unused;
    read_log log;
    const fr_log_section map = map_of_columns();
    const char utf16[] = "E\0n\0g\0i\0n\0e\0\n";
    read_text(utf16, sizeof utf16 - 1, &map, &log);
    assert_int_equal(log.status, FR_BAD_INPUT);
    assert_true(said(&log, 1, "zero byte"));
    fr_report_close(&log.report);
    const size_t size = 100000;
    char *line = malloc(size);
    assert_non_null(line);
    memset(line, 'a', size);
    read_text(line, size, &map, &log);
    assert_int_equal(log.status, FR_BAD_INPUT);
    assert_true(said(&log, 1, "65,536"));
    fr_report_close(&log.report);
    free(line);
}

static void a_mapped_column_that_is_missing_is_said(void **unused) {
    (void)unused;
    read_log log;
    read_string("Engine speed,Ethanol\n3000,30\n", &log);
    assert_true(said(&log, 1, "no column 'Fuel pressure'"));
    assert_false(log.columns.found[FR_CHANNEL_FEED_PRESSURE]);
    fr_report_close(&log.report);
    read_string("Engine speed,Fuel pressure (V)\n3000,2.5\n", &log);
    assert_true(said(&log, 1, "is in V"));
    assert_false(log.columns.found[FR_CHANNEL_FEED_PRESSURE]);
    fr_report_close(&log.report);
}

static void without_a_log_section_common_names_are_taken(void **unused) {
    (void)unused;
    read_log log;
    const fr_log_section map = {.blend = NAN};
    const char *text = "Time (s),RPM,Fuel Pressure (psi),AFR,Battery voltage,fuel_flow (kg/h)\n"
                       "0.02,3000,43.511321,11.76,13.7,36\n";
    read_text(text, strlen(text), &map, &log);
    assert_int_equal(log.status, FR_OK);
    assert_close(value(&log, 0, FR_CHANNEL_ENGINE_SPEED), 3000.0, 0.0);
    assert_close(value(&log, 0, FR_CHANNEL_FEED_PRESSURE), 3e5, 1e-7);
    assert_close(value(&log, 0, FR_CHANNEL_LAMBDA), 0.8, 1e-12);
    assert_close(value(&log, 0, FR_CHANNEL_SUPPLY_VOLTAGE), 13.7, 1e-14);
    assert_close(value(&log, 0, FR_CHANNEL_FUEL_FLOW), 0.01, 1e-12);
    assert_true(log.columns.flow_is_mass);
    fr_report_close(&log.report);
}

static void one_quote_too_many_does_not_swallow_the_log(void **unused) {
    (void)unused;
    read_log log;
    read_string("Engine speed,Ethanol,Fuel pressure\n"
                "3000,30,\"4.5\n3100,31,4.5\n3200,31,4.5\n3300,31,4.5\n3400,31,4.5\n3500,31,4.5\n",
                &log);
    assert_int_equal(log.status, FR_OK);
    assert_true(log.count.rows >= 5);
    assert_close(value(&log, log.row_count - 1, FR_CHANNEL_ENGINE_SPEED), 3500.0, 0.0);
    fr_report_close(&log.report);
}

/* Against the C library, which rounds right: same bits. */
static void numbers_are_rounded_as_the_library_does(void **unused) {
    (void)unused;
    uint64_t state = 88172645463325252u;
    for (int i = 0; i < 200000; i++) {
        char text[64];
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        const int digits = (int)(state % 20);
        const double mantissa = (double)(int64_t)(state >> 11) / 1099511627776.0;
        snprintf(text, sizeof text, i % 3 == 0 ? "%.*e" : "%.*f", digits, i % 2 ? mantissa : -mantissa);
        double ours = 0.0;
        assert_int_equal(fr_log_number(text, strlen(text), false, &ours), FR_LOG_NUMBER);
        if (ours != strtod(text, NULL))
            fail_msg("%s: %.17g, library %.17g", text, ours, strtod(text, NULL));
    }
}

static void what_is_no_number_is_told_from_nothing(void **unused) {
    (void)unused;
    const struct {
        const char *text;
        fr_log_reading reading;
    } cases[] = {
        {"", FR_LOG_BLANK}, {"-", FR_LOG_BLANK}, {"NaN", FR_LOG_BLANK}, {"n/a", FR_LOG_BLANK},
        {".", FR_LOG_BAD}, {"+", FR_LOG_BAD}, {"1e", FR_LOG_BAD}, {"1e+", FR_LOG_BAD},
        {"1.2.3", FR_LOG_BAD}, {"1,2", FR_LOG_BAD}, {"inf", FR_LOG_BAD}, {"1e999", FR_LOG_BAD},
        {"0x1", FR_LOG_BAD}, {"12a", FR_LOG_BAD}, {"--1", FR_LOG_BAD}, {"5.", FR_LOG_NUMBER},
        {".5", FR_LOG_NUMBER}, {"+7", FR_LOG_NUMBER}, {"-0.0", FR_LOG_NUMBER},
        {"00012", FR_LOG_NUMBER}, {"123456789012345678901234567890", FR_LOG_NUMBER},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        double number = 0.0;
        if (fr_log_number(cases[i].text, strlen(cases[i].text), false, &number) !=
            cases[i].reading)
            fail_msg("'%s' is read wrong", cases[i].text);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_form_of_csv_reads_alike),
        cmocka_unit_test(the_sheets_unit_beats_the_logs),
        cmocka_unit_test(gauge_and_absolute_are_told_apart),
        cmocka_unit_test(a_bad_cell_is_named_left_out_and_counted),
        cmocka_unit_test(many_bad_cells_are_counted_not_listed),
        cmocka_unit_test(no_engine_speed_is_refused_with_what_is_there),
        cmocka_unit_test(what_is_no_text_is_refused),
        cmocka_unit_test(a_mapped_column_that_is_missing_is_said),
        cmocka_unit_test(without_a_log_section_common_names_are_taken),
        cmocka_unit_test(one_quote_too_many_does_not_swallow_the_log),
        cmocka_unit_test(numbers_are_rounded_as_the_library_does),
        cmocka_unit_test(what_is_no_number_is_told_from_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
