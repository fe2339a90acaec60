/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A lift pump: its curves, or a typical pump of its size. */
#include <stdio.h>
#include <string.h>

#include "sheet/assumed.h"
#include "sheet/bind.h"
#include "sheet/faults.h"

/* A pump's size is told at this rise (common practice). */
static const double SIZE_RISE_PA = 3e5;

static void copy_line(const fr_curve *curve, fr_pump_line *line) {
    line->count = curve->count < FR_PUMP_POINTS_MAX ? curve->count : FR_PUMP_POINTS_MAX;
    memcpy(line->rise_pa, curve->x, line->count * sizeof curve->x[0]);
    memcpy(line->y, curve->y, line->count * sizeof curve->y[0]);
}

/* Reads "flow" or "current" of one curve. False when absent or refused. */
static bool take_line(const fr_scope *scope, const char *key, fr_pump_line *line,
                      fr_quantity *widest) {
    const fr_field *field = fr_scope_field(scope, key);
    const fr_node *node = fr_find(scope, key);
    fr_curve curve;
    char path[FR_PATH_MAX];
    if (!node) {
        if (field->needed)
            fr_tell_missing(scope, field);
        return false;
    }
    if (!fr_read_curve(scope, field, node, &curve, widest))
        return false;
    if (curve.count > FR_PUMP_POINTS_MAX) {
        fr_path_join(scope, key, path, sizeof path);
        fr_say(scope->binder, FR_ERROR, node, path, NULL, "a pump's curve has at most %d points",
               FR_PUMP_POINTS_MAX);
        return false;
    }
    copy_line(&curve, line);
    return true;
}

static void warn_rising(const fr_scope *scope, const fr_pump_line *flow) {
    char path[FR_PATH_MAX];
    for (size_t i = 1; i < flow->count; i++) {
        if (flow->y[i] <= flow->y[i - 1])
            continue;
        fr_path_join(scope, "flow", path, sizeof path);
        fr_say(scope->binder, FR_CAUTION, fr_find(scope, "flow"), path,
               "a pump's flow falls with pressure; two figures swapped?",
               "flow rises with pressure");
        return;
    }
}

static void spell_line(const fr_field *field, const fr_pump_line *line, char *out, size_t size) {
    fr_curve curve = {.count = line->count, .scale = 1.0};
    memcpy(curve.x, line->rise_pa, line->count * sizeof curve.x[0]);
    memcpy(curve.y, line->y, line->count * sizeof curve.y[0]);
    fr_spell_curve(field, false, &curve, out, size);
}

/* One curve as read, with the ± of its current, which can be kept only when it is in its place. */
typedef struct read_curve {
    fr_pump_curve curve;
    fr_quantity current;
    size_t index; /* in the sheet's list */
} read_curve;

/* A ± of a current moves every point of it. */
static void keep_current_tolerance(const fr_scope *part, const read_curve *read,
                                   const fr_pump_line *line) {
    fr_binder *binder = part->binder;
    const fr_quantity *widest = &read->current;
    size_t targets[FR_PUMP_POINTS_MAX];
    char path[FR_PATH_MAX + 32];
    if (!binder->inputs || !widest->has_tolerance || !binder->build)
        return;
    for (size_t i = 0; i < line->count; i++)
        targets[i] = (size_t)((const char *)&line->y[i] - (const char *)binder->build);
    snprintf(path, sizeof path, "%s.curves.%zu.current", part->path, read->index);
    fr_inputs_add(binder->inputs, path, "current",
                  widest->tolerance_relative ? FR_INPUT_SCALE : FR_INPUT_SHIFT, widest->tolerance,
                  true, targets, line->count);
}

static void assume_current(const fr_scope *scope, fr_pump_curve *curve) {
    fr_pump bare = {.type = FR_PUMP_TURBINE, .count = 1, .flow_factor = 1.0, .curve_count = 1};
    char text[FR_VALUE_MAX];
    bare.curves[0] = *curve;
    bare.curves[0].current_a = (fr_pump_line){.count = 1};
    double size = fr_pump_at_voltage(&bare, SIZE_RISE_PA, curve->voltage_v).flow_m3_s;
    fr_pump typical = fr_pump_typical(size, SIZE_RISE_PA);
    curve->current_a = typical.curves[0].current_a;
    spell_line(fr_scope_field(scope, "current"), &curve->current_a, text, sizeof text);
    fr_assume_text(scope, "current", text);
}

static bool bind_curve(const fr_scope *part, const fr_node *node, read_curve *read) {
    char path[FR_PATH_MAX + 32];
    fr_pump_curve *curve = &read->curve;
    fr_quantity widest = {.kind = FR_KIND_NUMBER};
    snprintf(path, sizeof path, "%s.curves.%zu", part->path, read->index);
    if (node->kind != FR_NODE_MAP) {
        fr_tell_shape(part, fr_scope_field(part, "curves"), node, path);
        return false;
    }
    fr_scope scope = fr_scope_of(part->binder, fr_section_of(FR_SECTION_PUMP_CURVE), path, node);
    scope.quiet = part->quiet;
    fr_scope_check_keys(&scope);
    fr_take(&scope, "voltage", &curve->voltage_v);
    if (!take_line(&scope, "flow", &curve->flow_m3_s, &widest))
        return false;
    fr_keep_tolerance(&scope, fr_scope_field(&scope, "flow"), &widest, NULL);
    warn_rising(&scope, &curve->flow_m3_s);
    if (!fr_find(&scope, "current"))
        assume_current(&scope, curve);
    else
        take_line(&scope, "current", &curve->current_a, &read->current);
    return true;
}

/* Puts a curve in order of voltage. False when there is one of that voltage. */
static bool place_curve(read_curve *curves, size_t count, const read_curve *one) {
    size_t at = count;
    while (at > 0 && curves[at - 1].curve.voltage_v > one->curve.voltage_v)
        at--;
    if (at > 0 && curves[at - 1].curve.voltage_v == one->curve.voltage_v)
        return false;
    memmove(&curves[at + 1], &curves[at], (count - at) * sizeof *curves);
    curves[at] = *one;
    return true;
}

static void keep_curves(const fr_scope *part, const read_curve *curves, size_t count,
                        fr_pump *pump) {
    for (size_t i = 0; i < count; i++) {
        pump->curves[i] = curves[i].curve;
        keep_current_tolerance(part, &curves[i], &pump->curves[i].current_a);
    }
    pump->curve_count = count;
}

static void bind_curves(const fr_scope *part, const fr_node *list, fr_pump *pump) {
    char path[FR_PATH_MAX];
    read_curve curves[FR_PUMP_CURVES_MAX];
    size_t count = 0;
    fr_path_join(part, "curves", path, sizeof path);
    if (list->kind != FR_NODE_LIST || list->count == 0) {
        fr_tell_shape(part, fr_scope_field(part, "curves"), list, path);
        return;
    }
    if (list->count > FR_PUMP_CURVES_MAX) {
        fr_say(part->binder, FR_ERROR, list, path, NULL, "a pump has at most %d curves",
               FR_PUMP_CURVES_MAX);
        return;
    }
    for (size_t i = 0; i < list->count; i++) {
        read_curve one = {.index = i};
        if (!bind_curve(part, list->items[i], &one))
            continue;
        if (place_curve(curves, count, &one))
            count++;
        else
            fr_say(part->binder, FR_ERROR, list->items[i], path, "give each curve its own voltage",
                   "two curves are at %g V", one.curve.voltage_v);
    }
    keep_curves(part, curves, count, pump);
}

static void assume_typical(const fr_scope *part, const fr_pump *pump) {
    const fr_section *section = fr_section_of(FR_SECTION_PUMP_CURVE);
    char flow[FR_VALUE_MAX / 4], current[FR_VALUE_MAX / 4], text[FR_VALUE_MAX];
    const fr_pump_curve *curve = &pump->curves[0];
    if (!part->binder->assumed || part->quiet)
        return;
    spell_line(fr_field_find(section, "flow"), &curve->flow_m3_s, flow, sizeof flow);
    spell_line(fr_field_find(section, "current"), &curve->current_a, current, sizeof current);
    snprintf(text, sizeof text, "[{voltage: %g V, flow: %s, current: %s}]", curve->voltage_v, flow,
             current);
    fr_assume_text(part, "curves", text);
}

static void bind_size(const fr_scope *part, fr_pump *pump) {
    double rise_pa = SIZE_RISE_PA;
    fr_quantity size = {.value = 0.0};
    fr_take(part, "size_at", &rise_pa);
    fr_take_quantity(part, "size", &size);
    if (!(size.value > 0.0) || !(rise_pa > 0.0))
        return;
    fr_keep_tolerance(part, fr_scope_field(part, "size"), &size, NULL);
    fr_pump typical = fr_pump_typical(size.value, rise_pa);
    pump->curve_count = typical.curve_count;
    memcpy(pump->curves, typical.curves, sizeof pump->curves);
    assume_typical(part, pump);
}

void fr_bind_pump(const fr_scope *part, fr_pump *pump) {
    unsigned type = FR_PUMP_TURBINE;
    *pump = (fr_pump){.type = FR_PUMP_TURBINE, .count = 1, .flow_factor = 1.0};
    fr_take_word(part, "type", &type);
    pump->type = (fr_pump_type)type;
    fr_take(part, "relief", &pump->relief_pa);
    const fr_node *curves = fr_find(part, "curves");
    if (curves) {
        bind_curves(part, curves, pump);
        fr_take_unused(part, "size size_at", "curves");
    } else if (fr_find(part, "size")) {
        bind_size(part, pump);
    } else {
        fr_say(part->binder, FR_ERROR, part->at, part->path, "write 'size: 255 L/h' or its curves",
               "this lift pump has neither curves nor a size");
    }
}
