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
    fr_need_factory_power(&top);
    if (binder->errors || !has_engine || !has_supply)
        return false;
    if (!fr_size_factory(&top))
        return false;
    fr_list_factory(binder, root);
    fr_apply_learnt(binder);
    if (binder->inputs)
        fr_inputs_finish(binder->inputs, binder->build);
    if (binder->assumed)
        fr_assumed_finish(binder, root);
    return binder->errors == 0 && !binder->out_of_memory;
}
