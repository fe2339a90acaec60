/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Characters, sentences and tables as they reach a page. */
#include "report/prose.h"
#include "report/table.h"
#include "report/utf8.h"
#include "report/words.h"
#include "support.h"

static void wide_and_combining_characters_take_the_columns_a_terminal_gives_them(void **state) {
    (void)state;
    assert_int_equal(fr_text_columns("Tern"), 4);
    assert_int_equal(fr_text_columns("45 °C"), 5);
    assert_int_equal(fr_text_columns("燕鷗"), 4);
    assert_int_equal(fr_text_columns("e\xCC\x81t"), 2); /* e, combining acute, t */
    assert_int_equal(fr_text_columns("ｶﾞ"), 2);         /* half-width forms stay narrow */
}

static void what_would_change_a_terminal_becomes_a_mark(void **state) {
    (void)state;
    char out[64];
    fr_text_clean("a\033[31mb\a\x7f"
                  "c\xC2\x9B"
                  "d",
                  out, sizeof out);
    assert_string_equal(out, "a\xEF\xBF\xBD[31mb\xEF\xBF\xBD\xEF\xBF\xBD"
                             "c\xEF\xBF\xBD"
                             "d");
    fr_text_clean("left\xE2\x80\xAEthgir", out, sizeof out); /* right-to-left override */
    assert_string_equal(out, "left\xEF\xBF\xBDthgir");
    fr_text_clean("a\tb\nc", out, sizeof out);
    assert_string_equal(out, "a b c");
}

static void bytes_that_are_not_utf8_become_marks_one_by_one(void **state) {
    (void)state;
    char out[64];
    fr_text_clean("a\xB0"
                  "b\xC3",
                  out, sizeof out);
    assert_string_equal(out, "a\xEF\xBF\xBD"
                             "b\xEF\xBF\xBD");
    fr_text_clean("\xC0\xAF", out, sizeof out); /* an overlong '/' */
    assert_string_equal(out, "\xEF\xBF\xBD\xEF\xBF\xBD");
    fr_text_clean("\xED\xA0\x80", out, sizeof out); /* half of a surrogate pair */
    assert_string_equal(out, "\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD");
}

static void a_tower_of_accents_keeps_four(void **state) {
    (void)state;
    char tower[1 + 2 * 40 + 1] = "a";
    char out[128];
    for (size_t i = 0; i < 40; i++)
        memcpy(tower + 1 + 2 * i, "\xCC\x81", 3);
    fr_text_clean(tower, out, sizeof out);
    assert_int_equal(strlen(out), 1 + 2 * 4);
}

static void a_text_is_cut_between_characters_with_an_ellipsis(void **state) {
    (void)state;
    char out[64];
    fr_text_fit("Tern hatch", 10, out, sizeof out);
    assert_string_equal(out, "Tern hatch");
    fr_text_fit("Tern hatches", 10, out, sizeof out);
    assert_string_equal(out, "Tern hatc…");
    fr_text_fit("燕鷗燕鷗", 6, out, sizeof out); /* half a wide character does not fit */
    assert_string_equal(out, "燕鷗…");
    char small[8];
    fr_text_clean("燕鷗燕鷗", small, sizeof small);
    assert_string_equal(small, "燕");
}

static void every_code_point_survives_being_written_and_read(void **state) {
    (void)state;
    for (uint32_t code = 1; code <= 0x10FFFF; code += 7) {
        char bytes[FR_UTF8_BYTES_MAX];
        uint32_t back;
        if (code >= 0xD800 && code <= 0xDFFF)
            continue;
        size_t length = fr_utf8_encode(code, bytes);
        assert_int_equal(fr_utf8_decode(bytes, length, &back), length);
        assert_int_equal(back, code);
    }
}

static void a_sentence_that_is_too_long_ends_in_a_whole_character(void **state) {
    (void)state;
    fr_words words;
    fr_words_clear(&words);
    for (size_t i = 0; i < FR_WORDS_MAX; i++)
        fr_words_add(&words, "°");
    assert_int_equal(words.length, strlen(words.text));
    assert_true(words.length < FR_WORDS_MAX);
    for (size_t at = 0; at < words.length; at += 2)
        assert_memory_equal(words.text + at, "°", 2);
}

static char *prose(size_t first, size_t rest, const char *text, size_t lead) {
    static char out[1024];
    FILE *file = tmpfile();
    assert_non_null(file);
    fr_prose_led(file, first, rest, text, lead, lead > 0, FR_BAD);
    rewind(file);
    size_t length = fread(out, 1, sizeof out - 1, file);
    out[length] = '\0';
    fclose(file);
    return out;
}

static void a_number_stays_with_its_unit(void **state) {
    (void)state;
    assert_string_equal(
        prose(0, 4,
              "1234567890 1234567890 1234567890 1234567890 1234567890 a 1234567890 bcd "
              "needs 229 L/h",
              0),
        "1234567890 1234567890 1234567890 1234567890 1234567890 a 1234567890 bcd needs\n"
        "    229 L/h\n");
}

static void a_word_longer_than_the_page_stands_alone(void **state) {
    (void)state;
    char text[140];
    memset(text, 'x', sizeof text);
    memcpy(text, "short ", 6);
    text[sizeof text - 1] = '\0';
    const char *out = prose(2, 4, text, 0);
    assert_contains(out, "  short\n    xxxx");
}

static void colour_wraps_the_lead_and_nothing_else(void **state) {
    (void)state;
    assert_string_equal(prose(0, 0, "RUNS SHORT on E85", 10),
                        "\033[1;31mRUNS SHORT\033[0m on E85\n");
}

static char *table(const fr_table *of) {
    static char out[4096];
    FILE *file = tmpfile();
    assert_non_null(file);
    fr_table_write(file, of, false);
    rewind(file);
    size_t length = fread(out, 1, sizeof out - 1, file);
    out[length] = '\0';
    fclose(file);
    return out;
}

static void a_table_lines_up_by_what_people_see(void **state) {
    (void)state;
    static fr_table of;
    of = (fr_table){.indent = 1};
    size_t name = fr_table_add_column(&of, "Part", "", true, 0);
    size_t flow = fr_table_add_column(&of, "Flow", "L/h", false, 0);
    assert_true(fr_table_add_row(&of));
    fr_table_set(&of, name, FR_PLAIN, "燕");
    fr_table_set(&of, flow, FR_PLAIN, "7");
    assert_true(fr_table_add_row(&of));
    fr_table_set(&of, name, FR_PLAIN, "pump\033[2J");
    fr_table_set(&of, flow, FR_PLAIN, "255");
    assert_string_equal(table(&of), " Part       Flow\n"
                                    "             L/h\n"
                                    " 燕            7\n"
                                    " pump�[2J    255\n");
}

static void a_table_too_wide_leaves_out_what_can_be_spared(void **state) {
    (void)state;
    static fr_table of;
    of = (fr_table){.indent = 0};
    for (size_t c = 0; c < 8; c++)
        fr_table_add_column(&of, c == 3 ? "spare column" : "twelve wide!", "", false, c == 3);
    assert_null(strstr(table(&of), "spare"));
    of.column_count = 6;
    assert_contains(table(&of), "spare column");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(wide_and_combining_characters_take_the_columns_a_terminal_gives_them),
        cmocka_unit_test(what_would_change_a_terminal_becomes_a_mark),
        cmocka_unit_test(bytes_that_are_not_utf8_become_marks_one_by_one),
        cmocka_unit_test(a_tower_of_accents_keeps_four),
        cmocka_unit_test(a_text_is_cut_between_characters_with_an_ellipsis),
        cmocka_unit_test(every_code_point_survives_being_written_and_read),
        cmocka_unit_test(a_sentence_that_is_too_long_ends_in_a_whole_character),
        cmocka_unit_test(a_number_stays_with_its_unit),
        cmocka_unit_test(a_word_longer_than_the_page_stands_alone),
        cmocka_unit_test(colour_wraps_the_lead_and_nothing_else),
        cmocka_unit_test(a_table_lines_up_by_what_people_see),
        cmocka_unit_test(a_table_too_wide_leaves_out_what_can_be_spared),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
