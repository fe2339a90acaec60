/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Builds drawn at random: any arrangement with any, parts about the size the engine wants, from
 * far too small to ample. */
#include "support.h"

#include "reference/builds.h"
#include "reference/make.h"

typedef support_random dice;

static double between(dice *d, double low, double high) {
    return support_random_between(d, low, high);
}

static bool chance(dice *d, double probability) {
    return between(d, 0.0, 1.0) < probability;
}

static unsigned pick(dice *d, unsigned count) {
    return (unsigned)(support_random_bits(d) % count);
}

static fr_curve over_speed(dice *d, double low, double high) {
    fr_curve curve = {.count = 1 + pick(d, 4), .scale = 1.0};
    double rpm = between(d, 1500.0, 3000.0);
    for (size_t i = 0; i < curve.count; i++) {
        curve.x[i] = rpm;
        curve.y[i] = between(d, low, high);
        rpm += between(d, 400.0, 2100.0);
    }
    return curve;
}

static fr_curve over_blends(dice *d, double low, double high) {
    fr_curve curve = {.count = 1 + pick(d, 3), .scale = 1.0};
    for (size_t i = 0; i < curve.count; i++) {
        curve.x[i] = ((double)i + between(d, 0.0, 0.9)) / (double)curve.count;
        curve.y[i] = between(d, low, high);
    }
    return curve;
}

static fr_curve some_pull(dice *d) {
    fr_curve curve = {.count = 3 + pick(d, 3), .scale = 1.0};
    double rpm = between(d, 1800.0, 2800.0), height = between(d, 0.25, 0.5);
    for (size_t i = 0; i < curve.count; i++) {
        curve.x[i] = rpm;
        curve.y[i] = height;
        rpm += between(d, 300.0, 1500.0);
        height =
            i + 2 < curve.count ? height + between(d, 0.05, 0.25) : height * between(d, 0.9, 1.0);
    }
    return curve;
}

static void draw_engine(dice *d, fr_engine *engine) {
    static const unsigned cylinders[] = {3, 4, 4, 5, 6, 8};
    engine->aspiration = (fr_aspiration)pick(d, 3);
    const bool boosted = engine->aspiration != FR_NATURAL;
    const double per_litre = boosted ? between(d, 75.0, 150.0) : between(d, 45.0, 80.0);
    engine->cylinders = cylinders[pick(d, 6)];
    engine->displacement_m3 = engine->cylinders * between(d, 0.35e-3, 0.62e-3);
    engine->target_power_w = over_blends(d, 0.93, 1.07);
    engine->target_power_w.scale = 1e6 * per_litre * engine->displacement_m3;
    engine->at_wheels = chance(d, 0.3);
    engine->drivetrain_loss = between(d, 0.1, 0.2);
    engine->pull = some_pull(d);
    engine->pull_is_torque = chance(d, 0.25);
    engine->bsfc_kg_j = over_speed(d, boosted ? 300.0 : 265.0, boosted ? 390.0 : 315.0);
    engine->bsfc_kg_j.scale = 1e-3 / 3.6e6;
    engine->bsfc_ethanol = chance(d, 0.5) ? 0.10 : between(d, 0.0, 0.9);
    engine->bsfc_lambda = between(d, 0.78, 0.95);
    engine->bsfc_scaling = chance(d, 0.25) ? FR_SCALE_ENERGY : FR_SCALE_AIR;
    engine->lambda = over_blends(d, 0.76, boosted ? 0.9 : 1.03);
    engine->same_air_gain = over_blends(d, 0.0, 0.07);
    engine->boost_source = boosted ? (fr_boost_source)pick(d, 3) : FR_BOOST_CURVE;
    engine->boost_gauge_pa = boosted ? over_speed(d, 0.4e5, 2.1e5) : make_constant(0.0);
    engine->charge_temperature_c = between(d, 25.0, 65.0);
    engine->idle_speed_rpm = 800.0;
}

static fr_pump_curve some_pump_curve(dice *d, double volts, double flow, double amps) {
    fr_pump_curve curve = {.voltage_v = volts};
    const size_t count = 2 + pick(d, 3);
    double rise = between(d, 0.5e5, 3.0e5);
    curve.flow_m3_s.count = curve.current_a.count = count;
    for (size_t i = 0; i < count; i++) {
        curve.flow_m3_s.rise_pa[i] = curve.current_a.rise_pa[i] = rise;
        curve.flow_m3_s.y[i] = flow;
        curve.current_a.y[i] = amps;
        rise += between(d, 0.8e5, 2.5e5);
        flow *= between(d, 0.80, 0.96);
        amps *= between(d, 1.07, 1.3);
    }
    return curve;
}

static void draw_pump(dice *d, fr_pump *pump, double flow) {
    const double amps = flow / MAKE_LITRE_H * between(d, 0.018, 0.026);
    pump->type = (fr_pump_type)pick(d, 3);
    pump->count = chance(d, 0.2) ? 2 : 1;
    pump->flow_factor = between(d, 0.85, 1.05);
    pump->relief_pa = chance(d, 0.3) ? between(d, 6e5, 9e5) : 0.0;
    pump->curve_count = 1 + pick(d, 2);
    double volts = between(d, 11.5, 13.5);
    for (size_t i = 0; i < pump->curve_count; i++) {
        const double part = 1.0 + 0.12 * (double)i;
        pump->curves[i] = some_pump_curve(d, volts, part * flow / pump->count, part * amps);
        volts += between(d, 0.9, 1.9);
    }
}

/* About what the engine burns on E85, m3/s. */
static double appetite(const fr_build *build) {
    return build->engine.target_power_w.scale * 410e-3 / 3.6e6 / 770.0;
}

static void draw_feed(dice *d, fr_build *build) {
    fr_feed *feed = &build->feed;
    feed->regulation = (fr_regulation)pick(d, 3);
    feed->manifold_referenced =
        feed->regulation != FR_MECHANICAL_RETURNLESS && chance(d, build->port.present ? 0.5 : 0.1);
    feed->pressure_gauge_pa =
        build->direct.present ? between(d, 4.2e5, 6.2e5) : between(d, 2.8e5, 4.3e5);
    feed->minimum_bypass_m3_s = between(d, 0.0, 15.0) * MAKE_LITRE_H;
    feed->jet_pump_m3_s = chance(d, 0.4) ? between(d, 3.0, 30.0) * MAKE_LITRE_H : 0.0;
    feed->strainer_loss_pa = between(d, 1e3, 5e3);
    feed->loss_factor = chance(d, 0.2) ? between(d, 0.7, 1.5) : 1.0;
    feed->filter_count = pick(d, 3);
    for (size_t i = 0; i < feed->filter_count; i++) {
        feed->filters[i] =
            (fr_filter){between(d, 4e3, 25e3), between(d, 0.8, 2.0) * appetite(build)};
    }
    feed->line_count = pick(d, 3);
    for (size_t i = 0; i < feed->line_count; i++) {
        feed->lines[i] = (fr_line){between(d, 6e-3, 10e-3), between(d, 0.4, 4.5),
                                   between(d, 0.0, 20e-6), between(d, 0.0, 8.0)};
    }
    feed->return_line = (fr_line){8e-3, 4.5, 1.5e-6, 6.0};
}

static void draw_pumps(dice *d, fr_build *build) {
    fr_pumps *pumps = &build->pumps;
    pumps->kind_count = chance(d, 0.25) ? 2 : 1;
    pumps->series = chance(d, 0.15);
    const double each = appetite(build) / (pumps->series ? 1.0 : (double)pumps->kind_count);
    for (size_t i = 0; i < pumps->kind_count; i++) {
        draw_pump(d, &pumps->kinds[i], each * between(d, 0.9, 2.1));
    }
    pumps->wiring_ohm = between(d, 0.02, 0.12);
    pumps->shared_wiring_ohm = chance(d, 0.3) ? between(d, 0.002, 0.02) : 0.0;
    pumps->fuse_a = chance(d, 0.5) ? between(d, 10.0, 35.0) : 0.0;
}

static void draw_port(dice *d, fr_build *build, double part) {
    fr_port *port = &build->port;
    const double each = part * appetite(build) * 770.0 / build->engine.cylinders;
    *port = (fr_port){.present = true, .count = build->engine.cylinders};
    port->flow_kg_s = each * between(d, 0.9, 2.0);
    port->test_pressure_pa = between(d, 2.5e5, 4.5e5);
    port->test_density_kg_m3 = chance(d, 0.5) ? 683.8 : between(d, 680.0, 800.0);
    port->dead_time_s = MAKE_CURVE(1e-3, 8, 2.7, 10, 1.61, 12, 1.17, 14, 0.86, 16, 0.64);
    port->dead_time_s.scale = between(d, 0.7, 1.4);
    port->dead_time_s_per_pa = chance(d, 0.5) ? between(d, 0.0, 0.06e-8) : 0.0;
    port->max_duty = between(d, 0.9, 1.0);
    port->minimum_open_s = 0.4e-3;
}

static void draw_direct(dice *d, fr_build *build) {
    fr_direct *direct = &build->direct;
    const double fuel_kg_s = appetite(build) * 770.0;
    *direct = (fr_direct){.present = true, .count = build->engine.cylinders};
    direct->test_pressure_pa = 100e5;
    direct->test_density_kg_m3 = 683.8;
    direct->flow_kg_s = fuel_kg_s / build->engine.cylinders * between(d, 0.8, 2.2);
    direct->opening_delay_s = between(d, 0.15e-3, 0.45e-3);
    direct->injector_max_pa = between(d, 200e5, 360e5);
    direct->rail_command_pa = over_speed(d, 120e5, 230e5);
    direct->window_deg = over_speed(d, 200.0, 290.0);
    direct->pump_count = chance(d, 0.15) ? 2 : 1;
    direct->drive_ratio = chance(d, 0.8) ? 0.5 : between(d, 0.4, 0.8);
    /* Full flow wants this displacement near 6000 rpm. */
    const double full = appetite(build) / (100.0 * direct->drive_ratio) / direct->pump_count;
    direct->displacement_m3 = full * between(d, 0.9, 2.2);
    direct->fill = over_speed(d, 0.80, 0.97);
    direct->dead_volume_ratio = between(d, 0.2, 1.0);
    direct->leakage_m3_s = chance(d, 0.9) ? between(d, 0.2e-6, 2.0e-6) : 0.0;
    direct->leakage_at_pa = 100e5;
    direct->pump_max_pa = between(d, 200e5, 360e5);
    direct->minimum_inlet_gauge_pa = between(d, 2.5e5, 4.0e5);
}

static void draw_injection(dice *d, fr_build *build) {
    build->share = (fr_share)pick(d, 4);
    const bool both = build->share == FR_SHARE_AUTO || build->share == FR_SHARE_CURVE;
    if (build->share != FR_SHARE_DIRECT_ONLY) {
        draw_port(d, build, both ? 0.6 : 1.0);
    }
    if (build->share != FR_SHARE_PORT_ONLY) {
        draw_direct(d, build);
    }
    if (build->share == FR_SHARE_CURVE) {
        build->direct_share = over_speed(d, 0.2, 0.9);
    }
}

void ref_make_random(uint64_t seed, fr_build *build) {
    dice d = {seed};
    ref_make_port(build);
    build->port.present = false;
    draw_engine(&d, &build->engine);
    draw_injection(&d, build);
    draw_feed(&d, build);
    draw_pumps(&d, build);
    build->site = (fr_site){.air_pressure_pa = between(&d, 80e3, 103e3),
                            .supply_voltage_v = between(&d, 12.3, 14.7),
                            .tank_temperature_given = chance(&d, 0.5)};
    build->site.feed_temperature_c = between(&d, 15.0, 65.0);
    build->site.tank_temperature_c = build->site.feed_temperature_c - between(&d, 3.0, 15.0);
    build->site.rail_temperature_c = build->site.feed_temperature_c + between(&d, 5.0, 35.0);
    build->site.hp_inlet_temperature_c = build->site.feed_temperature_c + between(&d, 1.0, 15.0);
    build->gasoline = (fr_gasoline){between(&d, 722.0, 770.0), between(&d, 45e3, 90e3),
                                    between(&d, 14.2, 14.8), between(&d, 41.5e6, 43.8e6)};
    build->blend_count = 2;
    build->blends[0] = between(&d, 0.0, 0.5);
    build->blends[1] = between(&d, 0.5, 1.0);
}
