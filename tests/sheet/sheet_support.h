/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Opening sheets from text in tests, and comparing the builds that come of them. */
#ifndef FR_TESTS_SHEET_SUPPORT_H
#define FR_TESTS_SHEET_SUPPORT_H

#include "fuelreach/sheet.h"
#include "support.h"

enum { SHEET_TEXT_MAX = 16384 };

/* Opens a text with settings (a list that ends with null, or null); its remarks stay in `report`.
 * Null when it was refused. */
static inline fr_sheet *try_sheet(const char *text, const char *const *sets,
                                  const char *const *parts, fr_report *report) {
    fr_sheet_options options = {.sets = sets, .parts_dirs = parts};
    fr_sheet *sheet = NULL;
    while (sets != NULL && sets[options.set_count] != NULL)
        options.set_count++;
    while (parts != NULL && parts[options.parts_dir_count] != NULL)
        options.parts_dir_count++;
    fr_status status =
        fr_sheet_open_text("test.yaml", text, strlen(text), &options, report, &sheet);
    assert_int_equal(sheet != NULL, status == FR_OK);
    return sheet;
}

/* The same; fails, with what was said, when it is refused. */
static inline fr_sheet *open_sheet_with(const char *text, const char *const *sets) {
    fr_report report = FR_REPORT_EMPTY;
    fr_sheet *sheet = try_sheet(text, sets, NULL, &report);
    if (sheet == NULL) {
        print_error("refused:\n%s\n", text);
        support_print_report(&report);
        fail();
    }
    fr_report_close(&report);
    return sheet;
}

static inline fr_sheet *open_sheet(const char *text) {
    return open_sheet_with(text, NULL);
}

/* A text with PLACE (once) in it replaced. Static storage, good until the call after the next. */
static inline const char *with_text(const char *text, const char *place, const char *new_text) {
    static char places[2][SHEET_TEXT_MAX];
    static size_t turn;
    char made[SHEET_TEXT_MAX]; /* the text may be one of the places */
    const char *at = strstr(text, place);
    assert_non_null(at);
    snprintf(made, sizeof made, "%.*s%s%s", (int)(at - text), text, new_text, at + strlen(place));
    return memcpy(places[turn++ % 2], made, sizeof made);
}

static inline const fr_assumed *find_assumed(const fr_sheet *sheet, const char *field) {
    size_t count;
    const fr_assumed *all = fr_sheet_assumed(sheet, &count);
    for (size_t i = 0; i < count; i++)
        if (strcmp(all[i].field, field) == 0)
            return &all[i];
    return NULL;
}

static inline const fr_input *find_input(const fr_sheet *sheet, const char *name) {
    size_t count;
    const fr_input *all = fr_sheet_inputs(sheet, &count);
    for (size_t i = 0; i < count; i++)
        if (strcmp(all[i].name, name) == 0)
            return &all[i];
    return NULL;
}

/* First place where two builds differ by more than a relative tolerance; null when nowhere. */
const char *builds_differ(const fr_build *a, const fr_build *b, double tolerance);

#endif
