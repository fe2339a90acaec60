/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every shipped part: what it says of itself. */
#include "components/shelf.h"

#include <ctype.h>

/* Least number of parts of a kind, and of all together. */
static const size_t least_of_kind[FR_PART_KIND_COUNT] = {
    [FR_PART_LIFT_PUMP] = 12,      [FR_PART_PORT_INJECTOR] = 10,
    [FR_PART_DIRECT_INJECTOR] = 5, [FR_PART_HIGH_PRESSURE_PUMP] = 6,
    [FR_PART_FILTER] = 5,          [FR_PART_LINE] = 8,
    [FR_PART_WIRING] = 5,          [FR_PART_GASOLINE] = 4,
};
static const size_t least_of_all = 50;

/* Words that a title or note may write with a capital inside a sentence: units, and terms of the
 * trade. Any other is taken for somebody's name. */
static const char *const capitals_allowed[] = {"A", "AWG", "E10", "E85", "L", "L/h", "PTFE", "US"};

static void every_kind_is_well_stocked(void **state) {
    size_t total = 0;
    (void)state;
    for (int kind = 0; kind < FR_PART_KIND_COUNT; kind++) {
        size_t at = 0;
        size_t found = 0;
        while (next_part((fr_part_kind)kind, &at) != NULL) {
            found++;
        }
        if (found < least_of_kind[kind]) {
            fail_msg("%zu parts of kind %s, at least %zu wanted", found,
                     fr_part_kind_name((fr_part_kind)kind), least_of_kind[kind]);
        }
        total += found;
    }
    assert_true(total >= least_of_all);
}

static void every_part_says_what_it_is_and_that_it_is_invented(void **state) {
    size_t count = 0;
    const fr_part *parts = shelf_parts(&count);
    (void)state;
    for (size_t i = 0; i < count; i++) {
        const fr_part *part = &parts[i];
        check_part(part, strlen(part->title) > 10, "a title that tells what it is");
        check_part(part, strlen(part->title) <= 51, "a title that fits a list of 80 columns");
        check_part(part, strlen(part->notes) > 20, "notes that help at a counter");
        check_part(part, strstr(part->source, "invented") != NULL, "source says invented");
        check_part(part, strstr(part->source, "typical of its class") != NULL,
                   "source says typical of its class");
        check_part(part, !part->hides_shipped, "one part of a name");
    }
}

static void a_name_is_class_and_size_in_small_letters(void **state) {
    size_t count = 0;
    const fr_part *parts = shelf_parts(&count);
    (void)state;
    for (size_t i = 0; i < count; i++) {
        for (const char *c = parts[i].name; *c != '\0'; c++) {
            check_part(&parts[i],
                       islower((unsigned char)*c) || isdigit((unsigned char)*c) || *c == '-',
                       "small letters, digits and hyphens");
        }
        if (parts[i].kind != FR_PART_GASOLINE) {
            check_part(&parts[i],
                       number_in(parts[i].name) > 0.0 || strcmp(parts[i].name, "filter-small") == 0,
                       "a size in the name");
        }
    }
}

static bool capital_allowed(const char *word, size_t length) {
    for (size_t i = 0; i < sizeof capitals_allowed / sizeof capitals_allowed[0]; i++) {
        if (strlen(capitals_allowed[i]) == length &&
            strncmp(capitals_allowed[i], word, length) == 0) {
            return true;
        }
    }
    return false;
}

/* A capital inside a sentence is a name, unless it is one of the few allowed. */
static void check_no_names(const fr_part *part, const char *text) {
    bool sentence_begins = true;
    while (*text != '\0') {
        size_t length = strcspn(text, " ,;:.()");
        if (length > 0 && isupper((unsigned char)*text) && !sentence_begins &&
            !capital_allowed(text, length)) {
            fail_msg("%s: '%.*s' looks like a name", part->name, (int)length, text);
        }
        sentence_begins = length > 0 ? false : sentence_begins;
        text += length;
        while (*text != '\0' && strchr(" ,;:.()", *text) != NULL) {
            sentence_begins = sentence_begins || *text == '.';
            text++;
        }
    }
}

static void no_part_bears_a_name_of_a_maker_or_a_car(void **state) {
    size_t count = 0;
    const fr_part *parts = shelf_parts(&count);
    (void)state;
    for (size_t i = 0; i < count; i++) {
        check_no_names(&parts[i], parts[i].title);
        check_no_names(&parts[i], parts[i].notes);
    }
}

static void what_is_sold_has_a_price_and_what_pumps_or_injects_a_spread(void **state) {
    size_t count = 0;
    const fr_part *parts = shelf_parts(&count);
    (void)state;
    for (size_t i = 0; i < count; i++) {
        const fr_part *part = &parts[i];
        if (part->kind != FR_PART_GASOLINE) {
            check_part(part, part->price >= 5.0 && part->price <= 2000.0, "a price of this trade");
        }
        if (part->kind <= FR_PART_HIGH_PRESSURE_PUMP) {
            check_part(part, part->spread >= 0.03 && part->spread <= 0.15, "a spread of 3 to 15 %");
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_kind_is_well_stocked),
        cmocka_unit_test(every_part_says_what_it_is_and_that_it_is_invented),
        cmocka_unit_test(a_name_is_class_and_size_in_small_letters),
        cmocka_unit_test(no_part_bears_a_name_of_a_maker_or_a_car),
        cmocka_unit_test(what_is_sold_has_a_price_and_what_pumps_or_injects_a_spread),
    };
    return cmocka_run_group_tests(tests, shelf_open, shelf_close);
}
