/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Port and direct injection; and the section site, whose temperatures lean on them. */
#include <math.h>
#include <stdio.h>

#include "sheet/assumed.h"
#include "sheet/bind.h"
#include "sheet/faults.h"

/* Opens the part of a key. False when it is absent (told, since it is needed) or refused. */
static fr_part_form enter_part(const fr_scope *scope, const char *key, fr_scope *part) {
    char path[FR_PATH_MAX];
    const fr_field *field = fr_scope_field(scope, key);
    fr_path_join(scope, key, path, sizeof path);
    fr_part_form form = fr_part_enter(scope, field, fr_find(scope, key), path, part);
    if (form == FR_PART_ABSENT)
        fr_tell_missing(scope, field);
    return form;
}

static bool is_usable(fr_part_form form) {
    return form != FR_PART_ABSENT && form != FR_PART_REFUSED;
}

static void bind_count(const fr_scope *scope, unsigned cylinders, unsigned *count) {
    double usual = (double)cylinders;
    if (!fr_take_whole(scope, "count", count)) {
        fr_assume(scope, "count", usual, &usual);
        *count = cylinders;
    }
}

/* ---- port ---- */

static void bind_port(const fr_scope *supply, fr_build *build) {
    fr_scope port, part;
    fr_factory *factory = &supply->binder->facts->factory;
    if (!fr_scope_enter(supply, "port_injection", &port))
        return;
    bind_count(&port, build->engine.cylinders, &build->port.count);
    fr_part_form form = enter_part(&port, "injector", &part);
    if (!is_usable(form))
        return;
    fr_bind_port_injector(&part, &build->port);
    fr_bind_spread(&part, FR_IN_PORT_INJECTOR);
    if (form == FR_PART_FACTORY) {
        factory->port_injector = true;
        factory->port_injector_scale = fr_part_of_factory(&part);
    }
}

/* ---- direct ---- */

static void bind_rail_pressure(const fr_scope *direct, fr_direct *out) {
    /* Common practice: a reserve below what pump and injector bear. */
    static const double USUAL_PA = 200e5, SHARE = 0.95;
    double least = fmin(USUAL_PA, SHARE * fmin(out->pump_max_pa, out->injector_max_pa));
    fr_curve constant = fr_curve_constant(least);
    if (!fr_take_curve(direct, "rail_pressure", &out->rail_command_pa))
        fr_assume_curve(direct, "rail_pressure", &constant, &out->rail_command_pa);
}

static void bind_direct_parts(const fr_scope *direct, fr_direct *out) {
    fr_factory *factory = &direct->binder->facts->factory;
    fr_scope part;
    fr_part_form form = enter_part(direct, "injector", &part);
    if (is_usable(form)) {
        fr_bind_direct_injector(&part, out);
        fr_bind_spread(&part, FR_IN_DIRECT_INJECTOR);
        factory->direct_injector = form == FR_PART_FACTORY;
        factory->direct_injector_scale = factory->direct_injector ? fr_part_of_factory(&part) : 1.0;
    }
    form = enter_part(direct, "high_pressure_pump", &part);
    if (is_usable(form)) {
        fr_bind_hp_pump(&part, out);
        fr_bind_spread(&part, FR_IN_HIGH_PRESSURE_PUMP);
        factory->high_pressure_pump = form == FR_PART_FACTORY;
        factory->high_pressure_pump_scale =
            factory->high_pressure_pump ? fr_part_of_factory(&part) : 1.0;
    }
}

static void bind_direct(const fr_scope *supply, fr_build *build) {
    fr_scope direct;
    if (!fr_scope_enter(supply, "direct_injection", &direct))
        return;
    bind_count(&direct, build->engine.cylinders, &build->direct.count);
    bind_direct_parts(&direct, &build->direct);
    bind_rail_pressure(&direct, &build->direct);
    fr_take_curve(&direct, "window", &build->direct.window_deg);
    fr_take(&direct, "rail_volume", &build->direct.rail_volume_m3);
}

/* ---- share ---- */

static void bind_share(const fr_scope *supply, fr_build *build) {
    const fr_node *node = fr_find(supply, "direct_share");
    const fr_words *words = fr_scope_field(supply, "direct_share")->words;
    bool both = build->port.present && build->direct.present;
    bool word =
        !node || (node->kind == FR_NODE_SCALAR && fr_word_find(words, node->text) < words->count);
    build->share = both                    ? FR_SHARE_AUTO
                   : build->direct.present ? FR_SHARE_DIRECT_ONLY
                                           : FR_SHARE_PORT_ONLY;
    if (node && !word && fr_take_curve(supply, "direct_share", &build->direct_share) && both)
        build->share = FR_SHARE_CURVE;
    if (node && !both)
        fr_say(supply->binder, FR_CAUTION, fr_find_key(supply, "direct_share"),
               "supply.direct_share", NULL,
               "direct_share is used only where the build has port and direct injection");
    if (!node && both)
        fr_assume_text(supply, "direct_share", words->words[0].word);
}

void fr_bind_injection(const fr_scope *supply) {
    fr_build *build = supply->binder->build;
    bind_port(supply, build);
    bind_direct(supply, build);
    bind_share(supply, build);
    if (!build->port.present && !build->direct.present)
        fr_say(supply->binder, FR_ERROR, supply->at, "supply",
               "write 'port_injection: {injector: 1000 cc/min}'",
               "supply has neither port_injection nor direct_injection");
}

/* ---- site ---- */

/* Common practice, no source: how much warmer fuel gets on its way. */
static const double FEED_NATURAL_C = 40.0, FEED_BOOSTED_C = 45.0;
static const double TANK_BELOW_RETURN_K = 5.0, TANK_BELOW_K = 10.0;
static const double RAIL_ABOVE_K = 20.0;

static bool has_own_tolerance(const fr_scope *scope, const char *key) {
    fr_quantity quantity;
    const fr_node *node = fr_find(scope, key);
    return node && node->kind == FR_NODE_SCALAR &&
           fr_quantity_parse(node->text, FR_KINDS(FR_KIND_TEMPERATURE), &quantity) ==
               FR_QUANTITY_FINE &&
           quantity.has_tolerance;
}

static void bind_temperatures(const fr_scope *site, fr_build *build) {
    fr_site *out = &build->site;
    bool natural = build->engine.aspiration == FR_NATURAL;
    double below = build->feed.regulation == FR_RETURN ? TANK_BELOW_RETURN_K : TANK_BELOW_K;
    if (!fr_take(site, "feed_temperature", &out->feed_temperature_c))
        fr_assume(site, "feed_temperature", natural ? FEED_NATURAL_C : FEED_BOOSTED_C,
                  &out->feed_temperature_c);
    out->tank_temperature_given = fr_take(site, "tank_temperature", &out->tank_temperature_c);
    if (!out->tank_temperature_given)
        fr_assume(site, "tank_temperature", out->feed_temperature_c - below,
                  &out->tank_temperature_c);
    double rail = out->feed_temperature_c + RAIL_ABOVE_K;
    if (fr_find(site, "rail_temperature"))
        fr_take(site, "rail_temperature", &out->rail_temperature_c);
    else if (build->direct.present)
        fr_assume(site, "rail_temperature", rail, &out->rail_temperature_c);
    else
        out->rail_temperature_c = rail;
}

static void bind_inlet(const fr_scope *supply, fr_build *build) {
    fr_scope direct;
    fr_site *out = &build->site;
    double midway = 0.5 * (out->feed_temperature_c + out->rail_temperature_c);
    out->hp_inlet_temperature_c = midway;
    const fr_node *node = fr_find(supply, "direct_injection");
    if (!build->direct.present || node->kind != FR_NODE_MAP)
        return;
    direct = fr_scope_of(supply->binder, fr_section_of(FR_SECTION_DIRECT),
                         "supply.direct_injection", node);
    if (!fr_take(&direct, "inlet_temperature", &out->hp_inlet_temperature_c))
        fr_assume(&direct, "inlet_temperature", midway, &out->hp_inlet_temperature_c);
    if (supply->binder->inputs)
        supply->binder->inputs->own_inlet = has_own_tolerance(&direct, "inlet_temperature");
}

void fr_bind_site(const fr_scope *site, const fr_scope *supply) {
    fr_build *build = site->binder->build;
    fr_inputs *inputs = site->binder->inputs;
    fr_take(site, "air_pressure", &build->site.air_pressure_pa);
    fr_take(site, "supply_voltage", &build->site.supply_voltage_v);
    bind_temperatures(site, build);
    if (inputs) {
        inputs->own_tank = has_own_tolerance(site, "tank_temperature");
        inputs->own_rail = has_own_tolerance(site, "rail_temperature");
    }
    bind_inlet(supply, build);
}
