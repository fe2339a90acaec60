/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What each stage uses. */
#include <math.h>

#include "report/explain_steps.h"
#include "report/stage_words.h"

static const double KG_H = 3600.0, L_H = 3.6e6, BAR = 1e-5, MS = 1e3, G_S = 1e3, MG = 1e6,
                    PERCENT = 100.0;

static bool wants(fr_stage asked, fr_stage stage) {
    return asked == FR_STAGE_COUNT || asked == stage;
}

/* What follows every use: the flow that the stage carries, and the power it ends at. */
static void derive_capacity(fr_derivation *at, fr_stage stage) {
    const double capacity = at->point->capacity_kg_s[stage];
    if (isfinite(capacity)) {
        fr_derive_given(at, "capacity, fuel flow at which this use reaches its end",
                        KG_H * capacity, "kg/h",
                        "solved; the manifold pressure of a boosted engine follows the fuel");
        fr_derive(at, "times the demand", capacity / at->point->fuel_kg_s, "", "",
                  "%.7g / %.7g", KG_H * capacity, KG_H * at->point->fuel_kg_s);
    }
}

static void derive_lift_pump(fr_derivation *at) {
    const fr_point *point = at->point;
    const double others = point->lift_needed_m3_s - point->fuel_m3_s;
    fr_derive_heading(at, "Lift pump");
    fr_step *step = fr_derive(at, "N = Q + bypass + jet pump", L_H * point->lift_needed_m3_s,
                              "L/h", "", "%.7g + %.7g", L_H * point->fuel_m3_s, L_H * others);
    fr_derive_assumed(at, step, "supply.minimum_bypass,supply.jet_pump");
    if (point->lift_available_m3_s > 0.0) {
        fr_derive(at, "use = N / A", PERCENT * point->use[FR_STAGE_LIFT_PUMP], "%", "",
                  "100 * min(%.7g / %.7g, 10)", L_H * point->lift_needed_m3_s,
                  L_H * point->lift_available_m3_s);
    }
    derive_capacity(at, FR_STAGE_LIFT_PUMP);
}

static void derive_circuit(fr_derivation *at) {
    const fr_point *point = at->point;
    fr_derive_heading(at, "Pump fuse");
    fr_derive(at, "use = I / fuse", PERCENT * point->use[FR_STAGE_PUMP_CIRCUIT], "%",
              "the greatest current of unlike pumps", "100 * min(%.7g / %.7g, 10)",
              point->greatest_current_a, at->build->pumps.fuse_a);
    derive_capacity(at, FR_STAGE_PUMP_CIRCUIT);
}

static void derive_inlet(fr_derivation *at) {
    const fr_point *point = at->point;
    fr_derive_heading(at, "Fuel at the pump's inlet");
    fr_step *step = fr_derive_given(
        at, "p_v, vapour pressure in the tank", BAR * point->inlet_vapour_pressure_pa, "bar",
        "Antoine for ethanol, the sheet's DVPE for gasoline, two-suffix Margules between them");
    fr_derive_assumed(at, step, "site.tank_temperature,fuel.gasoline");
    fr_derive(at, "use = p_v / (p_air - strainer loss)", PERCENT * point->use[FR_STAGE_PUMP_INLET],
              "%", "", "100 * min(%.7g / (%.7g - %.7g), 10)",
              BAR * point->inlet_vapour_pressure_pa, BAR * at->build->site.air_pressure_pa,
              BAR * at->build->feed.strainer_loss_pa);
}

static void derive_feed_pressure(fr_derivation *at) {
    const fr_build *build = at->build;
    const fr_point *point = at->point;
    fr_derive_heading(at, "Feed pressure");
    fr_derive_given(at, "p_held, gauge", BAR * point->feed_gauge_pa, "bar",
                    "the set pressure, or what the pumps still have at this flow less the loss");
    if (build->direct.present && build->port.present) {
        fr_derive(at, "use = greater of p_min/p_held and (p_set - p_held) / (0.1 p_feed)",
                  PERCENT * point->use[FR_STAGE_FEED_PRESSURE], "%",
                  "p_min: least inlet pressure of the high-pressure pump",
                  "100 * min(max(%.7g / %.7g, (%.7g - %.7g) / (0.1 * %.7g)), 10)",
                  BAR * build->direct.minimum_inlet_gauge_pa, BAR * point->feed_gauge_pa,
                  BAR * point->set_gauge_pa, BAR * point->feed_gauge_pa,
                  BAR * build->feed.pressure_gauge_pa);
    } else if (build->direct.present) {
        fr_derive(at, "use = p_min / p_held", PERCENT * point->use[FR_STAGE_FEED_PRESSURE], "%",
                  "p_min: least inlet pressure of the high-pressure pump",
                  "100 * min(%.7g / %.7g, 10)", BAR * build->direct.minimum_inlet_gauge_pa,
                  BAR * point->feed_gauge_pa);
    } else {
        fr_derive(at, "use = (p_set - p_held) / (0.1 p_feed)",
                  PERCENT * point->use[FR_STAGE_FEED_PRESSURE], "%",
                  "10 % of sag is 5 % lean where the calibration does not see rail pressure",
                  "100 * min((%.7g - %.7g) / (0.1 * %.7g), 10)", BAR * point->set_gauge_pa,
                  BAR * point->feed_gauge_pa, BAR * build->feed.pressure_gauge_pa);
    }
    derive_capacity(at, FR_STAGE_FEED_PRESSURE);
}

static void derive_vapour(fr_derivation *at) {
    const fr_point *point = at->point;
    fr_derive_heading(at, "Vapour in the feed");
    fr_derive_given(at, "p_v, vapour pressure where the feed is hottest",
                    BAR * point->vapour_pressure_pa, "bar", "");
    fr_derive(at, "use = (p_v + 1 bar) / p_held (absolute)", PERCENT * point->use[FR_STAGE_VAPOUR],
              "%", "the bar is common practice, no source", "100 * min((%.7g + 1) / %.7g, 10)",
              BAR * point->vapour_pressure_pa, BAR * point->feed_abs_pa);
    derive_capacity(at, FR_STAGE_VAPOUR);
}

void fr_derive_low_pressure_stages(fr_derivation *at, fr_stage stage) {
    if (wants(stage, FR_STAGE_LIFT_PUMP)) {
        derive_lift_pump(at);
    }
    if (wants(stage, FR_STAGE_PUMP_CIRCUIT) && fr_build_has(at->build, FR_STAGE_PUMP_CIRCUIT)) {
        derive_circuit(at);
    }
    if (wants(stage, FR_STAGE_PUMP_INLET)) {
        derive_inlet(at);
    }
    if (wants(stage, FR_STAGE_FEED_PRESSURE)) {
        derive_feed_pressure(at);
    }
    if (wants(stage, FR_STAGE_VAPOUR)) {
        derive_vapour(at);
    }
}

/* ---- port injectors ---- */

void fr_derive_port(fr_derivation *at) {
    const fr_port *port = &at->build->port;
    const fr_point *point = at->point;
    const double mass_kg = point->port_fuel_kg_s * 120.0 / point->speed_rpm / (double)port->count;
    fr_derive_heading(at, "Port injectors");
    fr_derive(at, "dp = p_held + p_air - p_manifold", BAR * point->port_drop_pa, "bar", "",
              "%.7g + %.7g - %.7g", BAR * point->feed_gauge_pa,
              BAR * at->build->site.air_pressure_pa, BAR * point->manifold_abs_pa);
    if (!(point->port_drop_pa > 0.0) || !(point->port_fuel_kg_s > 0.0)) {
        return;
    }
    fr_step *step = fr_derive(at, "q = q_test sqrt(dp rho / (dp_test rho_test))",
                              G_S * point->port_static_kg_s, "g/s", "orifice law",
                              "%.7g * sqrt(%.7g * %.7g / (%.7g * %.7g))", G_S * port->flow_kg_s,
                              BAR * point->port_drop_pa, at->blend->density_kg_m3,
                              BAR * port->test_pressure_pa, port->test_density_kg_m3);
    fr_derive_assumed(at, step, "supply.port_injection.injector");
    fr_derive(at, "m_1 = m_port / (injectors n / 120)", MG * mass_kg, "mg",
              "one injection a cycle each", "%.7g / 3.6 / (%u * %.7g / 120) * 1000",
              KG_H * point->port_fuel_kg_s, port->count, point->speed_rpm);
    fr_derive_given(at, "t_0, dead time at this voltage and pressure",
                    MS * point->port_dead_time_s, "ms", "the injector's curve");
    fr_derive(at, "pulse = m_1 / q + t_0", MS * point->port_pulse_s, "ms", "",
              "%.7g / %.7g + %.7g", MG * mass_kg, G_S * point->port_static_kg_s,
              MS * point->port_dead_time_s);
    fr_derive(at, "use = pulse / (120 / n)", PERCENT * point->use[FR_STAGE_PORT_INJECTOR], "%",
              "duty", "100 * min(%.7g / (120000 / %.7g), 10)", MS * point->port_pulse_s,
              point->speed_rpm);
    derive_capacity(at, FR_STAGE_PORT_INJECTOR);
}

/* ---- direct injection ---- */

static void derive_spray(fr_derivation *at) {
    const fr_direct *direct = &at->build->direct;
    const fr_point *point = at->point;
    const fr_blend *blend = &at->blend->blend;
    const double density = fr_blend_density(blend, at->build->site.rail_temperature_c);
    fr_derive_heading(at, "Direct injection");
    fr_derive(at, "m_1 = m_direct / (injectors n / 120)", MG * point->direct_mass_kg, "mg",
              "one injection a cycle each", "%.7g / 3.6 / (%u * %.7g / 120) * 1000",
              KG_H * point->direct_fuel_kg_s, direct->count, point->speed_rpm);
    fr_step *step = fr_derive(at, "t = window / (6 n) - opening delay", MS * point->direct_time_s,
                              "ms", "", "%.7g / (6 * %.7g) * 1000 - %.7g",
                              point->direct_window_deg, point->speed_rpm,
                              MS * direct->opening_delay_s);
    fr_derive_assumed(at, step, "supply.direct_injection.window");
    fr_derive(at, "p_cyl = 1.5 p_manifold", BAR * point->cylinder_abs_pa, "bar",
              "absolute; common practice, no source", "1.5 * %.7g", BAR * point->manifold_abs_pa);
    step = fr_derive(at, "p_req = p_cyl + dp_test (m_1 / (t q_test))^2 rho_test / rho",
                     BAR * point->direct_required_pa, "bar", "orifice law, turned round",
                     "%.7g + %.7g * (%.7g / (%.7g * %.7g))^2 * %.7g / %.7g",
                     BAR * point->cylinder_abs_pa, BAR * direct->test_pressure_pa,
                     MG * point->direct_mass_kg, MS * point->direct_time_s,
                     G_S * direct->flow_kg_s, direct->test_density_kg_m3, density);
    fr_derive_assumed(at, step, "site.rail_temperature,supply.direct_injection.injector");
    fr_derive(at, "q at the commanded pressure = q_test sqrt((p_cmd - p_cyl) rho / (dp_test rho_test))",
              G_S * point->direct_static_kg_s, "g/s", "",
              "%.7g * sqrt((%.7g - %.7g) * %.7g / (%.7g * %.7g))", G_S * direct->flow_kg_s,
              BAR * point->direct_command_pa, BAR * point->cylinder_abs_pa, density,
              BAR * direct->test_pressure_pa, direct->test_density_kg_m3);
}

static void derive_injector(fr_derivation *at) {
    const fr_point *point = at->point;
    fr_derive_heading(at, "Direct injectors");
    fr_derive(at, "angle = (m_1 / q + delay) 6 n", point->direct_angle_deg, "deg", "",
              "(%.7g / %.7g + %.7g) / 1000 * 6 * %.7g", MG * point->direct_mass_kg,
              G_S * point->direct_static_kg_s, MS * at->build->direct.opening_delay_s,
              point->speed_rpm);
    fr_derive(at, "use = angle / window", PERCENT * point->use[FR_STAGE_DIRECT_INJECTOR], "%", "",
              "100 * min(%.7g / %.7g, 10)", point->direct_angle_deg, point->direct_window_deg);
    derive_capacity(at, FR_STAGE_DIRECT_INJECTOR);
}

static void derive_pump(fr_derivation *at) {
    const fr_direct *direct = &at->build->direct;
    const fr_point *point = at->point;
    const double count = (double)direct->pump_count;
    fr_derive_heading(at, "High-pressure pump");
    fr_step *step = fr_derive_given(at, "rho_in, at feed pressure and inlet temperature",
                                    point->hp_inlet_density_kg_m3, "kg/m3", "Murnaghan");
    fr_derive_assumed(at, step, "supply.direct_injection.inlet_temperature");
    fr_derive_given(at, "rho_p, at the commanded rail pressure", point->hp_density_kg_m3, "kg/m3",
                    "Murnaghan");
    step = fr_derive(
        at, "M = rho_in (V n_pump/60 (fill - d (rho_p/rho_in - 1)) - leak (p - p_in) / p_leak)",
        KG_H * point->hp_delivery_kg_s, "kg/h",
        "what stays in the dead volume expands and takes the place of fresh fuel",
        "max(0, %.7g * (%.7g * %.7g * %.7g * %.7g / 60 * (%.7g - %.7g * (%.7g / %.7g - 1)) - %.7g * %.7g * "
        "(%.7g - %.7g) / %.7g) / 1000000 * 3600)",
        point->hp_inlet_density_kg_m3, count, 1e6 * direct->displacement_m3, point->speed_rpm,
        direct->drive_ratio, point->hp_fill, direct->dead_volume_ratio, point->hp_density_kg_m3,
        point->hp_inlet_density_kg_m3, count, 1e6 * direct->leakage_m3_s,
        BAR * point->direct_command_pa, BAR * point->feed_abs_pa, BAR * direct->leakage_at_pa);
    fr_derive_assumed(at, step, "supply.direct_injection.high_pressure_pump");
    if (point->hp_delivery_kg_s > 0.0) {
        fr_derive(at, "use = m_direct / M", PERCENT * point->use[FR_STAGE_HIGH_PRESSURE_PUMP], "%",
                  "", "100 * min(%.7g / %.7g, 10)", KG_H * point->direct_fuel_kg_s,
                  KG_H * point->hp_delivery_kg_s);
    }
    derive_capacity(at, FR_STAGE_HIGH_PRESSURE_PUMP);
}

static void derive_pressure(fr_derivation *at) {
    const fr_point *point = at->point;
    fr_derive_heading(at, "Injection pressure");
    fr_derive_given(at, "p_avail, greatest at which the pump still delivers the demand",
                    BAR * point->direct_available_pa, "bar",
                    "solved, up to the limit of pump and injector");
    if (isfinite(point->direct_available_pa)) {
        fr_derive(at, "margin = p_avail - p_req", BAR * point->direct_margin_pa, "bar", "",
                  "%.7g - %.7g", BAR * point->direct_available_pa,
                  BAR * point->direct_required_pa);
        fr_derive(at, "use = p_req / p_avail", PERCENT * point->use[FR_STAGE_DIRECT_PRESSURE], "%",
                  "", "100 * min(%.7g / %.7g, 10)", BAR * point->direct_required_pa,
                  BAR * point->direct_available_pa);
    }
    derive_capacity(at, FR_STAGE_DIRECT_PRESSURE);
}

void fr_derive_direct(fr_derivation *at, fr_stage stage) {
    if (!(at->point->direct_fuel_kg_s > 0.0) || isnan(at->point->direct_required_pa)) {
        return;
    }
    derive_spray(at);
    if (wants(stage, FR_STAGE_DIRECT_INJECTOR) && isfinite(at->point->direct_angle_deg)) {
        derive_injector(at);
    }
    if (wants(stage, FR_STAGE_HIGH_PRESSURE_PUMP) || wants(stage, FR_STAGE_DIRECT_PRESSURE)) {
        derive_pump(at);
    }
    if (wants(stage, FR_STAGE_DIRECT_PRESSURE)) {
        derive_pressure(at);
    }
}
