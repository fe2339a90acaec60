/* SPDX-License-Identifier: GPL-3.0-or-later */
/* JSON Schema (2020-12) of a build sheet and of a part's file, made from the field table. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sheet/fields.h"
#include "sheet/pattern.h"

static const char DIALECT[] = "https://json-schema.org/draft/2020-12/schema";

/* ---- texts ---- */

static void put_text(FILE *out, const char *text) {
    fputc('"', out);
    for (; *text; text++) {
        if (*text == '"' || *text == '\\')
            fputc('\\', out);
        fputc(*text, out);
    }
    fputc('"', out);
}

static void put_pattern(FILE *out, const fr_pattern *pattern) {
    fputs("{\"type\": \"string\", \"pattern\": ", out);
    put_text(out, pattern->text);
    fputc('}', out);
}

/* Patterns are large: one at a time is kept, and not on the stack of a small machine. */
typedef void make_pattern(fr_pattern *pattern, const fr_field *field);

static void put_made(FILE *out, make_pattern *make, const fr_field *field) {
    fr_pattern *pattern = calloc(1, sizeof *pattern);
    if (!pattern) {
        fputs("{\"type\": \"string\"}", out);
        return;
    }
    make(pattern, field);
    put_pattern(out, pattern);
    free(pattern);
}

/* ---- values ---- */

static void make_words(fr_pattern *pattern, const fr_field *field) {
    fr_pattern_add(pattern, "^(?:");
    for (size_t i = 0; i < field->words->count; i++) {
        fr_pattern_add(pattern, i ? "|" : "");
        fr_pattern_word(pattern, field->words->words[i].word);
    }
    fr_pattern_add(pattern, ")$");
}

/* The words as they are, for completion; and in any letter case. */
static void put_words(FILE *out, const fr_field *field) {
    fputs("{\"enum\": [", out);
    for (size_t i = 0; i < field->words->count; i++) {
        fputs(i ? ", " : "", out);
        put_text(out, field->words->words[i].word);
    }
    fputs("]}, ", out);
    put_made(out, make_words, field);
}

static void put_number(FILE *out, const fr_field *field) {
    fprintf(out, "{\"type\": \"%s\"", field->shape == FR_SHAPE_WHOLE ? "integer" : "number");
    if (field->least != 0.0 || field->most != 0.0)
        fprintf(out, ", \"minimum\": %g, \"maximum\": %.10g", field->least, field->most);
    fputc('}', out);
}

static void put_quantity(FILE *out, const fr_field *field) {
    bool bare = (field->kinds & FR_KINDS(FR_KIND_NUMBER)) != 0;
    if (bare) {
        put_number(out, field);
        fputs(", ", out);
    }
    put_made(out, fr_pattern_quantity, field);
}

/* The values of a curve are told once, in the field's own $defs; its keys once an axis. */
static void put_curve(FILE *out, const char *place, const fr_field *field) {
    fprintf(out, "{\"$ref\": \"#/$defs/%s/properties/%s/$defs/value\"}, ", place, field->key);
    fprintf(out,
            "{\"type\": \"object\", \"minProperties\": 1, \"maxProperties\": %d, "
            "\"propertyNames\": {\"$ref\": \"#/$defs/axis-%d\"}, \"additionalProperties\": "
            "{\"$ref\": \"#/$defs/%s/properties/%s/$defs/value\"}}",
            FR_CURVE_POINTS_MAX, (int)field->axis, place, field->key);
}

static void make_axis(fr_pattern *pattern, const fr_field *field) {
    fr_pattern_axis(pattern, field->axis);
}

static void put_axes(FILE *out) {
    for (fr_axis axis = FR_AXIS_SPEED; axis <= FR_AXIS_VOLTAGE; axis = (fr_axis)(axis + 1)) {
        fr_field key = {.axis = axis};
        fprintf(out, ",\n  \"axis-%d\": ", (int)axis);
        put_made(out, make_axis, &key);
    }
}

static void make_blend(fr_pattern *pattern, const fr_field *field) {
    (void)field;
    fr_pattern_blend(pattern);
}

static void put_ref(FILE *out, const char *name) {
    fprintf(out, "{\"$ref\": \"#/$defs/%s\"}", name);
}

/* ---- parts ---- */

/* The quantity that a rating of each kind is, and whether a pressure may follow. */
static const struct {
    const char *field;
    bool at;
    bool factory;
} ratings[FR_PART_KIND_COUNT] = {
    [FR_PART_LIFT_PUMP] = {"size", true, true},
    [FR_PART_PORT_INJECTOR] = {"flow", true, true},
    [FR_PART_DIRECT_INJECTOR] = {"flow", true, true},
    [FR_PART_HIGH_PRESSURE_PUMP] = {"displacement", false, true},
};

static void make_rating(fr_pattern *pattern, const fr_field *field) {
    fr_pattern_rating(pattern, field, strcmp(field->key, "displacement") != 0);
}

/* A part in one word: a name begins with no digit, a rating does. */
static void put_part_word(FILE *out, fr_section_id id) {
    const char *rating = ratings[id - FR_SECTION_PARTS].field;
    fputs("{\"type\": \"string\", \"pattern\": \"^[^\\\\d\\\\s.+-]\"}", out);
    if (!rating)
        return;
    fputs(", ", out);
    put_made(out, make_rating, fr_field_find(fr_section_of(id), rating));
}

static void put_part(FILE *out, const fr_field *field) {
    put_part_word(out, field->section);
    fputs(", ", out);
    put_ref(out, fr_section_of(field->section)->name);
}

/* ---- fields ---- */

static void put_slots(FILE *out) {
    fputs("{\"type\": \"array\", \"items\": {\"enum\": [", out);
    for (int i = 0; i < FR_SLOT_COUNT; i++)
        fprintf(out, "%s\"%s\"", i ? ", " : "", fr_slot_name((fr_slot)i));
    fputs("]}}", out);
}

static void put_list(FILE *out, const fr_field *field, bool of_parts) {
    fputs("{\"type\": \"array\", \"items\": {\"anyOf\": [", out);
    if (of_parts)
        put_part(out, field);
    else
        put_ref(out, fr_section_of(field->section)->name);
    fputs("]}}", out);
}

/* The forms that a value may take, for anyOf. */
static void put_forms(FILE *out, const char *place, const fr_field *field) {
    switch (field->shape) {
    case FR_SHAPE_QUANTITY:
    case FR_SHAPE_NUMBER:
    case FR_SHAPE_WHOLE:
        put_quantity(out, field);
        break;
    case FR_SHAPE_CURVE:
        put_curve(out, place, field);
        break;
    case FR_SHAPE_WORD:
        break;
    case FR_SHAPE_TEXT:
        fputs("{\"type\": [\"string\", \"number\", \"boolean\"]}", out);
        break;
    case FR_SHAPE_BLEND:
        put_made(out, make_blend, field);
        break;
    case FR_SHAPE_BLENDS:
        put_made(out, make_blend, field);
        fprintf(out, ", {\"type\": \"array\", \"minItems\": 1, \"maxItems\": %d, \"items\": ",
                FR_BLENDS_MAX);
        put_made(out, make_blend, field);
        fputc('}', out);
        break;
    case FR_SHAPE_SECTION:
        fputs(field->needed ? "" : "{\"type\": \"null\"}, ", out);
        put_ref(out, fr_section_of(field->section)->name);
        break;
    case FR_SHAPE_PART:
        put_part(out, field);
        break;
    case FR_SHAPE_WIRING:
        put_quantity(out, field);
        fputs(", ", out);
        put_part(out, field);
        break;
    case FR_SHAPE_PARTS:
    case FR_SHAPE_SECTIONS:
        put_list(out, field, field->shape == FR_SHAPE_PARTS);
        break;
    case FR_SHAPE_SLOTS:
        put_slots(out);
        break;
    case FR_SHAPE_CHANNEL:
        fputs("{\"type\": [\"string\", \"number\"]}, ", out);
        put_ref(out, fr_section_of(field->section)->name);
        break;
    }
}

static void put_description(FILE *out, const fr_field *field) {
    char text[1024];
    const char *rule = field->default_text ? field->default_text : field->default_rule;
    snprintf(text, sizeof text, "%s%s%s%s", field->help ? field->help : "",
             rule ? " Default: " : "", rule ? rule : "", rule ? "." : "");
    put_text(out, text);
}

static void put_field(FILE *out, const char *place, const fr_field *field) {
    fputs("      ", out);
    put_text(out, field->key);
    fputs(": {\"description\": ", out);
    put_description(out, field);
    if (field->example) {
        fputs(", \"examples\": [", out);
        put_text(out, field->example);
        fputc(']', out);
    }
    if (field->shape == FR_SHAPE_CURVE) {
        fputs(", \"$defs\": {\"value\": {\"anyOf\": [", out);
        put_quantity(out, field);
        fputs("]}}", out);
    }
    fputs(", \"anyOf\": [", out);
    if (field->words)
        put_words(out, field);
    if (field->words && field->shape != FR_SHAPE_WORD)
        fputs(", ", out);
    put_forms(out, place, field);
    fputs("]}", out);
}

/* ---- sections ---- */

/* What a part must say where it names no other part: one of these sets of fields. */
static const char *const needs[FR_PART_KIND_COUNT] = {
    [FR_PART_LIFT_PUMP] = "[\"curves\"]|[\"size\"]|[\"pumps\"]",
    [FR_PART_PORT_INJECTOR] = "[\"flow\"]",
    [FR_PART_DIRECT_INJECTOR] = "[\"flow\"]",
    [FR_PART_HIGH_PRESSURE_PUMP] = "[\"displacement\"]|[\"plunger\", \"lift\", \"lobes\"]",
    [FR_PART_WIRING] = "[\"resistance\"]|[\"wire\"]",
};

static void put_needs(FILE *out, fr_part_kind kind, bool in_file) {
    const char *at = needs[kind];
    if (!at)
        return;
    fputs(",\n    \"anyOf\": [", out);
    if (!in_file)
        fputs("{\"required\": [\"part\"]}, ", out);
    while (*at) {
        size_t length = strcspn(at, "|");
        fprintf(out, "{\"required\": %.*s}", (int)length, at);
        at += length;
        if (*at == '|') {
            fputs(", ", out);
            at++;
        }
    }
    fputc(']', out);
}

static void put_required(FILE *out, const fr_section *section, bool in_file) {
    bool first = true;
    for (size_t i = 0; i < section->count; i++) {
        const fr_field *field = &section->fields[i];
        if (!field->needed || section->is_part)
            continue;
        fprintf(out, "%s\"%s\"", first ? ",\n    \"required\": [" : ", ", field->key);
        first = false;
    }
    if (in_file) {
        fprintf(out, "%s\"kind\"", first ? ",\n    \"required\": [" : ", ");
        first = false;
    }
    fputs(first ? "" : "]", out);
    if (section == &fr_supply_section)
        fputs(",\n    \"anyOf\": [{\"required\": [\"port_injection\"]}, {\"required\": "
              "[\"direct_injection\"]}]",
              out);
}

/* The body of an object: properties and what it needs. `in_file`: a part's own file. */
static void put_object(FILE *out, const fr_section *section, bool in_file) {
    bool first = true;
    fputs("{\n    \"description\": ", out);
    put_text(out, section->help);
    fputs(",\n    \"type\": \"object\",\n    \"additionalProperties\": false,\n"
          "    \"properties\": {\n",
          out);
    for (size_t i = 0; i < fr_section_field_count(section); i++) {
        const fr_field *field = fr_section_field(section, i);
        if (in_file && field->sheet_only)
            continue;
        fputs(first ? "" : ",\n", out);
        first = false;
        if (section->is_part && strcmp(field->key, "kind") == 0)
            fprintf(out, "      \"kind\": {\"const\": \"%s\"}", section->name);
        else
            put_field(out, section->name, field);
    }
    fputs("\n    }", out);
    put_required(out, section, in_file);
    if (section->is_part)
        put_needs(out, (fr_part_kind)(section - fr_part_sections), in_file);
    fputs("\n  }", out);
}

static void put_definitions(FILE *out, int first, bool in_file) {
    fputs(",\n  \"$defs\": {\n", out);
    for (int id = first; id < FR_SECTION_COUNT; id++) {
        const fr_section *section = fr_section_of((fr_section_id)id);
        fprintf(out, "%s  \"%s\": ", id > first ? ",\n" : "", section->name);
        put_object(out, section, in_file && section->is_part);
    }
    put_axes(out);
    fputs("\n  }\n}\n", out);
}

void fr_sheet_write_schema(FILE *out) {
    fprintf(out, "{\n  \"$schema\": \"%s\",\n  \"$id\": \"build-sheet.schema.json\",\n", DIALECT);
    fputs("  \"title\": \"Build sheet of fuelreach\",\n  \"$comment\": \"Made from the field "
          "table. It refuses wrong keys, kinds of quantity, words, signs and values too great; "
          "the program itself says the rest.\",\n  \"$ref\": \"#/$defs/sheet\",\n"
          "  \"$defs\": {\n  \"sheet\": ",
          out);
    put_object(out, fr_section_of(FR_SECTION_TOP), false);
    for (int id = FR_SECTION_TOP + 1; id < FR_SECTION_COUNT; id++) {
        const fr_section *section = fr_section_of((fr_section_id)id);
        fprintf(out, ",\n  \"%s\": ", section->name);
        put_object(out, section, false);
    }
    put_axes(out);
    fputs("\n  }\n}\n", out);
}

void fr_part_write_schema(FILE *out) {
    fprintf(out, "{\n  \"$schema\": \"%s\",\n  \"$id\": \"part.schema.json\",\n", DIALECT);
    fputs("  \"title\": \"Part of fuelreach\",\n  \"type\": \"object\",\n"
          "  \"required\": [\"kind\"],\n  \"oneOf\": [",
          out);
    for (int kind = 0; kind < FR_PART_KIND_COUNT; kind++) {
        fputs(kind ? ", " : "", out);
        put_ref(out, fr_part_kind_name((fr_part_kind)kind));
    }
    fputc(']', out);
    put_definitions(out, FR_SECTION_PUMP_CURVE, true);
}
