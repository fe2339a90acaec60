/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One value changed in a sheet's text: what is changed, and above all what is not. */
#include <dirent.h>

#include "sheet/folder.h"
#include "sheet/paste.h"
#include "sheet/rewrite.h"
#include "sheet/tree.h"
#include "support.h"

static const char SHEET[] = "# a sheet with remarks\n"
                            "name: Tern hatch   # as the owner calls it\n"
                            "\n"
                            "engine:\n"
                            "  displacement: 1.9 L # from the papers\n"
                            "  boost:\n"
                            "    2500 rpm: 0.9 bar\n"
                            "    # it falls off here\n"
                            "    6500 rpm: 1.2 bar\n"
                            "\n"
                            "# what feeds it\n"
                            "supply:\n"
                            "  lift_pump: 255 L/h\n"
                            "  port_injection: {injector: 730 cc/min, count: 4}\n"
                            "  lines:\n"
                            "  - bore: 8 mm\n"
                            "    length: 3.7 m\n"
                            "  regulation: 'return' # two pipes\n";

static char *rewritten(const char *text, const char *path, const char *value) {
    char *out;
    assert_int_equal(fr_sheet_rewrite(text, path, value, &out), FR_OK);
    return out;
}

/* The change takes `old` out of SHEET and puts `new` there, and nothing else. */
static void assert_exchange(const char *path, const char *value, const char *old, const char *new) {
    char expected[2048];
    const char *at = strstr(SHEET, old);
    assert_non_null(at);
    snprintf(expected, sizeof expected, "%.*s%s%s", (int)(at - SHEET), SHEET, new,
             at + strlen(old));
    char *out = rewritten(SHEET, path, value);
    assert_string_equal(out, expected);
    free(out);
}

static void a_plain_value_gives_way_and_its_remark_stays(void **state) {
    (void)state;
    assert_exchange("engine.displacement", "2.3 L", "1.9 L", "2.3 L");
    assert_exchange("name", "Tern estate", "Tern hatch", "Tern estate");
    assert_exchange("supply.regulation", "mechanical-returnless", "'return'",
                    "mechanical-returnless");
}

static void a_value_of_many_lines_becomes_one_and_back(void **state) {
    (void)state;
    assert_exchange(
        "engine.boost", "1.1 bar",
        "  boost:\n    2500 rpm: 0.9 bar\n    # it falls off here\n    6500 rpm: 1.2 bar\n",
        "  boost: 1.1 bar\n");
    assert_exchange("supply.lines", "[hose-8]", "  lines:\n  - bore: 8 mm\n    length: 3.7 m\n",
                    "  lines: [hose-8]\n");
}

static void a_field_inside_braces_keeps_its_neighbours(void **state) {
    (void)state;
    assert_exchange("supply.port_injection.injector", "{flow: 1100 cc/min}",
                    "{injector: 730 cc/min, count: 4}",
                    "{injector: {flow: 1100 cc/min}, count: 4}");
    assert_exchange("supply.port_injection.count", NULL, ", count: 4}", "}");
}

static void a_word_that_gets_a_field_becomes_a_part(void **state) {
    (void)state;
    assert_exchange("supply.lift_pump.count", "2", "255 L/h", "{part: 255 L/h, count: 2}");
}

static void a_new_field_goes_to_the_end_of_its_section(void **state) {
    (void)state;
    assert_exchange("engine.cylinders", "4", "    6500 rpm: 1.2 bar\n",
                    "    6500 rpm: 1.2 bar\n  cylinders: 4\n");
    assert_exchange("units", "us", "calls it\n", "calls it\nunits: us\n");
}

/* A line of a text in quotes is none of the sheet's remarks, whatever it begins with. */
static void a_quoted_text_of_several_lines_stays_whole(void **state) {
    (void)state;
    static const char sheet[] = "name: 'Tern hatch,\n"
                                "  # 2 of 3'\n"
                                "# ours\n";
    char *out = rewritten(sheet, "units", "us");
    assert_string_equal(out, "name: 'Tern hatch,\n  # 2 of 3'\nunits: us\n# ours\n");
    free(out);
    out = rewritten(sheet, "name", "Tern estate");
    assert_string_equal(out, "name: Tern estate\n# ours\n");
    free(out);
}

static void a_new_section_goes_to_the_end_of_the_sheet(void **state) {
    (void)state;
    assert_exchange("site.feed_temperature", "41 °C", "# two pipes\n",
                    "# two pipes\n\nsite:\n  feed_temperature: 41 °C\n");
    char *out = rewritten("", "engine.cylinders", "6");
    assert_string_equal(out, "engine:\n  cylinders: 6\n");
    free(out);
    out = rewritten("name: x", "engine.cylinders", "6");
    assert_string_equal(out, "name: x\n\nengine:\n  cylinders: 6\n");
    free(out);
}

static void what_is_taken_out_leaves_no_trace(void **state) {
    (void)state;
    assert_exchange("engine.displacement", NULL, "  displacement: 1.9 L # from the papers\n", "");
    assert_exchange("supply.lines", NULL, "  lines:\n  - bore: 8 mm\n    length: 3.7 m\n", "");
    assert_exchange("site.feed_temperature", NULL, "", "");
    char *out =
        rewritten("name: x\nsite:\n  feed_temperature: 41 °C\n", "site.feed_temperature", NULL);
    assert_string_equal(out, "name: x\n");
    free(out);
}

static void what_an_alias_stands_for_is_left_alone(void **state) {
    (void)state;
    static const char text[] = "a: &pump\n  size: 255 L/h\nsupply:\n  lift_pump: *pump\n";
    char *out;
    assert_int_equal(fr_sheet_rewrite(text, "supply.lift_pump.size", "300 L/h", &out),
                     FR_BAD_INPUT);
    assert_null(out);
    out = rewritten(text, "supply.lift_pump", "300 L/h");
    assert_string_equal(out, "a: &pump\n  size: 255 L/h\nsupply:\n  lift_pump: 300 L/h\n");
    free(out);
}

static void a_text_that_is_no_sheet_is_refused(void **state) {
    (void)state;
    char *out;
    assert_int_equal(fr_sheet_rewrite("engine: {a: 1", "engine.a", "2", &out), FR_BAD_INPUT);
    assert_null(out);
    assert_int_equal(fr_sheet_rewrite("{engine: {a: 1}}", "engine.a", "2", &out), FR_BAD_INPUT);
    assert_null(out);
}

/* ---- every example ---- */

static fr_tree *tree_of(const char *text) {
    fr_report report = FR_REPORT_EMPTY;
    fr_tree *tree = NULL;
    fr_status status = fr_tree_read("sheet", text, strlen(text), &report, &tree);
    if (status != FR_OK)
        fail_msg("%s\n%s", report.count ? report.remarks[0].message : "?", text);
    fr_report_close(&report);
    return tree;
}

/* The sheet in one line, with the value that is asked for set apart. */
static void flatten(const char *text, const char *path, const char *value, char *out, size_t size) {
    fr_tree *tree = tree_of(text);
    fr_tree *given = tree_of(value);
    assert_true(fr_tree_set(tree, path, fr_tree_root(given)));
    assert_true(fr_flow_text(fr_tree_root(tree), out, size));
    fr_tree_close(tree);
    fr_tree_close(given);
}

static void check_example(const char *text) {
    static const char *const changes[][2] = {
        {"engine.displacement", "2.7 L"},    {"engine.target_power", "{E10: 211 kW, E85: 233 kW}"},
        {"engine.boost", "1.07 bar"},        {"engine.bsfc", "341 g/kWh"},
        {"fuel.blends", "[E10, E61]"},       {"supply.regulation", "return"},
        {"supply.feed_pressure", "3.3 bar"}, {"supply.pump_circuit.wiring", "relay"},
        {"site.supply_voltage", "13.1 V"},   {"limits.vapour", "91 %"},
        {"sizing.currency", "GBP"},          {"units", "us"},
    };
    enum { FLAT = 16384 };
    static char expected[FLAT], found[FLAT];
    for (size_t i = 0; i < sizeof changes / sizeof changes[0]; i++) {
        char *out = rewritten(text, changes[i][0], changes[i][1]);
        flatten(text, changes[i][0], changes[i][1], expected, FLAT);
        fr_tree *tree = tree_of(out);
        assert_true(fr_flow_text(fr_tree_root(tree), found, FLAT));
        fr_tree_close(tree);
        /* the order of what is new may differ: it is looked up, not compared, by its length */
        assert_int_equal(strlen(found), strlen(expected));
        char *again = rewritten(out, changes[i][0], changes[i][1]);
        assert_string_equal(again, out);
        free(again);
        free(out);
    }
}

static void every_change_of_every_example_reads_back(void **state) {
    (void)state;
    size_t count = 0;
    DIR *folder = opendir("examples");
    assert_non_null(folder);
    for (struct dirent *entry; (entry = readdir(folder)) != NULL;) {
        char path[512], *text;
        size_t length;
        if (!strstr(entry->d_name, ".yaml"))
            continue;
        snprintf(path, sizeof path, "examples/%s", entry->d_name);
        assert_int_equal(fr_read_file(path, 1 << 20, &text, &length), FR_OK);
        check_example(text);
        free(text);
        count++;
    }
    closedir(folder);
    assert_true(count >= 8);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_plain_value_gives_way_and_its_remark_stays),
        cmocka_unit_test(a_value_of_many_lines_becomes_one_and_back),
        cmocka_unit_test(a_field_inside_braces_keeps_its_neighbours),
        cmocka_unit_test(a_word_that_gets_a_field_becomes_a_part),
        cmocka_unit_test(a_new_field_goes_to_the_end_of_its_section),
        cmocka_unit_test(a_quoted_text_of_several_lines_stays_whole),
        cmocka_unit_test(a_new_section_goes_to_the_end_of_the_sheet),
        cmocka_unit_test(what_is_taken_out_leaves_no_trace),
        cmocka_unit_test(what_an_alias_stands_for_is_left_alone),
        cmocka_unit_test(a_text_that_is_no_sheet_is_refused),
        cmocka_unit_test(every_change_of_every_example_reads_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
