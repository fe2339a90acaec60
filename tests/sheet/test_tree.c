/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support.h"

#include "sheet/tree.h"

static fr_tree *read_text(const char *text, fr_report *report, fr_status expected) {
    fr_tree *tree = NULL;
    fr_status status = fr_tree_read("tern.yaml", text, strlen(text), report, &tree);
    if (status != expected) {
        support_print_report(report);
    }
    assert_int_equal(status, expected);
    return tree;
}

static fr_tree *read_fine(const char *text) {
    fr_report report = FR_REPORT_EMPTY;
    fr_tree *tree = read_text(text, &report, FR_OK);
    assert_int_equal(report.count, 0);
    fr_report_close(&report);
    return tree;
}

static void check_scalar(const fr_node *node, const char *text, size_t line, size_t column) {
    assert_non_null(node);
    assert_int_equal(node->kind, FR_NODE_SCALAR);
    assert_string_equal(node->text, text);
    assert_int_equal(node->line, line);
    assert_int_equal(node->column, column);
}

/* ---- reading ---- */

static void every_word_knows_its_place(void **state) {
    (void)state;
    fr_tree *tree = read_fine("engine:\n"
                              "  cylinders: 4\n"
                              "  boost: {2500 rpm: 1.0 bar, 7000 rpm: 1.8 bar}\n"
                              "fuel:\n"
                              "  blends:\n"
                              "    - E10\n"
                              "    - \"E85\"\n");
    const fr_node *root = fr_tree_root(tree);
    assert_int_equal(root->kind, FR_NODE_MAP);
    assert_int_equal(root->count, 2);
    check_scalar(root->pairs[0].key, "engine", 1, 1);
    const fr_node *engine = fr_node_get(root, "engine");
    check_scalar(engine->pairs[0].key, "cylinders", 2, 3);
    check_scalar(engine->pairs[0].value, "4", 2, 14);
    const fr_node *boost = fr_node_get(engine, "boost");
    assert_int_equal(boost->count, 2);
    check_scalar(boost->pairs[1].key, "7000 rpm", 3, 30);
    check_scalar(boost->pairs[1].value, "1.8 bar", 3, 40);
    const fr_node *blends = fr_node_get(fr_node_get(root, "fuel"), "blends");
    assert_int_equal(blends->kind, FR_NODE_LIST);
    assert_int_equal(blends->count, 2);
    check_scalar(blends->items[0], "E10", 6, 7);
    check_scalar(blends->items[1], "E85", 7, 7);
    assert_false(blends->items[0]->quoted);
    assert_true(blends->items[1]->quoted);
    assert_ptr_equal(blends->tree, tree);
    assert_string_equal(fr_tree_file(tree), "tern.yaml");
    fr_tree_close(tree);
}

static void columns_count_characters_not_bytes(void **state) {
    (void)state;
    fr_tree *tree = read_fine("{\u00E9t\u00E9: 45 \u00B0C, b: x}");
    const fr_node *root = fr_tree_root(tree);
    check_scalar(root->pairs[0].value, "45 \u00B0C", 1, 7);
    check_scalar(root->pairs[1].key, "b", 1, 14);
    fr_tree_close(tree);
}

static void nothing_is_a_tree_without_a_root(void **state) {
    (void)state;
    static const char *const texts[] = {"", "\n\n", "# only a remark\n"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        fr_tree *tree = read_fine(texts[i]);
        assert_null(fr_tree_root(tree));
        assert_null(fr_node_get(fr_tree_root(tree), "engine"));
        fr_tree_close(tree);
    }
}

static void a_snippet_may_be_a_single_value(void **state) {
    (void)state;
    fr_tree *tree = read_fine("1200cc @ 3 bar");
    check_scalar(fr_tree_root(tree), "1200cc @ 3 bar", 1, 1);
    fr_tree_close(tree);
}

static void an_empty_value_is_an_empty_text(void **state) {
    (void)state;
    fr_tree *tree = read_fine("a:\nb: ''\n");
    const fr_node *root = fr_tree_root(tree);
    assert_string_equal(fr_node_get(root, "a")->text, "");
    assert_false(fr_node_get(root, "a")->quoted);
    assert_true(fr_node_get(root, "b")->quoted);
    fr_tree_close(tree);
}

static void a_key_that_is_not_there_is_null(void **state) {
    (void)state;
    fr_tree *tree = read_fine("ab: [x]\n");
    const fr_node *root = fr_tree_root(tree);
    assert_null(fr_node_get(root, "a"));
    assert_null(fr_node_get(root, "abc"));
    assert_null(fr_node_get(fr_node_get(root, "ab"), "x"));
    fr_tree_close(tree);
}

static void lines_come_back_as_they_were_read(void **state) {
    (void)state;
    fr_tree *tree = read_fine("\xEF\xBB\xBF# \u00B0\r\n  a: 1\r\n\n...\n");
    assert_string_equal(fr_tree_line(tree, 1), "# \u00B0");
    assert_string_equal(fr_tree_line(tree, 2), "  a: 1");
    assert_string_equal(fr_tree_line(tree, 3), "");
    assert_null(fr_tree_line(tree, 0));
    assert_null(fr_tree_line(tree, 99));
    fr_tree_close(tree);
}

static void a_long_line_is_shown_cut_at_a_whole_character(void **state) {
    (void)state;
    char text[4100] = "a: \"x";
    for (size_t i = 5; i < 4000; i += 2) {
        memcpy(text + i, "\u00E9", 2);
    }
    memcpy(text + 4001, "\"", 2);
    fr_tree *tree = read_fine(text);
    assert_int_equal(strlen(fr_tree_line(tree, 1)), 999);
    fr_tree_close(tree);
}

/* Every key asks for its place in the line: that must not walk the line from its start each time.
 */
static void a_mapping_of_forty_thousand_keys_on_one_line_is_read(void **state) {
    (void)state;
    size_t count = 40000;
    char *text = malloc(12 * count);
    assert_non_null(text);
    size_t used = (size_t)sprintf(text, "{");
    size_t last = 0;
    for (size_t i = 0; i < count; i++) {
        last = used + 1;
        used += (size_t)sprintf(text + used, "%zu: 1, ", i);
    }
    strcpy(text + used, "}");
    fr_tree *tree = read_fine(text);
    assert_int_equal(fr_tree_root(tree)->count, count);
    check_scalar(fr_tree_root(tree)->pairs[count - 1].key, "39999", 1, last);
    fr_tree_close(tree);
    free(text);
}

/* ---- anchors ---- */

static void an_alias_is_written_out_with_the_anchor_s_places(void **state) {
    (void)state;
    fr_tree *tree = read_fine("a: &x {bore: 8 mm, list: [1]}\nb: *x\nc: *x\n");
    const fr_node *root = fr_tree_root(tree);
    const fr_node *b = fr_node_get(root, "b");
    check_scalar(fr_node_get(b, "bore"), "8 mm", 1, 14);
    check_scalar(fr_node_get(b, "list")->items[0], "1", 1, 27);
    assert_ptr_not_equal(b, fr_node_get(root, "a"));
    assert_ptr_not_equal(b, fr_node_get(root, "c"));
    assert_ptr_not_equal(fr_node_get(b, "bore"), fr_node_get(fr_node_get(root, "c"), "bore"));
    fr_tree_close(tree);
}

static void a_name_used_again_is_the_newer_anchor(void **state) {
    (void)state;
    fr_tree *tree = read_fine("a: &x 1\nb: &x 2\nc: *x\n");
    check_scalar(fr_node_get(fr_tree_root(tree), "c"), "2", 2, 4);
    fr_tree_close(tree);
}

static void check_refused(const char *text, size_t line, size_t column, const char *part) {
    fr_report report = FR_REPORT_EMPTY;
    fr_tree *tree = read_text(text, &report, FR_BAD_INPUT);
    assert_null(tree);
    assert_int_equal(report.count, 1);
    assert_remark(&report, line, column, part);
    fr_report_close(&report);
}

static void an_anchor_that_holds_itself_is_refused(void **state) {
    (void)state;
    check_refused("a: &a [1, *a]\n", 1, 11,
                  "an anchor that holds itself; write the values out; nothing below was read");
    check_refused("&a {b: {c: *a}}\n", 1, 12, "an anchor that holds itself");
}

static void an_anchor_bomb_is_refused(void **state) {
    (void)state;
    check_refused("a: &a [x,x,x,x,x,x,x,x,x]\n"
                  "b: &b [*a,*a,*a,*a,*a,*a,*a,*a,*a]\n"
                  "c: &c [*b,*b,*b,*b,*b,*b,*b,*b,*b]\n"
                  "d: &d [*c,*c,*c,*c,*c,*c,*c,*c,*c]\n"
                  "e: &e [*d,*d,*d,*d,*d,*d,*d,*d,*d]\n"
                  "f: [*e,*e,*e,*e,*e,*e,*e,*e,*e]\n",
                  6, 5, "more than 100,000 entries, anchors written out");
}

static void too_many_entries_and_anchors_are_refused(void **state) {
    (void)state;
    size_t count = 120000;
    char *text = malloc(8 * count);
    assert_non_null(text);
    text[0] = '[';
    for (size_t i = 0; i < count; i++) {
        memcpy(text + 1 + 2 * i, "x,", 2);
    }
    strcpy(text + 2 * count, "]");
    check_refused(text, 1, 2 * 99999 + 2, "more than 100,000 entries");
    size_t used = (size_t)sprintf(text, "[");
    for (size_t i = 0; i < 1001; i++) {
        used += (size_t)sprintf(text + used, "&a x,");
    }
    strcpy(text + used, "]");
    check_refused(text, 1, 5 * 1000 + 2, "more than 1,000 anchors; write the values out");
    free(text);
}

static void nesting_ends_at_thirty_two(void **state) {
    (void)state;
    char text[100];
    memset(text, '[', 32);
    memset(text + 32, ']', 32);
    text[64] = '\0';
    fr_tree *tree = read_fine(text);
    fr_tree_close(tree);
    memset(text, '[', 33);
    memset(text + 33, ']', 33);
    text[66] = '\0';
    check_refused(text, 1, 33, "nested deeper than 32 levels");
    check_refused(
        "a: &a [[[[[[[[[[[[[[[[x]]]]]]]]]]]]]]]]\nb: &b [[[[[[[[[[[[[[[*a]]]]]]]]]]]]]]]\n"
        "c: [*b]\n",
        2, 22, "nested deeper than 32 levels");
}

/* ---- told, but read on ---- */

static void a_key_twice_is_told_and_the_first_stays(void **state) {
    (void)state;
    fr_report report = FR_REPORT_EMPTY;
    fr_tree *tree = read_text("a: 1\nb: {c: 2, d: 3, c: 4}\na: 5\na: 6\n", &report, FR_BAD_INPUT);
    assert_non_null(tree);
    assert_int_equal(report.count, 3);
    assert_remark(&report, 2, 17, "'c' stands here twice, first on line 2; keep one");
    assert_remark(&report, 3, 1, "'a' stands here twice, first on line 1; keep one");
    assert_remark(&report, 4, 1, "'a' stands here twice, first on line 1; keep one");
    const fr_node *root = fr_tree_root(tree);
    assert_int_equal(root->count, 2);
    check_scalar(fr_node_get(root, "a"), "1", 1, 4);
    assert_int_equal(fr_node_get(root, "b")->count, 2);
    check_scalar(fr_node_get(fr_node_get(root, "b"), "c"), "2", 2, 8);
    fr_tree_close(tree);
    fr_report_close(&report);
}

static void of_very_many_keys_twice_a_hundred_are_told(void **state) {
    (void)state;
    fr_report report = FR_REPORT_EMPTY;
    char text[5 * 300 + 3] = "{";
    for (size_t i = 0; i < 300; i++) {
        strcat(text, "a: 1,");
    }
    strcat(text, "}");
    fr_tree *tree = read_text(text, &report, FR_BAD_INPUT);
    assert_int_equal(report.count, 101);
    assert_int_equal(fr_tree_root(tree)->count, 1);
    assert_string_equal(report.remarks[100].message, "more than 100 names stand here twice");
    fr_tree_close(tree);
    fr_report_close(&report);
}

static void a_key_twice_under_an_anchor_is_told_once(void **state) {
    (void)state;
    fr_report report = FR_REPORT_EMPTY;
    fr_tree *tree = read_text("a: &x {c: 2, c: 4}\nb: *x\nd: *x\n", &report, FR_BAD_INPUT);
    assert_int_equal(report.count, 1);
    fr_tree_close(tree);
    fr_report_close(&report);
}

static void check_slip(const char *text, size_t line, size_t column, const char *told) {
    fr_report report = FR_REPORT_EMPTY;
    fr_tree *tree = read_text(text, &report, FR_BAD_INPUT);
    assert_non_null(tree);
    assert_int_equal(report.count, 1);
    assert_remark(&report, line, column, told);
    assert_true(fr_tree_root(tree)->told || fr_tree_root(tree)->pairs[0].value->told);
    fr_tree_close(tree);
    fr_report_close(&report);
}

static void a_comma_inside_a_number_is_told_once_a_map(void **state) {
    (void)state;
#define COMMA "a comma inside { } begins a new entry; write "
    check_slip("wiring: {run: 4,5 m}\n", 1, 15, COMMA "'4.5 m'");
    check_slip("wiring: {run: -4,5 m , contacts: 3,2 mohm}\n", 1, 15, COMMA "'-4.5 m'");
    check_slip("wiring: {run: 10,25 m \u00B1 2 %}\n", 1, 15, COMMA "'10.25 m \u00B1 2 %'");
    check_slip("curve: {2,000 rpm: 150 kW, 3,000 rpm: 200 kW}\n", 1, 9, COMMA "'2000 rpm'");
    check_slip("curve: {E10: 0,82, E85: 0,80}\n", 1, 14, COMMA "'0.82'");
    check_slip("curve: {E10: 0,825}\n", 1, 14, COMMA "'0.825'");
    check_slip("curve:\n  {E10: 0.82,\n   E85: 0,80}\n", 3, 9, COMMA "'0.80'");
}

static void entries_without_a_blank_after_the_comma_are_no_slip(void **state) {
    (void)state;
    fr_tree *tree = read_fine("a: {E10: 0.82,E85: 0.80}\nb: {2500 rpm: 85 kW,3500 rpm: 165 kW}\n"
                              "c: [1,2,3]\nd: {\"1\": 1, \"2\": 2}\n");
    fr_tree_close(tree);
}

static void a_tight_colon_inside_brackets_is_told(void **state) {
    (void)state;
    check_slip("line: {bore:8 mm}\n", 1, 8, "no space after ':'; write 'bore: 8 mm'");
    check_slip("line: {length: 2 m, bore:8 mm}\n", 1, 21, "no space after ':'; write 'bore: 8 mm'");
}

/* ---- changing ---- */

static bool set(fr_tree *tree, const char *path, const char *value) {
    fr_report report = FR_REPORT_EMPTY;
    static fr_tree *values[64];
    static size_t used;
    if (tree == NULL) { /* closes what has been set so far */
        while (used > 0) {
            fr_tree_close(values[--used]);
        }
        return true;
    }
    assert_int_equal(fr_tree_read("--set", value, strlen(value), &report, &values[used]), FR_OK);
    return fr_tree_set(tree, path, fr_tree_root(values[used++]));
}

static void a_path_is_set(void **state) {
    (void)state;
    fr_tree *tree =
        read_fine("engine: {boost: 1 bar}\nsupply: {filters: [{drop: 1 bar}]}\nsite:\n");
    const fr_node *root = fr_tree_root(tree);
    assert_true(set(tree, "engine.boost", "2 bar"));
    assert_true(set(tree, "engine.bsfc", "{2000 rpm: 300 g/kWh}"));
    assert_true(set(tree, "supply.filters.0.drop", "3 bar"));
    assert_true(set(tree, "supply.filters.1", "filter-10"));
    assert_true(set(tree, "site.air_pressure", "1 bar"));
    assert_true(set(tree, "fuel.gasoline.density", "740 kg/m3"));
    const fr_node *boost = fr_node_get(fr_node_get(root, "engine"), "boost");
    check_scalar(boost, "2 bar", 1, 1);
    assert_string_equal(fr_tree_file(boost->tree), "--set");
    assert_string_equal(fr_tree_line(boost->tree, boost->line), "2 bar");
    assert_int_equal(fr_node_get(fr_node_get(root, "engine"), "bsfc")->count, 1);
    const fr_node *filters = fr_node_get(fr_node_get(root, "supply"), "filters");
    assert_int_equal(filters->count, 2);
    assert_string_equal(fr_node_get(filters->items[0], "drop")->text, "3 bar");
    assert_string_equal(filters->items[1]->text, "filter-10");
    assert_string_equal(fr_node_get(fr_node_get(root, "site"), "air_pressure")->text, "1 bar");
    const fr_node *gasoline = fr_node_get(fr_node_get(root, "fuel"), "gasoline");
    assert_string_equal(fr_node_get(gasoline, "density")->text, "740 kg/m3");
    fr_tree_close(tree);
    set(NULL, NULL, NULL);
}

static void a_path_that_leads_nowhere_changes_nothing(void **state) {
    (void)state;
    fr_tree *tree = read_fine("engine: {boost: 1 bar, empty: []}\nlist: [a]\n");
    const fr_node *root = fr_tree_root(tree);
    assert_false(set(tree, "engine.boost.more", "2 bar"));
    assert_false(set(tree, "list.2", "b"));
    assert_false(set(tree, "list.x", "b"));
    assert_false(set(tree, "list.99999999999999999999", "b"));
    assert_false(set(tree, "list.0.x", "b"));
    assert_false(set(tree, "engine.new..x", "b"));
    assert_false(set(tree, "", "b"));
    assert_false(set(tree, ".", "b"));
    assert_false(set(tree, "engine.", "b"));
    assert_int_equal(root->count, 2);
    assert_int_equal(fr_node_get(root, "list")->count, 1);
    for (size_t i = 0; i < fr_node_get(root, "engine")->count; i++) {
        assert_non_null(fr_node_get(root, "engine")->pairs[i].value);
    }
    fr_tree_close(tree);
    set(NULL, NULL, NULL);
}

static void an_empty_tree_can_be_set(void **state) {
    (void)state;
    fr_tree *tree = read_fine("");
    assert_true(set(tree, "engine.cylinders", "4"));
    assert_string_equal(fr_node_get(fr_node_get(fr_tree_root(tree), "engine"), "cylinders")->text,
                        "4");
    fr_tree_close(tree);
    set(NULL, NULL, NULL);
}

static void memory_of_a_tree_is_aligned_and_clear(void **state) {
    (void)state;
    fr_tree *tree = read_fine("a: 1\n");
    for (size_t size = 0; size < 40000; size = size * 2 + 1) {
        unsigned char *memory = fr_tree_alloc(tree, size);
        assert_non_null(memory);
        assert_int_equal((uintptr_t)memory % sizeof(double), 0);
        for (size_t i = 0; i < size; i++) {
            assert_int_equal(memory[i], 0);
        }
        memset(memory, 0xA5, size);
    }
    assert_string_equal(fr_tree_copy(tree, "words"), "words");
    fr_tree_close(tree);
    fr_tree_close(NULL);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_word_knows_its_place),
        cmocka_unit_test(columns_count_characters_not_bytes),
        cmocka_unit_test(nothing_is_a_tree_without_a_root),
        cmocka_unit_test(a_snippet_may_be_a_single_value),
        cmocka_unit_test(an_empty_value_is_an_empty_text),
        cmocka_unit_test(a_key_that_is_not_there_is_null),
        cmocka_unit_test(lines_come_back_as_they_were_read),
        cmocka_unit_test(a_long_line_is_shown_cut_at_a_whole_character),
        cmocka_unit_test(a_mapping_of_forty_thousand_keys_on_one_line_is_read),
        cmocka_unit_test(an_alias_is_written_out_with_the_anchor_s_places),
        cmocka_unit_test(a_name_used_again_is_the_newer_anchor),
        cmocka_unit_test(an_anchor_that_holds_itself_is_refused),
        cmocka_unit_test(an_anchor_bomb_is_refused),
        cmocka_unit_test(too_many_entries_and_anchors_are_refused),
        cmocka_unit_test(nesting_ends_at_thirty_two),
        cmocka_unit_test(a_key_twice_is_told_and_the_first_stays),
        cmocka_unit_test(of_very_many_keys_twice_a_hundred_are_told),
        cmocka_unit_test(a_key_twice_under_an_anchor_is_told_once),
        cmocka_unit_test(a_comma_inside_a_number_is_told_once_a_map),
        cmocka_unit_test(entries_without_a_blank_after_the_comma_are_no_slip),
        cmocka_unit_test(a_tight_colon_inside_brackets_is_told),
        cmocka_unit_test(a_path_is_set),
        cmocka_unit_test(a_path_that_leads_nowhere_changes_nothing),
        cmocka_unit_test(an_empty_tree_can_be_set),
        cmocka_unit_test(memory_of_a_tree_is_aligned_and_clear),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
