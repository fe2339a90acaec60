/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The list of what the sheet did not say and the program filled in. */
#include "sheet/assumed.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sheet/paste.h"

/* ---- values as they would be written ---- */

enum { DIGITS_LEAST = 4, DIGITS_MOST = 15, DIGITS_US = 7, DIGITS_ROUNDED = 5 };

/* The fewest digits that read back the same to 1 part in 1e12 (US units: seven at most). */
static void spell_number(double value, int most, char *out, size_t size) {
    static const double SAME = 1e-12;
    for (int digits = DIGITS_LEAST; digits <= most; digits++) {
        snprintf(out, size, "%.*g", digits, value);
        if (fabs(strtod(out, NULL) - value) <= SAME * fabs(value))
            break;
    }
    if (strchr(out, 'e'))
        snprintf(out, size, "%.0f", value);
}

static void spell_as(const char *unit, int most, double si, char *out, size_t size) {
    char number[48];
    spell_number(unit ? fr_in_unit(si, unit) : si, most, number, sizeof number);
    snprintf(out, size, "%s%s%s", number, unit ? " " : "", unit ? unit : "");
}

void fr_spell_in(const char *unit, double si, char *out, size_t size) {
    spell_as(unit, DIGITS_MOST, si, out, size);
}

void fr_spell_rounded(const fr_field *field, double si, char *out, size_t size) {
    spell_as(field->unit, DIGITS_ROUNDED, si, out, size);
}

void fr_spell(const fr_field *field, bool us, double si, char *out, size_t size) {
    bool other = us && field->unit_us;
    spell_as(other ? field->unit_us : field->unit, other ? DIGITS_US : DIGITS_MOST, si, out, size);
}

static void spell_key(fr_axis axis, double x, char *out, size_t size) {
    char name[FR_BLEND_NAME_SIZE];
    switch (axis) {
    case FR_AXIS_BLEND:
        fr_blend_spell(x, name);
        snprintf(out, size, "%s", name);
        break;
    case FR_AXIS_RISE:
        fr_spell_in("bar", x, out, size);
        break;
    case FR_AXIS_VOLTAGE:
        fr_spell_in("V", x, out, size);
        break;
    default:
        fr_spell_in("rpm", x, out, size);
        break;
    }
}

void fr_spell_curve(const fr_field *field, bool us, const fr_curve *curve, char *out, size_t size) {
    if (curve->count == 1 && curve->x[0] == 0.0) {
        fr_spell(field, us, curve->y[0], out, size);
        return;
    }
    size_t used = 0;
    for (size_t i = 0; i < curve->count && used < size; i++) {
        char key[48], value[64];
        spell_key(field->axis, curve->x[i], key, sizeof key);
        fr_spell(field, us, curve->y[i], value, sizeof value);
        used += (size_t)snprintf(out + used, size - used, "%s%s: %s", i ? ", " : "{", key, value);
    }
    if (used < size)
        snprintf(out + used, size - used, "}");
}

bool fr_curve_of_text(const fr_field *field, const char *text, fr_curve *out) {
    fr_curve curve = {.scale = 1.0};
    text += strspn(text, "{ ");
    while (*text && *text != '}' && curve.count < FR_CURVE_POINTS_MAX) {
        char key[48], value[64];
        fr_quantity x, y;
        size_t colon = strcspn(text, ":");
        snprintf(key, sizeof key, "%.*s", (int)colon, text);
        text += colon + (text[colon] ? 1 : 0);
        size_t end = strcspn(text, ",}");
        snprintf(value, sizeof value, "%.*s", (int)end, text);
        text += end;
        text += strspn(text, ", ");
        if (fr_quantity_parse(key, fr_axis_kinds(field->axis), &x) != FR_QUANTITY_FINE ||
            fr_quantity_parse(value, field->kinds, &y) != FR_QUANTITY_FINE)
            return false;
        curve.x[curve.count] = x.value;
        curve.y[curve.count++] = y.value;
    }
    *out = curve;
    return curve.count > 0;
}

/* ---- the list ---- */

fr_assumed *fr_assumed_add(fr_binder *binder, const char *path, const char *value,
                           const char *why) {
    enum { FIRST = 48 };
    fr_assumptions *all = binder->assumed;
    if (!all)
        return NULL;
    if (all->count == all->capacity) {
        size_t capacity = all->capacity ? 2 * all->capacity : FIRST;
        fr_assumed *grown = realloc(all->list, capacity * sizeof *grown);
        if (!grown) {
            binder->out_of_memory = true;
            return NULL;
        }
        all->list = grown;
        all->capacity = capacity;
    }
    fr_assumed *added = &all->list[all->count++];
    *added = (fr_assumed){.field = fr_make_text(binder, path),
                          .value = fr_make_text(binder, value),
                          .why = why,
                          .paste = "",
                          .input = SIZE_MAX};
    return added;
}

static bool listed_here(const fr_scope *scope) {
    return scope->binder->assumed && !scope->quiet;
}

static fr_assumed *add_at(const fr_scope *scope, const char *key, const char *value) {
    char path[FR_PATH_MAX];
    const fr_field *field = fr_scope_field(scope, key);
    fr_path_join(scope, key, path, sizeof path);
    return fr_assumed_add(scope->binder, path, value, field->why ? field->why : "not given");
}

void fr_assume_text(const fr_scope *scope, const char *key, const char *value) {
    if (!listed_here(scope))
        return;
    const fr_field *field = fr_scope_field(scope, key);
    fr_quantity quantity;
    char text[FR_VALUE_MAX];
    /* In a US sheet a metric default is written in the units of the sheet. */
    if (scope->binder->assumed->us && field->unit_us &&
        fr_quantity_parse(value, field->kinds, &quantity) == FR_QUANTITY_FINE) {
        fr_spell(field, true, quantity.value, text, sizeof text);
        value = text;
    }
    add_at(scope, key, value);
}

void fr_assume(const fr_scope *scope, const char *key, double si, double *out) {
    *out = si;
    if (!listed_here(scope))
        return;
    char text[FR_VALUE_MAX];
    fr_spell(fr_scope_field(scope, key), scope->binder->assumed->us, si, text, sizeof text);
    add_at(scope, key, text);
}

void fr_assume_curve(const fr_scope *scope, const char *key, const fr_curve *curve, fr_curve *out) {
    *out = *curve;
    if (!listed_here(scope))
        return;
    char text[FR_VALUE_MAX];
    fr_spell_curve(fr_scope_field(scope, key), scope->binder->assumed->us, curve, text,
                   sizeof text);
    add_at(scope, key, text);
}

void fr_assume_word(const fr_scope *scope, const char *key, unsigned index, unsigned *out) {
    *out = index;
    if (!listed_here(scope))
        return;
    const fr_words *words = fr_scope_field(scope, key)->words;
    fr_assumed *added = add_at(scope, key, words->words[index].word);
    const char **others = fr_make(scope->binder, words->count * sizeof *others);
    if (!added || !others)
        return;
    size_t count = 0;
    for (size_t i = 0; i < words->count; i++)
        if (i != index)
            others[count++] = words->words[i].word;
    added->is_word = true;
    added->alternative_count = count;
    added->alternatives = others;
}

/* ---- finishing ---- */

/* Factory parts first, then in the order of the sheet's sections. */
static int rank(const fr_assumed *assumed) {
    static const char *const order[] = {"engine", "site", "fuel", "supply", "limits"};
    int place = 1;
    if (assumed->is_factory)
        return 0;
    for (size_t i = 0; i < sizeof order / sizeof order[0]; i++, place++)
        if (strncmp(assumed->field, order[i], strlen(order[i])) == 0)
            return place;
    return place;
}

static void put_in_order(fr_assumptions *all) {
    for (size_t i = 1; i < all->count; i++) {
        fr_assumed moving = all->list[i];
        size_t at = i;
        for (; at > 0 && rank(&all->list[at - 1]) > rank(&moving); at--)
            all->list[at] = all->list[at - 1];
        all->list[at] = moving;
    }
}

/* Dead times that are written without their slope over pressure have none: the line that says the
 * assumed ones says the slope, too. Null where nothing goes with it. */
static const char *goes_beside(const fr_assumptions *all, const fr_assumed *one, char *out,
                               size_t size) {
    static const char key[] = ".dead_time", more[] = "_per_bar";
    size_t length = strlen(one->field), tail = strlen(key);
    if (length < tail || strcmp(one->field + length - tail, key) != 0)
        return NULL;
    for (size_t i = 0; i < all->count; i++) {
        const char *field = all->list[i].field;
        if (strncmp(field, one->field, length) != 0 || strcmp(field + length, more) != 0)
            continue;
        snprintf(out, size, "%s%s: %s", key + 1, more, all->list[i].value);
        return out;
    }
    return NULL;
}

void fr_assumed_finish(fr_binder *binder, const fr_node *root) {
    fr_assumptions *all = binder->assumed;
    put_in_order(all);
    for (size_t i = 0; i < all->count; i++) {
        fr_assumed *one = &all->list[i];
        char line[FR_PASTE_MAX], more[FR_VALUE_MAX];
        const fr_field *field = fr_field_at(one->field);
        if (fr_paste(root, one->field, one->value, goes_beside(all, one, more, sizeof more), line,
                     sizeof line))
            one->paste = fr_make_text(binder, line);
        if (field && !one->is_word && one->input == SIZE_MAX)
            one->input = fr_inputs_index(binder->inputs, field->input);
    }
}

void fr_assumptions_close(fr_assumptions *assumed) {
    free(assumed->list);
    *assumed = (fr_assumptions){0};
}
