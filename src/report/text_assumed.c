/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the sheet did not say and the program filled in, by what it belongs to; parts sized from
 * the car's factory power first, with the caution that belongs to them. */
#include <string.h>

#include "report/document_words.h"
#include "report/prose.h"
#include "report/text.h"
#include "report/utf8.h"

enum { GROUP_COLUMNS = 9, LONG_VALUE = 30, LINE_MAX_BYTES = 256 };

/* Where an assumption is listed. The first row that a field begins with decides. */
static const struct {
    const char *prefix;
    const char *group;
} groups[] = {
    {"supply.lift_pump", "parts"},     {"supply.port_injection", "parts"},
    {"supply.direct_injection", "parts"}, {"supply", "supply"},
    {"engine", "engine"},              {"site", "site"},
    {"fuel", "fuel"},                  {"", "other"},
};

static const char *const group_order[] = {"supply", "engine", "site", "fuel", "parts", "other"};

/* Fields whose own name says too little, or in another way than the trade. */
static const struct {
    const char *field;
    const char *label;
} labels[] = {
    {"engine.bsfc", "BSFC"},
    {"engine.bsfc_blend", "BSFC measured on"},
    {"engine.bsfc_lambda", "BSFC measured at lambda"},
    {"engine.bsfc_scaling", "BSFC carried over by"},
    {"engine.same_air_gain", "extra work from the same air"},
    {"engine.charge_temperature", "charge air"},
    {"engine.idle_speed", "idle at"},
    {"engine.peak_power_at", "most power at"},
    {"engine.rev_limit", "rev limit"},
    {"site.air_pressure", "air"},
    {"site.tank_temperature", "fuel in the tank"},
    {"site.feed_temperature", "fuel in the feed"},
    {"site.rail_temperature", "fuel in the rail"},
    {"site.supply_voltage", "supply"},
    {"fuel.gasoline", "gasoline"},
};

static const char *group_of(const char *field) {
    for (size_t i = 0; i < sizeof groups / sizeof groups[0]; i++)
        if (strncmp(field, groups[i].prefix, strlen(groups[i].prefix)) == 0)
            return groups[i].group;
    return "other";
}

/* "supply.feed_pressure" -> "feed pressure". */
static void add_label(fr_words *words, const char *field) {
    for (size_t i = 0; i < sizeof labels / sizeof labels[0]; i++)
        if (strcmp(field, labels[i].field) == 0) {
            fr_words_add(words, "%s", labels[i].label);
            return;
        }
    const char *dot = strrchr(field, '.');
    for (const char *at = dot == NULL ? field : dot + 1; *at != '\0'; at++)
        fr_words_add(words, "%c", *at == '_' ? ' ' : *at);
}

/* A curve or a list would fill lines; why it was taken says more. */
static void add_item(fr_words *words, const fr_assumed *assumed) {
    add_label(words, assumed->field);
    if (fr_text_columns(assumed->value) <= LONG_VALUE)
        fr_words_add(words, " %s", assumed->value);
    else
        fr_words_add(words, ": %s", assumed->why);
}

static void write_factory(const fr_text *text, const fr_assumed *assumed, size_t count) {
    for (size_t i = 0; i < count; i++) {
        fr_words words;
        if (!assumed[i].is_factory)
            continue;
        fr_words_clear(&words);
        add_label(&words, assumed[i].field);
        fr_words_add(&words,
                     " %s: sized from the car's factory power by common practice, no source. A "
                     "real one may be smaller: find its part and its rating.",
                     assumed[i].value);
        fr_prose(text->out, 2, 2 + GROUP_COLUMNS, words.text);
    }
}

static void write_group(const fr_text *text, const char *group, const fr_assumed *assumed,
                        size_t count) {
    fr_words words;
    size_t found = 0;
    fr_words_clear(&words);
    for (size_t i = 0; i < count; i++) {
        if (assumed[i].is_factory || strcmp(group_of(assumed[i].field), group) != 0)
            continue;
        if (found++ > 0)
            fr_words_add(&words, ", ");
        add_item(&words, &assumed[i]);
    }
    if (found == 0)
        return;
    fprintf(text->out, "  %-*s", GROUP_COLUMNS, group);
    fr_prose_after(text->out, 2 + GROUP_COLUMNS, words.text);
}

/* The line of the sheet where a section begins, 0 when it is not there. */
static size_t line_of_section(const fr_sheet *sheet, const char *section, size_t length) {
    size_t size, line = 1;
    const char *text = fr_sheet_text(sheet, &size);
    for (size_t at = 0; at < size; line++) {
        const char *end = memchr(text + at, '\n', size - at);
        size_t bytes = end == NULL ? size - at : (size_t)(end - (text + at));
        if (bytes > length && memcmp(text + at, section, length) == 0 && text[at + length] == ':')
            return line;
        at += bytes + 1;
    }
    return 0;
}

static size_t section_length(const char *field) {
    return strcspn(field, ".");
}

static bool same_section(const fr_assumed *a, const fr_assumed *b) {
    size_t length = section_length(a->field);
    return section_length(b->field) == length && strncmp(a->field, b->field, length) == 0;
}

/* Where the lines belong: under a section of the sheet, or at its end with the section's name. */
static void write_section(const fr_text *text, const fr_assumed *first, const fr_assumed *end) {
    const fr_sheet *sheet = text->document->sheet;
    size_t length = section_length(first->field);
    size_t line = line_of_section(sheet, first->field, length);
    char file[LINE_MAX_BYTES];
    fr_text_clean(fr_sheet_file(sheet), file, sizeof file);
    if (line > 0)
        fprintf(text->out, "  %s:%zu, under %.*s:\n", file, line, (int)length, first->field);
    else
        fprintf(text->out, "  %s, at its end:\n    %.*s:\n", file, (int)length, first->field);
    for (const fr_assumed *at = first; at < end; at++) {
        const char *second = strchr(at->paste, '\n');
        bool brings_section = line == 0 && second != NULL;
        if (same_section(at, first))
            fr_write_lines(text->out, 4, brings_section ? second + 1 : at->paste);
    }
}

static void write_pastes(const fr_text *text, const fr_assumed *assumed, size_t count) {
    fputc('\n', text->out);
    fr_prose(text->out, 0, 0,
             "Lines that say them, to change and to paste into the sheet. One that repeats what "
             "the sheet has in { } takes that line's place.");
    for (size_t i = 0; i < count; i++) {
        bool seen = false;
        for (size_t j = 0; j < i; j++)
            seen = seen || same_section(&assumed[j], &assumed[i]);
        if (!seen)
            write_section(text, &assumed[i], assumed + count);
    }
}

void fr_text_assumed(const fr_text *text) {
    size_t count;
    const fr_assumed *assumed = fr_sheet_assumed(text->document->sheet, &count);
    if (count == 0) {
        fputs("\nNothing was assumed: the sheet says it all.\n", text->out);
        return;
    }
    fprintf(text->out, "\nAssumed, not in the sheet%s\n",
            text->style.detail ? "" : "            (lines that say them: --detail)");
    write_factory(text, assumed, count);
    for (size_t i = 0; i < sizeof group_order / sizeof group_order[0]; i++)
        write_group(text, group_order[i], assumed, count);
    if (text->style.detail)
        write_pastes(text, assumed, count);
}
