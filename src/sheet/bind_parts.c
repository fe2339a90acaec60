/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The other kinds of parts, one function a kind. */
#include <ctype.h>
#include <math.h>
#include <string.h>

#include "sheet/assumed.h"
#include "sheet/bind.h"
#include "sheet/faults.h"

static const double PASCAL_PER_BAR = 1e5;
static const double PI = 3.14159265358979323846;
/* n-Heptane at 20 degC (Span & Wagner 2003), the usual test fluid. */
static const double HEPTANE_KG_M3 = 683.8;
/* A factory part is known no better than this (common practice). */
static const double FACTORY_SPREAD = 0.15;

/* ---- spread ---- */

static bool is_factory(const fr_scope *part) {
    const fr_node *word = fr_find(part, "part");
    const fr_node *at = word ? word : part->at;
    return at && at->kind == FR_NODE_SCALAR && strcmp(at->text, "factory") == 0;
}

void fr_bind_spread(const fr_scope *part, fr_input_id id) {
    fr_quantity spread = {.value = 0.0};
    bool factory = is_factory(part);
    bool given = fr_take_quantity(part, "spread", &spread);
    if (!part->binder->inputs || (!given && !factory))
        return;
    fr_written *written = fr_inputs_written(part->binder->inputs, id);
    if (written->given)
        return;
    written->given = true;
    written->kind = FR_INPUT_SCALE;
    written->half_width = given ? spread.value : FACTORY_SPREAD;
}

/* ---- injectors ---- */

static double test_density(const fr_scope *part) {
    double density = HEPTANE_KG_M3;
    if (fr_find(part, "test_density")) {
        fr_take(part, "test_density", &density);
        return density;
    }
    const char *fluid = fr_take_text(part, "test_fluid");
    const fr_field *field = fr_scope_field(part, "test_fluid");
    if (!fluid)
        fr_assume_text(part, field->key, field->default_text);
    else if (strcmp(fluid, field->default_text) != 0 && strcmp(fluid, "heptane") != 0)
        fr_say(part->binder, FR_ERROR, fr_find(part, field->key), part->path,
               "write its density: 'test_density: 760 kg/m3'", "no density known for '%.40s'",
               fluid);
    return density;
}

/* Rated in pounds an hour: the caution rating-by-mass asks. */
static bool in_pounds(const fr_node *node) {
    const char *unit = node && node->kind == FR_NODE_SCALAR ? fr_quantity_unit_at(node->text) : "";
    if (!unit)
        return false;
    for (const char *at = unit; *at; at++) {
        char a = (char)tolower((unsigned char)at[0]), b = (char)tolower((unsigned char)at[1]);
        if ((a == 'l' && b == 'b') || (a == 'p' && b == 'p') || a == '#')
            return true;
    }
    return false;
}

typedef struct injector {
    double flow_kg_s, at_pa, density_kg_m3;
    bool in_pounds;
} injector;

static injector bind_injector(const fr_scope *part) {
    injector out = {.density_kg_m3 = HEPTANE_KG_M3};
    fr_quantity flow = {.kind = FR_KIND_MASS_FLOW};
    if (fr_take_quantity(part, "flow", &flow))
        fr_keep_tolerance(part, fr_scope_field(part, "flow"), &flow, NULL);
    fr_take(part, "at", &out.at_pa);
    out.density_kg_m3 = test_density(part);
    out.flow_kg_s = flow.kind == FR_KIND_VOLUME_FLOW ? flow.value * out.density_kg_m3 : flow.value;
    out.in_pounds = flow.kind == FR_KIND_MASS_FLOW && in_pounds(fr_find(part, "flow"));
    return out;
}

/* Dead time a bar is zero where dead times are given without it. */
static void bind_dead_time(const fr_scope *part, fr_port *port) {
    static const double TYPICAL_S_PER_BAR = 0.03e-3;
    const fr_field *field = fr_scope_field(part, "dead_time_per_bar");
    fr_quantity per_bar = {.kind = FR_KIND_TIME};
    bool given = fr_take_curve(part, "dead_time", &port->dead_time_s);
    if (fr_take_quantity(part, field->key, &per_bar)) {
        per_bar.tolerance /= per_bar.tolerance_relative ? 1.0 : PASCAL_PER_BAR;
        fr_keep_tolerance(part, field, &per_bar, &port->dead_time_s_per_pa);
    } else {
        fr_assume(part, field->key, given ? 0.0 : TYPICAL_S_PER_BAR, &per_bar.value);
    }
    port->dead_time_s_per_pa = per_bar.value / PASCAL_PER_BAR;
}

void fr_bind_port_injector(const fr_scope *part, fr_port *port) {
    injector read = bind_injector(part);
    port->flow_kg_s = read.flow_kg_s;
    port->test_pressure_pa = read.at_pa;
    port->test_density_kg_m3 = read.density_kg_m3;
    port->rated_in_lb_h = read.in_pounds;
    bind_dead_time(part, port);
    fr_take(part, "max_duty", &port->max_duty);
    fr_take(part, "minimum_open", &port->minimum_open_s);
}

void fr_bind_direct_injector(const fr_scope *part, fr_direct *direct) {
    injector read = bind_injector(part);
    direct->flow_kg_s = read.flow_kg_s;
    direct->test_pressure_pa = read.at_pa;
    direct->test_density_kg_m3 = read.density_kg_m3;
    direct->rated_in_lb_h = read.in_pounds;
    fr_take(part, "opening_delay", &direct->opening_delay_s);
    fr_take(part, "max_pressure", &direct->injector_max_pa);
}

/* ---- high-pressure pump ---- */

/* Displacement from plunger, lift and lobes; a ± of the plunger counts twice in its area. */
static void bind_plunger(const fr_scope *part, const fr_quantity *plunger, const fr_quantity *lift,
                         fr_direct *direct) {
    static const char *const keys[] = {"plunger", "lift"};
    const fr_quantity *parts[] = {plunger, lift};
    double powers[] = {2.0, 1.0};
    direct->displacement_m3 = direct->plunger_area_m2 * lift->value * (double)direct->lobes;
    for (size_t i = 0; i < 2; i++) {
        fr_quantity moved = *parts[i];
        if (!moved.has_tolerance || moved.value <= 0.0)
            continue;
        double relative =
            moved.tolerance_relative ? moved.tolerance : moved.tolerance / moved.value;
        moved.tolerance = powers[i] * relative;
        moved.tolerance_relative = true;
        fr_keep_tolerance(part, fr_scope_field(part, keys[i]), &moved, &direct->displacement_m3);
    }
}

static void bind_displacement(const fr_scope *part, fr_direct *direct) {
    /* Two figures of one thing may differ by rounding. */
    static const double SAME = 0.05;
    fr_quantity plunger = {.kind = FR_KIND_LENGTH}, lift = {.kind = FR_KIND_LENGTH};
    bool has_plunger = fr_take_quantity(part, "plunger", &plunger);
    bool has_lift = fr_take_quantity(part, "lift", &lift);
    bool has_lobes = fr_take_whole(part, "lobes", &direct->lobes);
    direct->plunger_area_m2 = PI / 4.0 * plunger.value * plunger.value;
    double swept = direct->plunger_area_m2 * lift.value * (double)direct->lobes;
    if (fr_find(part, "displacement")) {
        fr_take(part, "displacement", &direct->displacement_m3);
        if (has_plunger && has_lift && has_lobes &&
            fabs(swept - direct->displacement_m3) > SAME * swept)
            fr_say(part->binder, FR_CAUTION, fr_find(part, "displacement"), part->path,
                   "displacement is taken; leave one of them out",
                   "plunger, lift and lobes make %.3g cc, displacement says %.3g cc",
                   fr_in_unit(swept, "cc"), fr_in_unit(direct->displacement_m3, "cc"));
        return;
    }
    if (has_plunger && has_lift && has_lobes)
        bind_plunger(part, &plunger, &lift, direct);
    else
        fr_say(part->binder, FR_ERROR, part->at, part->path,
               "write 'displacement: 0.87 cc', or plunger, lift and lobes",
               "this high-pressure pump has no displacement");
}

void fr_bind_hp_pump(const fr_scope *part, fr_direct *direct) {
    fr_take_whole(part, "count", &direct->pump_count);
    bind_displacement(part, direct);
    fr_take(part, "drive_ratio", &direct->drive_ratio);
    fr_take_curve(part, "fill", &direct->fill);
    fr_take(part, "dead_volume", &direct->dead_volume_ratio);
    fr_take(part, "leakage", &direct->leakage_m3_s);
    fr_take(part, "leakage_at", &direct->leakage_at_pa);
    fr_take(part, "max_pressure", &direct->pump_max_pa);
    fr_take(part, "minimum_inlet", &direct->minimum_inlet_gauge_pa);
}

/* ---- tank to rail ---- */

void fr_bind_filter(const fr_scope *part, fr_filter *filter) {
    fr_take(part, "drop", &filter->drop_pa);
    fr_take(part, "at", &filter->rated_flow_m3_s);
}

void fr_bind_line(const fr_scope *part, fr_line *line) {
    fr_take(part, "bore", &line->bore_m);
    fr_take(part, "length", &line->length_m);
    fr_take(part, "roughness", &line->roughness_m);
    fr_take(part, "fittings", &line->fittings);
}

/* ---- wiring ---- */

static double relative_tolerance(const fr_quantity *quantity) {
    if (!quantity->has_tolerance || quantity->value <= 0.0)
        return 0.0;
    return quantity->tolerance_relative ? quantity->tolerance
                                        : quantity->tolerance / quantity->value;
}

static double bind_wire(const fr_scope *part) {
    fr_quantity wire = {.kind = FR_KIND_AREA}, run = {.value = 0.0}, contacts = {.value = 0.0};
    double temperature_c = 0.0;
    fr_take_quantity(part, "wire", &wire);
    fr_take_quantity(part, "run", &run);
    fr_take_quantity(part, "contacts", &contacts);
    fr_take(part, "temperature", &temperature_c);
    double area = wire.kind == FR_KIND_WIRE_GAUGE ? fr_awg_area(wire.value) : wire.value;
    if (!(area > 0.0))
        return 0.0;
    double copper = fr_wire_resistance(area, run.value, temperature_c);
    double ohm = copper + contacts.value;
    /* What is known of its pieces, as a tolerance of the whole. */
    fr_quantity whole = {.kind = FR_KIND_RESISTANCE, .value = ohm, .tolerance_relative = true};
    whole.tolerance =
        relative_tolerance(&run) * copper + relative_tolerance(&contacts) * contacts.value;
    whole.tolerance /= ohm > 0.0 ? ohm : 1.0;
    whole.has_tolerance = whole.tolerance > 0.0;
    fr_keep_tolerance(part, fr_scope_field(part, "resistance"), &whole, NULL);
    return ohm;
}

void fr_bind_wiring(const fr_scope *part, double *ohm, double *fuse_a) {
    if (fr_find(part, "resistance")) {
        fr_take(part, "resistance", ohm);
        fr_take_unused(part, "wire run contacts temperature", "resistance");
    } else if (fr_find(part, "wire")) {
        *ohm = bind_wire(part);
    } else {
        fr_say(part->binder, FR_ERROR, part->at, part->path,
               "write 'resistance: 45 mohm' or 'wire: 10 AWG'",
               "this wiring has neither a resistance nor a wire");
        fr_take_unused(part, "run contacts temperature", "no wire");
    }
    fr_take(part, "fuse", fuse_a);
}

/* ---- gasoline ---- */

void fr_bind_gasoline(const fr_scope *part, fr_gasoline *gasoline) {
    *gasoline = fr_gasoline_default();
    fr_take(part, "density", &gasoline->density_15_kg_m3);
    fr_take(part, "vapour_pressure", &gasoline->vapour_pressure_pa);
    if (!fr_take(part, "stoich", &gasoline->stoich))
        fr_assume(part, "stoich", gasoline->stoich, &gasoline->stoich);
    fr_take(part, "heating_value", &gasoline->heating_value_j_kg);
}
