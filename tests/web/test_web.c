/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The program as a page, in Debian's chromium and firefox, headless, opened from the disk:
 * browser.js asks it everything once, each test here holds one kind of its findings. Skips, and
 * says so, where `make web` has made no page or a browser is missing. */
#include <sys/stat.h>

#include "cli/program.h"

enum { PATH_SIZE = 512, LINE_SIZE = 4096 };

static const char PAGE[] = FR_BUILD_DIR "/web/fuelreach.html";
static const char MODULES[] = "build/npm";
static char *folder;

typedef struct browser {
    const char *name;
    const char *path;
    char *found; /* what browser.js says; null: it could not be run */
} browser;

static browser browsers[] = {{"chromium", "/usr/bin/chromium", NULL},
                             {"firefox", "/usr/bin/firefox-esr", NULL}};
enum { BROWSER_COUNT = sizeof browsers / sizeof browsers[0] };

static bool is_there(const char *path) {
    struct stat facts;
    return stat(path, &facts) == 0;
}

/* What the native program says of every example, in the words that browser.js asks the page. */
static void ask_native(void) {
    char line[LINE_SIZE];
    snprintf(line, sizeof line,
             "program=$PWD/%s; export FUELREACH_PARTS=$PWD/components; cd examples; "
             "for sheet in *.yaml; do out='%s'/$sheet; "
             "$program check $sheet --format json >$out.check; "
             "$program promise $sheet --draws 1024 --format json >$out.promise; "
             "$program size $sheet --format json >$out.size; "
             "$program page $sheet >$out.page; $program explain $sheet >$out.explain; done; true",
             PROGRAM, folder);
    program_run run = program_run_shell(line);
    assert_string_equal(run.err, "");
    program_forget(&run);
}

static void run_browser(browser *one) {
    char line[LINE_SIZE], out[PATH_SIZE];
    snprintf(out, sizeof out, "%s/%s.txt", folder, one->name);
    snprintf(line, sizeof line, "timeout 200 node tests/web/browser.js %s %s '%s' %s '%s'",
             one->name, MODULES, out, PAGE, folder);
    program_run run = program_run_shell(line);
    if (run.code != 0)
        print_error("%s: %d %s%s\n", one->name, run.code, run.out, run.err);
    one->found = support_read_file(out, NULL);
    if (run.code != 0 || one->found == NULL)
        fail();
    program_forget(&run);
}

static int ask_all(void **state) {
    (void)state;
    folder = program_folder();
    if (!is_there(PAGE) || !is_there(MODULES))
        return 0;
    ask_native();
    for (size_t i = 0; i < BROWSER_COUNT; i++)
        if (is_there(browsers[i].path))
            run_browser(&browsers[i]);
    return 0;
}

static int tear_down(void **state) {
    (void)state;
    for (size_t i = 0; i < BROWSER_COUNT; i++)
        free(browsers[i].found);
    program_folder_remove(folder);
    return 0;
}

/* Findings of a kind: none is wrong, and there are at least so many. */
static void assert_good(const browser *one, const char *kind, size_t least) {
    char good[PATH_SIZE], wrong[PATH_SIZE];
    size_t goods = 0, wrongs = 0;
    snprintf(good, sizeof good, "%s ok ", kind);
    snprintf(wrong, sizeof wrong, "%s wrong ", kind);
    for (const char *at = one->found; at != NULL && *at != '\0'; at = strchr(at, '\n') + 1) {
        goods += strncmp(at, good, strlen(good)) == 0;
        if (strncmp(at, wrong, strlen(wrong)) == 0) {
            print_error("%s: %.*s\n", one->name, (int)strcspn(at, "\n"), at);
            wrongs++;
        }
    }
    assert_int_equal(wrongs, 0);
    assert_true(goods >= least);
}

static void in_browsers(const char *kind, size_t least, size_t browser_count) {
    bool lacking = false;
    for (size_t i = 0; i < browser_count; i++) {
        if (browsers[i].found != NULL) {
            assert_good(&browsers[i], kind, least);
        } else {
            print_message("skipped: %s or %s is missing; make web, sh .ci/setup all\n", PAGE,
                          browsers[i].path);
            lacking = true;
        }
    }
    if (lacking)
        skip();
}

#define IN_BOTH(name, kind, least)                                                                 \
    static void name(void **state) {                                                               \
        (void)state;                                                                               \
        in_browsers(kind, least, BROWSER_COUNT);                                                   \
    }
#define IN_CHROMIUM(name, kind, least)                                                             \
    static void name(void **state) {                                                               \
        (void)state;                                                                               \
        in_browsers(kind, least, 1);                                                               \
    }

IN_BOTH(every_examples_figures_are_the_native_programs, "figures", 24)
IN_BOTH(every_examples_page_and_working_have_the_same_words, "words", 16)
IN_BOTH(bad_sheets_get_the_same_messages_under_their_lines, "messages", 20)
IN_BOTH(the_form_makes_a_sheet_and_loses_nothing_of_one, "form", 9)
IN_BOTH(a_sheet_comes_back_out_of_an_address, "address", 11)
IN_BOTH(it_is_the_same_page_over_http, "http", 1)
IN_BOTH(a_hostile_sheet_stays_text_and_ends_in_time, "hostile", 2)
IN_BOTH(the_page_says_nothing_on_the_console, "quiet", 1)
IN_BOTH(the_page_asks_for_nothing_but_itself, "alone", 1)
IN_CHROMIUM(the_sheet_is_written_by_keyboard_alone, "keyboard", 1)
IN_CHROMIUM(an_accessibility_checker_finds_nothing, "accessible", 5)
IN_CHROMIUM(nothing_sticks_out_at_360_800_and_1400, "overflow", 7)
IN_CHROMIUM(on_paper_it_is_the_reports_two_sides, "print", 4)

static size_t size_of(const char *command) {
    program_run run = program_run_shell(command);
    assert_code(&run, 0);
    size_t size = (size_t)strtoull(run.out, NULL, 10);
    program_forget(&run);
    return size;
}

static void the_page_is_under_600_kB_and_250_kB_gzipped(void **state) {
    (void)state;
    char line[LINE_SIZE];
    if (!is_there(PAGE)) {
        print_message("skipped: %s is missing; make web\n", PAGE);
        skip();
    }
    snprintf(line, sizeof line, "wc -c <%s", PAGE);
    assert_in_range(size_of(line), 100000, 600000);
    snprintf(line, sizeof line, "gzip -9 <%s | wc -c", PAGE);
    assert_in_range(size_of(line), 100000, 250000);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_examples_figures_are_the_native_programs),
        cmocka_unit_test(every_examples_page_and_working_have_the_same_words),
        cmocka_unit_test(bad_sheets_get_the_same_messages_under_their_lines),
        cmocka_unit_test(the_form_makes_a_sheet_and_loses_nothing_of_one),
        cmocka_unit_test(a_sheet_comes_back_out_of_an_address),
        cmocka_unit_test(it_is_the_same_page_over_http),
        cmocka_unit_test(a_hostile_sheet_stays_text_and_ends_in_time),
        cmocka_unit_test(the_page_says_nothing_on_the_console),
        cmocka_unit_test(the_page_asks_for_nothing_but_itself),
        cmocka_unit_test(the_sheet_is_written_by_keyboard_alone),
        cmocka_unit_test(an_accessibility_checker_finds_nothing),
        cmocka_unit_test(nothing_sticks_out_at_360_800_and_1400),
        cmocka_unit_test(on_paper_it_is_the_reports_two_sides),
        cmocka_unit_test(the_page_is_under_600_kB_and_250_kB_gzipped),
    };
    return cmocka_run_group_tests(tests, ask_all, tear_down);
}
