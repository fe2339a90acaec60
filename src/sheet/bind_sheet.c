/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The whole sheet, section by section; then what can be done only when all of it is read. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "sheet/assumed.h"
#include "sheet/bind.h"
#include "sheet/faults.h"
#include "sheet/line_text.h"
#include "sheet/tree_inside.h"

/* ---- the top ---- */

/* YAML cuts a line at ' #': what stood behind it in a name is gone. */
static void warn_cut_name(const fr_scope *top, const fr_node *node) {
    const char *line = node->tree ? fr_tree_line(node->tree, node->line) : NULL;
    char hint[FR_SAY_MAX];
    const char *name = line ? strstr(line, node->text) : NULL;
    if (node->quoted || !name || !strstr(name, " #"))
        return;
    fr_line_text all = fr_line_trim((fr_line_text){name, strlen(name)});
    snprintf(hint, sizeof hint, "to keep what follows write name: \"%.*s\"", fr_line_shown(all),
             all.text);
    fr_say(top->binder, FR_CAUTION, node, "name", hint,
           "' #' begins a comment; the name is '%.80s'", node->text);
}

static void bind_top(const fr_scope *top) {
    fr_sheet_facts *facts = top->binder->facts;
    unsigned format = 1, units = FR_METRIC;
    fr_scope heading = *top;
    /* Format, name and units say nothing about the car: not listed as assumed. */
    heading.quiet = true;
    fr_take_whole(&heading, "fuelreach", &format);
    fr_take_word(&heading, "units", &units);
    facts->units = (fr_units)units;
    if (top->binder->assumed)
        top->binder->assumed->us = units == FR_US;
    const char *name = fr_take_text(&heading, "name");
    facts->name = name ? name : "";
    if (name)
        warn_cut_name(top, fr_find(top, "name"));
}

/* ---- factory parts ---- */

static bool any_factory(const fr_factory *factory) {
    return factory->lift_pump || factory->port_injector || factory->direct_injector ||
           factory->high_pressure_pump;
}

static void need_factory_power(const fr_scope *top) {
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

static void list_factory(fr_binder *binder, const char *path, const char *value) {
    fr_assumed *added =
        fr_assumed_add(binder, path, value, "sized from engine.factory_power, common practice");
    if (added)
        added->is_factory = true;
}

/* The pump as it would be written out. Sizing moves a typical pump's flows and currents together,
 * or its count. */
static void list_factory_pump(fr_binder *binder) {
    const fr_pump *pump = &binder->build->pumps.kinds[0];
    const fr_field *field = fr_field_find(fr_section_of(FR_SECTION_LIFT_PUMP), "size");
    static const double SIZE_RISE_PA = 3e5, SIZE_V = 13.5;
    char size[64], text[FR_VALUE_MAX];
    double flow = fr_pump_at_voltage(pump, SIZE_RISE_PA, SIZE_V).flow_m3_s;
    fr_spell_rounded(field, flow, size, sizeof size);
    snprintf(text, sizeof text, "{size: %s, count: %u, spread: 15 %%}", size, pump->count);
    list_factory(binder, "supply.lift_pump", text);
}

static void list_factory_injector(fr_binder *binder, const char *path, fr_section_id id,
                                  double flow_kg_s, double density) {
    const fr_field *field = fr_field_find(fr_section_of(id), "flow");
    char flow[64], text[FR_VALUE_MAX];
    fr_spell_rounded(field, flow_kg_s / density, flow, sizeof flow);
    snprintf(text, sizeof text, "{flow: %s, spread: 15 %%}", flow);
    list_factory(binder, path, text);
}

static void list_factories(fr_binder *binder) {
    const fr_factory *factory = &binder->facts->factory;
    const fr_build *build = binder->build;
    if (!binder->assumed)
        return;
    if (factory->lift_pump)
        list_factory_pump(binder);
    if (factory->port_injector)
        list_factory_injector(binder, "supply.port_injection.injector", FR_SECTION_PORT_INJECTOR,
                              build->port.flow_kg_s, build->port.test_density_kg_m3);
    if (factory->direct_injector)
        list_factory_injector(binder, "supply.direct_injection.injector",
                              FR_SECTION_DIRECT_INJECTOR, build->direct.flow_kg_s,
                              build->direct.test_density_kg_m3);
    if (factory->high_pressure_pump) {
        char size[64], text[FR_VALUE_MAX];
        fr_spell_rounded(
            fr_field_find(fr_section_of(FR_SECTION_HIGH_PRESSURE_PUMP), "displacement"),
            build->direct.displacement_m3, size, sizeof size);
        snprintf(text, sizeof text, "{displacement: %s, spread: 15 %%}", size);
        list_factory(binder, "supply.direct_injection.high_pressure_pump", text);
    }
}

static bool size_factory(const fr_scope *top) {
    fr_binder *binder = top->binder;
    if (!any_factory(&binder->facts->factory))
        return true;
    fr_check *scratch = fr_check_open();
    if (!scratch) {
        binder->out_of_memory = true;
        return false;
    }
    bool sized = fr_factory_size(binder->build, &binder->facts->factory, scratch);
    fr_check_close(scratch);
    if (!sized)
        fr_say(binder, FR_ERROR, fr_find(top, "supply"), "supply",
               "look at factory_power and at the figures around it, or write the part's rating",
               "no factory part carries engine.factory_power in this build");
    return sized;
}

/* ---- the whole ---- */

static void start_build(fr_build *build) {
    memset(build, 0, sizeof *build);
    fr_curve none = fr_curve_constant(0.0);
    build->engine.same_air_gain = none;
    build->direct.fill = none;
    build->direct.rail_command_pa = none;
    build->direct.window_deg = none;
    build->direct_share = none;
    build->port.dead_time_s = none;
}

/* One value where a sheet is due. */
static void tell_no_fields(fr_binder *binder, const fr_node *root) {
    fr_told told = {0};
    if (!fr_advise_line(root, &told) && root->quoted)
        snprintf(told.message, sizeof told.message, "a quoted text is no sheet");
    fr_say(binder, FR_ERROR, root, NULL, told.hint, "%s", told.message);
}

static bool is_sheet(fr_binder *binder, const fr_node *root) {
    if (root && root->kind == FR_NODE_MAP)
        return true;
    if (!root || fr_is_blank(root))
        fr_say(binder, FR_ERROR, root, NULL, "'fuelreach draft' writes one to start from",
               "the sheet is empty");
    else if (root->kind == FR_NODE_SCALAR)
        tell_no_fields(binder, root);
    else
        fr_say(binder, FR_ERROR, root, NULL, "write 'engine:' and its fields below",
               "a sheet is made of 'name: value' lines, not of a list");
    return false;
}

static void need_section(const fr_scope *top, const char *key, bool entered) {
    if (!entered && fr_is_blank(fr_find(top, key)))
        fr_tell_missing(top, fr_scope_field(top, key));
}

bool fr_bind_sheet(fr_binder *binder, const fr_node *root) {
    fr_scope engine, fuel, supply, site;
    memset(binder->facts, 0, sizeof *binder->facts);
    binder->facts->name = "";
    binder->facts->sizing.currency = "";
    start_build(binder->build);
    if (!is_sheet(binder, root))
        return false;
    fr_scope top = fr_scope_of(binder, fr_section_of(FR_SECTION_TOP), "", root);
    fr_scope_check_keys(&top);
    bind_top(&top);
    bool has_engine = fr_scope_enter(&top, "engine", &engine);
    need_section(&top, "engine", has_engine);
    bool has_supply = fr_scope_enter(&top, "supply", &supply);
    need_section(&top, "supply", has_supply);
    fr_scope_enter(&top, "fuel", &fuel);
    fr_scope_enter(&top, "site", &site);
    if (has_engine)
        fr_bind_engine(&engine, &binder->build->engine);
    fr_bind_fuel(&fuel);
    if (has_supply)
        fr_bind_supply(&supply);
    fr_bind_site(&site, &supply);
    fr_bind_studies(&top);
    need_factory_power(&top);
    if (binder->errors || !has_engine || !has_supply)
        return false;
    if (!size_factory(&top))
        return false;
    list_factories(binder);
    fr_apply_learnt(binder);
    if (binder->inputs)
        fr_inputs_finish(binder->inputs, binder->build);
    if (binder->assumed)
        fr_assumed_finish(binder, root);
    return binder->errors == 0 && !binder->out_of_memory;
}
