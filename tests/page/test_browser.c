/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The page in a real browser (Debian's chromium, headless), opened from the disk: browser.js looks
 * at every page once, in one browser; each test here holds one kind of its findings. Skips, and
 * says so, where chromium, pdfinfo or what tests/page/install fetches is missing. Under sanitizers
 * the browser stays closed: the pages are the same. */
#define _XOPEN_SOURCE 700

#include <sys/stat.h>
#include <unistd.h>

#include "cli/program.h"

enum { PATH_SIZE = 512, COMMAND_SIZE = 8192, NAME_SIZE = 64 };

static const char *const SHEETS[] = {
    "tern-return",  "tern-return-short", "tern-direct", "tern-both",
    "tern-natural", "tern-first",        "tern-us",     "largest"};
enum { SHEET_COUNT = sizeof SHEETS / sizeof *SHEETS, EXTRA = 4, PAGE_COUNT = SHEET_COUNT + EXTRA };

static char *folder;
static char *found; /* what browser.js says */
static char why_not[PATH_SIZE];
static char pages[PAGE_COUNT][PATH_SIZE];

/* ---- making the pages ---- */

/* Text that would be markup, close a quote or an element, turn the direction of writing, or is
 * longer than any line. "%s" stands for 2,000 letters. */
static const char HOSTILE_SHEET[] = "fuelreach: 1\n"
                                    "name: \"</title><script>alert(1)</script> \\\"x\\\" 'y' <img "
                                    "src=x onerror=alert(2)> & \\u202E "
                                    "nretrever %s\"\n"
                                    "engine:\n"
                                    "  cylinders: 4\n"
                                    "  displacement: 2.0 L\n"
                                    "  aspiration: turbo\n"
                                    "  target_power: 311 kW\n"
                                    "  power_at: crank\n"
                                    "  factory_power: 147 kW # </pre><script>alert(3)</script>\n"
                                    "supply:\n"
                                    "  lift_pump: 255 L/h\n"
                                    "  port_injection: {injector: factory}\n"
                                    "sizing: {currency: \"<b onclick=alert(4)>\"}\n";

static void run_page(const char *sheet, const char *out, const char *more) {
    char line[COMMAND_SIZE];
    snprintf(line, sizeof line, "'%s' page '%s' %s -o '%s'", PROGRAM, sheet, more, out);
    program_run run = program_run_shell(line);
    if (run.code > 1) {
        fail_msg("%s: %d %s", line, run.code, run.err);
    }
    program_forget(&run);
}

static void make_hostile_page(const char *out) {
    enum { LONG_NAME = 2000 };
    char sheet[PATH_SIZE], letters[LONG_NAME + 1], text[sizeof HOSTILE_SHEET + LONG_NAME];
    memset(letters, 'W', LONG_NAME);
    letters[LONG_NAME] = '\0';
    snprintf(text, sizeof text, HOSTILE_SHEET, letters);
    program_path(sheet, sizeof sheet, folder, "<img src=x onerror=alert(5)> & \".yaml");
    program_write_file(sheet, text);
    const char *words[] = {PROGRAM, "page", sheet, "-o", out, NULL};
    program_run run = program_run_words(words, NULL);
    assert_code(&run, 1);
    program_forget(&run);
}

/* A log whose name and headings are markup, and whose cells are no numbers here and there. */
static void make_hostile_log_page(const char *out) {
    char log[PATH_SIZE], line[COMMAND_SIZE];
    program_path(log, sizeof log, folder, "<script>alert(6)<!-- .csv");
    snprintf(line, sizeof line,
             "sed -e '3s/,/,<script>alert(7)<\\/script>/' -e '2s/$/,<b onclick=alert(8)>/' "
             "examples/logs/tern-e10.csv >'%s'",
             log);
    program_run run = program_run_shell(line);
    assert_code(&run, 0);
    program_forget(&run);
    snprintf(line, sizeof line, "--log '%s' --log examples/logs/tern-e60.csv", log);
    run_page("examples/tern-direct.yaml", out, line);
}

static void make_pages(void) {
    size_t count = 0;
    for (size_t i = 0; i < SHEET_COUNT; i++) {
        char sheet[PATH_SIZE], name[NAME_SIZE];
        snprintf(sheet, sizeof sheet, "examples/%s.yaml", SHEETS[i]);
        snprintf(name, sizeof name, "%s.html", SHEETS[i]);
        run_page(sheet, program_path(pages[count++], PATH_SIZE, folder, name), "");
    }
    run_page("examples/tern-direct.yaml",
             program_path(pages[count++], PATH_SIZE, folder, "three-logs.html"),
             "--units us --log examples/logs/tern-e10.csv --log examples/logs/tern-e30.csv "
             "--log examples/logs/tern-e60.csv");
    run_page("examples/tern-first.yaml",
             program_path(pages[count++], PATH_SIZE, folder, "many-blends.html"),
             "--set 'engine.target_power=500 kW' $(seq -f '--blend E%g' 0 4.25 100)");
    make_hostile_page(program_path(pages[count++], PATH_SIZE, folder, "hostile.html"));
    make_hostile_log_page(program_path(pages[count++], PATH_SIZE, folder, "hostile-log.html"));
}

/* ---- the browser ---- */

static bool is_there(const char *command) {
    program_run run = program_run_shell(command);
    const bool there = run.code == 0;
    program_forget(&run);
    return there;
}

static const char *npm_folder(void) {
    const char *given = getenv("FR_NPM");
    return given != NULL ? given : "build/npm";
}

/* What is missing to run browser.js; an empty text when all is there. */
static void look_for_tools(void) {
    static const struct {
        const char *test, *package;
    } TOOLS[] = {
        {"command -v \"${CHROMIUM:-chromium}\"", "chromium"},
        {"command -v node", "nodejs"},
        {"command -v pdfinfo", "poppler-utils"},
    };
    char modules[PATH_SIZE];
    snprintf(modules, sizeof modules, "test -d '%s/node_modules/axe-core'", npm_folder());
    for (size_t i = 0; i < sizeof TOOLS / sizeof *TOOLS; i++) {
        if (!is_there(TOOLS[i].test)) {
            snprintf(why_not, sizeof why_not, "%s is not installed", TOOLS[i].package);
        }
    }
    if (why_not[0] == '\0' && !is_there(modules)) {
        snprintf(why_not, sizeof why_not, "sh tests/page/install has not been run");
    }
}

static void run_browser(void) {
    char line[COMMAND_SIZE], out[PATH_SIZE];
    program_path(out, sizeof out, folder, "found");
    int length =
        snprintf(line, sizeof line, "node tests/page/browser.js '%s' '%s'", npm_folder(), out);
    for (size_t i = 0; i < PAGE_COUNT; i++) {
        length += snprintf(line + length, sizeof line - (size_t)length, " '%s'", pages[i]);
    }
    program_run run = program_run_shell(line);
    found = run.code == 0 ? support_read_file(out, NULL) : NULL;
    if (found == NULL) {
        fprintf(stderr, "%s\n%s\n", line, run.err);
    }
    program_forget(&run);
}

static int make_all(void **state) {
    (void)state;
    folder = program_folder();
    make_pages();
    return 0;
}

static int open_browser(void **state) {
    (void)state;
    look_for_tools();
    if (why_not[0] == '\0') {
        run_browser();
        return found == NULL;
    }
    return 0;
}

static void tear_down(void) {
    if (folder != NULL && getenv("FR_KEEP_PAGES") != NULL) {
        printf("pages kept in %s\n", folder);
    } else if (folder != NULL) {
        program_folder_remove(folder);
    }
    free(found);
}

/* ---- what is held ---- */

/* Every finding of a kind is good, there is one at least for each page, and the page that has
 * every fault was found out. */
static void assert_all_good(const char *kind) {
    char good[NAME_SIZE], wrong[NAME_SIZE];
    size_t goods = 0, wrongs = 0, found_out = 0;
    if (found == NULL) {
        print_message("skipped: %s\n", why_not);
        skip();
    }
    snprintf(good, sizeof good, "%s ok ", kind);
    snprintf(wrong, sizeof wrong, "%s wrong ", kind);
    for (char *at = found; at != NULL && *at != '\0'; at = strchr(at, '\n') + 1) {
        const bool of_bad = strncmp(at, wrong, strlen(wrong)) == 0 &&
                            strncmp(at + strlen(wrong), "bad.html", strlen("bad.html")) == 0;
        found_out += of_bad;
        goods += strncmp(at, good, strlen(good)) == 0;
        if (!of_bad && strncmp(at, wrong, strlen(wrong)) == 0) {
            print_error("%.*s\n", (int)strcspn(at, "\n"), at);
            wrongs++;
        }
        if (strchr(at, '\n') == NULL) {
            break;
        }
    }
    assert_int_equal(wrongs, 0);
    assert_true(goods >= PAGE_COUNT);
    assert_true(found_out > 0);
}

#define HOLDS(name, kind)                                                                          \
    static void name(void **state) {                                                               \
        (void)state;                                                                               \
        assert_all_good(kind);                                                                     \
    }

HOLDS(a_page_opens_without_a_word_on_the_console, "quiet")
HOLDS(a_page_asks_for_nothing_but_itself, "alone")
HOLDS(nothing_sticks_out_at_360_800_and_1400, "overflow")
HOLDS(no_block_lies_on_another, "overlap")
HOLDS(no_text_of_a_chart_lies_on_another_or_leaves_it, "chart-text")
HOLDS(charts_stand_out_light_and_dark, "contrast")
HOLDS(an_accessibility_checker_finds_nothing, "accessible")
HOLDS(on_paper_it_is_two_sides_in_order, "print")
HOLDS(whatever_a_sheet_or_log_says_stays_text, "foreign")

/* ---- without a browser ---- */

/* An id may stand on the title of a drawing; tidy does not know that yet. */
static void every_page_is_valid_html(void **state) {
    (void)state;
    if (!is_there("command -v tidy")) {
        print_message("skipped: tidy is not installed\n");
        skip();
    }
    for (size_t i = 0; i < PAGE_COUNT; i++) {
        char line[COMMAND_SIZE];
        snprintf(line, sizeof line, "tidy -q -e --warn-proprietary-attributes no '%s'", pages[i]);
        program_run run = program_run_shell(line);
        assert_string_equal(run.err, "");
        assert_code(&run, 0);
        program_forget(&run);
    }
}

static void a_page_is_under_200_kB(void **state) {
    enum { MOST = 200000 };
    (void)state;
    for (size_t i = 0; i < PAGE_COUNT; i++) {
        struct stat file;
        assert_int_equal(stat(pages[i], &file), 0);
        assert_in_range(file.st_size, MOST / 10, MOST);
    }
}

static void the_hostile_name_is_there_to_be_read(void **state) {
    (void)state;
    char *text = support_read_file(pages[SHEET_COUNT + 2], NULL);
    assert_non_null(text);
    assert_contains(text, "<h1>&lt;/title&gt;&lt;script&gt;alert(1)&lt;/script&gt; &quot;x&quot; "
                          "&#39;y&#39; &lt;img src=x onerror=alert(2)&gt; &amp; ");
    assert_contains(text, "# &lt;/pre&gt;&lt;script&gt;alert(3)&lt;/script&gt;");
    assert_null(strstr(text, "<script"));
    assert_null(strstr(text, "\xe2\x80\xae"));
    free(text);
}

int main(void) {
#ifdef __SANITIZE_ADDRESS__
    const bool sanitized = true;
#else
    const bool sanitized = false;
#endif
    const struct CMUnitTest by_themselves[] = {
        cmocka_unit_test(every_page_is_valid_html),
        cmocka_unit_test(a_page_is_under_200_kB),
        cmocka_unit_test(the_hostile_name_is_there_to_be_read),
    };
    const struct CMUnitTest in_a_browser[] = {
        cmocka_unit_test(a_page_opens_without_a_word_on_the_console),
        cmocka_unit_test(a_page_asks_for_nothing_but_itself),
        cmocka_unit_test(nothing_sticks_out_at_360_800_and_1400),
        cmocka_unit_test(no_block_lies_on_another),
        cmocka_unit_test(no_text_of_a_chart_lies_on_another_or_leaves_it),
        cmocka_unit_test(charts_stand_out_light_and_dark),
        cmocka_unit_test(an_accessibility_checker_finds_nothing),
        cmocka_unit_test(on_paper_it_is_two_sides_in_order),
        cmocka_unit_test(whatever_a_sheet_or_log_says_stays_text),
    };
    int failed = cmocka_run_group_tests(by_themselves, make_all, NULL);
    if (!sanitized && failed == 0) {
        failed = cmocka_run_group_tests(in_a_browser, open_browser, NULL);
    }
    tear_down();
    return failed;
}
