/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the sheet did not say and the program filled in, by what it belongs to; parts sized from
 * the car's factory power first, with the caution that belongs to them. */
#include <string.h>

#include "report/assumed_words.h"
#include "report/prose.h"
#include "report/text.h"
#include "report/utf8.h"

enum { GROUP_COLUMNS = 9, LINE_MAX_BYTES = 256, PASTE_INDENT = 4, YAML_INDENT = 2 };

static void write_factory(const fr_text *text, const fr_assumed *assumed, size_t count) {
    for (size_t i = 0; i < count; i++) {
        fr_words words;
        if (!assumed[i].is_factory)
            continue;
        fr_words_clear(&words);
        fr_factory_sentence(&words, &assumed[i]);
        fr_prose(text->out, 2, 2 + GROUP_COLUMNS, words.text);
    }
}

/* Begins an item: the thing is named once for all that follows of it. */
static void add_item(fr_words *words, fr_words *owner, const fr_assumed *assumed) {
    fr_words of;
    fr_words_clear(&of);
    fr_assumed_owner(&of, assumed);
    bool first = words->length == 0, same = strcmp(of.text, owner->text) == 0;
    if (first || !same) {
        fr_words_add(words, "%s%s%s", first ? "" : "; ", of.text, of.length > 0 ? ": " : "");
        *owner = of;
    } else {
        fr_words_add(words, ", ");
    }
    fr_assumed_item(words, assumed);
}

static void write_group(const fr_text *text, const char *group, const fr_assumed *assumed,
                        size_t count) {
    fr_words words, owner;
    fr_words_clear(&words);
    fr_words_clear(&owner);
    for (size_t i = 0; i < count; i++)
        if (!assumed[i].is_factory && strcmp(fr_assumed_group(&assumed[i]), group) == 0)
            add_item(&words, &owner, &assumed[i]);
    if (words.length == 0)
        return;
    fprintf(text->out, "  %-*s", GROUP_COLUMNS, group);
    fr_prose_after(text->out, 2 + GROUP_COLUMNS, words.text);
}

/* ---- lines to paste ---- */

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

/* Names the parents between the section and a line deeper inside it, where they differ from those
 * of the line before. */
static void write_parents(const fr_text *text, const fr_assumed *before, const fr_assumed *at) {
    size_t length = fr_paste_section(at->field, at->paste);
    size_t first = section_length(at->field);
    bool same = before != NULL && fr_paste_section(before->field, before->paste) == length &&
                strncmp(before->field, at->field, length) == 0;
    int indent = PASTE_INDENT;
    for (size_t from = first + 1; !same && from < length;) {
        size_t name = strcspn(at->field + from, ".");
        indent += YAML_INDENT;
        fprintf(text->out, "%*s%.*s:\n", indent, "", (int)name, at->field + from);
        from += name + 1;
    }
}

/* Where the lines belong: under a section of the sheet, or at its end with the section's name. */
static void write_section(const fr_text *text, const fr_assumed *first, const fr_assumed *end) {
    const fr_sheet *sheet = text->document->sheet;
    const fr_assumed *before = NULL;
    size_t length = section_length(first->field);
    size_t line = line_of_section(sheet, first->field, length);
    char file[LINE_MAX_BYTES];
    fr_text_clean(fr_sheet_file(sheet), file, sizeof file);
    if (line > 0)
        fprintf(text->out, "  %s:%zu, %.*s:\n", file, line, (int)length, first->field);
    else
        fprintf(text->out, "  %s, at its end:\n    %.*s:\n", file, (int)length, first->field);
    for (const fr_assumed *at = first; at < end; at++) {
        const char *second = strchr(at->paste, '\n');
        bool brings_section = line == 0 && second != NULL;
        if (!same_section(at, first))
            continue;
        if (!brings_section)
            write_parents(text, before, at);
        fr_write_lines(text->out, PASTE_INDENT, brings_section ? second + 1 : at->paste);
        before = at;
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
    for (const char *const *group = fr_assumed_groups; *group != NULL; group++)
        write_group(text, *group, assumed, count);
    if (text->style.detail)
        write_pastes(text, assumed, count);
}
