/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a sheet says, and what is left out of it, as numbers in SI. The figures of the sheets are
 * odd on purpose: none can be right by accident. */
#include "sheet_support.h"

static const double EXACT = 1e-12;
#define BAR 1e5
#define L_H (1e-3 / 3600.0)
#define CC_MIN (1e-6 / 60.0)
#define G_KWH (1e-3 / 3.6e6)

static const char whole[] =
    "fuelreach: 1\n"
    "name: Tern hatch, odd figures\n"
    "units: metric\n"
    "engine:\n"
    "  cylinders: 5\n"
    "  displacement: 2.31 L\n"
    "  target_power: {E10: 283 kW, E85: 297 kW}\n"
    "  power_at: wheels\n"
    "  drivetrain_loss: 13 %\n"
    "  factory_power: 171 kW\n"
    "  aspiration: turbo\n"
    "  power_curve: {2510 rpm: 87 kW, 3490 rpm: 163 kW, 5490 rpm: 271 kW, 7010 rpm: 289 kW}\n"
    "  bsfc: {2500 rpm: 331 g/kWh, 6900 rpm: 347 g/kWh}\n"
    "  bsfc_blend: E20\n"
    "  bsfc_lambda: 0.83\n"
    "  bsfc_scaling: energy\n"
    "  lambda: {E10: 0.84, E85: 0.79}\n"
    "  same_air_gain: {E10: 0 %, E85: 3.5 %}\n"
    "  boost: {2500 rpm: 0.93 bar, 4500 rpm: 1.71 bar}\n"
    "  charge_temperature: 47 °C\n"
    "  idle_speed: 870 rpm\n"
    "site:\n"
    "  air_pressure: 983 mbar\n"
    "  tank_temperature: 31 °C\n"
    "  feed_temperature: 43 °C\n"
    "  rail_temperature: 67 °C\n"
    "  supply_voltage: 13.7 V\n"
    "fuel:\n"
    "  blends: [E12, E37.5, e83]\n"
    "  gasoline: {density: 751 kg/m3, vapour_pressure: 57 kPa, stoich: 14.53, heating_value: 42.7 "
    "MJ/kg}\n"
    "supply:\n"
    "  lift_pump:\n"
    "    type: gerotor\n"
    "    count: 2\n"
    "    arrangement: series\n"
    "    condition: 93 %\n"
    "    relief: 8.3 bar\n"
    "    curves:\n"
    "      - {voltage: 13.6 V, flow: {3 bar: 343 L/h, 5 bar: 279 L/h}, current: {3 bar: 10.7 A, 5 "
    "bar: 14.3 A}}\n"
    "      - {voltage: 12.1 V, flow: {3 bar: 291 L/h, 5 bar: 233 L/h}, current: {3 bar: 9.7 A, 5 "
    "bar: 12.9 A}}\n"
    "  pump_circuit: {wiring: 53 mohm, shared: 7 mohm, fuse: 30 A}\n"
    "  strainer_loss: 0.041 bar\n"
    "  filters: [{drop: 0.13 bar, at: 217 L/h}, filter-10]\n"
    "  lines: [{bore: 8.7 mm, length: 4.3 m, roughness: 2.1 um, fittings: 5}, {bore: 7.3 mm, "
    "length: 0.9 m}]\n"
    "  regulation: electronic-returnless\n"
    "  feed_pressure: 5.9 bar\n"
    "  reference: atmosphere\n"
    "  jet_pump: 11 L/h\n"
    "  port_injection: {injector: {flow: 553 cc/min, at: 3.1 bar, test_density: 691 kg/m3, "
    "dead_time: {10 V: 1.61 ms, 14 V: 0.87 ms}, max_duty: 93 %, minimum_open: 0.43 ms}, count: "
    "10}\n"
    "  direct_injection:\n"
    "    injector: {flow: 14.3 cc/s, at: 103 bar, opening_delay: 0.29 ms, max_pressure: 253 bar}\n"
    "    count: 5\n"
    "    high_pressure_pump: {count: 2, plunger: 9.1 mm, lift: 3.3 mm, lobes: 4, drive_ratio: 0.5, "
    "fill: {1100 rpm: 94 %, 3300 rpm: 87 %}, dead_volume: 57 %, leakage: 1.13 cc/s, leakage_at: 97 "
    "bar, max_pressure: 237 bar, minimum_inlet: 3.3 bar}\n"
    "    rail_pressure: {2000 rpm: 151 bar, 4000 rpm: 199 bar}\n"
    "    window: {2000 rpm: 233 deg, 6500 rpm: 271 deg}\n"
    "    inlet_temperature: 57 °C\n"
    "    rail_volume: 73 cc\n"
    "  direct_share: {2000 rpm: 90 %, 6000 rpm: 60 %}\n"
    "limits: {port-injector: 83 %, lift-pump: 87 %}\n";

static void the_engine_is_read_in_si(void **state) {
    (void)state;
    fr_sheet *sheet = open_sheet(whole);
    const fr_engine *engine = &fr_sheet_build(sheet)->engine;
    assert_string_equal(fr_sheet_name(sheet), "Tern hatch, odd figures");
    assert_int_equal(engine->cylinders, 5);
    assert_close(engine->displacement_m3, 2.31e-3, EXACT);
    assert_int_equal(engine->target_power_w.count, 2);
    assert_close(engine->target_power_w.x[1], 0.85, EXACT);
    assert_close(engine->target_power_w.y[1], 297e3, EXACT);
    assert_true(engine->at_wheels);
    assert_close(engine->drivetrain_loss, 0.13, EXACT);
    assert_close(engine->factory_power_w, 171e3, EXACT);
    assert_int_equal(engine->aspiration, FR_TURBO);
    assert_int_equal(engine->pull.count, 4);
    assert_close(engine->pull.x[3], 7010, EXACT);
    assert_close(engine->pull.y[2], 271e3, EXACT);
    assert_false(engine->pull_is_torque);
    assert_close(engine->bsfc_kg_j.y[0], 331 * G_KWH, EXACT);
    assert_close(engine->bsfc_ethanol, 0.20, EXACT);
    assert_close(engine->bsfc_lambda, 0.83, EXACT);
    assert_int_equal(engine->bsfc_scaling, FR_SCALE_ENERGY);
    assert_close(engine->lambda.y[1], 0.79, EXACT);
    assert_close(engine->same_air_gain.y[1], 0.035, EXACT);
    assert_int_equal(engine->boost_source, FR_BOOST_CURVE);
    assert_close(engine->boost_gauge_pa.y[1], 1.71 * BAR, EXACT);
    assert_close(engine->charge_temperature_c, 47, EXACT);
    assert_close(engine->idle_speed_rpm, 870, EXACT);
    fr_sheet_close(sheet);
}

static void site_and_fuel_are_read_in_si(void **state) {
    (void)state;
    fr_sheet *sheet = open_sheet(whole);
    const fr_build *build = fr_sheet_build(sheet);
    assert_close(build->site.air_pressure_pa, 98300, EXACT);
    assert_close(build->site.tank_temperature_c, 31, EXACT);
    assert_true(build->site.tank_temperature_given);
    assert_close(build->site.feed_temperature_c, 43, EXACT);
    assert_close(build->site.rail_temperature_c, 67, EXACT);
    assert_close(build->site.hp_inlet_temperature_c, 57, EXACT);
    assert_close(build->site.supply_voltage_v, 13.7, EXACT);
    assert_int_equal(build->blend_count, 3);
    assert_close(build->blends[1], 0.375, EXACT);
    assert_close(build->blends[2], 0.83, EXACT);
    assert_close(build->gasoline.density_15_kg_m3, 751, EXACT);
    assert_close(build->gasoline.vapour_pressure_pa, 57e3, EXACT);
    assert_close(build->gasoline.stoich, 14.53, EXACT);
    assert_close(build->gasoline.heating_value_j_kg, 42.7e6, EXACT);
    fr_sheet_close(sheet);
}

static void the_way_to_the_rail_is_read_in_si(void **state) {
    (void)state;
    fr_sheet *sheet = open_sheet(whole);
    const fr_build *build = fr_sheet_build(sheet);
    const fr_pump *pump = &build->pumps.kinds[0];
    assert_true(build->pumps.series);
    assert_int_equal(build->pumps.kind_count, 1);
    assert_int_equal(pump->type, FR_PUMP_GEROTOR);
    assert_int_equal(pump->count, 2);
    assert_close(pump->flow_factor, 0.93, EXACT);
    assert_close(pump->relief_pa, 8.3 * BAR, EXACT);
    assert_int_equal(pump->curve_count, 2);
    /* written with the higher voltage first; kept in order of voltage */
    assert_close(pump->curves[0].voltage_v, 12.1, EXACT);
    assert_close(pump->curves[1].flow_m3_s.y[1], 279 * L_H, EXACT);
    assert_close(pump->curves[1].current_a.y[1], 14.3, EXACT);
    assert_close(pump->curves[0].flow_m3_s.rise_pa[1], 5 * BAR, EXACT);
    assert_close(build->pumps.wiring_ohm, 0.053, EXACT);
    assert_close(build->pumps.shared_wiring_ohm, 0.007, EXACT);
    assert_close(build->pumps.fuse_a, 30, EXACT);
    assert_close(build->feed.strainer_loss_pa, 0.041 * BAR, EXACT);
    assert_int_equal(build->feed.filter_count, 2);
    assert_close(build->feed.filters[0].drop_pa, 0.13 * BAR, EXACT);
    assert_close(build->feed.filters[0].rated_flow_m3_s, 217 * L_H, EXACT);
    assert_int_equal(build->feed.line_count, 2);
    assert_close(build->feed.lines[0].roughness_m, 2.1e-6, EXACT);
    assert_close(build->feed.lines[1].bore_m, 7.3e-3, EXACT);
    /* fittings left out of a line that is given: none */
    assert_close(build->feed.lines[1].fittings, 0.0, EXACT);
    assert_int_equal(build->feed.regulation, FR_ELECTRONIC_RETURNLESS);
    assert_close(build->feed.pressure_gauge_pa, 5.9 * BAR, EXACT);
    assert_close(build->feed.jet_pump_m3_s, 11 * L_H, EXACT);
    assert_close(build->feed.loss_factor, 1.0, EXACT);
    assert_close(build->limits[FR_STAGE_PORT_INJECTOR], 0.83, EXACT);
    assert_close(build->limits[FR_STAGE_LIFT_PUMP], 0.87, EXACT);
    assert_close(build->limits[FR_STAGE_VAPOUR], fr_stage_default_limit(FR_STAGE_VAPOUR), EXACT);
    fr_sheet_close(sheet);
}

static void injection_is_read_in_si(void **state) {
    (void)state;
    fr_sheet *sheet = open_sheet(whole);
    const fr_build *build = fr_sheet_build(sheet);
    assert_int_equal(build->port.count, 10);
    assert_close(build->port.flow_kg_s, 553 * CC_MIN * 691, EXACT);
    assert_close(build->port.test_pressure_pa, 3.1 * BAR, EXACT);
    assert_close(build->port.test_density_kg_m3, 691, EXACT);
    assert_close(build->port.dead_time_s.y[0], 1.61e-3, EXACT);
    /* dead times given without a slope over pressure: none */
    assert_close(build->port.dead_time_s_per_pa, 0.0, EXACT);
    assert_close(build->port.max_duty, 0.93, EXACT);
    assert_close(build->port.minimum_open_s, 0.43e-3, EXACT);
    assert_close(build->direct.flow_kg_s, 14.3e-6 * 683.8, EXACT);
    assert_close(build->direct.test_pressure_pa, 103 * BAR, EXACT);
    assert_close(build->direct.opening_delay_s, 0.29e-3, EXACT);
    assert_close(build->direct.injector_max_pa, 253 * BAR, EXACT);
    assert_int_equal(build->direct.pump_count, 2);
    /* pi/4 (9.1 mm)^2 = 65.03882191 mm2, by hand; times 3.3 mm and four lobes */
    assert_close(build->direct.plunger_area_m2, 65.03882191e-6, 1e-9);
    assert_close(build->direct.displacement_m3, 65.03882191e-6 * 3.3e-3 * 4, 1e-9);
    assert_int_equal(build->direct.lobes, 4);
    assert_close(build->direct.fill.y[1], 0.87, EXACT);
    assert_close(build->direct.dead_volume_ratio, 0.57, EXACT);
    assert_close(build->direct.leakage_m3_s, 1.13e-6, EXACT);
    assert_close(build->direct.leakage_at_pa, 97 * BAR, EXACT);
    assert_close(build->direct.pump_max_pa, 237 * BAR, EXACT);
    assert_close(build->direct.minimum_inlet_gauge_pa, 3.3 * BAR, EXACT);
    assert_close(build->direct.rail_command_pa.y[1], 199 * BAR, EXACT);
    assert_close(build->direct.window_deg.y[0], 233, EXACT);
    assert_close(build->direct.rail_volume_m3, 73e-6, EXACT);
    assert_int_equal(build->share, FR_SHARE_CURVE);
    assert_close(build->direct_share.y[1], 0.60, EXACT);
    fr_sheet_close(sheet);
}

/* ---- what is left out ---- */

#define SMALL(aspiration, injection)                                                               \
    "engine:\n  cylinders: 4\n  displacement: 1.9 L\n  target_power: 163 kW\n  power_at: crank\n"  \
    "  aspiration: " aspiration "\nsupply:\n  lift_pump: 255 L/h\n" injection
#define PORT "  port_injection: {injector: 730 cc/min}\n"
#define DIRECT                                                                                     \
    "  direct_injection: {injector: 15.1 cc/s, high_pressure_pump: {displacement: 0.91 cc}}\n"

static void port_boosted_has_a_return_line_by_default(void **state) {
    (void)state;
    fr_sheet *sheet = open_sheet(SMALL("turbo", PORT));
    const fr_build *build = fr_sheet_build(sheet);
    assert_int_equal(build->feed.regulation, FR_RETURN);
    assert_true(build->feed.manifold_referenced);
    assert_close(build->feed.pressure_gauge_pa, 3.0 * BAR, EXACT);
    assert_close(build->feed.minimum_bypass_m3_s, 10 * L_H, EXACT);
    assert_close(build->site.feed_temperature_c, 45, EXACT);
    assert_close(build->site.tank_temperature_c, 40, EXACT);
    assert_false(build->site.tank_temperature_given);
    assert_close(build->engine.bsfc_kg_j.y[0], 350 * G_KWH, EXACT);
    assert_close(build->engine.lambda.y[0], 0.82, EXACT);
    assert_close(build->engine.bsfc_lambda, 0.82, EXACT);
    assert_close(build->engine.charge_temperature_c, 50, EXACT);
    assert_int_equal(build->engine.boost_source, FR_BOOST_WORKED_OUT);
    assert_close(build->feed.return_line.bore_m, 8e-3, EXACT);
    assert_close(build->feed.return_line.length_m, 4.5, EXACT);
    assert_close(build->feed.return_line.fittings, 6, EXACT);
    assert_int_equal(build->share, FR_SHARE_PORT_ONLY);
    assert_int_equal(build->port.count, 4);
    fr_sheet_close(sheet);
}

static void port_natural_has_a_regulator_in_the_tank_by_default(void **state) {
    (void)state;
    fr_sheet *sheet = open_sheet(SMALL("natural", PORT));
    const fr_build *build = fr_sheet_build(sheet);
    assert_int_equal(build->feed.regulation, FR_MECHANICAL_RETURNLESS);
    assert_false(build->feed.manifold_referenced);
    assert_close(build->feed.pressure_gauge_pa, 4.0 * BAR, EXACT);
    assert_close(build->site.feed_temperature_c, 40, EXACT);
    assert_close(build->site.tank_temperature_c, 30, EXACT);
    assert_close(build->engine.bsfc_kg_j.y[0], 300 * G_KWH, EXACT);
    assert_close(build->engine.lambda.y[0], 0.88, EXACT);
    assert_close(build->engine.charge_temperature_c, 40, EXACT);
    assert_int_equal(build->engine.boost_source, FR_BOOST_CURVE);
    assert_close(build->engine.boost_gauge_pa.y[0], 0.0, EXACT);
    fr_sheet_close(sheet);
}

static void direct_injection_is_fed_by_a_pressure_sensor_by_default(void **state) {
    (void)state;
    fr_sheet *sheet = open_sheet(SMALL("supercharged", DIRECT));
    const fr_build *build = fr_sheet_build(sheet);
    assert_int_equal(build->feed.regulation, FR_ELECTRONIC_RETURNLESS);
    assert_false(build->feed.manifold_referenced);
    assert_close(build->feed.pressure_gauge_pa, 5.0 * BAR, EXACT);
    assert_close(build->feed.minimum_bypass_m3_s, 0.0, EXACT);
    assert_close(build->site.tank_temperature_c, 35, EXACT);
    assert_close(build->site.rail_temperature_c, 65, EXACT);
    assert_close(build->site.hp_inlet_temperature_c, 55, EXACT);
    assert_close(build->direct.rail_command_pa.y[0], 200 * BAR, EXACT);
    assert_close(build->direct.window_deg.y[0], 240, EXACT);
    assert_close(build->direct.injector_max_pa, 250 * BAR, EXACT);
    assert_close(build->direct.pump_max_pa, 240 * BAR, EXACT);
    assert_close(build->direct.opening_delay_s, 0.30e-3, EXACT);
    assert_close(build->direct.fill.y[0], 0.95, EXACT);
    assert_close(build->direct.fill.x[1], 3500, EXACT);
    assert_close(build->direct.dead_volume_ratio, 0.60, EXACT);
    assert_close(build->direct.leakage_m3_s, 1.0e-6, EXACT);
    assert_close(build->direct.minimum_inlet_gauge_pa, 3.5 * BAR, EXACT);
    assert_int_equal(build->direct.pump_count, 1);
    assert_int_equal(build->direct.count, 4);
    assert_int_equal(build->share, FR_SHARE_DIRECT_ONLY);
    assert_close(build->engine.bsfc_kg_j.y[0], 370 * G_KWH, EXACT);
    fr_sheet_close(sheet);
}

static void rail_pressure_keeps_below_what_the_weaker_bears(void **state) {
    (void)state;
    fr_sheet *sheet = open_sheet(
        SMALL("turbo", "  direct_injection: {injector: {flow: 15.1 cc/s, max_pressure: 187 bar}, "
                       "high_pressure_pump: 0.91 cc}\n"));
    assert_close(fr_sheet_build(sheet)->direct.rail_command_pa.y[0], 0.95 * 187 * BAR, EXACT);
    fr_sheet_close(sheet);
}

static void port_and_direct_share_by_themselves(void **state) {
    (void)state;
    fr_sheet *sheet = open_sheet(SMALL("turbo", PORT DIRECT));
    const fr_build *build = fr_sheet_build(sheet);
    assert_int_equal(build->share, FR_SHARE_AUTO);
    assert_int_equal(build->feed.regulation, FR_ELECTRONIC_RETURNLESS);
    assert_close(build->feed.pressure_gauge_pa, 5.0 * BAR, EXACT);
    fr_sheet_close(sheet);
}

static void typical_parts_follow_from_a_rating(void **state) {
    (void)state;
    fr_sheet *sheet = open_sheet(SMALL("turbo", PORT));
    const fr_build *build = fr_sheet_build(sheet);
    const fr_pump_curve *curve = &build->pumps.kinds[0].curves[0];
    assert_close(curve->voltage_v, 13.5, EXACT);
    assert_close(curve->flow_m3_s.y[0], 255 * L_H, EXACT);
    assert_close(curve->flow_m3_s.y[3], 0.70 * 255 * L_H, EXACT);
    assert_close(curve->current_a.y[0], 0.029 * 255, EXACT);
    assert_close(curve->current_a.y[3], 1.5 * 0.029 * 255, EXACT);
    assert_close(build->port.flow_kg_s, 730 * CC_MIN * 683.8, EXACT);
    assert_close(build->port.test_pressure_pa, 3 * BAR, EXACT);
    assert_int_equal(build->port.dead_time_s.count, 5);
    assert_close(build->port.dead_time_s.y[1], 1.65e-3, EXACT);
    assert_close(build->port.dead_time_s_per_pa, 0.03e-3 / BAR, EXACT);
    assert_close(build->port.max_duty, 0.95, EXACT);
    assert_close(build->port.minimum_open_s, 0.40e-3, EXACT);
    assert_close(build->pumps.wiring_ohm, 0.110, EXACT);
    assert_close(build->pumps.fuse_a, 0.0, EXACT);
    assert_close(build->feed.filters[0].drop_pa, 0.12 * BAR, EXACT);
    assert_close(build->feed.lines[0].length_m, 4.5, EXACT);
    fr_sheet_close(sheet);
}

/* ---- ratings as people write them ---- */

static void ratings_are_taken_in_the_trades_spellings(void **state) {
    (void)state;
    static const struct {
        const char *injector;
        double flow_kg_s, pressure_bar;
    } rows[] = {
        {"1200cc @ 3 bar", 1200 * CC_MIN * 683.8, 3.0},
        {"1210 cc/min at 43.5 psi", 1210 * CC_MIN * 683.8, 43.5 * 0.0689475729317},
        {"41 lb/h at 4 bar", 41 * 0.45359237 / 3600, 4.0},
        {"41 lb/hr", 41 * 0.45359237 / 3600, 3.0},
        {"77 pph @ 3 bar", 77 * 0.45359237 / 3600, 3.0},
        {"{part: 990 cc/min at 3.5 bar, max_duty: 90 %}", 990 * CC_MIN * 683.8, 3.5},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        fr_sheet *sheet =
            open_sheet(with_text(SMALL("turbo", PORT), "730 cc/min", rows[i].injector));
        const fr_port *port = &fr_sheet_build(sheet)->port;
        assert_close(port->flow_kg_s, rows[i].flow_kg_s, 1e-9);
        assert_close(port->test_pressure_pa, rows[i].pressure_bar * BAR, 1e-9);
        fr_sheet_close(sheet);
    }
}

static void a_pump_may_be_rated_at_another_pressure(void **state) {
    (void)state;
    fr_sheet *sheet = open_sheet(with_text(SMALL("turbo", PORT), "255 L/h", "233 LPH at 4 bar"));
    const fr_pump *pump = &fr_sheet_build(sheet)->pumps.kinds[0];
    assert_close(pump->curves[0].flow_m3_s.y[1], 233 * L_H, EXACT);
    assert_close(pump->curves[0].flow_m3_s.y[0], 233 * L_H / 0.91, EXACT);
    fr_sheet_close(sheet);
}

/* ---- the power curve ---- */

static const fr_curve *pull_of(const char *lines, fr_sheet **sheet) {
    *sheet = open_sheet(with_text(SMALL("turbo", PORT), "  aspiration: turbo\n", lines));
    return &fr_sheet_build(*sheet)->engine.pull;
}

static void a_typical_pull_stands_about_its_peak(void **state) {
    (void)state;
    fr_sheet *sheet;
    const fr_curve *pull = pull_of("  aspiration: turbo\n  peak_power_at: 6100 rpm\n", &sheet);
    assert_int_equal(pull->count, 6);
    assert_close(pull->x[0], 0.38 * 6100, EXACT);
    assert_close(pull->y[0] / pull->y[4], 0.38, EXACT);
    assert_close(pull->y[1] / pull->y[4], 0.68, EXACT);
    assert_close(pull->x[5], 1.08 * 6100, EXACT);
    fr_sheet_close(sheet);
    pull = pull_of("  aspiration: supercharged\n", &sheet);
    assert_close(pull->x[4], 6200, EXACT);
    assert_close(pull->y[0] / pull->y[4], 0.42, EXACT);
    fr_sheet_close(sheet);
}

static void a_rev_limit_takes_the_last_speeds_place(void **state) {
    (void)state;
    fr_sheet *sheet;
    const fr_curve *pull =
        pull_of("  aspiration: turbo\n  peak_power_at: 6100 rpm\n  rev_limit: 6300 rpm\n", &sheet);
    assert_int_equal(pull->count, 6);
    assert_close(pull->x[5], 6300, EXACT);
    assert_close(pull->y[5] / pull->y[4], 0.96, EXACT);
    fr_sheet_close(sheet);
}

static void a_rev_limit_cuts_a_curve_that_goes_beyond(void **state) {
    (void)state;
    fr_sheet *sheet;
    const fr_curve *pull = pull_of("  power_curve: {2500 rpm: 90 kW, 5000 rpm: 160 kW, 7000 rpm: "
                                   "200 kW}\n  rev_limit: 6500 rpm\n",
                                   &sheet);
    assert_int_equal(pull->count, 3);
    assert_close(pull->x[2], 6500, EXACT);
    assert_close(pull->y[2], 190e3, EXACT);
    fr_sheet_close(sheet);
    pull = pull_of("  power_curve: {2500 rpm: 90 kW, 5000 rpm: 160 kW}\n  rev_limit: 6500 rpm\n",
                   &sheet);
    assert_int_equal(pull->count, 2);
    assert_close(pull->x[1], 5000, EXACT);
    fr_sheet_close(sheet);
}

static void a_power_curve_may_be_torque_or_percent(void **state) {
    (void)state;
    fr_sheet *sheet;
    pull_of("  power_curve: {2500 rpm: 310 Nm, 6000 rpm: 260 lb-ft}\n", &sheet);
    assert_true(fr_sheet_build(sheet)->engine.pull_is_torque);
    fr_sheet_close(sheet);
    pull_of("  power_curve: {2500 rpm: 41 %, 6000 rpm: 100 %}\n", &sheet);
    assert_false(fr_sheet_build(sheet)->engine.pull_is_torque);
    fr_sheet_close(sheet);
}

static void one_figure_of_boost_is_told_from_a_curve(void **state) {
    (void)state;
    fr_sheet *sheet;
    pull_of("  aspiration: turbo\n  boost: 1.3 bar\n", &sheet);
    assert_int_equal(fr_sheet_build(sheet)->engine.boost_source, FR_BOOST_SINGLE);
    fr_sheet_close(sheet);
    pull_of("  aspiration: turbo\n  boost: {3000 rpm: 1.3 bar}\n", &sheet);
    assert_int_equal(fr_sheet_build(sheet)->engine.boost_source, FR_BOOST_CURVE);
    fr_sheet_close(sheet);
}

/* ---- units ---- */

static void a_us_sheet_and_a_metric_one_make_one_build(void **state) {
    (void)state;
    static const char metric[] =
        "engine: {cylinders: 8, displacement: 5.7354706240 L, target_power: 335.564845762 kW, "
        "power_at: crank, bsfc: 304.138692 g/kWh, boost: 0 bar}\n"
        "site: {feed_temperature: 40 °C, air_pressure: 1013.25 mbar}\n"
        "supply:\n  lift_pump: {size: 255 L/h, size_at: 2.9992194225 bar}\n"
        "  pump_circuit: {wiring: {wire: 5.261155 mm2, run: 4.2672 m, contacts: 10 mohm}}\n"
        "  lines: [{bore: 9.525 mm, length: 4.2672 m}]\n  feed_pressure: 2.9992194225 bar\n"
        "  port_injection: {injector: {flow: 5.03991522222 g/s, at: 2.9992194225 bar}}\n";
    static const char us[] =
        "units: US\n"
        "engine: {cylinders: 8, displacement: 350 ci, target_power: 450 hp, "
        "power_at: crank, bsfc: 0.50 lb/hp/h, boost: 0 psi}\n"
        "site: {feed_temperature: 104 °F, air_pressure: 29.9212524 inHg}\n"
        "supply:\n  lift_pump: {size: 255 LPH, size_at: 43.5 PSI}\n"
        "  pump_circuit: {wiring: {wire: 10 ga, run: 14 ft, contacts: 10 mohm}}\n"
        "  lines: [{bore: 3/8 in, length: 14 ft}]\n  feed_pressure: 43.5 psi\n"
        "  port_injection: {injector: {flow: 40 lb/hr, at: 43.5 psi}}\n";
    fr_sheet *a = open_sheet(metric), *b = open_sheet(us);
    fr_build same = *fr_sheet_build(b);
    assert_int_equal(fr_sheet_units(b), FR_US);
    assert_true(same.port.rated_in_lb_h);
    same.port.rated_in_lb_h = false;
    const char *where = builds_differ(fr_sheet_build(a), &same, 2e-6);
    if (where != NULL)
        print_error("differ at %s\n", where);
    assert_null(where);
    fr_sheet_close(a);
    fr_sheet_close(b);
}

/* ---- wiring ---- */

static void wiring_may_be_a_word_a_resistance_a_wire_or_a_part(void **state) {
    (void)state;
    static const struct {
        const char *circuit;
        double ohm, fuse_a;
    } rows[] = {
        {"{wiring: standard}", 0.110, 0.0},
        {"{wiring: relay, fuse: 25 A}", 0.045, 25.0},
        {"{wiring: 61 mohm}", 0.061, 0.0},
        /* ASTM B258 and IEC 60028 by hand: 12 AWG is 3.3088 mm2; 1.724e-8 * 2 * 4 m / 3.3088e-6 *
         * (1 + 0.00393 * 20) = 44.96 mohm, and 9 of contacts */
        {"{wiring: {wire: 12 AWG, run: 4 m, contacts: 9 mohm}}", 0.05396, 0.0},
        {"{wiring: {resistance: 71 mohm, fuse: 20 A}}", 0.071, 20.0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char lines[256];
        snprintf(lines, sizeof lines, "  pump_circuit: %s\n  lift_pump", rows[i].circuit);
        fr_sheet *sheet = open_sheet(with_text(SMALL("turbo", PORT), "  lift_pump", lines));
        assert_close(fr_sheet_build(sheet)->pumps.wiring_ohm, rows[i].ohm, 1e-4);
        assert_close(fr_sheet_build(sheet)->pumps.fuse_a, rows[i].fuse_a, EXACT);
        fr_sheet_close(sheet);
    }
}

static void unlike_pumps_keep_their_own_count_and_condition(void **state) {
    (void)state;
    fr_sheet *sheet = open_sheet(
        with_text(SMALL("turbo", PORT), "255 L/h",
                  "{arrangement: series, pumps: [{part: 190 L/h, condition: 90 %}, {part: 340 L/h, "
                  "count: 2}]}"));
    const fr_pumps *pumps = &fr_sheet_build(sheet)->pumps;
    assert_true(pumps->series);
    assert_int_equal(pumps->kind_count, 2);
    assert_close(pumps->kinds[0].flow_factor, 0.90, EXACT);
    assert_int_equal(pumps->kinds[1].count, 2);
    assert_close(pumps->kinds[1].curves[0].flow_m3_s.y[0], 340 * L_H, EXACT);
    fr_sheet_close(sheet);
}

static void an_empty_list_means_none(void **state) {
    (void)state;
    fr_sheet *sheet = open_sheet(
        with_text(SMALL("turbo", PORT), "  lift_pump", "  filters: []\n  lines: []\n  lift_pump"));
    assert_int_equal(fr_sheet_build(sheet)->feed.filter_count, 0);
    assert_int_equal(fr_sheet_build(sheet)->feed.line_count, 0);
    fr_sheet_close(sheet);
}

/* ---- factory ---- */

static void a_factory_part_fits_the_power_the_car_had(void **state) {
    (void)state;
    const char *text = with_text(SMALL("turbo", "  port_injection: {injector: factory}\n"),
                                 "  power_at", "  factory_power: 118 kW\n  power_at");
    fr_sheet *sheet = open_sheet(text);
    fr_sheet *more = open_sheet(
        with_text(text, "injector: factory", "injector: {part: factory, of_factory: 130 %}"));
    double flow = fr_sheet_build(sheet)->port.flow_kg_s;
    /* 118 kW, 350 g/kWh, four injectors at 75 % duty: 3.82 g/s each before dead time. */
    assert_true(flow > 3.8e-3 && flow < 4.8e-3);
    assert_close(fr_sheet_build(more)->port.flow_kg_s, 1.3 * flow, EXACT);
    assert_string_equal(fr_sheet_part_name(sheet, "port_injector"), "factory");
    fr_sheet_close(more);
    fr_sheet_close(sheet);
}

/* ---- the sections of the studies ---- */

static void sizing_and_log_are_read(void **state) {
    (void)state;
    char text[4096];
    snprintf(text, sizeof text, "%s%s", SMALL("turbo", PORT),
             "sizing: {currency: EUR, fitting: {lift-pump: 120, port-injector: 650.5}, keep: "
             "[wiring, line]}\n"
             "log: {engine_speed: \"Engine speed\", ethanol: {column: Ethanol, unit: \"%\"}, "
             "feed_pressure: {column: Fuel, unit: psi, reference: absolute}, blend: E30}\n");
    fr_sheet *sheet = open_sheet(text);
    const fr_sizing_section *sizing = fr_sheet_sizing(sheet);
    assert_string_equal(sizing->currency, "EUR");
    assert_close(sizing->fitting[FR_SLOT_LIFT_PUMP], 120, EXACT);
    assert_close(sizing->fitting[FR_SLOT_PORT_INJECTOR], 650.5, EXACT);
    assert_close(sizing->fitting[FR_SLOT_FILTER], 0.0, EXACT);
    assert_true(sizing->keep[FR_SLOT_WIRING] && sizing->keep[FR_SLOT_LINE]);
    assert_false(sizing->keep[FR_SLOT_LIFT_PUMP]);
    const fr_log_section *log = fr_sheet_log(sheet);
    assert_string_equal(log->channels[FR_CHANNEL_ENGINE_SPEED].column, "Engine speed");
    assert_null(log->channels[FR_CHANNEL_ENGINE_SPEED].unit);
    assert_string_equal(log->channels[FR_CHANNEL_ETHANOL].unit, "%");
    assert_true(log->channels[FR_CHANNEL_FEED_PRESSURE].absolute);
    assert_null(log->channels[FR_CHANNEL_POWER].column);
    assert_close(log->blend, 0.30, EXACT);
    fr_sheet_close(sheet);
    sheet = open_sheet(SMALL("turbo", PORT));
    assert_string_equal(fr_sheet_sizing(sheet)->currency, "");
    assert_nan(fr_sheet_log(sheet)->blend);
    fr_sheet_close(sheet);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_engine_is_read_in_si),
        cmocka_unit_test(site_and_fuel_are_read_in_si),
        cmocka_unit_test(the_way_to_the_rail_is_read_in_si),
        cmocka_unit_test(injection_is_read_in_si),
        cmocka_unit_test(port_boosted_has_a_return_line_by_default),
        cmocka_unit_test(port_natural_has_a_regulator_in_the_tank_by_default),
        cmocka_unit_test(direct_injection_is_fed_by_a_pressure_sensor_by_default),
        cmocka_unit_test(rail_pressure_keeps_below_what_the_weaker_bears),
        cmocka_unit_test(port_and_direct_share_by_themselves),
        cmocka_unit_test(typical_parts_follow_from_a_rating),
        cmocka_unit_test(ratings_are_taken_in_the_trades_spellings),
        cmocka_unit_test(a_pump_may_be_rated_at_another_pressure),
        cmocka_unit_test(a_typical_pull_stands_about_its_peak),
        cmocka_unit_test(a_rev_limit_takes_the_last_speeds_place),
        cmocka_unit_test(a_rev_limit_cuts_a_curve_that_goes_beyond),
        cmocka_unit_test(a_power_curve_may_be_torque_or_percent),
        cmocka_unit_test(one_figure_of_boost_is_told_from_a_curve),
        cmocka_unit_test(a_us_sheet_and_a_metric_one_make_one_build),
        cmocka_unit_test(wiring_may_be_a_word_a_resistance_a_wire_or_a_part),
        cmocka_unit_test(unlike_pumps_keep_their_own_count_and_condition),
        cmocka_unit_test(an_empty_list_means_none),
        cmocka_unit_test(a_factory_part_fits_the_power_the_car_had),
        cmocka_unit_test(sizing_and_log_are_read),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
