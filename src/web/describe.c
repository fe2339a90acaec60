/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "web/describe.h"

#include <string.h>

#include "cli/command.h"
#include "cli/version.h"
#include "report/json.h"
#include "sheet/fields.h"
#include "sheet/tree.h"
#include "web/form.h"

/* ---- the form ---- */

static const char *const controls[] = {
    [FR_CONTROL_QUANTITY] = "quantity", [FR_CONTROL_WHOLE] = "whole",
    [FR_CONTROL_WORD] = "word",         [FR_CONTROL_BLENDS] = "blends",
    [FR_CONTROL_SECTIONS] = "sections", [FR_CONTROL_PART] = "part",
};

static void put_optional(fr_json *json, const char *key, const char *text) {
    if (text)
        fr_json_text(json, key, text);
}

/* Least and most, and what is usual, in the unit of the row. */
static void put_range(fr_json *json, const fr_field *field) {
    if (field->least == 0.0 && field->most == 0.0)
        return;
    fr_json_number(json, "least", field->least);
    fr_json_number(json, "most", field->most);
}

static void put_field(fr_json *json, const fr_field *field) {
    fr_json_text(json, "about", field->help);
    put_optional(json, "unit", field->unit);
    put_optional(json, "unit_us", field->unit_us);
    put_optional(json, "default", field->default_text);
    put_optional(json, "rule", field->default_rule);
    put_optional(json, "example", field->example);
    fr_json_bool(json, "needed", field->needed);
    put_range(json, field);
}

static void put_choices(fr_json *json, const fr_ask *ask) {
    fr_json_list(json, "choices");
    for (size_t i = 0; i < FR_CHOICES_MAX && ask->choices[i].label; i++) {
        fr_json_object(json, NULL);
        fr_json_text(json, "value", ask->choices[i].value);
        fr_json_text(json, "label", ask->choices[i].label);
        fr_json_object_end(json);
    }
    fr_json_list_end(json);
}

static void put_sections(fr_json *json, const fr_ask *ask) {
    fr_json_list(json, "sections");
    for (size_t i = 0; i < FR_SECTIONS_MAX && ask->sections[i][0]; i++) {
        fr_json_object(json, NULL);
        fr_json_text(json, "path", ask->sections[i][0]);
        fr_json_text(json, "holds", ask->sections[i][1]);
        fr_json_object_end(json);
    }
    fr_json_list_end(json);
}

static void put_ask(fr_json *json, const fr_ask *ask) {
    const fr_field *field = fr_field_at(ask->path);
    fr_json_object(json, NULL);
    fr_json_text(json, "path", ask->path);
    fr_json_text(json, "control", controls[ask->control]);
    put_optional(json, "label", ask->label);
    put_optional(json, "units", ask->units);
    put_optional(json, "blank", ask->blank);
    put_optional(json, "when", ask->when);
    fr_json_count(json, "count_most", ask->most);
    put_optional(json, "rated_at", ask->rated_at);
    fr_json_bool(json, "of_factory", ask->of_factory);
    put_choices(json, ask);
    put_sections(json, ask);
    if (field && ask->control == FR_CONTROL_PART)
        fr_json_text(json, "kind", fr_section_of(field->section)->name);
    if (field)
        put_field(json, field);
    fr_json_object_end(json);
}

static void put_form(fr_json *json) {
    fr_json_list(json, "form");
    for (size_t i = 0; i < fr_form_count; i++) {
        fr_json_object(json, NULL);
        fr_json_text(json, "text", fr_form[i].text);
        fr_json_text(json, "help", fr_form[i].help);
        fr_json_list(json, "asks");
        for (size_t k = 0; k < FR_ASKS_MAX && fr_form[i].asks[k].path; k++)
            put_ask(json, &fr_form[i].asks[k]);
        fr_json_list_end(json);
        fr_json_object_end(json);
    }
    fr_json_list_end(json);
}

/* ---- what the editor completes ---- */

static void put_words(fr_json *json, const fr_field *field) {
    fr_json_list(json, "words");
    for (size_t i = 0; field->words && i < field->words->count; i++)
        fr_json_text(json, NULL, field->words->words[i].word);
    fr_json_list_end(json);
}

static bool is_part(const fr_field *field) {
    return field->section >= FR_SECTION_PARTS &&
           (field->shape == FR_SHAPE_PART || field->shape == FR_SHAPE_PARTS ||
            field->shape == FR_SHAPE_WIRING);
}

static bool is_section(const fr_field *field) {
    return field->shape == FR_SHAPE_SECTION || field->shape == FR_SHAPE_SECTIONS || is_part(field);
}

static void put_section(fr_json *json, const fr_section *section) {
    fr_json_object(json, NULL);
    fr_json_text(json, "name", section->name);
    fr_json_list(json, "fields");
    for (size_t i = 0; i < fr_section_field_count(section); i++) {
        const fr_field *field = fr_section_field(section, i);
        fr_json_object(json, NULL);
        fr_json_text(json, "key", field->key);
        fr_json_text(json, "about", field->help);
        put_optional(json, "example", field->example ? field->example : field->default_text);
        put_words(json, field);
        if (is_section(field))
            fr_json_text(json, "section", fr_section_of(field->section)->name);
        fr_json_bool(json, "part", is_part(field));
        fr_json_object_end(json);
    }
    fr_json_list_end(json);
    fr_json_object_end(json);
}

/* ---- a command that has no sheet ---- */

static void put_options(fr_json *json, const fr_command *command) {
    fr_json_list(json, command->name);
    for (const fr_option *option = command->options; option->name; option++) {
        fr_json_object(json, NULL);
        fr_json_text(json, "name", option->name);
        fr_json_text(json, "value", option->value);
        fr_json_text(json, "help", option->help);
        fr_json_bool(json, "repeats", option->repeats);
        fr_json_object_end(json);
    }
    fr_json_list_end(json);
}

void fr_describe_program(FILE *out) {
    fr_json json = fr_json_to(out);
    fr_json_object(&json, NULL);
    fr_json_text(&json, "version", FR_VERSION);
    put_form(&json);
    fr_json_list(&json, "sections");
    for (fr_section_id id = FR_SECTION_TOP; id < FR_SECTION_COUNT; id = (fr_section_id)(id + 1))
        put_section(&json, fr_section_of(id));
    fr_json_list_end(&json);
    fr_json_object(&json, "commands");
    for (const fr_command *command = fr_commands; command->name; command++)
        if (command->argument_kind == FR_ARGUMENT_NONE)
            put_options(&json, command);
    fr_json_object_end(&json);
    fr_json_object_end(&json);
    fr_json_line_end(&json);
}

/* ---- a sheet ---- */

/* Deeper than any sheet goes is left out. */
static void put_node(fr_json *json, const char *key, const fr_node *node, size_t depth) {
    enum { DEPTH_MOST = FR_JSON_DEPTH_MAX - 3 };
    if (!node || depth > DEPTH_MOST) {
        fr_json_text(json, key, NULL);
    } else if (node->kind == FR_NODE_SCALAR) {
        fr_json_text(json, key, node->text);
    } else if (node->kind == FR_NODE_MAP) {
        fr_json_object(json, key);
        for (size_t i = 0; i < node->count; i++)
            put_node(json, node->pairs[i].key->text, node->pairs[i].value, depth + 1);
        fr_json_object_end(json);
    } else {
        fr_json_list(json, key);
        for (size_t i = 0; i < node->count; i++)
            put_node(json, NULL, node->items[i], depth + 1);
        fr_json_list_end(json);
    }
}

void fr_describe_sheet(FILE *out, const char *text) {
    fr_json json = fr_json_to(out);
    fr_report unheard = FR_REPORT_EMPTY;
    fr_tree *tree = NULL;
    bool good = fr_tree_read("sheet", text, strlen(text), &unheard, &tree) == FR_OK;
    fr_json_object(&json, NULL);
    fr_json_bool(&json, "good", good);
    put_node(&json, "sheet", good ? fr_tree_root(tree) : NULL, 0);
    fr_json_object_end(&json);
    fr_json_line_end(&json);
    fr_tree_close(tree);
    fr_report_close(&unheard);
}
