/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Curves out of a scope: a mapping from quantity, or blend, to quantity. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "sheet/assumed.h"
#include "sheet/bind.h"
#include "sheet/faults.h"
#include "sheet/suggest.h"

/* What one curve is read with. */
typedef struct reading {
    const fr_scope *scope;
    const fr_field *field;
    char path[FR_PATH_MAX];
    const fr_node *unlikely; /* first value outside the usual */
    bool no_kind_yet;
    fr_kind kind; /* of its values */
} reading;

/* ---- one pair ---- */

/* What one pair came to. */
typedef struct pair_read {
    double x;
    fr_quantity value;
    fr_quantity_fault key_fault, value_fault;
    bool is_blend; /* of a curve over blends: the key is one */
} pair_read;

static pair_read read_texts(const reading *r, const fr_pair *pair) {
    pair_read read = {.x = 0.0};
    fr_quantity key;
    if (r->field->axis == FR_AXIS_BLEND) {
        read.is_blend = fr_blend_parse(pair->key->text, &read.x);
    } else {
        read.key_fault = fr_quantity_parse(pair->key->text, fr_axis_kinds(r->field->axis), &key);
        read.x = key.value;
    }
    if (pair->value->kind == FR_NODE_SCALAR)
        read.value_fault = fr_quantity_parse(pair->value->text, r->field->kinds, &read.value);
    return read;
}

static bool judge_key(const reading *r, const fr_node *key, const pair_read *read) {
    const fr_scope *scope = r->scope;
    char shown[FR_SHOWN_MAX], hint[FR_SAY_MAX];
    if (r->field->axis == FR_AXIS_BLEND) {
        if (!read->is_blend)
            fr_tell_blend(scope, r->path, key);
        return read->is_blend;
    }
    if (read->key_fault == FR_QUANTITY_FINE && read->x >= 0.0)
        return true;
    fr_shown(key, shown);
    snprintf(hint, sizeof hint, "write it like '%s'", fr_axis_example(r->field->axis));
    if (read->key_fault == FR_QUANTITY_FINE)
        fr_say(scope->binder, FR_ERROR, key, r->path, hint, "'%s' cannot be", shown);
    else
        fr_say(scope->binder, FR_ERROR, key, r->path, hint, "%s runs over %s; '%s' is none",
               r->field->key, fr_axis_name(r->field->axis), shown);
    return false;
}

static bool judge_value(reading *r, const fr_node *node, const pair_read *read) {
    const fr_scope *scope = r->scope;
    const fr_quantity *value = &read->value;
    bool unlikely = false;
    if (node->kind != FR_NODE_SCALAR) {
        fr_tell_shape(scope, r->field, node, r->path);
        return false;
    }
    if (read->value_fault != FR_QUANTITY_FINE) {
        fr_tell_fault(scope, r->field, node, read->value_fault, value);
        return false;
    }
    if (fr_out_of_bounds(r->field, value, &unlikely)) {
        fr_tell_bounds(scope, r->field, node, r->path, false);
        return false;
    }
    if (unlikely && !r->unlikely)
        r->unlikely = node;
    if (!r->no_kind_yet && value->kind != r->kind) {
        fr_say(scope->binder, FR_ERROR, node, r->path, "give all its values in one kind of unit",
               "%s mixes %s and %s", r->field->key, fr_kind_name(r->kind),
               fr_kind_name(value->kind));
        return false;
    }
    r->no_kind_yet = false;
    r->kind = value->kind;
    return true;
}

/* ---- tolerances: the widest of the points ---- */

static double relative(const fr_quantity *q) {
    double value = fabs(q->value);
    return q->tolerance_relative ? q->tolerance : value > 0.0 ? q->tolerance / value : 0.0;
}

static void widen(fr_quantity *widest, const fr_quantity *value) {
    if (!value->has_tolerance)
        return;
    if (!widest->has_tolerance) {
        *widest = *value;
        return;
    }
    if (widest->tolerance_relative == value->tolerance_relative) {
        if (value->tolerance > widest->tolerance)
            *widest = *value;
        return;
    }
    double most = fmax(relative(widest), relative(value));
    widest->tolerance_relative = true;
    widest->tolerance = most;
}

/* ---- the curve ---- */

static bool place_point(reading *r, const fr_node *key, double x, double y, fr_curve *out) {
    size_t at = out->count;
    while (at > 0 && out->x[at - 1] > x)
        at--;
    if (at > 0 && out->x[at - 1] == x) {
        char shown[FR_SHOWN_MAX];
        fr_say(r->scope->binder, FR_ERROR, key, r->path, "keep one", "%s has %s twice",
               r->field->key, fr_shown(key, shown));
        return false;
    }
    memmove(&out->x[at + 1], &out->x[at], (out->count - at) * sizeof out->x[0]);
    memmove(&out->y[at + 1], &out->y[at], (out->count - at) * sizeof out->y[0]);
    out->x[at] = x;
    out->y[at] = y;
    out->count++;
    return true;
}

static bool read_pair(reading *r, const fr_pair *pair, fr_curve *out, fr_quantity *widest) {
    pair_read read = read_texts(r, pair);
    if (read.key_fault == FR_QUANTITY_NO_UNIT || read.value_fault == FR_QUANTITY_NO_UNIT) {
        fr_tell_curve_units(r->scope, r->field, pair, r->path);
        return false;
    }
    if (!judge_key(r, pair->key, &read) || !judge_value(r, pair->value, &read) ||
        !place_point(r, pair->key, read.x, read.value.value, out))
        return false;
    widen(widest, &read.value);
    return true;
}

static bool read_map(reading *r, const fr_node *node, fr_curve *out, fr_quantity *widest) {
    fr_binder *binder = r->scope->binder;
    if (node->told) {
        binder->errors++;
        return false;
    }
    if (node->count == 0 || node->count > FR_CURVE_POINTS_MAX) {
        fr_say(binder, FR_ERROR, node, r->path, NULL, "a curve has 1 to %d points, %s has %zu",
               FR_CURVE_POINTS_MAX, r->field->key, node->count);
        return false;
    }
    for (size_t i = 0; i < node->count; i++)
        if (!read_pair(r, &node->pairs[i], out, widest))
            return false;
    return true;
}

bool fr_read_curve(const fr_scope *scope, const fr_field *field, const fr_node *node, fr_curve *out,
                   fr_quantity *widest) {
    reading r = {.scope = scope, .field = field, .no_kind_yet = true};
    fr_curve curve = {.scale = 1.0};
    fr_quantity single;
    *widest = (fr_quantity){.kind = FR_KIND_NUMBER};
    if (node->kind == FR_NODE_SCALAR) {
        if (!fr_read_quantity(scope, field, node, &single))
            return false;
        *out = fr_curve_constant(single.value);
        *widest = single;
        return true;
    }
    fr_path_join(scope, field->key, r.path, sizeof r.path);
    if (node->kind != FR_NODE_MAP) {
        fr_tell_shape(scope, field, node, r.path);
        return false;
    }
    if (!read_map(&r, node, &curve, widest))
        return false;
    if (r.unlikely)
        fr_tell_bounds(scope, field, r.unlikely, r.path, true);
    widest->kind = r.kind;
    *out = curve;
    return true;
}

/* A curve's own ± moves its scale or its shift. */
static void keep_curve_tolerance(const fr_scope *scope, const fr_field *field,
                                 const fr_quantity *widest, const fr_curve *out) {
    fr_keep_tolerance(scope, field, widest, widest->tolerance_relative ? &out->scale : &out->shift);
}

/* A default curve of the table: one quantity, or a mapping written in one line. */
static bool default_curve(const fr_scope *scope, const fr_field *field, fr_curve *out) {
    fr_quantity quantity;
    if (!field->default_text) {
        if (field->needed)
            fr_tell_missing(scope, field);
        return false;
    }
    if (fr_quantity_parse(field->default_text, field->kinds, &quantity) == FR_QUANTITY_FINE)
        *out = fr_curve_constant(quantity.value);
    else
        fr_curve_of_text(field, field->default_text, out);
    fr_assume_text(scope, field->key, field->default_text);
    return true;
}

bool fr_take_curve(const fr_scope *scope, const char *key, fr_curve *out) {
    const fr_field *field = fr_scope_field(scope, key);
    const fr_node *node = fr_find(scope, key);
    fr_quantity widest;
    if (!node) {
        default_curve(scope, field, out);
        return false;
    }
    if (fr_read_curve(scope, field, node, out, &widest))
        keep_curve_tolerance(scope, field, &widest, out);
    return true;
}
