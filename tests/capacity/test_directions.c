/* SPDX-License-Identifier: GPL-3.0-or-later */
/* More of one thing never gives less of another, tried on builds drawn at random. */
#include "support.h"

#include "fuelreach/check.h"

#include "capacity/scaled.h"
#include "reference/builds.h"

enum { BUILDS = 150, FIRST_SEED = 7000 };

static const double slack = 1e-9;

static fr_check *check;
static fr_check *other;

typedef void change(fr_build *build);
typedef void compare(const fr_blend_result *before, const fr_blend_result *after);

static size_t step(void) {
    const char *under = getenv("RUN_UNDER");
    return under != NULL && under[0] != '\0' ? 15 : 1;
}

/* Changes many builds and compares each blend before and after. `prepare` may be null. */
static void for_every_build(change *prepare, change *alter, compare *expect) {
    static fr_build build, altered;
    for (uint64_t seed = FIRST_SEED; seed < FIRST_SEED + BUILDS; seed += step()) {
        ref_make_random(seed, &build);
        if (prepare != NULL) {
            prepare(&build);
        }
        altered = build;
        alter(&altered);
        const fr_check_result *before = fr_check_run(check, &build);
        const fr_check_result *after = fr_check_run(other, &altered);
        for (size_t i = 0; i < before->blend_count; i++) {
            expect(&before->blends[i], &after->blends[i]);
        }
    }
}

/* A stage carries no less than before; those not had or not solved are no matter. */
static void carries_no_less(const fr_blend_result *before, const fr_blend_result *after,
                            fr_stage stage) {
    for (size_t i = 0; i < before->stage_count; i++) {
        const fr_stage_result *one = &before->stages[i], *two = &after->stages[i];
        if (one->stage == stage &&
            !(two->least_capacity_ratio >= one->least_capacity_ratio * (1.0 - slack))) {
            print_error("%s: %.10g, then %.10g\n", fr_stage_name(stage), one->least_capacity_ratio,
                        two->least_capacity_ratio);
            fail();
        }
    }
}

static const fr_stage behind_the_pumps[] = {
    FR_STAGE_LIFT_PUMP,       FR_STAGE_FEED_PRESSURE,   FR_STAGE_VAPOUR,
    FR_STAGE_PORT_INJECTOR,   FR_STAGE_DIRECT_INJECTOR, FR_STAGE_HIGH_PRESSURE_PUMP,
    FR_STAGE_DIRECT_PRESSURE,
};

/* All but the circuit: with a return line more flow means more loss, and so more current. */
static void all_carry_no_less(const fr_blend_result *before, const fr_blend_result *after) {
    for (size_t i = 0; i < sizeof behind_the_pumps / sizeof behind_the_pumps[0]; i++) {
        carries_no_less(before, after, behind_the_pumps[i]);
    }
    assert_true(isnan(after->reach_w) || isnan(before->reach_w) ||
                before->weakest == FR_STAGE_PUMP_CIRCUIT ||
                after->weakest == FR_STAGE_PUMP_CIRCUIT ||
                after->reach_w >= before->reach_w * (1.0 - slack));
}

/* ---- the lift pump ---- */

static void fit_a_bigger_pump(fr_build *build) {
    for (size_t i = 0; i < build->pumps.kind_count; i++) {
        build->pumps.kinds[i].flow_factor *= 1.13;
    }
}

static void a_bigger_pump_never_shrinks_reach(void **state) {
    (void)state;
    for_every_build(NULL, fit_a_bigger_pump, all_carry_no_less);
}

/* Two curves drawn at random may cross, and then more voltage gives less. */
static void keep_one_curve(fr_build *build) {
    for (size_t i = 0; i < build->pumps.kind_count; i++) {
        build->pumps.kinds[i].curve_count = 1;
    }
}

static void charge_the_battery(fr_build *build) {
    build->site.supply_voltage_v += 0.9;
}

static void more_voltage_never_shrinks_reach(void **state) {
    (void)state;
    for_every_build(keep_one_curve, charge_the_battery, all_carry_no_less);
}

static void fit_thicker_wire(fr_build *build) {
    build->pumps.wiring_ohm *= 0.6;
    build->pumps.shared_wiring_ohm *= 0.6;
}

static void thicker_wire_never_shrinks_reach(void **state) {
    (void)state;
    for_every_build(keep_one_curve, fit_thicker_wire, all_carry_no_less);
}

static void fit_wider_lines(fr_build *build) {
    for (size_t i = 0; i < build->feed.line_count; i++) {
        build->feed.lines[i].bore_m *= 1.2;
    }
    build->feed.loss_factor *= 0.9;
}

static void wider_lines_never_shrink_reach(void **state) {
    (void)state;
    for_every_build(NULL, fit_wider_lines, all_carry_no_less);
}

/* ---- injection ---- */

static void fit_bigger_port_injectors(fr_build *build) {
    build->port.flow_kg_s *= 1.17;
}

static void port_carries_no_less(const fr_blend_result *before, const fr_blend_result *after) {
    carries_no_less(before, after, FR_STAGE_PORT_INJECTOR);
    for (size_t i = 0; i < before->point_count; i++) {
        assert_false(after->points[i].port_duty > before->points[i].port_duty * (1.0 + slack));
    }
}

static void bigger_port_injectors_never_shrink_reach(void **state) {
    (void)state;
    for_every_build(NULL, fit_bigger_port_injectors, port_carries_no_less);
}

static void fit_a_bigger_high_pressure_pump(fr_build *build) {
    build->direct.displacement_m3 *= 1.11;
}

static void direct_carries_no_less(const fr_blend_result *before, const fr_blend_result *after) {
    carries_no_less(before, after, FR_STAGE_HIGH_PRESSURE_PUMP);
    carries_no_less(before, after, FR_STAGE_DIRECT_PRESSURE);
    for (size_t i = 0; i < before->point_count; i++) {
        const fr_point *one = &before->points[i], *two = &after->points[i];
        assert_false(two->hp_delivery_kg_s < one->hp_delivery_kg_s * (1.0 - slack));
        assert_false(two->direct_share < one->direct_share * (1.0 - slack));
    }
}

static void more_displacement_never_shrinks_reach(void **state) {
    (void)state;
    for_every_build(NULL, fit_a_bigger_high_pressure_pump, direct_carries_no_less);
}

static void use_a_wider_window(fr_build *build) {
    build->direct.window_deg.scale *= 1.08;
}

static void spray_carries_no_less(const fr_blend_result *before, const fr_blend_result *after) {
    carries_no_less(before, after, FR_STAGE_DIRECT_INJECTOR);
    carries_no_less(before, after, FR_STAGE_DIRECT_PRESSURE);
    for (size_t i = 0; i < before->point_count; i++) {
        assert_false(after->points[i].direct_share <
                     before->points[i].direct_share * (1.0 - slack));
    }
}

static void a_wider_window_never_shrinks_reach(void **state) {
    (void)state;
    for_every_build(NULL, use_a_wider_window, spray_carries_no_less);
}

/* ---- the engine ---- */

static void bore_it_out(fr_build *build) {
    build->engine.displacement_m3 *= 1.10;
}

/* The same power from a bigger engine: the air fills it less, or needs less pressure; the fuel is
 * the same. */
static void is_filled_less(const fr_blend_result *before, const fr_blend_result *after) {
    for (size_t i = 0; i < before->point_count; i++) {
        const fr_point *one = &before->points[i], *two = &after->points[i];
        assert_close(two->fuel_kg_s, one->fuel_kg_s, 1e-15);
        assert_true(two->manifold_abs_pa <= one->manifold_abs_pa);
        assert_true(two->volumetric_efficiency <= one->volumetric_efficiency * (1.0 + slack));
    }
}

static void a_bigger_engine_is_filled_less(void **state) {
    (void)state;
    for_every_build(NULL, bore_it_out, is_filled_less);
}

static void ask_for_more_power(fr_build *build) {
    const fr_build as_was = *build;
    scale_build(&as_was, 1.07, build);
}

static void needs_more_and_spares_less(const fr_blend_result *before,
                                       const fr_blend_result *after) {
    for (size_t i = 0; i < before->point_count; i++) {
        const fr_point *one = &before->points[i], *two = &after->points[i];
        assert_close(two->fuel_kg_s, 1.07 * one->fuel_kg_s, 1e-12);
        assert_true(two->manifold_abs_pa >= one->manifold_abs_pa);
        assert_false(two->port_duty < one->port_duty * (1.0 - slack));
        assert_false(two->direct_share > one->direct_share * (1.0 + slack));
    }
    for (size_t i = 0; i < before->stage_count; i++) {
        assert_false(after->stages[i].spare > before->stages[i].spare + slack);
    }
}

static void more_power_needs_more_of_everything(void **state) {
    (void)state;
    for_every_build(NULL, ask_for_more_power, needs_more_and_spares_less);
}

/* ---- ethanol ---- */

/* Power, mixture and gain alike on every blend, so that the fuel alone differs. */
static void make_blends_alike(fr_build *build) {
    build->engine.lambda = fr_curve_constant(0.83);
    build->engine.same_air_gain = fr_curve_constant(0.0);
    build->engine.target_power_w = fr_curve_constant(build->engine.target_power_w.scale);
}

static void more_ethanol_needs_more_fuel(void **state) {
    static fr_build build;
    static double mass[FR_SPEEDS_MAX], volume[FR_SPEEDS_MAX];
    (void)state;
    for (uint64_t seed = FIRST_SEED; seed < FIRST_SEED + BUILDS; seed += step()) {
        ref_make_random(seed, &build);
        make_blends_alike(&build);
        for (int percent = 0; percent <= 100; percent += 10) {
            const fr_blend_result *blend = fr_check_blend(check, &build, percent / 100.0);
            for (size_t i = 0; i < blend->point_count; i++) {
                assert_true(percent == 0 || blend->points[i].fuel_kg_s > mass[i]);
                assert_true(percent == 0 || blend->points[i].fuel_m3_s > volume[i]);
                mass[i] = blend->points[i].fuel_kg_s;
                volume[i] = blend->points[i].fuel_m3_s;
            }
        }
    }
}

static int open_checks(void **state) {
    (void)state;
    check = fr_check_open();
    other = fr_check_open();
    return check == NULL || other == NULL;
}

static int close_checks(void **state) {
    (void)state;
    fr_check_close(check);
    fr_check_close(other);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_bigger_pump_never_shrinks_reach),
        cmocka_unit_test(more_voltage_never_shrinks_reach),
        cmocka_unit_test(thicker_wire_never_shrinks_reach),
        cmocka_unit_test(wider_lines_never_shrink_reach),
        cmocka_unit_test(bigger_port_injectors_never_shrink_reach),
        cmocka_unit_test(more_displacement_never_shrinks_reach),
        cmocka_unit_test(a_wider_window_never_shrinks_reach),
        cmocka_unit_test(a_bigger_engine_is_filled_less),
        cmocka_unit_test(more_power_needs_more_of_everything),
        cmocka_unit_test(more_ethanol_needs_more_fuel),
    };
    return cmocka_run_group_tests_name("directions", tests, open_checks, close_checks);
}
