/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is said of a text that is not what its field wants, and what would be right. */
#include "sheet/faults.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sheet/suggest.h"

enum { SHORT = 128, THOUSANDS = 3 };

/* BSFC in lb/hp/h is below 1, in g/kWh some hundreds. */
static const double BSFC_US_MOST = 5.0;

static const char *example_of(const fr_field *field) {
    if (field->example)
        return field->example;
    return field->default_text ? field->default_text : "";
}

/* The kind that a person most likely means, for naming it. */
static fr_kind main_kind(const fr_field *field) {
    for (int kind = 0; kind < FR_KIND_COUNT; kind++)
        if (field->kinds & FR_KINDS(kind))
            return (fr_kind)kind;
    return FR_KIND_NUMBER;
}

/* One value of a field, for examples: "325 g/kWh". */
static void value_example(const fr_field *field, char *out, size_t size) {
    const char *example = example_of(field);
    const char *colon = strchr(example, ':');
    if (example[0] == '{' && colon)
        snprintf(out, size, "%.*s", (int)strcspn(colon + 2, ",}"), colon + 2);
    else
        snprintf(out, size, "%s", example);
}

/* ---- a number without a unit ---- */

static bool is_fraction(const fr_field *field) {
    return field->unit && strcmp(field->unit, "%") == 0 &&
           field->kinds == FR_KINDS(FR_KIND_FRACTION);
}

/* True when the number is neither impossible nor unlikely with this unit. */
static bool is_likely_in(const fr_field *field, const char *number, const char *unit) {
    char text[SHORT];
    fr_quantity quantity;
    bool unlikely;
    snprintf(text, sizeof text, "%.20s %s", number, unit);
    return fr_quantity_parse(text, field->kinds, &quantity) == FR_QUANTITY_FINE &&
           !fr_out_of_bounds(field, &quantity, &unlikely) && !unlikely;
}

/* The unit that makes sense of a bare number: the field's own, or another of its kind. */
static const char *likely_unit(const fr_field *field, const char *number) {
    const char *unit;
    fr_kind kind;
    if (is_likely_in(field, number, field->unit))
        return field->unit;
    if (field->unit_us && is_likely_in(field, number, field->unit_us))
        return field->unit_us;
    for (size_t i = 0; (unit = fr_unit_spelling(i, &kind)) != NULL; i++)
        if ((field->kinds & FR_KINDS(kind)) && is_likely_in(field, number, unit))
            return unit;
    return field->unit;
}

void fr_with_unit(const fr_field *field, const char *number, char *out, size_t size) {
    double value = strtod(number, NULL);
    if (is_fraction(field) && value > 0.0 && value <= 1.5)
        snprintf(out, size, "%g %%", value * 100.0);
    else if (field->kinds == FR_KINDS(FR_KIND_SPECIFIC_CONSUMPTION) && value < BSFC_US_MOST)
        snprintf(out, size, "%.20s lb/hp/h", number);
    else
        snprintf(out, size, "%.20s %s", number, field->unit ? likely_unit(field, number) : "");
}

/* Two ways to write it where a person may mean either: "'0.60 lb/hp/h' or '365 g/kWh'". */
static void tell_no_unit(const fr_scope *scope, const fr_field *field, const fr_node *node,
                         const char *path) {
    char shown[FR_SHOWN_MAX], with[SHORT], hint[FR_SAY_MAX];
    fr_quantity quantity;
    fr_shown(node, shown);
    fr_with_unit(field, shown, with, sizeof with);
    bool read = fr_quantity_parse(with, field->kinds, &quantity) == FR_QUANTITY_FINE;
    if (read && quantity.kind == FR_KIND_SPECIFIC_CONSUMPTION && strstr(with, "lb"))
        snprintf(hint, sizeof hint, "write '%s' or '%.0f g/kWh'", with,
                 fr_in_unit(quantity.value, "g/kWh"));
    else if (read)
        snprintf(hint, sizeof hint, "write '%s'", with);
    else
        snprintf(hint, sizeof hint, "write '%s'", example_of(field));
    fr_say(scope->binder, FR_ERROR, node, path, hint, "%s has no unit", field->key);
}

void fr_tell_curve_units(const fr_scope *scope, const fr_field *field, const fr_pair *first,
                         const char *path) {
    char key[FR_SHOWN_MAX], value[FR_SHOWN_MAX], hint[FR_SAY_MAX];
    char good_key[SHORT], good_value[SHORT];
    fr_quantity quantity;
    fr_shown(first->key, key);
    fr_shown(first->value, value);
    fr_kinds axis = fr_axis_kinds(field->axis);
    if (axis && fr_quantity_parse(key, axis, &quantity) == FR_QUANTITY_NO_UNIT) {
        const char *unit = strchr(fr_axis_example(field->axis), ' ');
        snprintf(good_key, sizeof good_key, "%.40s%s", key, unit ? unit : "");
    } else {
        snprintf(good_key, sizeof good_key, "%.60s", key);
    }
    if (fr_quantity_parse(value, field->kinds, &quantity) == FR_QUANTITY_NO_UNIT)
        fr_with_unit(field, value, good_value, sizeof good_value);
    else
        snprintf(good_value, sizeof good_value, "%.60s", value);
    snprintf(hint, sizeof hint, "write '{%s: %s, …}'", good_key, good_value);
    fr_say(scope->binder, FR_ERROR, first->key, path, hint, "%s has no units (first at '%s: %s')",
           field->key, key, value);
}

/* ---- units that are not known ---- */

static bool ends_with(const char *text, const char *end) {
    size_t length = strlen(text), tail = strlen(end);
    if (length < tail)
        return false;
    for (size_t i = 0; i < tail; i++)
        if (tolower((unsigned char)text[length - tail + i]) != end[i])
            return false;
    return true;
}

/* Power at the wheels in one word: "380 whp", "380 rwhp". */
static bool tell_wheel_power(const fr_scope *scope, const fr_field *field, const fr_node *node,
                             const char *path) {
    const char *unit = fr_quantity_unit_at(node->text);
    if (!(field->kinds & FR_KINDS(FR_KIND_POWER)) || !unit || !ends_with(unit, "whp"))
        return false;
    char hint[FR_SAY_MAX];
    snprintf(hint, sizeof hint, "write '%s: %.*shp' and 'power_at: wheels'", field->key,
             (int)(unit - node->text), node->text);
    if (unit > node->text && unit[-1] != ' ')
        snprintf(hint, sizeof hint, "write '%s: %.*s hp' and 'power_at: wheels'", field->key,
                 (int)(unit - node->text), node->text);
    fr_say(scope->binder, FR_ERROR, node, path, hint, "%.20s says where as well as how much", unit);
    return true;
}

/* A hose's dash number: "-8 AN". Its parts and usual inside bores, common practice. */
static bool tell_dash_size(const fr_scope *scope, const fr_field *field, const fr_node *node,
                           const char *path) {
    static const struct {
        int dash;
        double bore_mm;
    } hoses[] = {{4, 5.6}, {6, 8.7}, {8, 11.1}, {10, 14.3}};
    const char *unit = fr_quantity_unit_at(node->text);
    bool an = (unit && ends_with(unit, "an")) || ends_with(node->text, "an");
    if (field->kinds != FR_KINDS(FR_KIND_LENGTH) || !an || strcmp(field->key, "bore") != 0)
        return false;
    int dash = abs((int)strtol(node->text + strcspn(node->text, "0123456789"), NULL, 10));
    char hint[FR_SAY_MAX] = "write its inside bore, '11.1 mm'";
    for (size_t i = 0; i < sizeof hoses / sizeof hoses[0]; i++)
        if (hoses[i].dash == dash)
            snprintf(hint, sizeof hint, "write 'part: hose-%d' or its inside bore, '%.1f mm'", dash,
                     hoses[i].bore_mm);
    fr_say(scope->binder, FR_ERROR, node, path, hint, "-%d is a hose's outside-size number", dash);
    return true;
}

static void tell_unknown_unit(const fr_scope *scope, const fr_field *field, const fr_node *node,
                              const char *path) {
    char hint[FR_SAY_MAX], example[SHORT];
    const char *unit = fr_quantity_unit_at(node->text);
    value_example(field, example, sizeof example);
    if (tell_wheel_power(scope, field, node, path) || tell_dash_size(scope, field, node, path))
        return;
    snprintf(hint, sizeof hint, "write it like '%s'", example);
    fr_say(scope->binder, FR_ERROR, node, path, hint, "'%.40s' is no unit of %s",
           unit ? unit : node->text, fr_kind_name(main_kind(field)));
}

static void tell_wrong_kind(const fr_scope *scope, const fr_field *field, const fr_node *node,
                            const char *path, const fr_quantity *found) {
    char hint[FR_SAY_MAX], shown[FR_SHOWN_MAX], example[SHORT];
    fr_shown(node, shown);
    value_example(field, example, sizeof example);
    const char *unit = fr_quantity_unit_at(node->text);
    bool injector = (field->kinds & FR_KINDS(FR_KIND_VOLUME_FLOW)) && field->unit &&
                    strncmp(field->unit, "cc", 2) == 0;
    if (injector && found->kind == FR_KIND_VOLUME && unit) {
        snprintf(hint, sizeof hint, "'%.*s %s'", (int)strcspn(node->text, " ccCC"), node->text,
                 field->unit);
        fr_say(scope->binder, FR_ERROR, node, path, hint,
               "%.10s is a volume; injectors are rated %s", unit,
               strstr(field->unit, "min") ? "a minute" : "a second");
        return;
    }
    if (field->kinds == FR_KINDS(FR_KIND_NUMBER)) {
        snprintf(hint, sizeof hint, "write '%s: %s'", field->key, example);
        fr_say(scope->binder, FR_ERROR, node, path, hint, "%s is a bare number", field->key);
        return;
    }
    snprintf(hint, sizeof hint, "write it like '%s'", example);
    fr_say(scope->binder, FR_ERROR, node, path, hint, "'%s' is %s, not %s", shown,
           fr_kind_name(found->kind), fr_kind_name(main_kind(field)));
}

/* ---- commas ---- */

static void tell_comma(const fr_scope *scope, const fr_node *node, const char *path,
                       bool thousands) {
    char shown[FR_SHOWN_MAX], hint[FR_SAY_MAX];
    fr_shown(node, shown);
    size_t comma = strcspn(shown, ",");
    const char *rest = shown[comma] ? shown + comma + 1 : "";
    snprintf(hint, sizeof hint, "write '%.*s%s%s'", (int)comma, shown, thousands ? "" : ".", rest);
    fr_say(scope->binder, FR_ERROR, node, path, hint,
           thousands ? "'%s' has a comma in its number" : "'%s' has a decimal comma", shown);
}

/* ---- prices ---- */

static bool is_price(const fr_scope *scope, const fr_field *field) {
    return strcmp(field->key, "price") == 0 || scope->section == fr_section_of(FR_SECTION_FITTING);
}

static void tell_price(const fr_scope *scope, const fr_node *node, const char *path) {
    char hint[FR_SAY_MAX];
    size_t start = strcspn(node->text, "0123456789");
    size_t length = strspn(node->text + start, "0123456789.,");
    snprintf(hint, sizeof hint, "write '%.*s'; the currency stands in sizing.currency",
             (int)(length ? length : strlen("120")), length ? node->text + start : "120");
    fr_say(scope->binder, FR_ERROR, node, path, hint, "prices are bare numbers");
}

/* ---- all faults of a quantity ---- */

static void tell_not_a_number(const fr_scope *scope, const fr_field *field, const fr_node *node,
                              const char *path) {
    char hint[FR_SAY_MAX], shown[FR_SHOWN_MAX];
    fr_shown(node, shown);
    if (fr_is_blank(node)) {
        snprintf(hint, sizeof hint, "write '%s: %s' or leave the line out", field->key,
                 example_of(field));
        fr_say(scope->binder, FR_ERROR, node, path, hint, "%s has no value", field->key);
        return;
    }
    if (tell_dash_size(scope, field, node, path))
        return;
    snprintf(hint, sizeof hint, "write '%s: %s'", field->key, example_of(field));
    fr_say(scope->binder, FR_ERROR, node, path, hint, "'%s' is not %s", shown,
           fr_kind_name(main_kind(field)));
}

void fr_tell_fault(const fr_scope *scope, const fr_field *field, const fr_node *node,
                   fr_quantity_fault fault, const fr_quantity *found) {
    fr_binder *binder = scope->binder;
    char path[FR_PATH_MAX], shown[FR_SHOWN_MAX], hint[FR_SAY_MAX], example[SHORT];
    fr_path_join(scope, field->key, path, sizeof path);
    fr_shown(node, shown);
    value_example(field, example, sizeof example);
    if (is_price(scope, field)) {
        tell_price(scope, node, path);
        return;
    }
    switch (fault) {
    case FR_QUANTITY_FINE:
        break;
    case FR_QUANTITY_NOT_A_NUMBER:
        tell_not_a_number(scope, field, node, path);
        break;
    case FR_QUANTITY_NO_UNIT:
        tell_no_unit(scope, field, node, path);
        break;
    case FR_QUANTITY_UNKNOWN_UNIT:
        tell_unknown_unit(scope, field, node, path);
        break;
    case FR_QUANTITY_WRONG_KIND:
        tell_wrong_kind(scope, field, node, path, found);
        break;
    case FR_QUANTITY_DECIMAL_COMMA:
    case FR_QUANTITY_THOUSANDS_COMMA:
        tell_comma(scope, node, path, fault == FR_QUANTITY_THOUSANDS_COMMA);
        break;
    case FR_QUANTITY_NOT_FINITE:
        snprintf(hint, sizeof hint, "write it like '%s'", example);
        fr_say(binder, FR_ERROR, node, path, hint, "'%s' is no finite number", shown);
        break;
    case FR_QUANTITY_BAD_TOLERANCE:
        fr_say(binder, FR_ERROR, node, path, "write it like '± 5 %', or '± 0.2' and the unit",
               "what stands after ± in '%s' is no tolerance", shown);
        break;
    case FR_QUANTITY_TRAILING:
        snprintf(hint, sizeof hint, "write it like '%s'", example);
        fr_say(binder, FR_ERROR, node, path, hint, "'%s' goes on after its unit", shown);
        break;
    case FR_QUANTITY_CURLY_QUOTE:
        fr_say(binder, FR_ERROR, node, path, "write straight quotes", "'%s' has curly quotes",
               shown);
        break;
    case FR_QUANTITY_DASH:
        fr_say(binder, FR_ERROR, node, path, "write '-'", "'%s' has a dash where a minus is due",
               shown);
        break;
    }
}

/* ---- bounds, shapes, missing ---- */

void fr_tell_bounds(const fr_scope *scope, const fr_field *field, const fr_node *node,
                    const char *path, bool unlikely) {
    char shown[FR_SHOWN_MAX], hint[FR_SAY_MAX];
    const char *unit = field->unit ? field->unit : "";
    const char *gap = field->unit ? " " : "";
    fr_shown(node, shown);
    if (unlikely) {
        fr_say(scope->binder, FR_CAUTION, node, path, field->slip,
               "'%s' is unusual for %s (usual: %g to %g%s%s)", shown, field->key,
               field->usual_least, field->usual_most, gap, unit);
        return;
    }
    snprintf(hint, sizeof hint, "%s lies between %g and %g%s%s", field->key, field->least,
             field->most, gap, unit);
    fr_say(scope->binder, FR_ERROR, node, path, hint, "'%s' cannot be", shown);
}

void fr_tell_shape(const fr_scope *scope, const fr_field *field, const fr_node *node,
                   const char *path) {
    char hint[FR_SAY_MAX];
    static const char *const names[] = {[FR_NODE_SCALAR] = "a single value",
                                        [FR_NODE_LIST] = "a list",
                                        [FR_NODE_MAP] = "a mapping"};
    snprintf(hint, sizeof hint, "write '%s: %s'", field->key, example_of(field));
    fr_say(scope->binder, FR_ERROR, node, path, hint, "%s cannot be %s", field->key,
           names[node->kind]);
}

enum { MISNAMED_SEARCHED = 100 };

/* True when the field is there under another name, which has been told. */
static bool is_misnamed(const fr_scope *scope, const fr_field *field) {
    for (size_t i = 0; i < scope->layer_count; i++) {
        const fr_node *map = scope->layers[i];
        for (size_t p = 0; p < map->count && p < MISNAMED_SEARCHED; p++) {
            const char *key = map->pairs[p].key->text;
            if (!fr_field_find(scope->section, key) && fr_field_meant(scope->section, key) == field)
                return true;
        }
    }
    return false;
}

void fr_tell_missing(const fr_scope *scope, const fr_field *field) {
    if (is_misnamed(scope, field))
        return;
    char path[FR_PATH_MAX], hint[FR_SAY_MAX];
    const char *in = scope->section->name;
    fr_path_join(scope, field->key, path, sizeof path);
    if (field->shape == FR_SHAPE_SECTION)
        snprintf(hint, sizeof hint, "write '%s:' and its fields below", field->key);
    else
        snprintf(hint, sizeof hint, "write '%s: %s'", field->key, example_of(field));
    fr_say(scope->binder, FR_ERROR, scope->at, path, hint, "%s%s%s has no %s",
           in[0] ? in : "the sheet", scope->section->is_part && in[0] ? " part" : "", "",
           field->key);
}
