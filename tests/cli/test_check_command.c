/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fuelreach check as a person or a script calls it: exit codes, formats, files that are none. */
#include "cli/program.h"

enum { PATH_SIZE = 256 };

/* A build with all that matters said; `%s` is the power. 137 kW holds on it, 391 kW does not. */
#define SHEET(power)                                                                               \
    "name: Plover saloon, test bench\n"                                                            \
    "engine:\n"                                                                                    \
    "  cylinders: 4\n"                                                                             \
    "  displacement: 2.0 L\n"                                                                      \
    "  aspiration: turbo\n"                                                                        \
    "  target_power: " power "\n"                                                                  \
    "  power_at: crank\n"                                                                          \
    "supply:\n"                                                                                    \
    "  lift_pump: 255 L/h\n"                                                                       \
    "  port_injection: {injector: 750 cc/min}\n"

static const char holds[] = SHEET("137 kW");
static const char runs_short[] = SHEET("391 kW");
static const char unusable[] = SHEET("137");

static char *folder;
static char good_path[PATH_SIZE], short_path[PATH_SIZE], bad_path[PATH_SIZE];

static int lay_out_sheets(void **state) {
    (void)state;
    folder = program_folder();
    program_write_file(program_path(good_path, PATH_SIZE, folder, "good.yaml"), holds);
    program_write_file(program_path(short_path, PATH_SIZE, folder, "short.yaml"), runs_short);
    program_write_file(program_path(bad_path, PATH_SIZE, folder, "bad.yaml"), unusable);
    return 0;
}

static int clear_away(void **state) {
    (void)state;
    program_folder_remove(folder);
    return 0;
}

static size_t count_of(const char *text, char wanted) {
    size_t count = 0;
    for (; *text != '\0'; text++)
        count += *text == wanted;
    return count;
}

static void the_exit_code_is_the_verdict(void **state) {
    (void)state;
    program_run good = run_fuelreach("check", good_path);
    program_run bad = run_fuelreach("check", bad_path);
    program_run lacking = run_fuelreach("check", short_path);

    assert_code(&good, 0);
    assert_contains(good.out, "HOLDS");
    assert_string_equal(good.err, "");
    assert_code(&lacking, 1);
    assert_contains(lacking.out, "RUNS SHORT");
    assert_string_equal(lacking.err, "");
    assert_code(&bad, 2);
    assert_string_equal(bad.out, "");
    assert_contains(bad.err, "bad.yaml:6:17: ");
    program_forget(&good);
    program_forget(&bad);
    program_forget(&lacking);
}

static void the_exit_code_is_that_of_the_worst_sheet(void **state) {
    (void)state;
    program_run two = run_fuelreach("check", short_path, good_path);
    program_run three = run_fuelreach("check", bad_path, short_path, good_path);
    program_run missing = run_fuelreach("check", "no/such/sheet.yaml", bad_path, good_path);

    assert_code(&two, 1);
    assert_code(&three, 2);
    assert_contains(three.out, "HOLDS");
    assert_contains(three.out, "RUNS SHORT");
    assert_code(&missing, 3);
    assert_contains(missing.err, "no/such/sheet.yaml");
    assert_contains(missing.out, "HOLDS");
    program_forget(&two);
    program_forget(&three);
    program_forget(&missing);
}

static void json_is_one_object_a_line(void **state) {
    (void)state;
    program_run one = run_fuelreach("check", "--format", "json", good_path);
    program_run two = run_fuelreach("check", "--format=json", good_path, bad_path, short_path);

    assert_code(&one, 0);
    assert_int_equal(count_of(one.out, '\n'), 1);
    assert_int_equal(strncmp(one.out, "{\"fuelreach\":1,", 15), 0);
    assert_code(&two, 2);
    assert_int_equal(count_of(two.out, '\n'), 2);
    assert_int_equal(strncmp(two.out, one.out, strlen(one.out)), 0);
    assert_contains(strchr(two.out, '\n'), "\"verdict\":\"short\"");
    program_forget(&one);
    program_forget(&two);
}

static void csv_has_one_header_and_a_row_a_point(void **state) {
    (void)state;
    program_run one = run_fuelreach("check", "--format", "csv", "-b", "E37", good_path);
    program_run two = run_fuelreach("check", "--format", "csv", "-b", "E37", good_path, short_path);
    size_t rows = count_of(one.out, '\n') - 1;

    assert_code(&one, 0);
    assert_in_range(rows, 10, 60);
    assert_int_equal(count_of(two.out, '\n'), 1 + 2 * rows);
    assert_contains(one.out, "rpm");
    assert_contains(one.out, "E37");
    program_forget(&one);
    program_forget(&two);
}

static void standard_input_is_read(void **state) {
    (void)state;
    program_files files = {.input = holds};
    program_run piped = run_fuelreach_with(&files, "check", "-", "--format", "csv");
    program_run filed = run_fuelreach("check", good_path, "--format", "csv");

    assert_code(&piped, 0);
    /* The first column is the sheet's name; the first row of figures is the same behind it. */
    const char *piped_row = strchr(strchr(piped.out, '\n'), ',');
    const char *filed_row = strchr(strchr(filed.out, '\n'), ',');
    assert_memory_equal(piped_row, filed_row, strcspn(filed_row, "\n"));
    assert_int_equal(count_of(piped.out, '\n'), count_of(filed.out, '\n'));
    program_forget(&piped);
    program_forget(&filed);
}

static void a_setting_changes_the_build(void **state) {
    (void)state;
    program_run run = run_fuelreach("check", good_path, "--set", "engine.target_power=391 kW");
    program_run curve = run_fuelreach("check", short_path, "-s", "engine.target_power=391 kW", "-s",
                                      "engine.target_power={E10: 137 kW, E85: 139 kW}");
    program_run slip = run_fuelreach("check", good_path, "--set", "engine.target_pwer=391 kW");

    assert_code(&run, 1);
    assert_code(&curve, 0);
    assert_code(&slip, 2);
    assert_contains(slip.err, "target_power");
    program_forget(&run);
    program_forget(&curve);
    program_forget(&slip);
}

static void units_are_those_asked_for(void **state) {
    (void)state;
    program_run metric = run_fuelreach("check", good_path);
    program_run us = run_fuelreach("check", good_path, "--units", "us");

    assert_contains(metric.out, "137 kW");
    assert_contains(us.out, "184 hp");
    assert_null(strstr(us.out, " kW"));
    program_forget(&metric);
    program_forget(&us);
}

static void blends_asked_for_take_the_sheets_place(void **state) {
    (void)state;
    program_run run = run_fuelreach("check", good_path, "-bE37", "--blend=e62.5");

    assert_contains(run.out, "E37");
    assert_contains(run.out, "E62.5");
    assert_null(strstr(run.out, "  E10 "));
    program_forget(&run);
}

static void detail_adds_to_the_report(void **state) {
    (void)state;
    program_run plain = run_fuelreach("check", good_path);
    program_run detail = run_fuelreach("check", good_path, "--detail");

    assert_true(strlen(detail.out) > strlen(plain.out) + 500);
    program_forget(&plain);
    program_forget(&detail);
}

/* Not a terminal here, so no escape sequence ever. */
static void no_colour_goes_into_a_file(void **state) {
    (void)state;
    program_run good = run_fuelreach("check", good_path, short_path);
    program_run bad = run_fuelreach("check", bad_path);

    assert_null(strchr(good.out, '\033'));
    assert_null(strchr(bad.err, '\033'));
    program_forget(&good);
    program_forget(&bad);
}

/* script(1) gives the program a terminal. */
static void colour_is_for_terminals_that_want_it(void **state) {
    (void)state;
    char line[2 * PATH_SIZE];
    static const struct {
        const char *environment;
        bool colour;
    } cases[] = {{"TERM=xterm", true}, {"TERM=xterm NO_COLOR=1", false}, {"TERM=dumb", false}};

    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        snprintf(line, sizeof line,
                 "env -u NO_COLOR %s script -qec '%s check %s' /dev/null </dev/null",
                 cases[i].environment, PROGRAM, short_path);
        program_run run = program_run_shell(line);
        assert_code(&run, 1);
        assert_int_equal(strchr(run.out, '\033') != NULL, cases[i].colour);
        program_forget(&run);
    }
}

static void what_is_no_file_is_a_fault_of_the_system(void **state) {
    (void)state;
    program_run directory = run_fuelreach("check", folder);
    /* Memory of the process at address 0: opens, and cannot be read. */
    program_run unreadable = run_fuelreach("check", "/proc/self/mem");

    assert_code(&directory, 3);
    assert_contains(directory.err, folder);
    assert_code(&unreadable, 3);
    assert_contains(unreadable.err, "/proc/self/mem");
    program_forget(&directory);
    program_forget(&unreadable);
}

static void a_full_disk_is_said(void **state) {
    (void)state;
    static const char *const formats[] = {"text", "json", "csv"};
    program_files full = {.out_path = "/dev/full"};

    for (size_t i = 0; i < sizeof formats / sizeof formats[0]; i++) {
        program_run run = run_fuelreach_with(&full, "check", good_path, "--format", formats[i]);
        assert_code(&run, 3);
        assert_contains(run.err, "No space left on device");
        program_forget(&run);
    }
}

static void a_reader_that_went_away_ends_it_quietly(void **state) {
    (void)state;
    static const char *const formats[] = {"text", "json", "csv"};
    program_files gone = {.out_is_pipe_without_reader = true};

    for (size_t i = 0; i < sizeof formats / sizeof formats[0]; i++) {
        program_run run = run_fuelreach_with(&gone, "check", good_path, short_path, good_path,
                                             "--format", formats[i]);
        assert_code(&run, 3);
        assert_string_equal(run.err, "");
        program_forget(&run);
    }
}

static void a_closed_output_is_said(void **state) {
    (void)state;
    program_files closed = {.out_is_closed = true};
    program_run run = run_fuelreach_with(&closed, "check", good_path);

    assert_code(&run, 3);
    assert_contains(run.err, "cannot write the output");
    program_forget(&run);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_exit_code_is_the_verdict),
        cmocka_unit_test(the_exit_code_is_that_of_the_worst_sheet),
        cmocka_unit_test(json_is_one_object_a_line),
        cmocka_unit_test(csv_has_one_header_and_a_row_a_point),
        cmocka_unit_test(standard_input_is_read),
        cmocka_unit_test(a_setting_changes_the_build),
        cmocka_unit_test(units_are_those_asked_for),
        cmocka_unit_test(blends_asked_for_take_the_sheets_place),
        cmocka_unit_test(detail_adds_to_the_report),
        cmocka_unit_test(no_colour_goes_into_a_file),
        cmocka_unit_test(colour_is_for_terminals_that_want_it),
        cmocka_unit_test(what_is_no_file_is_a_fault_of_the_system),
        cmocka_unit_test(a_full_disk_is_said),
        cmocka_unit_test(a_reader_that_went_away_ends_it_quietly),
        cmocka_unit_test(a_closed_output_is_said),
    };
    return cmocka_run_group_tests(tests, lay_out_sheets, clear_away);
}
