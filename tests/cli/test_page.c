/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The commands page, chart and explain: what they write, and that a file is whole or the old one.
 */
#define _XOPEN_SOURCE 700

#include <sys/stat.h>
#include <unistd.h>

#include "cli/program.h"

enum { PATH_SIZE = 256, LINE_SIZE = 2048 };

static const char DIRECT[] = "examples/tern-direct.yaml";
static const char RETURN[] = "examples/tern-return.yaml";

static void assert_file_holds(const char *path, const char *text) {
    char *found = support_read_file(path, NULL);
    assert_non_null(found);
    assert_string_equal(found, text);
    free(found);
}

static program_run shell(const char *format, const char *folder) {
    char line[LINE_SIZE];
    const int length = snprintf(line, sizeof line, format, folder);
    assert_in_range(length, 1, sizeof line - 1);
    return program_run_shell(line);
}

static size_t count(const char *text, const char *what) {
    size_t found = 0;
    for (const char *at = strstr(text, what); at != NULL; at = strstr(at + 1, what)) {
        found++;
    }
    return found;
}

/* ---- what is written ---- */

static void a_page_tells_in_the_order_in_which_people_read(void **state) {
    static const char *const ORDER[] = {
        "<h1>",
        "RUNS SHORT",
        "What to do",
        ">Part</th>",
        "Blends",
        "Figure 1.",
        "Figure 2.",
        "id=\"odds-t\"",
        "Figure 3. Rail pressure",
        "Figure 4.",
        "id=\"assumed\"",
        "Cautions",
        "on the other blends",
        "as tables",
        "The working on E85",
        "The sheet",
    };
    (void)state;
    program_run run = run_fuelreach("page", DIRECT);
    assert_code(&run, 1);
    const char *at = run.out;
    for (size_t i = 0; i < sizeof ORDER / sizeof *ORDER; i++) {
        at = strstr(at, ORDER[i]);
        if (at == NULL) {
            fail_msg("'%s' is missing, or too early", ORDER[i]);
            break;
        }
    }
    program_forget(&run);
}

static void a_page_of_a_build_that_is_clear_asks_for_nothing(void **state) {
    (void)state;
    program_run run = run_fuelreach("page", RETURN);
    assert_code(&run, 0);
    assert_null(strstr(run.out, "What to do"));
    assert_contains(run.out, "Figure 3. How long the injectors are open");
    program_forget(&run);
}

/* The part on the page is the first choice of `size`, from the same shelf. */
static void the_part_on_the_page_is_what_size_chooses(void **state) {
    (void)state;
    program_run size = program_run_shell(
        "$BUILD/fuelreach size examples/tern-natural.yaml --format json |"
        " /usr/bin/python3 -c 'import json,sys; c=json.load(sys.stdin)[\"choices\"][0];"
        "print(\", \".join(i[\"part\"] for i in c[\"items\"] if i[\"part\"] and not i[\"owned\"]),"
        " \"%.2f\" % c[\"price\"])'");
    assert_code(&size, 0);
    char part[PATH_SIZE], price[PATH_SIZE];
    assert_int_equal(sscanf(size.out, "%255[^ ,] %255s", part, price), 2);
    program_run page = run_fuelreach("page", "examples/tern-natural.yaml");
    assert_contains(page.out, part);
    assert_contains(page.out, price);
    program_forget(&page);
    program_forget(&size);
}

/* Port injectors that mend the high-pressure pump stand in its row: they need a word. */
static void a_part_of_another_kind_says_what_it_is(void **state) {
    (void)state;
    program_run run = run_fuelreach("page", DIRECT);
    assert_contains(run.out, " x port-210 instead, injectors in the ports beside the direct ones<");
    program_forget(&run);
}

static void a_log_brings_its_figures(void **state) {
    (void)state;
    program_run without = run_fuelreach("page", DIRECT);
    program_run with = run_fuelreach("page", DIRECT, "--log", "examples/logs/tern-e10.csv", "--log",
                                     "examples/logs/tern-e60.csv");
    assert_null(strstr(without.out, "The log against the prediction"));
    assert_contains(with.out, "The log against the prediction");
    assert_contains(with.out, "Figure 7. Rail pressure, logged and predicted");
    assert_contains(with.out, "log, E59");
    assert_true(count(with.out, "<svg") > count(without.out, "<svg") + 2);
    program_forget(&with);
    program_forget(&without);
}

static void a_log_that_is_not_there_is_said_and_no_page_written(void **state) {
    (void)state;
    char *folder = program_folder();
    program_run run = shell("$BUILD/fuelreach page examples/tern-direct.yaml --log %1$s/none.csv "
                            "-o %1$s/page.html; code=$?; ls -A %1$s; exit $code",
                            folder);
    assert_code(&run, 3);
    assert_contains(run.err, "none.csv");
    assert_string_equal(run.out, "");
    program_forget(&run);
    program_folder_remove(folder);
}

static void every_chart_is_a_drawing_of_its_own(void **state) {
    static const char *const KINDS[] = {"capacity", "reach", "odds", "duty", "rail", "pump"};
    (void)state;
    for (size_t i = 0; i < sizeof KINDS / sizeof *KINDS; i++) {
        program_run run = run_fuelreach("chart", DIRECT, "--kind", KINDS[i]);
        assert_code(&run, 0);
        assert_int_equal(strncmp(run.out, "<svg xmlns=\"http://www.w3.org/2000/svg\"", 38), 0);
        assert_contains(run.out, "<title id=");
        assert_contains(run.out, "<desc id=");
        assert_contains(run.out, "prefers-color-scheme:dark");
        assert_true(count(run.out, "class=\"line") >= 2);
        assert_null(strstr(run.out, "nan"));
        assert_null(strstr(run.out, "inf\""));
        program_forget(&run);
    }
}

static void a_chart_that_a_build_has_not_got_is_refused(void **state) {
    (void)state;
    program_run run = run_fuelreach("chart", RETURN, "--kind", "rail");
    assert_code(&run, 2);
    assert_contains(run.err, "'rail'");
    assert_string_equal(run.out, "");
    program_forget(&run);
}

/* ---- whole or not at all ---- */

static void standard_output_that_is_full_is_an_error(void **state) {
    const program_files full = {.out_path = "/dev/full"};
    static const char *const WORDS[][3] = {
        {"page", DIRECT, NULL}, {"chart", DIRECT, NULL}, {"explain", DIRECT, NULL}};
    (void)state;
    for (size_t i = 0; i < sizeof WORDS / sizeof *WORDS; i++) {
        program_run run = run_fuelreach_with(&full, WORDS[i][0], WORDS[i][1]);
        assert_code(&run, 3);
        assert_contains(run.err, "No space left on device");
        program_forget(&run);
    }
}

/* A disk of 16 kB: the page does not fit beside the old one. */
static void a_full_disk_leaves_the_old_page(void **state) {
    (void)state;
    char *folder = program_folder();
    program_run mounted = shell("mount -t tmpfs -o size=16k tmpfs %s", folder);
    const bool mounts = mounted.code == 0;
    program_forget(&mounted);
    if (!mounts) {
        program_folder_remove(folder);
        print_message("skipped: may not mount a small disk here\n");
        skip();
    }
    char path[PATH_SIZE];
    program_write_file(program_path(path, sizeof path, folder, "page.html"), "the old page\n");
    program_run run = run_fuelreach("page", RETURN, "-o", path);
    program_run left = shell("ls -A %s", folder);
    char *found = support_read_file(path, NULL);
    program_run unmounted = shell("umount %s", folder);
    assert_code(&unmounted, 0);
    assert_code(&run, 3);
    assert_contains(run.err, "No space left on device");
    assert_string_equal(left.out, "page.html\n");
    assert_non_null(found);
    assert_string_equal(found, "the old page\n");
    free(found);
    program_forget(&unmounted);
    program_forget(&left);
    program_forget(&run);
    program_folder_remove(folder);
}

/* Root writes everywhere: as root, the folder is one of another user's that only may be read. */
static void a_read_only_folder_leaves_the_old_page(void **state) {
    (void)state;
    char path[PATH_SIZE], *folder = program_folder();
    program_write_file(program_path(path, sizeof path, folder, "page.html"), "the old page\n");
    assert_int_equal(chmod(folder, 0555), 0);
    const char *line =
        geteuid() == 0
            ? "chmod 444 %1$s/page.html; mount --bind %1$s %1$s && mount -o remount,ro,bind %1$s "
              "|| exit 77; $BUILD/fuelreach page examples/tern-return.yaml -o %1$s/page.html; "
              "code=$?; umount %1$s; exit $code"
            : "$BUILD/fuelreach page examples/tern-return.yaml -o %1$s/page.html";
    program_run run = shell(line, folder);
    assert_int_equal(chmod(folder, 0755), 0);
    if (run.code == 77) {
        program_forget(&run);
        program_folder_remove(folder);
        print_message("skipped: root, and may not mount\n");
        skip();
    }
    assert_code(&run, 3);
    assert_contains(run.err, geteuid() == 0 ? "Read-only file system" : "Permission denied");
    assert_file_holds(path, "the old page\n");
    program_run left = shell("ls -A %s", folder);
    assert_string_equal(left.out, "page.html\n");
    program_forget(&left);
    program_forget(&run);
    program_folder_remove(folder);
}

static void a_page_on_disk_is_the_page_on_standard_output(void **state) {
    (void)state;
    char path[PATH_SIZE], *folder = program_folder();
    program_path(path, sizeof path, folder, "page.html");
    program_run shown = run_fuelreach("page", RETURN);
    program_run written = run_fuelreach("page", RETURN, "-o", path);
    assert_code(&written, 0);
    assert_string_equal(written.out, "");
    assert_file_holds(path, shown.out);
    program_forget(&written);
    program_forget(&shown);
    program_folder_remove(folder);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_page_tells_in_the_order_in_which_people_read),
        cmocka_unit_test(a_page_of_a_build_that_is_clear_asks_for_nothing),
        cmocka_unit_test(the_part_on_the_page_is_what_size_chooses),
        cmocka_unit_test(a_part_of_another_kind_says_what_it_is),
        cmocka_unit_test(a_log_brings_its_figures),
        cmocka_unit_test(a_log_that_is_not_there_is_said_and_no_page_written),
        cmocka_unit_test(every_chart_is_a_drawing_of_its_own),
        cmocka_unit_test(a_chart_that_a_build_has_not_got_is_refused),
        cmocka_unit_test(standard_output_that_is_full_is_an_error),
        cmocka_unit_test(a_full_disk_leaves_the_old_page),
        cmocka_unit_test(a_read_only_folder_leaves_the_old_page),
        cmocka_unit_test(a_page_on_disk_is_the_page_on_standard_output),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
