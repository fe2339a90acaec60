/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From target power to fuel, and the low-pressure side. */
#include <math.h>

#include "fuelreach/supply.h"
#include "report/explain_steps.h"

static const double KW = 1e-3, KG_H = 3600.0, L_H = 3.6e6, BAR = 1e-5, G_KWH = 3.6e9;

static void derive_power(fr_derivation *at) {
    const fr_engine *engine = &at->build->engine;
    const fr_point *point = at->point;
    const double share = point->power_w / at->blend->target_power_w;
    fr_derive_heading(at, "Power");
    fr_step *step =
        fr_derive_given(at, "s, share of the greatest power of the pull at this speed", share, "",
                        "the sheet's power curve; only its shape counts");
    fr_derive_assumed(at, step, "engine.power_curve,engine.peak_power_at,engine.rev_limit");
    if (engine->at_wheels) {
        step = fr_derive(at, "P = target s / (1 - drivetrain loss)", KW * point->crank_power_w,
                         "kW", "at the crank", "%.7g * %.7g / (1 - %.7g)",
                         KW * at->blend->target_power_w, share, engine->drivetrain_loss);
        fr_derive_assumed(at, step, "engine.drivetrain_loss");
    } else {
        fr_derive(at, "P = target s", KW * point->crank_power_w, "kW", "at the crank",
                  "%.7g * %.7g", KW * at->blend->target_power_w, share);
    }
}

static void derive_blend(fr_derivation *at) {
    const fr_blend *blend = &at->blend->blend;
    const fr_blend pure = fr_blend_make(&at->build->gasoline, 1.0);
    const fr_blend base = fr_blend_make(&at->build->gasoline, 0.0);
    const double warm = at->build->site.feed_temperature_c;
    const double ethanol_15 = fr_blend_density(&pure, 15.0), warm_ethanol = fr_blend_density(&pure, warm);
    const double base_15 = fr_blend_density(&base, 15.0), warm_base = fr_blend_density(&base, warm);
    fr_derive_heading(at, "The blend");
    fr_derive(at, "w = phi rho_e / (phi rho_e + (1 - phi) rho_g), at 15 degC",
              blend->mass_fraction, "", "mass fraction of ethanol from its volume fraction",
              "%.7g * %.7g / (%.7g * %.7g + (1 - %.7g) * %.7g)", blend->ethanol, ethanol_15,
              blend->ethanol, ethanol_15, blend->ethanol, base_15);
    fr_derive(at, "A = w A_e + (1 - w) A_g", blend->stoich, "kg/kg",
              "stoichiometric air-fuel ratio by mass, of the components from their composition",
              "%.7g * %.7g + (1 - %.7g) * %.7g", blend->mass_fraction, pure.stoich,
              blend->mass_fraction, base.stoich);
    fr_step *step = fr_derive(
        at, "rho = 1 / (w / rho_e(t) + (1 - w) / rho_g(t)), at feed temperature",
        at->blend->density_kg_m3, "kg/m3",
        "ethanol: fit to its equation of state; gasoline: API MPMS 11.1 (from memory)",
        "1 / (%.7g / %.7g + (1 - %.7g) / %.7g)", blend->mass_fraction, warm_ethanol,
        blend->mass_fraction, warm_base);
    fr_derive_assumed(at, step, "site.feed_temperature,fuel.gasoline");
}

static void derive_fuel(fr_derivation *at) {
    const fr_engine *engine = &at->build->engine;
    const fr_point *point = at->point;
    const fr_blend reference = fr_blend_make(&at->build->gasoline, engine->bsfc_ethanol);
    const double given = point->bsfc_kg_j / at->blend->bsfc_factor;
    const double gain = fr_curve_at(&engine->same_air_gain, engine->bsfc_ethanol);
    fr_derive_heading(at, "Fuel");
    fr_step *step;
    if (engine->bsfc_scaling == FR_SCALE_AIR) {
        step = fr_derive(at, "b = b_ref (A_ref lambda_ref) / (A lambda) (1 + g_ref) / (1 + g)",
                         G_KWH * point->bsfc_kg_j, "g/kWh",
                         "the same air makes the same power; A by mass, ref: the blend and mixture "
                         "that BSFC was measured on",
                         "%.7g * (%.7g * %.7g) / (%.7g * %.7g) * (1 + %.7g) / (1 + %.7g)",
                         G_KWH * given, reference.stoich, engine->bsfc_lambda,
                         at->blend->blend.stoich, at->blend->lambda, gain,
                         at->blend->same_air_gain);
    } else {
        step = fr_derive(at, "b = b_ref (H_ref min(lambda_ref, 1)) / (H min(lambda, 1)) (1 + g_ref) / (1 + g)",
                         G_KWH * point->bsfc_kg_j, "g/kWh", "the same heat makes the same power",
                         "%.7g * (%.7g * min(%.7g, 1)) / (%.7g * min(%.7g, 1)) * (1 + %.7g) / (1 + %.7g)",
                         G_KWH * given, 1e-6 * reference.heating_value_j_kg, engine->bsfc_lambda,
                         1e-6 * at->blend->blend.heating_value_j_kg, at->blend->lambda, gain,
                         at->blend->same_air_gain);
    }
    fr_derive_assumed(at, step, "engine.bsfc,engine.bsfc_blend,engine.bsfc_lambda,engine.lambda,"
                                "engine.same_air_gain,engine.bsfc_scaling");
    fr_derive(at, "m = P b", KG_H * point->fuel_kg_s, "kg/h", "definition of BSFC",
              "%.7g * %.7g / 1000", KW * point->crank_power_w, G_KWH * point->bsfc_kg_j);
    fr_derive(at, "Q = m / rho", L_H * point->fuel_m3_s, "L/h", "", "%.7g / %.7g * 1000",
              KG_H * point->fuel_kg_s, at->blend->density_kg_m3);
    fr_derive(at, "air = m A lambda", KG_H * point->air_kg_s, "kg/h", "", "%.7g * %.7g * %.7g",
              KG_H * point->fuel_kg_s, at->blend->blend.stoich, at->blend->lambda);
    step = fr_derive(at, "eta_v = air R T / (V n / 120 p_m)", point->volumetric_efficiency, "",
                     "the volumetric efficiency that the sheet implies; 0.6 to 1.25 is believable "
                     "(common practice, no source)",
                     "%.7g / 3600 * 287.05 * (%.7g + 273.15) / (%.7g / 1000 * %.7g / 120 * %.7g * "
                     "100000)",
                     KG_H * point->air_kg_s, engine->charge_temperature_c,
                     1e3 * engine->displacement_m3, point->speed_rpm, BAR * point->manifold_abs_pa);
    fr_derive_assumed(at, step, "engine.charge_temperature,engine.boost,site.air_pressure");
}

void fr_derive_demand(fr_derivation *at) {
    derive_power(at);
    derive_blend(at);
    derive_fuel(at);
}

/* ---- tank to rail ---- */

static void derive_line(fr_derivation *at, const fr_line *line, size_t index) {
    const double flow = at->point->line_flow_m3_s;
    const double density = at->blend->density_kg_m3, viscosity = at->blend->viscosity_pa_s;
    const double velocity = flow / (0.785398163397448309616 * line->bore_m * line->bore_m);
    const double reynolds = density * velocity * line->bore_m / viscosity;
    const double friction = fr_friction_factor(reynolds, line->roughness_m / line->bore_m);
    char symbols[FR_STEP_TEXT_MAX];
    snprintf(symbols, sizeof symbols, "v = Q / (pi/4 D^2), line %zu", index + 1);
    fr_step *step = fr_derive(at, symbols, velocity, "m/s", "",
                              "%.7g / 3600000 / (0.7853981634 * (%.7g / 1000)^2)", L_H * flow,
                              1e3 * line->bore_m);
    fr_derive_assumed(at, step, "supply.lines");
    fr_derive(at, "Re = rho v D / mu", reynolds, "", "", "%.7g * %.7g * %.7g / 1000 / %.7g",
              density, velocity, 1e3 * line->bore_m, viscosity);
    fr_derive(at,
              "f = 8 ((8/Re)^12 + 1 / (A + B)^1.5)^(1/12), A = (2.457 ln(1 / ((7/Re)^0.9 + 0.27 "
              "e/D)))^16, B = (37530/Re)^16",
              friction, "", "Churchill (1977), one formula for all regimes",
              "8 * ((8 / %.7g)^12 + 1 / ((2.457 * ln(1 / ((7 / %.7g)^0.9 + 0.27 * %.7g)))^16 + "
              "(37530 / %.7g)^16)^1.5)^(1 / 12)",
              reynolds, reynolds, line->roughness_m / line->bore_m, reynolds);
    fr_derive(at, "dp = (f L/D + K) rho v^2 / 2",
              BAR * (friction * line->length_m / line->bore_m + line->fittings) * density *
                  velocity * velocity / 2.0,
              "bar", "Darcy and Weisbach", "(%.7g * %.7g / (%.7g / 1000) + %.7g) * %.7g * %.7g^2 / 2 / 100000",
              friction, line->length_m, 1e3 * line->bore_m, line->fittings, density, velocity);
}

static void derive_losses(fr_derivation *at) {
    const fr_feed *feed = &at->build->feed;
    const fr_point *point = at->point;
    if (!(point->line_flow_m3_s > 0.0)) {
        return;
    }
    fr_derive_heading(at, "Tank to rail");
    fr_derive_given(at, "Q, flow that the line carries", L_H * point->line_flow_m3_s, "L/h",
                    feed->regulation == FR_RETURN ? "with a return line all pump flow passes"
                                                  : "the line carries the demand alone");
    for (size_t i = 0; i < feed->line_count; i++) {
        derive_line(at, &feed->lines[i], i);
    }
    for (size_t i = 0; i < feed->filter_count; i++) {
        const fr_filter *filter = &feed->filters[i];
        const double share = point->line_flow_m3_s / filter->rated_flow_m3_s;
        fr_step *step = fr_derive(at, "dp = drop (Q / Q_rated)^2, filter",
                                  BAR * filter->drop_pa * share * share, "bar",
                                  "common practice, no source", "%.7g * (%.7g / %.7g)^2",
                                  BAR * filter->drop_pa, L_H * point->line_flow_m3_s,
                                  L_H * filter->rated_flow_m3_s);
        fr_derive_assumed(at, step, "supply.filters");
    }
    fr_derive_given(at, "Loss, all together", BAR * point->line_loss_pa, "bar",
                    feed->loss_factor != 1.0 ? "the sum, times the factor learnt from a log"
                                             : "the sum");
}

void fr_derive_feed(fr_derivation *at) {
    const fr_feed *feed = &at->build->feed;
    const fr_point *point = at->point;
    derive_losses(at);
    fr_derive_heading(at, "Feed pressure and lift pump");
    fr_step *step;
    if (feed->manifold_referenced) {
        step = fr_derive(at, "p_set = p_feed + p_manifold - p_air", BAR * point->set_gauge_pa,
                         "bar", "gauge, referenced to the manifold", "%.7g + %.7g - %.7g",
                         BAR * feed->pressure_gauge_pa, BAR * point->manifold_abs_pa,
                         BAR * at->build->site.air_pressure_pa);
    } else {
        step = fr_derive_given(at, "p_set", BAR * point->set_gauge_pa, "bar",
                               "gauge, as the sheet has it");
    }
    fr_derive_assumed(at, step, "supply.feed_pressure,supply.reference,supply.regulation");
    fr_derive_given(at, "p_pump, rise over the pumps", BAR * point->pump_rise_pa, "bar",
                    feed->regulation == FR_MECHANICAL_RETURNLESS
                        ? "the regulator sits at the tank: the set pressure"
                        : "the set pressure and the loss on the way");
    fr_derive_given(at, "I, one pump's current at that rise", point->pump_current_a, "A",
                    "from the pump's curve at the voltage that its wiring leaves it");
    step = fr_derive(at, "V = V_supply - R I", point->pump_voltage_v, "V",
                     "R: wiring there and back, contacts, and the share of common wire",
                     "%.7g - %.7g * %.7g", at->build->site.supply_voltage_v,
                     (at->build->site.supply_voltage_v - point->pump_voltage_v) /
                         point->pump_current_a,
                     point->pump_current_a);
    fr_derive_assumed(at, step, "site.supply_voltage,supply.pump_circuit.wiring");
    fr_derive_given(at, "A, what the pumps deliver with the rail at set pressure",
                    L_H * point->lift_available_m3_s, "L/h",
                    "solved: pumps at set pressure and the loss of that very flow");
}
