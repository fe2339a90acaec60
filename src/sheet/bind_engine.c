/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sections engine and fuel. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "sheet/assumed.h"
#include "sheet/bind.h"
#include "sheet/faults.h"

/* Defaults by aspiration, in order of fr_aspiration; all common practice without a source. */
typedef struct by_aspiration {
    double peak_rpm;
    double bsfc_kg_j;
    double lambda;
    double charge_c;
    double shape[6]; /* power over peak at the fractions of peak speed below */
} by_aspiration;

#define G_KWH 2.7777777777777778e-10 /* kg/J */
static const by_aspiration typical[] = {
    [FR_NATURAL] = {6500, 300 * G_KWH, 0.88, 40, {0.36, 0.55, 0.74, 0.92, 1.00, 0.98}},
    [FR_TURBO] = {6500, 350 * G_KWH, 0.82, 50, {0.38, 0.68, 0.89, 0.98, 1.00, 0.96}},
    [FR_SUPERCHARGED] = {6200, 370 * G_KWH, 0.82, 50, {0.42, 0.62, 0.80, 0.95, 1.00, 0.98}},
};
static const double shape_speeds[] = {0.38, 0.54, 0.69, 0.85, 1.00, 1.08};
enum { SHAPE_POINTS = sizeof shape_speeds / sizeof shape_speeds[0] };

/* ---- the pull ---- */

/* Cuts a curve at `limit`, the value there by interpolation. */
static void cut_at(fr_curve *curve, double limit) {
    if (curve->x[curve->count - 1] <= limit)
        return;
    double y = fr_curve_at(curve, limit);
    size_t kept = 0;
    while (curve->x[kept] < limit)
        kept++;
    curve->x[kept] = limit;
    curve->y[kept] = y;
    curve->count = kept + 1;
}

static fr_curve typical_pull(const by_aspiration *row, double peak_rpm) {
    fr_curve pull = {.count = SHAPE_POINTS, .scale = 1.0};
    for (size_t i = 0; i < SHAPE_POINTS; i++) {
        pull.x[i] = shape_speeds[i] * peak_rpm;
        pull.y[i] = row->shape[i];
    }
    return pull;
}

/* Slower than this no engine turns by itself, and a cycle takes as long as one likes. */
static const double SLOWEST_PULL_RPM = 100.0;

static void bind_given_pull(const fr_scope *scope, const fr_node *node, fr_engine *out) {
    const fr_field *field = fr_scope_field(scope, "power_curve");
    fr_quantity widest;
    double limit = 0.0;
    fr_curve pull;
    bool read = fr_read_curve(scope, field, node, &pull, &widest);
    bool limited = fr_take(scope, "rev_limit", &limit) && limit > 0.0;
    fr_take_unused(scope, "peak_power_at", "power_curve");
    if (!read)
        return;
    if (node->kind == FR_NODE_SCALAR || !(fr_curve_greatest(&pull) > 0.0)) {
        fr_say(scope->binder, FR_ERROR, node, "engine.power_curve",
               "write '{2500 rpm: 120 kW, 6500 rpm: 300 kW}', or peak_power_at in its place",
               "power_curve is a curve over engine speed");
        return;
    }
    if (pull.x[0] < SLOWEST_PULL_RPM) {
        fr_say(scope->binder, FR_ERROR, node, "engine.power_curve",
               "begin it where the pull begins: '2500 rpm: 120 kW'",
               "power_curve begins at %.4g rpm, where no engine pulls", pull.x[0]);
        return;
    }
    if (limited && limit <= pull.x[0] && pull.count > 1)
        fr_say(scope->binder, FR_ERROR, fr_find(scope, "rev_limit"), "engine.rev_limit", NULL,
               "rev_limit lies below the first speed of power_curve");
    else if (limited)
        cut_at(&pull, limit);
    out->pull = pull;
    out->pull_is_torque = widest.kind == FR_KIND_TORQUE;
    fr_keep_tolerance(scope, field, &widest,
                      widest.tolerance_relative ? &out->pull.scale : &out->pull.shift);
}

/* No curve: a typical shape about the speed of most power. */
static void bind_typical_pull(const fr_scope *scope, const by_aspiration *row, fr_engine *out) {
    double peak = row->peak_rpm, limit = 0.0;
    if (!fr_take(scope, "peak_power_at", &peak))
        fr_assume(scope, "peak_power_at", row->peak_rpm, &peak);
    double last = shape_speeds[SHAPE_POINTS - 1] * peak;
    bool limited = fr_take(scope, "rev_limit", &limit) && limit > 0.0;
    if (!limited)
        fr_assume(scope, "rev_limit", last, &limit);
    fr_curve pull = typical_pull(row, peak);
    if (limited && limit <= pull.x[0]) {
        fr_say(scope->binder, FR_ERROR, fr_find(scope, "rev_limit"), "engine.rev_limit", NULL,
               "rev_limit lies below the first speed of a typical power curve (%.0f rpm)",
               pull.x[0]);
        limit = last;
    }
    if (limit > peak)
        pull.x[SHAPE_POINTS - 1] = limit;
    else
        cut_at(&pull, limit);
    /* A share of the peak, so that it reads back as what it is. */
    fr_field percent = *fr_scope_field(scope, "power_curve");
    percent.unit = "%";
    percent.unit_us = NULL;
    char text[FR_VALUE_MAX];
    if (scope->binder->assumed) {
        fr_spell_curve(&percent, false, &pull, text, sizeof text);
        fr_assume_text(scope, "power_curve", text);
    }
    out->pull = pull;
    out->pull_is_torque = false;
}

/* ---- boost ---- */

static void bind_boost(const fr_scope *scope, fr_engine *out) {
    const fr_node *node = fr_find(scope, "boost");
    bool natural = out->aspiration == FR_NATURAL;
    const fr_words *words = fr_scope_field(scope, "boost")->words;
    bool automatic =
        node && node->kind == FR_NODE_SCALAR && fr_word_find(words, node->text) < words->count;
    out->boost_gauge_pa = fr_curve_constant(0.0);
    out->boost_source = FR_BOOST_CURVE;
    if (node && !automatic) {
        fr_take_curve(scope, "boost", &out->boost_gauge_pa);
        if (!natural && node->kind == FR_NODE_SCALAR)
            out->boost_source = FR_BOOST_SINGLE;
        if (natural && fr_curve_greatest(&out->boost_gauge_pa) > 0.0)
            fr_say(scope->binder, FR_CAUTION, node, "engine.boost",
                   "write 'aspiration: turbo' or 'aspiration: supercharged'",
                   "boost above the air outside on a natural engine");
        return;
    }
    if (!natural)
        out->boost_source = FR_BOOST_WORKED_OUT;
    if (!node)
        fr_assume_text(scope, "boost", natural ? "0 bar" : words->words[0].word);
}

/* ---- fuel of the engine ---- */

static void bind_bsfc(const fr_scope *scope, const by_aspiration *row, fr_engine *out) {
    fr_curve constant = fr_curve_constant(row->bsfc_kg_j);
    bool given = fr_take_curve(scope, "bsfc", &out->bsfc_kg_j);
    if (!given)
        fr_assume_curve(scope, "bsfc", &constant, &out->bsfc_kg_j);
    if (scope->binder->inputs)
        scope->binder->inputs->bsfc_given = given;
    fr_take_blend(scope, "bsfc_blend", &out->bsfc_ethanol);
    constant = fr_curve_constant(row->lambda);
    if (!fr_take_curve(scope, "lambda", &out->lambda))
        fr_assume_curve(scope, "lambda", &constant, &out->lambda);
    double lambda = out->lambda.count ? fr_curve_at(&out->lambda, out->bsfc_ethanol) : row->lambda;
    out->bsfc_lambda = lambda;
    if (!fr_take(scope, "bsfc_lambda", &out->bsfc_lambda))
        fr_assume(scope, "bsfc_lambda", lambda, &out->bsfc_lambda);
    unsigned scaling = FR_SCALE_AIR;
    fr_take_word(scope, "bsfc_scaling", &scaling);
    out->bsfc_scaling = (fr_bsfc_scaling)scaling;
}

static void bind_gain(const fr_scope *scope, fr_engine *out) {
    /* What spark and efficiency are seen to give on a boosted engine, common practice. */
    static const double GAIN_MOST = 0.08;
    fr_take_curve(scope, "same_air_gain", &out->same_air_gain);
    if (out->same_air_gain.count == 0)
        return;
    double most = fr_curve_greatest(&out->same_air_gain);
    const fr_node *node = fr_find(scope, "same_air_gain");
    for (size_t i = 0; node && node->kind == FR_NODE_MAP && i < node->count; i++) {
        fr_quantity one;
        if (fr_quantity_parse(node->pairs[i].value->text, FR_KINDS(FR_KIND_FRACTION), &one) ==
                FR_QUANTITY_FINE &&
            one.value == most) {
            node = node->pairs[i].value;
            break;
        }
    }
    if (node && out->aspiration != FR_NATURAL && most > GAIN_MOST)
        fr_say(scope->binder, FR_CAUTION, node, "engine.same_air_gain",
               "power from more boost belongs in target_power",
               "%g %% more work from the same air is beyond what is usual (0-6 %% boosted)",
               100.0 * most);
}

static void bind_target(const fr_scope *scope, fr_engine *out) {
    fr_take_whole(scope, "cylinders", &out->cylinders);
    fr_take(scope, "displacement", &out->displacement_m3);
    fr_take_curve(scope, "target_power", &out->target_power_w);
    fr_take_flag(scope, "power_at", &out->at_wheels);
    if (out->at_wheels) {
        fr_take(scope, "drivetrain_loss", &out->drivetrain_loss);
    } else if (fr_find(scope, "drivetrain_loss")) {
        fr_take(scope, "drivetrain_loss", &out->drivetrain_loss);
        fr_say(scope->binder, FR_CAUTION, fr_find_key(scope, "drivetrain_loss"),
               "engine.drivetrain_loss", "target_power is at the crank already",
               "drivetrain_loss is used only with power_at: wheels");
    }
    fr_take(scope, "factory_power", &out->factory_power_w);
}

void fr_bind_engine(const fr_scope *scope, fr_engine *out) {
    unsigned aspiration = FR_NATURAL;
    bind_target(scope, out);
    fr_take_word(scope, "aspiration", &aspiration);
    out->aspiration = (fr_aspiration)aspiration;
    const by_aspiration *row = &typical[aspiration];
    const fr_node *pull = fr_find(scope, "power_curve");
    if (pull)
        bind_given_pull(scope, pull, out);
    else
        bind_typical_pull(scope, row, out);
    bind_bsfc(scope, row, out);
    bind_gain(scope, out);
    bind_boost(scope, out);
    if (!fr_take(scope, "charge_temperature", &out->charge_temperature_c))
        fr_assume(scope, "charge_temperature", row->charge_c, &out->charge_temperature_c);
    fr_take(scope, "idle_speed", &out->idle_speed_rpm);
}

/* ---- fuel ---- */

static void bind_blends(const fr_scope *scope, const fr_node *node, fr_build *build) {
    char path[FR_PATH_MAX];
    fr_path_join(scope, "blends", path, sizeof path);
    if (node->kind == FR_NODE_SCALAR) {
        build->blend_count = fr_read_blend(scope, "blends", node, &build->blends[0]) ? 1 : 0;
        return;
    }
    if (node->kind != FR_NODE_LIST || node->count == 0) {
        fr_tell_shape(scope, fr_scope_field(scope, "blends"), node, path);
        return;
    }
    if (node->count > FR_BLENDS_MAX) {
        fr_say(scope->binder, FR_ERROR, node, path, NULL, "at most %d blends", FR_BLENDS_MAX);
        return;
    }
    for (size_t i = 0; i < node->count; i++)
        if (fr_read_blend(scope, "blends", node->items[i], &build->blends[build->blend_count]))
            build->blend_count++;
}

static void default_blends(const fr_scope *scope, fr_build *build) {
    static const double usual[] = {0.10, 0.30, 0.50, 0.70, 0.85};
    build->blend_count = sizeof usual / sizeof usual[0];
    memcpy(build->blends, usual, sizeof usual);
    fr_assume_text(scope, "blends", fr_scope_field(scope, "blends")->default_text);
}

static void default_gasoline(const fr_scope *scope, fr_gasoline *gasoline) {
    char text[FR_VALUE_MAX], stoich[48];
    *gasoline = fr_gasoline_default();
    fr_spell_in(NULL, gasoline->stoich, stoich, sizeof stoich);
    snprintf(text, sizeof text,
             "{density: %g kg/m3, vapour_pressure: %g kPa, stoich: %s, heating_value: %g MJ/kg}",
             gasoline->density_15_kg_m3, fr_in_unit(gasoline->vapour_pressure_pa, "kPa"), stoich,
             fr_in_unit(gasoline->heating_value_j_kg, "MJ/kg"));
    fr_assume_text(scope, "gasoline", text);
}

void fr_bind_fuel(const fr_scope *scope) {
    fr_build *build = scope->binder->build;
    const fr_node *blends = fr_find(scope, "blends");
    const fr_node *gasoline = fr_find(scope, "gasoline");
    if (blends)
        bind_blends(scope, blends, build);
    else
        default_blends(scope, build);
    fr_scope part;
    char path[FR_PATH_MAX];
    fr_path_join(scope, "gasoline", path, sizeof path);
    switch (fr_part_enter(scope, fr_scope_field(scope, "gasoline"), gasoline, path, &part)) {
    case FR_PART_ABSENT:
        default_gasoline(scope, &build->gasoline);
        break;
    case FR_PART_REFUSED:
        break;
    default:
        fr_bind_gasoline(&part, &build->gasoline);
        fr_bind_spread(&part, FR_IN_GASOLINE_DENSITY);
        break;
    }
}
