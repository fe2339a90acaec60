/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Single values out of a scope: read, held against the field table, defaults taken. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sheet/assumed.h"
#include "sheet/bind.h"
#include "sheet/faults.h"

/* A relative half-width beyond this would let a cut normal distribution cross zero. */
static const double TOLERANCE_MOST = 0.6;

/* ---- bounds ---- */

static bool outside(double value, double least, double most) {
    /* A value that is the bound itself in another unit is not outside. */
    static const double SLACK = 1e-9;
    double slack = SLACK * (fabs(least) + fabs(most));
    return least < most ? value < least - slack || value > most + slack
                        : most != 0.0 && fabs(value - most) > slack;
}

bool fr_out_of_bounds(const fr_field *field, const fr_quantity *quantity, bool *unlikely) {
    double value = quantity->value;
    *unlikely = false;
    if (field->unit) {
        fr_kind kind = FR_KIND_COUNT;
        double factor, offset;
        if (!fr_unit_find(field->unit, field->kinds, &kind, &factor, &offset) ||
            kind != quantity->kind) {
            /* Another kind than the bounds are in: only its sign can be judged. */
            return field->least >= 0.0 && (field->least > 0.0 ? value <= 0.0 : value < 0.0);
        }
        value = (value - offset) / factor;
    }
    *unlikely = (field->usual_least != 0.0 || field->usual_most != 0.0) &&
                outside(value, field->usual_least, field->usual_most);
    return (field->least != 0.0 || field->most != 0.0) && outside(value, field->least, field->most);
}

/* ---- one quantity ---- */

static bool tolerance_too_wide(const fr_field *field, const fr_quantity *quantity) {
    if (!quantity->has_tolerance || field->least < 0.0 || quantity->value <= 0.0)
        return false;
    double relative =
        quantity->tolerance_relative ? quantity->tolerance : quantity->tolerance / quantity->value;
    return relative > TOLERANCE_MOST;
}

static bool judge(const fr_scope *scope, const fr_field *field, const fr_node *node,
                  const fr_quantity *quantity) {
    bool unlikely;
    char path[FR_PATH_MAX];
    bool impossible = fr_out_of_bounds(field, quantity, &unlikely);
    bool wide = tolerance_too_wide(field, quantity);
    if (!impossible && !unlikely && !wide)
        return true;
    fr_path_join(scope, field->key, path, sizeof path);
    if (impossible || unlikely)
        fr_tell_bounds(scope, field, node, path, !impossible);
    if (wide && !impossible)
        fr_say(scope->binder, FR_ERROR, node, path, "a tolerance is at most 60 % of its value",
               "the ± of %s is too wide", field->key);
    return !impossible && !wide;
}

bool fr_read_quantity(const fr_scope *scope, const fr_field *field, const fr_node *node,
                      fr_quantity *out) {
    char path[FR_PATH_MAX];
    if (node->kind != FR_NODE_SCALAR) {
        fr_path_join(scope, field->key, path, sizeof path);
        fr_tell_shape(scope, field, node, path);
        return false;
    }
    fr_quantity_fault fault = fr_quantity_parse(node->text, field->kinds, out);
    if (fault != FR_QUANTITY_FINE) {
        if (fr_listens(scope->binder))
            fr_tell_fault(scope, field, node, fault, out);
        else
            scope->binder->errors++;
        return false;
    }
    return judge(scope, field, node, out);
}

/* The default of a field that the sheet leaves out. False when it has none. */
static bool default_quantity(const fr_scope *scope, const fr_field *field, fr_quantity *out) {
    if (!field->default_text) {
        if (field->needed)
            fr_tell_missing(scope, field);
        return false;
    }
    fr_quantity_parse(field->default_text, field->kinds, out);
    fr_assume_text(scope, field->key, field->default_text);
    return true;
}

bool fr_take_quantity(const fr_scope *scope, const char *key, fr_quantity *out) {
    const fr_field *field = fr_scope_field(scope, key);
    const fr_node *node = fr_find(scope, key);
    if (node) {
        fr_quantity read;
        if (fr_read_quantity(scope, field, node, &read))
            *out = read;
        return true;
    }
    default_quantity(scope, field, out);
    return false;
}

bool fr_take(const fr_scope *scope, const char *key, double *out) {
    const fr_field *field = fr_scope_field(scope, key);
    fr_quantity quantity = {.value = *out};
    bool given = fr_take_quantity(scope, key, &quantity);
    *out = quantity.value;
    if (given)
        fr_keep_tolerance(scope, field, &quantity, out);
    return given;
}

bool fr_take_whole(const fr_scope *scope, const char *key, unsigned *out) {
    const fr_field *field = fr_scope_field(scope, key);
    fr_quantity quantity = {.value = (double)*out};
    bool given = fr_take_quantity(scope, key, &quantity);
    if (given && quantity.value != floor(quantity.value)) {
        char path[FR_PATH_MAX];
        fr_path_join(scope, key, path, sizeof path);
        fr_say(scope->binder, FR_ERROR, fr_find(scope, key), path, NULL, "%s is a whole number",
               field->key);
        return true;
    }
    *out = (unsigned)quantity.value;
    return given;
}

void fr_take_unused(const fr_scope *scope, const char *keys, const char *beside) {
    char key[FR_NAME_MAX], path[FR_PATH_MAX];
    for (const char *at = keys; *at;) {
        size_t length = strcspn(at, " ");
        snprintf(key, sizeof key, "%.*s", (int)length, at);
        at += length;
        at += strspn(at, " ");
        fr_quantity unused;
        if (!fr_find(scope, key) || !fr_take_quantity(scope, key, &unused))
            continue;
        fr_path_join(scope, key, path, sizeof path);
        fr_say(scope->binder, FR_CAUTION, fr_find_key(scope, key), path, "leave one of them out",
               "%s is not used beside %s", key, beside);
    }
}

/* ---- words, texts, blends ---- */

bool fr_take_word(const fr_scope *scope, const char *key, unsigned *out) {
    const fr_field *field = fr_scope_field(scope, key);
    const fr_node *node = fr_find(scope, key);
    if (node) {
        size_t index = node->kind == FR_NODE_SCALAR ? fr_word_find(field->words, node->text)
                                                    : field->words->count;
        if (index < field->words->count)
            *out = (unsigned)index;
        else
            fr_tell_word(scope, field, node);
        return true;
    }
    if (field->needed)
        fr_tell_missing(scope, field);
    if (field->default_text)
        fr_assume_word(scope, key, (unsigned)fr_word_find(field->words, field->default_text), out);
    return false;
}

bool fr_take_flag(const fr_scope *scope, const char *key, bool *out) {
    unsigned index = *out ? 1 : 0;
    bool given = fr_take_word(scope, key, &index);
    *out = index != 0;
    return given;
}

const char *fr_take_text(const fr_scope *scope, const char *key) {
    const fr_field *field = fr_scope_field(scope, key);
    const fr_node *node = fr_find(scope, key);
    char path[FR_PATH_MAX];
    if (!node) {
        if (field->needed)
            fr_tell_missing(scope, field);
        return NULL;
    }
    if (node->kind == FR_NODE_SCALAR)
        return node->text;
    fr_path_join(scope, key, path, sizeof path);
    fr_tell_shape(scope, field, node, path);
    return NULL;
}

bool fr_read_blend(const fr_scope *scope, const char *key, const fr_node *node, double *out) {
    char path[FR_PATH_MAX];
    if (node->kind == FR_NODE_SCALAR && fr_blend_parse(node->text, out))
        return true;
    fr_path_join(scope, key, path, sizeof path);
    fr_tell_blend(scope, path, node);
    return false;
}

bool fr_take_blend(const fr_scope *scope, const char *key, double *out) {
    const fr_field *field = fr_scope_field(scope, key);
    const fr_node *node = fr_find(scope, key);
    if (node) {
        fr_read_blend(scope, key, node, out);
        return true;
    }
    if (field->default_text) {
        fr_blend_parse(field->default_text, out);
        fr_assume_text(scope, key, field->default_text);
    }
    return false;
}

/* ---- tolerances ---- */

/* Tolerance as the named input of the model takes it: a scale relative, a shift in SI. */
static void keep_named(fr_written *written, const fr_quantity *quantity, bool curve,
                       bool shift_only) {
    double value = fabs(quantity->value);
    written->given = true;
    bool scale = !shift_only && (quantity->tolerance_relative || !curve);
    written->kind = scale ? FR_INPUT_SCALE : FR_INPUT_SHIFT;
    written->half_width = quantity->tolerance;
    if (scale && !quantity->tolerance_relative)
        written->half_width = value > 0.0 ? quantity->tolerance / value : 0.0;
    if (!scale && quantity->tolerance_relative)
        written->half_width = quantity->tolerance * value;
}

static bool in_build(const fr_binder *binder, const double *target) {
    const char *at = (const char *)target;
    const char *start = (const char *)binder->build;
    return binder->build && at >= start && at < start + sizeof *binder->build;
}

void fr_keep_tolerance(const fr_scope *scope, const fr_field *field, const fr_quantity *quantity,
                       const double *target) {
    fr_binder *binder = scope->binder;
    if (!binder->inputs || !quantity->has_tolerance || !(quantity->tolerance > 0.0))
        return;
    bool curve = field->shape == FR_SHAPE_CURVE;
    fr_input_id id = fr_input_find(field->input);
    if (id < FR_IN_COUNT) {
        bool shift_only = id == FR_IN_SUPPLY_VOLTAGE || id == FR_IN_FEED_TEMPERATURE ||
                          id == FR_IN_GASOLINE_VAPOUR_PRESSURE;
        bool has_both = curve && id != FR_IN_LIFT_PUMP;
        fr_written one, *written = fr_inputs_written(binder->inputs, id);
        keep_named(&one, quantity, has_both, shift_only);
        if (!written->given || (written->kind == one.kind && one.half_width > written->half_width))
            *written = one;
        return;
    }
    if (!in_build(binder, target))
        return;
    char path[FR_PATH_MAX];
    fr_path_join(scope, field->key, path, sizeof path);
    size_t offset = (size_t)((const char *)target - (const char *)binder->build);
    fr_input_kind kind = quantity->tolerance_relative ? FR_INPUT_SCALE : FR_INPUT_SHIFT;
    if (!fr_inputs_add(binder->inputs, path, field->key, kind, quantity->tolerance, field->bad >= 0,
                       &offset, 1))
        fr_say(binder, FR_ERROR, fr_find(scope, field->key), path, NULL,
               "too many quantities with ± (at most %d)",
               FR_INPUTS_MAX - FR_IN_COUNT - FR_PUMP_KINDS_MAX);
}
