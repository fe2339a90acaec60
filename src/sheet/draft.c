/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A starter sheet: what is needed with an example, all else as a comment with its default. */
#include <stdio.h>
#include <string.h>

#include "sheet/fields.h"

enum { WIDTH = 80, INDENT = 2 };

static void put_indent(FILE *out, int columns) {
    fprintf(out, "%*s", columns, "");
}

/* Characters of UTF-8 text, for the width of a line. */
static size_t characters(const char *text, size_t bytes) {
    size_t count = 0;
    for (size_t i = 0; i < bytes; i++)
        count += ((unsigned char)text[i] & 0xC0u) != 0x80u;
    return count;
}

/* A comment, broken between words. */
static void put_comment(FILE *out, int indent, const char *text) {
    size_t column = 0;
    while (*text) {
        size_t length = strcspn(text, " ");
        size_t wide = characters(text, length);
        if (column == 0 || column + 1 + wide > WIDTH) {
            fputs(column ? "\n" : "", out);
            put_indent(out, indent);
            fputs("# ", out);
            column = (size_t)indent + 2;
        } else {
            fputc(' ', out);
            column++;
        }
        fprintf(out, "%.*s", (int)length, text);
        column += wide;
        text += length;
        text += strspn(text, " ");
    }
    fputc('\n', out);
}

static void put_help(FILE *out, int indent, const fr_field *field) {
    char text[1024];
    size_t used = (size_t)snprintf(text, sizeof text, "%s", field->help);
    if (field->words && field->shape == FR_SHAPE_WORD) {
        used += (size_t)snprintf(text + used, sizeof text - used, " One of");
        for (size_t i = 0; i < field->words->count; i++)
            used += (size_t)snprintf(text + used, sizeof text - used, "%s %s", i ? "," : "",
                                     field->words->words[i].word);
        used += (size_t)snprintf(text + used, sizeof text - used, ".");
    }
    if (field->axis != FR_AXIS_NONE)
        used += (size_t)snprintf(text + used, sizeof text - used, " May be a curve over %s.",
                                 fr_axis_name(field->axis));
    if (field->default_rule)
        snprintf(text + used, sizeof text - used, " Default: %s.", field->default_rule);
    put_comment(out, indent, text);
}

static const char *shown_value(const fr_field *field) {
    if (field->in_draft && field->example)
        return field->example;
    if (field->default_text)
        return field->default_text;
    return field->example ? field->example : "";
}

static void put_section(FILE *out, const fr_section *section, int indent);

/* A section's name stands even where all below it is commented: then one sign is enough to say
 * more. */
static void put_subsection(FILE *out, const fr_field *field, int indent) {
    const fr_section *section = fr_section_of(field->section);
    if (indent == 0)
        fputc('\n', out);
    put_comment(out, indent, field->help);
    put_indent(out, indent);
    fprintf(out, "%s:\n", field->key);
    put_section(out, section, indent + INDENT);
}

static bool is_spelled_out(const fr_field *field) {
    return field->shape == FR_SHAPE_SECTION && field->section != FR_SECTION_FITTING;
}

static void put_field(FILE *out, const fr_field *field, int indent, bool live) {
    if (is_spelled_out(field)) {
        put_subsection(out, field, indent);
        return;
    }
    /* Columns of a log are named alike: said once, over the section. */
    if (field->shape != FR_SHAPE_CHANNEL)
        put_help(out, indent, field);
    put_indent(out, indent);
    fprintf(out, "%s%s: %s\n", live ? "" : "# ", field->key, shown_value(field));
}

static void put_section(FILE *out, const fr_section *section, int indent) {
    for (size_t i = 0; i < section->count; i++)
        /* What a log has taught is written by 'fuelreach review', not by hand. */
        if (section->fields[i].section != FR_SECTION_LEARNT)
            put_field(out, &section->fields[i], indent, section->fields[i].in_draft);
}

void fr_sheet_write_draft(FILE *out) {
    put_comment(
        out, 0,
        "A build sheet to start from. The lines that begin with a name are needed, or worth "
        "knowing first: put your own figures there.");
    put_comment(out, 0,
                "The lines that begin with '#' show what is assumed as long as they stay so, or an "
                "example: take the '#' and the blank behind it away and change the figure.");
    put_comment(out, 0, "Every figure carries its unit; any unit of the right kind will do.");
    fputc('\n', out);
    put_section(out, fr_section_of(FR_SECTION_TOP), 0);
}
