/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Parts written `factory`: what the sheet may say beside it, sizing them when all else is read, and
 * the line that would write each out. */
#include <stdio.h>
#include <string.h>

#include "sheet/assumed.h"
#include "sheet/bind.h"
#include "sheet/paste.h"

/* A part as the car was built with, by kind; a kind without a path is not made so. */
static const struct {
    const char *path;
    const char *figure;   /* what is worked out */
    const char *not_with; /* fields that would say the same, one blank between */
} rows[FR_PART_KIND_COUNT] = {
    [FR_PART_LIFT_PUMP] = {"supply.lift_pump", "size", "type curves size size_at relief count"},
    [FR_PART_PORT_INJECTOR] = {"supply.port_injection.injector", "flow", "flow"},
    [FR_PART_DIRECT_INJECTOR] = {"supply.direct_injection.injector", "flow", "flow"},
    [FR_PART_HIGH_PRESSURE_PUMP] = {"supply.direct_injection.high_pressure_pump", "displacement",
                                    "displacement plunger lift lobes"},
};

void fr_check_factory(const fr_scope *part, fr_part_kind kind) {
    const fr_node *map = part->at;
    if (!map || map->kind != FR_NODE_MAP)
        return;
    for (size_t i = 0; i < map->count; i++) {
        const fr_node *key = map->pairs[i].key;
        if (fr_listed(rows[kind].not_with, key->text))
            fr_say(part->binder, FR_ERROR, key, part->path,
                   "leave it out, or write the part's own figures in place of 'factory'",
                   "%s is what 'factory' works out", key->text);
    }
}

static bool any_factory(const fr_factory *factory) {
    return factory->lift_pump || factory->port_injector || factory->direct_injector ||
           factory->high_pressure_pump;
}

void fr_need_factory_power(const fr_scope *top) {
    fr_binder *binder = top->binder;
    if (!any_factory(&binder->facts->factory) || binder->build->engine.factory_power_w > 0.0)
        return;
    const fr_node *engine = fr_find(top, "engine");
    if (engine && engine->kind == FR_NODE_MAP && fr_node_get(engine, "factory_power"))
        return;
    fr_say(binder, FR_ERROR, engine, "engine.factory_power",
           "write 'factory_power: 135 kW', the power of the car when new, at the crank",
           "a factory part needs engine.factory_power");
}

/* ---- sizing ---- */

/* The car was built with a pump as new: wear comes after. */
static bool size_as_new(fr_binder *binder, fr_check *scratch) {
    fr_pump *pump = &binder->build->pumps.kinds[0];
    bool factory_pump = binder->facts->factory.lift_pump;
    double worn = pump->flow_factor;
    if (factory_pump)
        pump->flow_factor = 1.0;
    bool sized = fr_factory_size(binder->build, &binder->facts->factory, scratch);
    if (factory_pump)
        pump->flow_factor = worn;
    return sized;
}

bool fr_size_factory(const fr_scope *top) {
    fr_binder *binder = top->binder;
    if (!any_factory(&binder->facts->factory))
        return true;
    fr_check *scratch = fr_check_open();
    if (!scratch) {
        binder->out_of_memory = true;
        return false;
    }
    bool sized = size_as_new(binder, scratch);
    fr_check_close(scratch);
    if (!sized)
        fr_say(binder, FR_ERROR, fr_find(top, "supply"), "supply",
               "look at factory_power and at the figures around it, or write the part's rating",
               "no factory part carries engine.factory_power in this build");
    return sized;
}

/* ---- writing them out ---- */

/* What the sheet says of the part beside that it is `factory`. */
static size_t put_own_words(const fr_node *part, char *out, size_t size, bool *has_spread) {
    size_t used = 0;
    *has_spread = false;
    for (size_t i = 0; part && part->kind == FR_NODE_MAP && i < part->count; i++) {
        const char *key = part->pairs[i].key->text;
        char value[FR_VALUE_MAX];
        if (fr_listed("part of_factory", key) ||
            !fr_flow_text(part->pairs[i].value, value, sizeof value))
            continue;
        *has_spread = *has_spread || strcmp(key, "spread") == 0;
        int wrote = snprintf(out + used, size - used, ", %s: %s", key, value);
        used += wrote > 0 && (size_t)wrote < size - used ? (size_t)wrote : 0;
    }
    out[used] = '\0';
    return used;
}

static const fr_node *node_at(const fr_node *node, const char *path) {
    char key[FR_NAME_MAX];
    while (node && *path) {
        size_t length = strcspn(path, ".");
        snprintf(key, sizeof key, "%.*s", (int)length, path);
        node = fr_node_get(node, key);
        path += length + (path[length] ? 1 : 0);
    }
    return node;
}

/* `figure` in SI of the field; `more` is put behind it. */
static void list_part(fr_binder *binder, const fr_node *root, fr_part_kind kind, double figure,
                      const char *more) {
    const fr_section *section = fr_section_of((fr_section_id)(FR_SECTION_PARTS + (int)kind));
    char value[64], own[FR_VALUE_MAX], text[2 * FR_VALUE_MAX];
    bool has_spread;
    put_own_words(node_at(root, rows[kind].path), own, sizeof own, &has_spread);
    fr_spell_rounded(fr_field_find(section, rows[kind].figure), figure, value, sizeof value);
    snprintf(text, sizeof text, "{%s: %s%s%s%s}", rows[kind].figure, value, more,
             has_spread ? "" : ", spread: 15 %", own);
    fr_assumed *added = fr_assumed_add(binder, rows[kind].path, text,
                                       "sized from engine.factory_power, common practice");
    if (added)
        added->is_factory = true;
}

void fr_list_factory(fr_binder *binder, const fr_node *root) {
    static const double SIZE_RISE_PA = 3e5, SIZE_V = 13.5;
    const fr_factory *factory = &binder->facts->factory;
    const fr_build *build = binder->build;
    if (!binder->assumed)
        return;
    if (factory->lift_pump) {
        char count[32];
        fr_pump pump = build->pumps.kinds[0];
        pump.flow_factor = 1.0;
        snprintf(count, sizeof count, ", count: %u", pump.count);
        list_part(binder, root, FR_PART_LIFT_PUMP,
                  fr_pump_at_voltage(&pump, SIZE_RISE_PA, SIZE_V).flow_m3_s, count);
    }
    if (factory->port_injector)
        list_part(binder, root, FR_PART_PORT_INJECTOR,
                  build->port.flow_kg_s / build->port.test_density_kg_m3, "");
    if (factory->direct_injector)
        list_part(binder, root, FR_PART_DIRECT_INJECTOR,
                  build->direct.flow_kg_s / build->direct.test_density_kg_m3, "");
    if (factory->high_pressure_pump)
        list_part(binder, root, FR_PART_HIGH_PRESSURE_PUMP, build->direct.displacement_m3, "");
}
