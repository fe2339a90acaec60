/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sections limits, learnt, sizing and log. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "sheet/assumed.h"
#include "sheet/bind.h"
#include "sheet/faults.h"
#include "sheet/suggest.h"

/* ---- limits ---- */

static void bind_limits(const fr_scope *top) {
    fr_build *build = top->binder->build;
    fr_scope limits;
    fr_scope_enter(top, "limits", &limits);
    /* Defaults are said in the report's own column, not as assumptions. */
    limits.quiet = true;
    for (size_t i = 0; i < fr_limits_section.count; i++) {
        fr_stage stage = fr_stage_find(fr_limits_section.fields[i].key);
        if (stage >= FR_STAGE_COUNT)
            continue;
        build->limits[stage] = fr_stage_default_limit(stage);
        if (fr_find(&limits, fr_limits_section.fields[i].key))
            fr_take(&limits, fr_limits_section.fields[i].key, &build->limits[stage]);
    }
}

/* ---- learnt ---- */

static void scale_y(fr_curve *curve, double factor) {
    for (size_t i = 0; i < curve->count; i++)
        curve->y[i] *= factor;
    curve->shift *= factor;
}

static void scale_pumps(fr_pumps *pumps, double factor) {
    for (size_t i = 0; i < pumps->kind_count; i++)
        pumps->kinds[i].flow_factor *= factor;
}

static void apply_factor(fr_build *build, fr_input_id id, double factor) {
    switch (id) {
    case FR_IN_BSFC:
        scale_y(&build->engine.bsfc_kg_j, factor);
        break;
    case FR_IN_PORT_INJECTOR:
        build->port.flow_kg_s *= factor;
        break;
    case FR_IN_DIRECT_INJECTOR:
        build->direct.flow_kg_s *= factor;
        break;
    case FR_IN_LIFT_PUMP:
        scale_pumps(&build->pumps, factor);
        break;
    case FR_IN_HIGH_PRESSURE_PUMP:
        scale_y(&build->direct.fill, factor);
        break;
    case FR_IN_LINE_LOSS:
        build->feed.loss_factor *= factor;
        break;
    default:
        break;
    }
}

/* What a log has taught takes the place of the tolerance that the sheet gives or the model
 * assumes. */
static void learn_tolerance(fr_inputs *inputs, fr_input_id id, const fr_quantity *factor,
                            const fr_build *build) {
    fr_written learnt = {.given = true, .kind = FR_INPUT_SCALE};
    learnt.half_width =
        factor->tolerance_relative ? factor->tolerance : factor->tolerance / factor->value;
    if (!factor->has_tolerance)
        return;
    if (id == FR_IN_LINE_LOSS) /* the loss as a whole: the filters' part is in it, known as well */
        inputs->written[FR_IN_FILTER_DROP] = (fr_written){.given = true, .kind = FR_INPUT_SCALE};
    if (id != FR_IN_LIFT_PUMP) {
        inputs->written[id] = learnt;
        return;
    }
    for (size_t i = 0; i < build->pumps.kind_count; i++)
        inputs->pumps[i] = learnt;
}

static void bind_learnt(const fr_scope *top, fr_sheet_facts *facts) {
    fr_scope learnt;
    if (!fr_scope_enter(top, "learnt", &learnt))
        return;
    for (size_t i = 0; i < fr_learnt_section.count; i++) {
        const fr_field *field = &fr_learnt_section.fields[i];
        fr_input_id id = fr_input_find(field->input);
        if (id < FR_IN_COUNT)
            fr_take_quantity(&learnt, field->key, &facts->learnt[id]);
    }
}

void fr_apply_learnt(fr_binder *binder) {
    for (int i = 0; i < FR_IN_COUNT; i++) {
        const fr_quantity *factor = &binder->facts->learnt[i];
        if (!(factor->value > 0.0))
            continue;
        apply_factor(binder->build, (fr_input_id)i, factor->value);
        if (binder->inputs)
            learn_tolerance(binder->inputs, (fr_input_id)i, factor, binder->build);
    }
}

/* ---- sizing ---- */

static void bind_keep(const fr_scope *sizing, const fr_node *list, fr_sizing_section *out) {
    char shown[FR_SHOWN_MAX];
    if (list->kind != FR_NODE_LIST) {
        fr_tell_shape(sizing, fr_scope_field(sizing, "keep"), list, "sizing.keep");
        return;
    }
    for (size_t i = 0; i < list->count; i++) {
        const fr_node *item = list->items[i];
        fr_slot slot = item->kind == FR_NODE_SCALAR ? fr_slot_find(item->text) : FR_SLOT_COUNT;
        if (slot < FR_SLOT_COUNT)
            out->keep[slot] = true;
        else
            fr_say(sizing->binder, FR_ERROR, item, "sizing.keep",
                   "slots are lift-pump, wiring, filter, line, port-injector, direct-injector, "
                   "high-pressure-pump",
                   "no slot '%s'", fr_shown(item, shown));
    }
}

static void bind_sizing(const fr_scope *top, fr_sizing_section *out) {
    fr_scope sizing, fitting;
    out->currency = "";
    if (!fr_scope_enter(top, "sizing", &sizing))
        return;
    const char *currency = fr_take_text(&sizing, "currency");
    out->currency = currency ? currency : "";
    const fr_node *keep = fr_find(&sizing, "keep");
    if (keep)
        bind_keep(&sizing, keep, out);
    if (!fr_scope_enter(&sizing, "fitting", &fitting))
        return;
    for (size_t i = 0; i < FR_SLOT_COUNT; i++)
        fr_take(&fitting, fr_slot_name((fr_slot)i), &out->fitting[i]);
}

/* ---- log ---- */

static void bind_unit(const fr_scope *channel, fr_channel which, fr_log_channel *out) {
    const char *unit = fr_take_text(channel, "unit");
    fr_kind kind;
    double factor, offset;
    if (!unit)
        return;
    if (fr_unit_find(unit, fr_channel_kinds(which), &kind, &factor, &offset)) {
        out->unit = unit;
        return;
    }
    char hint[FR_SAY_MAX];
    snprintf(hint, sizeof hint, "write it like '%s'", fr_channel_unit(which));
    fr_say(channel->binder, FR_ERROR, fr_find(channel, "unit"), channel->path, hint,
           "'%.40s' is no unit for %s", unit, fr_channel_name(which));
}

static void bind_channel(const fr_scope *log, fr_channel which, fr_log_channel *out) {
    const char *key = fr_channel_name(which);
    const fr_node *node = fr_find(log, key);
    fr_scope channel;
    /* Sensors of the feed line read over the air outside; the others usually over vacuum. */
    out->absolute = which != FR_CHANNEL_FEED_PRESSURE;
    if (!node)
        return;
    if (node->kind == FR_NODE_SCALAR) {
        out->column = node->text;
        if (fr_is_blank(node))
            fr_tell_shape(log, fr_scope_field(log, key), node, log->path);
        return;
    }
    if (!fr_scope_enter(log, key, &channel))
        return;
    out->column = fr_take_text(&channel, "column");
    bind_unit(&channel, which, out);
    fr_take_flag(&channel, "reference", &out->absolute);
}

static void bind_log(const fr_scope *top, fr_log_section *out) {
    fr_scope log;
    out->blend = NAN;
    fr_scope_enter(top, "log", &log);
    for (int i = 0; i < FR_CHANNEL_COUNT; i++)
        bind_channel(&log, (fr_channel)i, &out->channels[i]);
    fr_take_blend(&log, "blend", &out->blend);
}

void fr_bind_studies(const fr_scope *top) {
    bind_limits(top);
    bind_learnt(top, top->binder->facts);
    bind_sizing(top, &top->binder->facts->sizing);
    bind_log(top, &top->binder->facts->log);
}
