/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "reference/builds.h"

#include <string.h>

#include "reference/make.h"

static void make_site_and_fuel(fr_build *build) {
    static const double limits[FR_STAGE_COUNT] = {
        [FR_STAGE_LIFT_PUMP] = 0.85,       [FR_STAGE_PUMP_CIRCUIT] = 0.80,
        [FR_STAGE_PUMP_INLET] = 0.85,      [FR_STAGE_FEED_PRESSURE] = 0.90,
        [FR_STAGE_VAPOUR] = 0.90,          [FR_STAGE_PORT_INJECTOR] = 0.85,
        [FR_STAGE_DIRECT_INJECTOR] = 0.95, [FR_STAGE_HIGH_PRESSURE_PUMP] = 0.90,
        [FR_STAGE_DIRECT_PRESSURE] = 0.90,
    };
    memset(build, 0, sizeof *build);
    memcpy(build->limits, limits, sizeof limits);
    build->site = (fr_site){.air_pressure_pa = 100.7e3,
                            .tank_temperature_c = 31.0,
                            .feed_temperature_c = 41.0,
                            .rail_temperature_c = 63.0,
                            .hp_inlet_temperature_c = 52.0,
                            .supply_voltage_v = 13.37};
    build->gasoline = (fr_gasoline){747.0, 61.0e3, 14.57, 42.7e6};
    build->feed.strainer_loss_pa = 2.9e3;
    build->feed.loss_factor = 1.0;
    build->blend_count = 3;
    build->blends[0] = 0.10;
    build->blends[1] = 0.47;
    build->blends[2] = 0.85;
}

static void make_engine(fr_engine *engine) {
    *engine = (fr_engine){
        .cylinders = 4,
        .displacement_m3 = 2.1e-3,
        .target_power_w = make_constant(247e3),
        .aspiration = FR_TURBO,
        .pull = MAKE_CURVE(1.0, 3700, 173, 4600, 226, 5700, 249, 6300, 251, 6700, 243),
        .bsfc_kg_j = MAKE_CURVE(1e-3 / 3.6e6, 2300, 318, 6900, 337),
        .bsfc_ethanol = 0.10,
        .bsfc_lambda = 0.83,
        .lambda = MAKE_CURVE(1.0, 0.10, 0.83, 0.85, 0.80),
        .same_air_gain = MAKE_CURVE(1.0, 0.10, 0.0, 0.85, 0.03),
        .boost_source = FR_BOOST_CURVE,
        .boost_gauge_pa = MAKE_CURVE(1e5, 2300, 0.71, 3400, 1.22, 4600, 1.37, 6900, 1.13),
        .charge_temperature_c = 47.0,
        .idle_speed_rpm = 810.0,
    };
}

static void make_pump(fr_pump *pump) {
    *pump = (fr_pump){.type = FR_PUMP_TURBINE, .count = 1, .flow_factor = 0.97, .curve_count = 2};
    pump->curves[0] = (fr_pump_curve){
        .voltage_v = 12.0,
        .flow_m3_s = MAKE_LINE(MAKE_LITRE_H, 2, 297, 4, 236, 6, 171),
        .current_a = MAKE_LINE(1.0, 2, 8.1, 4, 10.7, 6, 13.6),
    };
    pump->curves[1] = (fr_pump_curve){
        .voltage_v = 13.5,
        .flow_m3_s = MAKE_LINE(MAKE_LITRE_H, 2, 356, 4, 297, 6, 229),
        .current_a = MAKE_LINE(1.0, 2, 9.3, 4, 12.1, 6, 15.2),
    };
}

static void make_supply(fr_build *build) {
    build->pumps.kind_count = 1;
    build->pumps.wiring_ohm = 0.061;
    make_pump(&build->pumps.kinds[0]);
    build->feed.filter_count = 1;
    build->feed.filters[0] = (fr_filter){13.0e3, 210 * MAKE_LITRE_H};
    build->feed.line_count = 1;
    build->feed.lines[0] = (fr_line){8.1e-3, 4.3, 1.5e-6, 6.0};
    build->feed.return_line = (fr_line){8.1e-3, 4.3, 1.5e-6, 6.0};
}

static void make_port_injectors(fr_port *port) {
    *port = (fr_port){.present = true,
                      .count = 4,
                      .flow_kg_s = 1070 * MAKE_CC_MIN * 683.8,
                      .test_pressure_pa = 3.0e5,
                      .test_density_kg_m3 = 683.8,
                      .dead_time_s = MAKE_CURVE(1e-3, 11, 1.43, 14, 0.91),
                      .dead_time_s_per_pa = 0.03e-8,
                      .max_duty = 0.95,
                      .minimum_open_s = 0.40e-3};
}

static void make_direct_injection(fr_direct *direct) {
    *direct = (fr_direct){.present = true,
                          .count = 4,
                          .flow_kg_s = 17.3e-6 * 683.8,
                          .test_pressure_pa = 100e5,
                          .test_density_kg_m3 = 683.8,
                          .opening_delay_s = 0.29e-3,
                          .injector_max_pa = 257e5,
                          .rail_command_pa = MAKE_CURVE(1e5, 2000, 148, 4100, 203),
                          .window_deg = MAKE_CURVE(1.0, 2000, 233, 6900, 271),
                          .pump_count = 1,
                          .displacement_m3 = 1.31e-6,
                          .lobes = 4,
                          .drive_ratio = 0.5,
                          .fill = MAKE_CURVE(1.0, 500, 0.97, 3500, 0.87),
                          .dead_volume_ratio = 0.57,
                          .leakage_m3_s = 1.07e-6,
                          .leakage_at_pa = 100e5,
                          .pump_max_pa = 246e5,
                          .minimum_inlet_gauge_pa = 3.4e5};
}

void ref_make_port(fr_build *build) {
    make_site_and_fuel(build);
    make_engine(&build->engine);
    make_supply(build);
    make_port_injectors(&build->port);
    build->share = FR_SHARE_PORT_ONLY;
    build->feed.regulation = FR_RETURN;
    build->feed.manifold_referenced = true;
    build->feed.pressure_gauge_pa = 3.1e5;
    build->feed.minimum_bypass_m3_s = 11 * MAKE_LITRE_H;
}

void ref_make_direct(fr_build *build) {
    make_site_and_fuel(build);
    make_engine(&build->engine);
    make_supply(build);
    make_direct_injection(&build->direct);
    build->share = FR_SHARE_DIRECT_ONLY;
    build->feed.regulation = FR_ELECTRONIC_RETURNLESS;
    build->feed.pressure_gauge_pa = 5.3e5;
}

void ref_make_both(fr_build *build) {
    ref_make_direct(build);
    make_port_injectors(&build->port);
    build->port.flow_kg_s = 4.7e-3;
    build->direct.displacement_m3 = 0.93e-6;
    build->share = FR_SHARE_AUTO;
}

/* ---- what is special about each ---- */

static void worked_out_boost(fr_build *build) {
    ref_make_port(build);
    build->engine.boost_source = FR_BOOST_WORKED_OUT;
}

static void supercharged_over_atmosphere(fr_build *build) {
    ref_make_port(build);
    build->engine.aspiration = FR_SUPERCHARGED;
    build->feed.manifold_referenced = false;
    build->feed.pressure_gauge_pa = 3.6e5;
}

/* The rail falls below the manifold on the way to the target. */
static void boost_over_the_rail(fr_build *build) {
    supercharged_over_atmosphere(build);
    build->feed.pressure_gauge_pa = 2.0e5;
    build->engine.boost_gauge_pa = MAKE_CURVE(1e5, 2300, 0.9, 6900, 2.3);
}

static void make_natural(fr_build *build) {
    ref_make_port(build);
    build->engine.aspiration = FR_NATURAL;
    build->engine.boost_gauge_pa = make_constant(0.0);
    build->engine.target_power_w = make_constant(131e3);
    build->engine.bsfc_kg_j = MAKE_CURVE(1e-3 / 3.6e6, 2300, 288, 6900, 309);
    build->engine.lambda = make_constant(0.88);
    build->engine.bsfc_lambda = 0.88;
    build->feed.manifold_referenced = false;
    build->port.flow_kg_s = 530 * MAKE_CC_MIN * 683.8;
}

static void natural_with_long_thin_lines(fr_build *build) {
    make_natural(build);
    build->feed.regulation = FR_MECHANICAL_RETURNLESS;
    build->feed.pressure_gauge_pa = 3.9e5;
    build->feed.jet_pump_m3_s = 17 * MAKE_LITRE_H;
    build->feed.line_count = 3;
    build->feed.lines[0] = (fr_line){4.9e-3, 3.7, 1.5e-6, 9.0};
    build->feed.lines[1] = (fr_line){6.1e-3, 1.1, 45e-6, 2.5};
    build->feed.lines[2] = (fr_line){7.7e-3, 0.6, 1.5e-6, 0.0};
    build->feed.filter_count = 2;
    build->feed.filters[1] = (fr_filter){4.1e3, 160 * MAKE_LITRE_H};
}

static void boosted_with_a_regulator_at_the_tank(fr_build *build) {
    ref_make_port(build);
    build->feed.regulation = FR_MECHANICAL_RETURNLESS;
    build->feed.manifold_referenced = false;
    build->feed.pressure_gauge_pa = 4.2e5;
    build->engine.target_power_w = make_constant(205e3);
}

/* The pump is short over the upper half, and the rail sags. */
static void short_pump_that_sags(fr_build *build) {
    make_natural(build);
    build->feed.regulation = FR_ELECTRONIC_RETURNLESS;
    build->feed.pressure_gauge_pa = 4.1e5;
    build->feed.jet_pump_m3_s = 9 * MAKE_LITRE_H;
    build->pumps.kinds[0].flow_factor = 0.31;
}

static void short_pump_under_direct(fr_build *build) {
    ref_make_direct(build);
    build->pumps.kinds[0].flow_factor = 0.52;
}

static void short_pump_with_return(fr_build *build) {
    ref_make_port(build);
    build->pumps.kinds[0].flow_factor = 0.49;
}

static void direct_with_a_regulator_at_the_tank(fr_build *build) {
    ref_make_direct(build);
    build->feed.regulation = FR_MECHANICAL_RETURNLESS;
    build->feed.minimum_bypass_m3_s = 10 * MAKE_LITRE_H;
}

static void direct_with_a_return_line(fr_build *build) {
    ref_make_direct(build);
    build->feed.regulation = FR_RETURN;
    build->feed.minimum_bypass_m3_s = 10 * MAKE_LITRE_H;
    build->feed.jet_pump_m3_s = 23 * MAKE_LITRE_H;
}

static void high_pressure_pump_far_too_small(fr_build *build) {
    ref_make_direct(build);
    build->direct.displacement_m3 = 0.55e-6;
}

static void two_high_pressure_pumps_that_leak(fr_build *build) {
    ref_make_direct(build);
    build->direct.pump_count = 2;
    build->direct.displacement_m3 = 0.74e-6;
    build->direct.leakage_m3_s = 3.3e-6;
    build->direct.drive_ratio = 0.6;
}

static void window_with_no_time_left(fr_build *build) {
    ref_make_direct(build);
    build->direct.opening_delay_s = 1.5e-3;
    build->direct.window_deg = make_constant(57.0);
}

static void command_under_the_cylinder(fr_build *build) {
    ref_make_direct(build);
    build->direct.rail_command_pa = MAKE_CURVE(1e5, 2000, 2.9, 4300, 41, 6900, 311);
}

static void share_auto_over_a_return_line(fr_build *build) {
    ref_make_both(build);
    build->feed.regulation = FR_RETURN;
    build->feed.manifold_referenced = true;
    build->feed.pressure_gauge_pa = 3.6e5;
    build->feed.minimum_bypass_m3_s = 10 * MAKE_LITRE_H;
    build->direct.minimum_inlet_gauge_pa = 3.0e5;
}

static void share_over_speed(fr_build *build) {
    ref_make_both(build);
    build->share = FR_SHARE_CURVE;
    build->direct_share = MAKE_CURVE(1.0, 2300, 1.0, 3400, 0.83, 4700, 0.41, 6300, 0.37, 6900, 0.0);
}

static void share_auto_about_one_percent(fr_build *build) {
    ref_make_both(build);
    build->direct.displacement_m3 = 0.022e-6;
    build->direct.leakage_m3_s = 0.2e-6;
}

static void twin_pumps_on_shared_wiring(fr_build *build) {
    ref_make_port(build);
    build->pumps.kinds[0].count = 2;
    build->pumps.shared_wiring_ohm = 0.013;
    build->pumps.fuse_a = 17.0;
    build->engine.target_power_w = make_constant(431e3);
}

static void add_booster(fr_build *build) {
    fr_pump *second = &build->pumps.kinds[1];
    *second = (fr_pump){.type = FR_PUMP_ROLLER,
                        .count = 1,
                        .flow_factor = 1.0,
                        .relief_pa = 7.2e5,
                        .curve_count = 1};
    second->curves[0] = (fr_pump_curve){
        .voltage_v = 13.2,
        .flow_m3_s = MAKE_LINE(MAKE_LITRE_H, 1, 281, 3, 266, 5, 247, 7, 225),
        .current_a = MAKE_LINE(1.0, 1, 4.4, 3, 7.4, 5, 10.6, 7, 13.9),
    };
    build->pumps.kind_count = 2;
}

static void unlike_pumps_side_by_side(fr_build *build) {
    ref_make_port(build);
    add_booster(build);
    build->pumps.shared_wiring_ohm = 0.009;
    build->pumps.fuse_a = 20.0;
    build->engine.target_power_w = make_constant(391e3);
}

static void unlike_pumps_in_series(fr_build *build) {
    ref_make_port(build);
    add_booster(build);
    build->pumps.series = true;
    build->pumps.fuse_a = 16.0;
    build->feed.pressure_gauge_pa = 4.4e5;
}

static void like_pumps_in_series(fr_build *build) {
    ref_make_direct(build);
    build->pumps.series = true;
    build->pumps.kinds[0].count = 2;
    build->pumps.kinds[0].flow_factor = 0.71;
    build->feed.pressure_gauge_pa = 6.7e5;
}

static void make_gerotor(fr_pump *pump) {
    *pump = (fr_pump){.type = FR_PUMP_GEROTOR,
                      .count = 1,
                      .flow_factor = 1.02,
                      .relief_pa = 6.3e5,
                      .curve_count = 1};
    pump->curves[0] = (fr_pump_curve){
        .voltage_v = 13.5,
        .flow_m3_s = MAKE_LINE(MAKE_LITRE_H, 2, 291, 4, 272, 6, 249),
        .current_a = MAKE_LINE(1.0, 2, 6.2, 4, 9.7, 6, 13.1),
    };
}

static void gerotor_with_relief(fr_build *build) {
    ref_make_port(build);
    make_gerotor(&build->pumps.kinds[0]);
    build->pumps.fuse_a = 15.0;
    build->feed.pressure_gauge_pa = 4.4e5;
}

/* Relief holds the pump below the set pressure at high boost. */
static void relief_below_the_set_pressure(fr_build *build) {
    gerotor_with_relief(build);
    build->pumps.kinds[0].relief_pa = 4.9e5;
    build->feed.pressure_gauge_pa = 3.8e5;
}

static void torque_at_the_wheels(fr_build *build) {
    ref_make_port(build);
    build->engine.pull_is_torque = true;
    build->engine.pull = MAKE_CURVE(1.0, 2200, 301, 3300, 447, 4700, 441, 6100, 377, 7000, 291);
    build->engine.at_wheels = true;
    build->engine.drivetrain_loss = 0.14;
    build->engine.target_power_w = make_constant(223e3);
}

static void scaled_by_energy_and_lean(fr_build *build) {
    make_natural(build);
    build->engine.bsfc_scaling = FR_SCALE_ENERGY;
    build->engine.bsfc_ethanol = 0.27;
    build->engine.bsfc_lambda = 1.04;
    build->engine.lambda = MAKE_CURVE(1.0, 0.0, 1.06, 0.5, 0.94, 1.0, 0.88);
    build->engine.same_air_gain = MAKE_CURVE(1.0, 0.0, -0.01, 0.27, 0.01, 1.0, 0.06);
}

static void target_over_blends(fr_build *build) {
    ref_make_direct(build);
    build->engine.target_power_w =
        MAKE_CURVE(1e3, 0.0, 197, 0.2, 224, 0.47, 231, 0.7, 239, 0.85, 219);
    build->blend_count = 5;
    build->blends[0] = 0.0;
    build->blends[1] = 0.2;
    build->blends[2] = 0.6;
    build->blends[3] = 0.83;
    build->blends[4] = 1.0;
}

static void single_figure_of_boost(fr_build *build) {
    ref_make_direct(build);
    build->engine.boost_source = FR_BOOST_SINGLE;
    build->engine.boost_gauge_pa = make_constant(1.29e5);
}

static void hot_tank_that_was_measured(fr_build *build) {
    ref_make_port(build);
    build->site.tank_temperature_c = 53.0;
    build->site.tank_temperature_given = true;
    build->site.air_pressure_pa = 83.0e3;
}

static void pump_that_gives_nothing(fr_build *build) {
    ref_make_port(build);
    build->feed.pressure_gauge_pa = 11.5e5;
}

static void poor_wiring_and_a_small_fuse(fr_build *build) {
    ref_make_port(build);
    build->site.supply_voltage_v = 12.1;
    build->pumps.wiring_ohm = 0.19;
    build->pumps.fuse_a = 11.0;
    build->pumps.kinds[0].curve_count = 1;
}

static void nothing_between_tank_and_rail(fr_build *build) {
    ref_make_direct(build);
    build->feed.line_count = 0;
    build->feed.filter_count = 0;
    build->site.supply_voltage_v = 15.1;
}

static void everything_perturbed(fr_build *build) {
    ref_make_both(build);
    build->ethanol_shift = 0.023;
    build->engine.manifold_shift_pa = 4.1e3;
    build->feed.loss_factor = 1.37;
    build->engine.bsfc_kg_j.scale = 1.034;
    build->engine.lambda.scale = 0.987;
    build->engine.target_power_w.scale = 1.011;
    build->engine.boost_gauge_pa.shift = -3.3e3;
    build->direct.fill.scale = 0.961;
    build->direct.window_deg.shift = -7.0;
    build->direct.rail_command_pa.scale = 0.94;
    build->port.dead_time_s.shift = 0.06e-3;
}

static void limits_of_ones_own(fr_build *build) {
    ref_make_both(build);
    build->limits[FR_STAGE_LIFT_PUMP] = 0.71;
    build->limits[FR_STAGE_PORT_INJECTOR] = 0.99;
    build->limits[FR_STAGE_DIRECT_INJECTOR] = 0.83;
    build->limits[FR_STAGE_HIGH_PRESSURE_PUMP] = 0.79;
    build->limits[FR_STAGE_DIRECT_PRESSURE] = 1.0;
    build->port.max_duty = 0.91;
}

/* The inlet pressure of the high-pressure pump rides on the manifold: little with no boost. */
static void direct_fed_over_the_manifold(fr_build *build) {
    ref_make_direct(build);
    build->feed.regulation = FR_RETURN;
    build->feed.manifold_referenced = true;
    build->feed.pressure_gauge_pa = 4.6e5;
    build->feed.minimum_bypass_m3_s = 10 * MAKE_LITRE_H;
}

static void worked_out_boost_under_direct(fr_build *build) {
    ref_make_direct(build);
    build->engine.boost_source = FR_BOOST_WORKED_OUT;
    build->engine.target_power_w = make_constant(171e3);
}

static void jet_that_takes_nearly_all(fr_build *build) {
    make_natural(build);
    build->feed.regulation = FR_RETURN;
    build->feed.pressure_gauge_pa = 3.0e5;
    build->feed.jet_pump_m3_s = 270 * MAKE_LITRE_H;
}

static void summer_heat_in_the_lines(fr_build *build) {
    make_natural(build);
    build->site.feed_temperature_c = 78.0;
    build->gasoline.vapour_pressure_pa = 88e3;
    build->feed.pressure_gauge_pa = 2.1e5;
}

const ref_named_build ref_builds[] = {
    {"port, return line, boost given", ref_make_port},
    {"direct, electronic", ref_make_direct},
    {"port and direct, share auto", ref_make_both},
    {"boost worked out", worked_out_boost},
    {"supercharged, rail over atmosphere", supercharged_over_atmosphere},
    {"boost over the rail", boost_over_the_rail},
    {"natural, return line", make_natural},
    {"natural, long thin lines, regulator at the tank", natural_with_long_thin_lines},
    {"boosted, regulator at the tank", boosted_with_a_regulator_at_the_tank},
    {"short pump that sags", short_pump_that_sags},
    {"short pump under direct injection", short_pump_under_direct},
    {"short pump, return line", short_pump_with_return},
    {"direct, regulator at the tank", direct_with_a_regulator_at_the_tank},
    {"direct, return line", direct_with_a_return_line},
    {"high-pressure pump far too small", high_pressure_pump_far_too_small},
    {"two high-pressure pumps that leak", two_high_pressure_pumps_that_leak},
    {"window with no time left", window_with_no_time_left},
    {"command under the cylinder pressure", command_under_the_cylinder},
    {"share auto, return line over the manifold", share_auto_over_a_return_line},
    {"share over speed", share_over_speed},
    {"share auto about one percent", share_auto_about_one_percent},
    {"twin pumps on shared wiring", twin_pumps_on_shared_wiring},
    {"unlike pumps side by side", unlike_pumps_side_by_side},
    {"unlike pumps in series", unlike_pumps_in_series},
    {"like pumps in series", like_pumps_in_series},
    {"gerotor with relief", gerotor_with_relief},
    {"relief below the set pressure", relief_below_the_set_pressure},
    {"torque at the wheels", torque_at_the_wheels},
    {"scaled by energy, lean", scaled_by_energy_and_lean},
    {"target over blends", target_over_blends},
    {"a single figure of boost", single_figure_of_boost},
    {"hot tank that was measured", hot_tank_that_was_measured},
    {"pump that gives nothing", pump_that_gives_nothing},
    {"poor wiring and a small fuse", poor_wiring_and_a_small_fuse},
    {"nothing between tank and rail", nothing_between_tank_and_rail},
    {"everything perturbed", everything_perturbed},
    {"limits of one's own", limits_of_ones_own},
    {"direct fed over the manifold", direct_fed_over_the_manifold},
    {"boost worked out, direct", worked_out_boost_under_direct},
    {"jet that takes nearly all", jet_that_takes_nearly_all},
    {"summer heat in the lines", summer_heat_in_the_lines},
};
const size_t ref_build_count = sizeof ref_builds / sizeof ref_builds[0];
