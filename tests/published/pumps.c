/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support.h"

#include "fuelreach/check.h"

#include "published/checks.h"
#include "published/table.h"
#include "reference/builds.h"
#include "reference/make.h"

/* ---- lift pumps ---- */

static const double gpm = 3.785411784e-3 / 60.0;
static const double hp = 745.69987158227022;
static const double foot_pa = 0.3048 * 998.2 * 9.80665; /* of water; any liquid would do */

/* The rise at which the pump gives a flow. */
static double rise_at(const fr_pump *pump, double flow, double volts) {
    double low = 0.0, high = 200.0 * foot_pa;
    for (int i = 0; i < 100; i++) {
        const double middle = (low + high) / 2.0;
        if (fr_pump_at_voltage(pump, middle, volts).flow_m3_s > flow) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return low;
}

/* Crane TP-410, example 7-33: 400 gpm, 126 ft, 17.5 hp at 3500 rpm; the voltage of an electric
 * pump stands for its speed, 100 rpm a volt. */
void a_pump_follows_its_affinity_laws(void **state) {
    static const char crane[] = "Crane TP-410, example 7-33" AS_QUOTED;
    static const double fast = 35.0, slow = 17.0;
    fr_pump pump = {.type = FR_PUMP_TURBINE, .count = 1, .flow_factor = 1.0, .curve_count = 1};
    pump.curves[0].voltage_v = fast;
    pump.curves[0].flow_m3_s.count = pump.curves[0].current_a.count = 2;
    for (size_t i = 0; i < 2; i++) {
        const double rise = (i == 0 ? 126.0 : 150.0) * foot_pa;
        pump.curves[0].flow_m3_s.rise_pa[i] = pump.curves[0].current_a.rise_pa[i] = rise;
        pump.curves[0].flow_m3_s.y[i] = (i == 0 ? 400.0 : 310.0) * gpm;
        pump.curves[0].current_a.y[i] = (i == 0 ? 17.5 : 16.1) * hp / fast;
    }
    (void)state;
    published_section("Pumps");
    const double rise = rise_at(&pump, 400.0 * slow / fast * gpm, slow);
    const fr_pump_state at = fr_pump_at_voltage(&pump, rise, slow);
    published_close(crane, "pump of 400 gpm at 3500 rpm, at 1700 rpm", "gpm", 194.286,
                    at.flow_m3_s / gpm, 2e-6);
    published_close(crane, "its head of 126 ft, at 1700 rpm", "ft", 29.7257, rise / foot_pa, 2e-6);
    published_close(crane, "its power of 17.5 hp, at 1700 rpm", "hp", 2.00531,
                    slow * at.current_a / hp, 3e-6);
}

/* I = 0.460 + 1.537 p/bar, whatever the voltage. */
void a_roller_pump_draws_what_was_measured(void **state) {
    fr_pump pump = {.type = FR_PUMP_ROLLER, .count = 1, .flow_factor = 1.0, .curve_count = 1};
    pump.curves[0] = (fr_pump_curve){
        .voltage_v = 13.0,
        .flow_m3_s = MAKE_LINE(MAKE_LITRE_H, 1, 180, 5, 150),
        .current_a = MAKE_LINE(1.0, 1, 0.460 + 1.537, 5, 0.460 + 5 * 1.537),
    };
    (void)state;
    published_section("Pumps");
    published_close("one measured roller pump" AS_QUOTED, "its current at 3.3 bar, at 11.7 V", "A",
                    0.460 + 3.3 * 1.537, fr_pump_at_voltage(&pump, 3.3e5, 11.7).current_a, 1e-12);
}

/* ---- the high-pressure pump ---- */

/* A temperature at which E0 gives this part of its volume between 1 and 300 bar. */
static double temperature_of(const fr_gasoline *gasoline, double part) {
    const fr_blend e0 = fr_blend_make(gasoline, 0.0);
    double low = -50.0, high = 150.0;
    for (int i = 0; i < 100; i++) {
        const double t = (low + high) / 2.0;
        const double given = 1.0 - fr_blend_density_at_pressure(&e0, t, 1e5) /
                                       fr_blend_density_at_pressure(&e0, t, 300e5);
        if (given < part) {
            low = t;
        } else {
            high = t;
        }
    }
    return low;
}

/* Ganesan 9.6: 100 kW, 6 cylinders, 1500 rpm, 300 g/kWh, 900 kg/m3, 80e-6 a bar, 9 cc held in all,
 * from 1 to 300 bar. One pump a cylinder, a stroke a cycle; the volumes are at 300 bar. */
void a_high_pressure_pump_loses_what_compression_takes(void **state) {
    static const char ganesan[] = "Ganesan, example 9.6" AS_QUOTED;
    static const double cc = 1e-6, held_cc = 9.0, plunger_cc = 0.338737;
    static const double compression = 80e-6 * 299.0; /* part of the volume */
    static fr_build build;
    (void)state;
    published_section("Pumps");
    ref_make_direct(&build);
    build.engine.pull = make_constant(1.0);
    build.engine.pull.x[0] = 1500.0;
    build.engine.target_power_w = make_constant(20e3);
    build.site.air_pressure_pa = 0.6e5;
    build.feed.pressure_gauge_pa = 0.4e5; /* 1 bar absolute at the inlet */
    build.site.hp_inlet_temperature_c = temperature_of(&build.gasoline, compression);
    build.direct.displacement_m3 = plunger_cc * cc;
    build.direct.dead_volume_ratio = (held_cc - plunger_cc) / plunger_cc;
    build.direct.fill = make_constant(1.0);
    build.direct.leakage_m3_s = 0.0;
    build.direct.rail_command_pa = make_constant(300e5);
    build.direct.pump_max_pa = build.direct.injector_max_pa = 350e5;
    fr_check *check = fr_check_open();
    const fr_point point = fr_check_blend(check, &build, 0.0)->points[0];
    fr_check_close(check);
    const double strokes = 1500.0 * build.direct.drive_ratio / 60.0;
    const double delivered_cc = point.hp_delivery_kg_s / point.hp_density_kg_m3 / strokes / cc;
    published_close(ganesan, "plunger of 0.338737 cc over 9 cc held, 1 to 300 bar: fuel delivered",
                    "cc", 0.123457, delivered_cc, 3e-5);
    published_close(ganesan, "the same: what compression takes", "cc", 0.21528,
                    plunger_cc - delivered_cc, 2e-5);
}

/* 10 mm by 4 mm by 3 lobes; 85 % filled, at half of 6000 rpm. */
void a_plunger_pump_worked_by_hand_comes_out_the_same(void **state) {
    static const double cc = 1e-6, litre_h = 1e-3 / 3600.0;
    static fr_build build;
    const double pi = acos(-1.0), swept = pi / 4.0 * 0.010 * 0.010 * 0.004 * 3.0;
    (void)state;
    published_section("Pumps");
    published_close("by hand", "plunger of 10 mm, lift 4 mm, 3 lobes: a cam turn", "cc", 0.9425,
                    swept / cc, 1e-4);
    ref_make_direct(&build);
    build.engine.pull = make_constant(1.0);
    build.engine.pull.x[0] = 6000.0;
    build.direct.displacement_m3 = swept;
    build.direct.fill = make_constant(0.85);
    build.direct.dead_volume_ratio = 0.0;
    build.direct.leakage_m3_s = 0.0;
    fr_check *check = fr_check_open();
    const fr_point point = fr_check_blend(check, &build, 0.0)->points[0];
    fr_check_close(check);
    published_close("by hand", "the same, 85 % filled, at 6000 rpm of the crank", "L/h", 144.2,
                    point.hp_delivery_kg_s / point.hp_inlet_density_kg_m3 / litre_h, 1e-4 * 5);
}
