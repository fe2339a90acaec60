/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The field reference, in Markdown, made from the field table. */
#include <stdio.h>
#include <string.h>

#include "sheet/fields.h"

/* "|" would end a cell of the table. */
static void put_cell(FILE *out, const char *text) {
    for (; *text; text++) {
        if (*text == '|')
            fputc('\\', out);
        fputc(*text, out);
    }
}

static void put_kinds(FILE *out, fr_kinds kinds) {
    bool first = true;
    for (int kind = 0; kind < FR_KIND_COUNT; kind++) {
        if (!(kinds & FR_KINDS(kind)))
            continue;
        fprintf(out, "%s%s", first ? "" : " or ", fr_kind_name((fr_kind)kind));
        first = false;
    }
}

static void put_words(FILE *out, const fr_words *words) {
    for (size_t i = 0; i < words->count; i++)
        fprintf(out, "%s`%s`", i ? ", " : "", words->words[i].word);
}

static void put_range(FILE *out, const fr_field *field) {
    const char *unit = field->unit ? field->unit : "";
    if (field->least == 0.0 && field->most == 0.0)
        return;
    if (field->most >= 1e9)
        fprintf(out, ", %g or more", field->least);
    else
        fprintf(out, ", %g to %g%s%s", field->least, field->most, *unit ? " " : "", unit);
}

/* What stands behind the key, in words. */
static void put_what(FILE *out, const fr_field *field) {
    const fr_section *section = fr_section_of(field->section);
    switch (field->shape) {
    case FR_SHAPE_QUANTITY:
    case FR_SHAPE_NUMBER:
        put_kinds(out, field->kinds);
        put_range(out, field);
        break;
    case FR_SHAPE_CURVE:
        put_kinds(out, field->kinds);
        fprintf(out, ", or a curve over %s", fr_axis_name(field->axis));
        put_range(out, field);
        break;
    case FR_SHAPE_WHOLE:
        fputs("a whole number", out);
        put_range(out, field);
        break;
    case FR_SHAPE_WORD:
        put_words(out, field->words);
        break;
    case FR_SHAPE_TEXT:
        fputs("text", out);
        break;
    case FR_SHAPE_BLEND:
        fputs("a blend", out);
        break;
    case FR_SHAPE_BLENDS:
        fprintf(out, "a list of blends, at most %d", FR_BLENDS_MAX);
        break;
    case FR_SHAPE_SECTION:
        fprintf(out, "section `%s`", section->place);
        break;
    case FR_SHAPE_SECTIONS:
        fprintf(out, "a list of `%s`", section->name);
        break;
    case FR_SHAPE_PART:
        fprintf(out, "a part, kind `%s`", section->name);
        break;
    case FR_SHAPE_PARTS:
        fprintf(out, "a list of parts, kind `%s`", section->name);
        break;
    case FR_SHAPE_WIRING:
        put_words(out, field->words);
        fputs(", a resistance, or a part, kind `wiring`", out);
        break;
    case FR_SHAPE_SLOTS:
        fputs("a list of slots", out);
        break;
    case FR_SHAPE_CHANNEL:
        fputs("a column's name, or `{column, unit, reference}`", out);
        break;
    }
    if (field->words && field->shape != FR_SHAPE_WORD && field->shape != FR_SHAPE_WIRING) {
        fputs(", or ", out);
        put_words(out, field->words);
    }
}

static void put_default(FILE *out, const fr_field *field) {
    if (field->needed)
        fputs("**needed**", out);
    else if (field->default_text)
        fprintf(out, "`%s`", field->default_text);
    else if (field->default_rule)
        put_cell(out, field->default_rule);
    else
        fputs("none", out);
    if (field->why && strstr(field->why, "common practice"))
        fputs(" (practice)", out);
}

static void put_words_table(FILE *out, const fr_field *field) {
    if (!field->words || field->words == &fr_kind_words)
        return;
    fprintf(out, "\n`%s`:", field->key);
    for (size_t i = 0; i < field->words->count; i++)
        fprintf(out, "%s `%s`, %s", i ? ";" : "", field->words->words[i].word,
                field->words->words[i].help);
    fputs(".\n", out);
}

static void put_section(FILE *out, const fr_section *section) {
    const char *title = section->place[0] ? section->place : "The top of the sheet";
    fprintf(out, "\n### %s%s\n\n%s\n\n", section->is_part ? "Part: " : "", title, section->help);
    fputs("| field | takes | default | what it is |\n|---|---|---|---|\n", out);
    for (size_t i = 0; i < section->count; i++) {
        const fr_field *field = &section->fields[i];
        fprintf(out, "| `%s` | ", field->key);
        put_what(out, field);
        fputs(" | ", out);
        put_default(out, field);
        fputs(" | ", out);
        put_cell(out, field->help ? field->help : "");
        if (field->example && !field->default_text) {
            fputs(" Example: `", out);
            put_cell(out, field->example);
            fputs("`.", out);
        }
        fputs(" |\n", out);
    }
    for (size_t i = 0; i < section->count; i++)
        put_words_table(out, &section->fields[i]);
}

void fr_sheet_write_docs(FILE *out) {
    fputs("## Every field\n\n"
          "Made from the program's field table by `make docs`. A value outside the range given is "
          "refused; *practice* marks a default that is common trade practice without a source.\n",
          out);
    for (int id = 0; id < FR_SECTION_PUMP_CURVE; id++)
        put_section(out, fr_section_of((fr_section_id)id));
    fputs("\n## Every kind of part\n\n"
          "A part's file says its `kind`; in a sheet the kind follows from the place. What every "
          "part may say:\n",
          out);
    put_section(out, &fr_common_section);
    for (int kind = 0; kind < FR_PART_KIND_COUNT; kind++)
        put_section(out, &fr_part_sections[kind]);
    put_section(out, fr_section_of(FR_SECTION_PUMP_CURVE));
}
