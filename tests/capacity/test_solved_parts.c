/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Figures that the program solves for: put into the build, they do what was said of them. */
#include "support.h"

#include "fuelreach/check.h"

#include "capacity/scaled.h"
#include "reference/builds.h"

enum { BUILDS = 100, FIRST_SEED = 9000 };

static fr_check *check;
static fr_check *other;

static size_t step(void) {
    const char *under = getenv("RUN_UNDER");
    return under != NULL && under[0] != '\0' ? 25 : 1;
}

static double use_of(const fr_build *build, double ethanol, fr_stage stage) {
    const fr_blend_result *blend = fr_check_blend(other, build, ethanol);
    double worst = 0.0;
    for (size_t i = 0; i < blend->point_count; i++) {
        worst = fmax(worst, blend->points[i].use[stage]);
    }
    return worst;
}

/* ---- mends of one stage ---- */

/* Fitted as said the stage is clear; fitted to nine tenths of the way it is not. */
static void fit(const fr_build *build, double ethanol, const fr_mend *mend) {
    static fr_build mended;
    const double limit = fr_build_limit(build, mend->stage);
    mended = *build;
    fr_lever_set(&mended, mend->lever, mend->needs, mend->has);
    const double use = use_of(&mended, ethanol, mend->stage);
    if (!(use <= limit + 1e-6)) {
        print_error("%s by %s: use %.9g, limit %.9g\n", fr_stage_name(mend->stage),
                    fr_lever_path(mend->lever), use, limit);
        fail();
    }
    mended = *build;
    fr_lever_set(&mended, mend->lever, mend->has + 0.9 * (mend->needs - mend->has), mend->has);
    assert_true(use_of(&mended, ethanol, mend->stage) > limit);
}

static void what_mends_a_stage_makes_it_clear(void **state) {
    static fr_build build;
    fr_mend mends[FR_MENDS_MAX];
    int fitted = 0;
    (void)state;
    for (uint64_t seed = FIRST_SEED; seed < FIRST_SEED + BUILDS; seed += step()) {
        ref_make_random(seed, &build);
        const fr_check_result *result = fr_check_run(check, &build);
        const fr_blend_result *blend = &result->blends[1];
        for (size_t i = 0; i < blend->stage_count; i++) {
            const fr_stage_result *stage = &blend->stages[i];
            if (stage->use <= stage->limit + 1e-5) {
                continue;
            }
            const size_t count = fr_mend_stage(other, &build, blend->ethanol, stage->stage, mends);
            for (size_t n = 0; n < count; n++) {
                assert_int_equal(mends[n].stage, stage->stage);
                fit(&build, blend->ethanol, &mends[n]);
                fitted++;
            }
        }
    }
    print_message("%d mends fitted\n", fitted);
    assert_true(fitted > 0);
}

/* ---- all together ---- */

/* No power mends a pump's inlet, and no part does; the others are all clear. */
static void assert_all_clear(const fr_build *build) {
    const fr_check_result *result = fr_check_run(other, build);
    for (size_t i = 0; i < result->blend_count; i++) {
        const fr_blend_result *blend = &result->blends[i];
        for (size_t n = 0; n < blend->stage_count; n++) {
            assert_true(blend->stages[n].verdict == FR_CLEAR ||
                        blend->stages[n].stage == FR_STAGE_PUMP_INLET);
        }
    }
}

static void changes_made_together_make_the_build_clear(void **state) {
    static fr_build build, mended, fitted;
    fr_mend mends[FR_LEVER_COUNT];
    int cleared = 0;
    (void)state;
    for (uint64_t seed = FIRST_SEED; seed < FIRST_SEED + BUILDS / 4; seed += step()) {
        bool clear = false;
        ref_make_random(seed, &build);
        const size_t count = fr_mend_together(check, &build, mends, &clear, &mended);
        if (!clear) {
            continue;
        }
        fitted = build;
        for (size_t i = 0; i < count; i++) {
            fr_lever_set(&fitted, mends[i].lever, mends[i].needs, mends[i].has);
        }
        assert_all_clear(&mended);
        assert_all_clear(&fitted);
        cleared++;
    }
    print_message("%d builds made clear\n", cleared);
    assert_true(cleared > 0);
}

/* ---- factory parts ---- */

/* The build at its factory power, on E10, as new cars are rated. */
static void make_at_factory_power(const fr_build *build, fr_share share, fr_build *stock) {
    fr_build plain = *build;
    plain.engine.target_power_w =
        fr_curve_constant(fr_curve_at(&build->engine.target_power_w, 0.10) /
                          (build->engine.at_wheels ? 1.0 - build->engine.drivetrain_loss : 1.0));
    plain.engine.at_wheels = false;
    plain.share = share;
    scale_build(&plain, plain.engine.factory_power_w / plain.engine.target_power_w.y[0], stock);
}

static void assert_sized(const fr_build *build, fr_share share, fr_stage stage, double use) {
    static fr_build stock;
    make_at_factory_power(build, share, &stock);
    assert_within(use_of(&stock, 0.10, stage), use, 1e-6);
}

/* What model says makers leave: common practice, no source. */
static void size_and_look(fr_build *build, double factory_power_w) {
    const fr_factory factory = {
        .lift_pump = true,
        .port_injector = build->port.present,
        .direct_injector = build->direct.present,
        .high_pressure_pump = build->direct.present,
        .lift_pump_scale = 1.0,
        .port_injector_scale = 1.0,
        .direct_injector_scale = 1.0,
        .high_pressure_pump_scale = 1.0,
    };
    build->engine.factory_power_w = factory_power_w;
    assert_true(fr_factory_size(build, &factory, check));
    assert_sized(build, build->share, FR_STAGE_LIFT_PUMP, 0.65);
    if (build->port.present) {
        assert_sized(build, FR_SHARE_PORT_ONLY, FR_STAGE_PORT_INJECTOR, 0.75);
    }
    if (build->direct.present) {
        assert_sized(build, FR_SHARE_DIRECT_ONLY, FR_STAGE_DIRECT_INJECTOR, 0.80);
        assert_sized(build, FR_SHARE_DIRECT_ONLY, FR_STAGE_HIGH_PRESSURE_PUMP, 0.72);
    }
}

static void factory_parts_are_as_full_as_they_were_sized(void **state) {
    static fr_build build;
    (void)state;
    ref_make_port(&build);
    size_and_look(&build, 137e3);
    ref_make_direct(&build);
    size_and_look(&build, 151e3);
    ref_make_both(&build);
    size_and_look(&build, 163e3);
    ref_make_port(&build);
    build.engine.at_wheels = true;
    build.engine.drivetrain_loss = 0.17;
    size_and_look(&build, 129e3);
}

/* Beyond one pump of 400 L/h there are two, each of half the flow. */
static void a_factory_of_much_power_has_two_pumps(void **state) {
    static fr_build build;
    (void)state;
    ref_make_port(&build);
    build.engine.target_power_w = fr_curve_constant(520e3);
    size_and_look(&build, 470e3);
    assert_true(build.pumps.kinds[0].count > 1);
}

static void a_part_of_130_percent_is_that_much_larger(void **state) {
    static fr_build build, larger;
    fr_factory factory = {.port_injector = true, .port_injector_scale = 1.0};
    (void)state;
    ref_make_port(&build);
    build.engine.factory_power_w = 137e3;
    larger = build;
    assert_true(fr_factory_size(&build, &factory, check));
    factory.port_injector_scale = 1.3;
    assert_true(fr_factory_size(&larger, &factory, check));
    assert_close(larger.port.flow_kg_s, 1.3 * build.port.flow_kg_s, 1e-12);
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
        cmocka_unit_test(what_mends_a_stage_makes_it_clear),
        cmocka_unit_test(changes_made_together_make_the_build_clear),
        cmocka_unit_test(factory_parts_are_as_full_as_they_were_sized),
        cmocka_unit_test(a_factory_of_much_power_has_two_pumps),
        cmocka_unit_test(a_part_of_130_percent_is_that_much_larger),
    };
    return cmocka_run_group_tests_name("solved parts", tests, open_checks, close_checks);
}
