/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files that are no UTF-8 text, and those that only look as if they were not. */
#include "support.h"

#include "sheet/tree.h"

typedef struct row {
    const char *text;
    size_t length;
    size_t line, column;
    const char *told;
    const char *excerpt; /* null: none */
} row;

#define BYTES(text) text, sizeof(text) - 1

static void check_rows(const row *rows, size_t count) {
    for (size_t i = 0; i < count; i++) {
        fr_report report = FR_REPORT_EMPTY;
        fr_tree *tree = NULL;
        char spelled[1200];
        fr_status status = fr_tree_read("f", rows[i].text, rows[i].length, &report, &tree);
        assert_int_equal(status, FR_BAD_INPUT);
        assert_null(tree);
        assert_int_equal(report.count, 1);
        const fr_remark *remark = &report.remarks[0];
        snprintf(spelled, sizeof spelled, "%s; %s", remark->message, remark->hint);
        assert_string_equal(spelled, rows[i].told);
        assert_int_equal(remark->line, rows[i].line);
        assert_int_equal(remark->column, rows[i].column);
        if (rows[i].excerpt == NULL) {
            assert_null(remark->excerpt);
        } else {
            assert_non_null(remark->excerpt);
            assert_string_equal(remark->excerpt, rows[i].excerpt);
        }
        fr_report_close(&report);
    }
}

#define CHECK(rows) check_rows(rows, sizeof(rows) / sizeof((rows)[0]))

static void bytes_of_an_old_code_page_are_named(void **state) {
    (void)state;
#define OLD " is not UTF-8: the file was saved in an old Windows code page; save it as UTF-8"
    static const row rows[] = {
        {BYTES("site:\n  feed_temperature: 45 \xB0"
               "C\n"),
         2, 24, "byte 0xB0" OLD ", or write '45 C'", "  feed_temperature: 45 ?C"},
        {BYTES("a: 45\xB0"
               "C  # warm\r\n"),
         1, 6, "byte 0xB0" OLD ", or write '45 C'", "a: 45?C  # warm"},
        {BYTES("a: {b: 113\xBA"
               "F, c: 1}"),
         1, 11, "byte 0xBA" OLD ", or write '113 F'", "a: {b: 113?F, c: 1}"},
        {BYTES("a: 240 \xB0"), 1, 8, "byte 0xB0" OLD ", or write '240 deg'", "a: 240 ?"},
        {BYTES("a: 1.5 \xB5m"), 1, 8, "byte 0xB5" OLD ", or write '1.5 um'", "a: 1.5 ?m"},
        {BYTES("a: 6 mm\xB2"), 1, 8, "byte 0xB2" OLD ", or write '6 mm2'", "a: 6 mm?"},
        {BYTES("a: 13.6 V \xB1 0.2 V"), 1, 11, "byte 0xB1" OLD ", or write '13.6 V +/- 0.2 V'",
         "a: 13.6 V ? 0.2 V"},
        {BYTES("name: Ren\xE9\n"), 1, 10, "byte 0xE9" OLD, "name: Ren?"},
        {BYTES("name: \x93Tern\x94\n"), 1, 7, "byte 0x93" OLD, "name: ?Tern?"},
        {BYTES("# caf\xE9 45 \xB0"
               "C"),
         1, 6, "byte 0xE9" OLD, "# caf? 45 ?C"},
    };
    CHECK(rows);
}

static void columns_count_characters(void **state) {
    (void)state;
    static const row rows[] = {
        {BYTES("name: \u00C9t\u00E9 \xE9\n"), 1, 11, "byte 0xE9" OLD, "name: \u00C9t\u00E9 ?"},
    };
    CHECK(rows);
}

static void broken_utf8_is_found(void **state) {
    (void)state;
    static const row rows[] = {
        {BYTES("a: \xC3"), 1, 4, "byte 0xC3" OLD, "a: ?"},           /* cut off */
        {BYTES("a: \xC0\xAF"), 1, 4, "byte 0xC0" OLD, "a: ??"},      /* written too long */
        {BYTES("a: \xED\xA0\x80"), 1, 4, "byte 0xED" OLD, "a: ???"}, /* half a surrogate pair */
        {BYTES("a: \xF4\x90\x80\x80"), 1, 4, "byte 0xF4" OLD, "a: ????"}, /* beyond U+10FFFF */
        {BYTES("a: \x80"), 1, 4, "byte 0x80" OLD, "a: ?"},
        {BYTES("a: \xFE"), 1, 4, "byte 0xFE" OLD, "a: ?"},
    };
    CHECK(rows);
}

static void other_kinds_of_file_are_named(void **state) {
    (void)state;
#define PLAIN "; save it as plain text, UTF-8"
    static const row rows[] = {
        {BYTES("\xFF\xFE"
               "n\0a\0m\0e\0"),
         1, 1, "this is UTF-16 text" PLAIN, NULL},
        {BYTES("\xFE\xFF"
               "\0n\0a\0m\0e"),
         1, 1, "this is UTF-16 text" PLAIN, NULL},
        {BYTES("n\0a\0m\0e\0"), 1, 1, "this is UTF-16 text" PLAIN, NULL},
        {BYTES("\0n\0a\0m\0e"), 1, 1, "this is UTF-16 text" PLAIN, NULL},
        {BYTES("PK\x03\x04\x14\0"), 1, 1, "this is a ZIP file (a word processor's?)" PLAIN, NULL},
        {BYTES("\xD0\xCF\x11\xE0\xA1"), 1, 1, "this is an old word processor's file" PLAIN, NULL},
        {BYTES("{\\rtf1\\ansi"), 1, 1, "this is a rich text file (a word processor's)" PLAIN, NULL},
        {BYTES("%PDF-1.4\n"), 1, 1, "this is a PDF file" PLAIN, NULL},
        {BYTES("\x1F\x8B\x08\0"), 1, 1, "this is a compressed file" PLAIN, NULL},
    };
    CHECK(rows);
}

static void invisible_characters_are_refused(void **state) {
    (void)state;
#define INVISIBLE(code) "an invisible character (U+" code ") that no text should hold; "
    static const row rows[] = {
        {BYTES("name: Te\0rn"), 1, 9,
         INVISIBLE("0000") "take it out, or save it as plain text, UTF-8", "name: Te?rn"},
        {BYTES("a: 1\nb: \x1B[0m"), 2, 4,
         INVISIBLE("001B") "take it out, or save it as plain text, UTF-8", "b: ?[0m"},
        {BYTES("a: \xEF\xBB\xBF"), 1, 4,
         INVISIBLE("FEFF") "take it out, or save it as plain text, UTF-8", "a: ?"},
        {BYTES("a: \x7F"), 1, 4, INVISIBLE("007F") "take it out, or save it as plain text, UTF-8",
         "a: ?"},
    };
    CHECK(rows);
}

static void more_than_a_mebibyte_is_refused(void **state) {
    (void)state;
    size_t limit = 1024 * 1024;
    char *text = malloc(limit + 1);
    assert_non_null(text);
    memset(text, '#', limit + 1);
    const row too_long = {
        text, limit + 1, 1, 1, "over 1 MiB; a build sheet is a page or two of text", NULL};
    check_rows(&too_long, 1);
    fr_report report = FR_REPORT_EMPTY;
    fr_tree *tree = NULL;
    assert_int_equal(fr_tree_read("f", text, limit, &report, &tree), FR_OK);
    fr_tree_close(tree);
    fr_report_close(&report);
    free(text);
}

static void check_fine(const char *text, size_t length) {
    fr_report report = FR_REPORT_EMPTY;
    fr_tree *tree = NULL;
    assert_int_equal(fr_tree_read("f", text, length, &report, &tree), FR_OK);
    assert_no_errors(&report);
    fr_node *name = fr_node_get(fr_tree_root(tree), "name");
    assert_non_null(name);
    assert_string_equal(name->text, "T\u00E9rn");
    assert_int_equal(name->line, 2);
    assert_int_equal(name->column, 7);
    fr_tree_close(tree);
    fr_report_close(&report);
}

static void a_byte_order_mark_and_any_line_end_are_taken(void **state) {
    (void)state;
    check_fine(BYTES("# x\nname: T\u00E9rn\n"));
    check_fine(BYTES("# x\r\nname: T\u00E9rn\r\n"));
    check_fine(BYTES("# x\rname: T\u00E9rn\r"));
    check_fine(BYTES("\xEF\xBB\xBF# x\nname: T\u00E9rn"));
    check_fine(BYTES("\xEF\xBB\xBF# x\r\nname: T\u00E9rn\r\n"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bytes_of_an_old_code_page_are_named),
        cmocka_unit_test(columns_count_characters),
        cmocka_unit_test(broken_utf8_is_found),
        cmocka_unit_test(other_kinds_of_file_are_named),
        cmocka_unit_test(invisible_characters_are_refused),
        cmocka_unit_test(more_than_a_mebibyte_is_refused),
        cmocka_unit_test(a_byte_order_mark_and_any_line_end_are_taken),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
