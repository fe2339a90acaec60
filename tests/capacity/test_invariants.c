/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What must hold for any build, tried on builds drawn at random: balances, directions, and that
 * reach, clear-to and highest blend are where they are said to be. */
#include "support.h"

#include "fuelreach/check.h"

#include "capacity/scaled.h"
#include "reference/builds.h"

enum { BUILDS = 150, FIRST_SEED = 5000 };

static fr_check *check; /* of the build under test */
static fr_check *other; /* of its variations */

static size_t step(void) {
    const char *under = getenv("RUN_UNDER");
    return under != NULL && under[0] != '\0' ? 15 : 1;
}

/* Calls `test` with many builds; says which one failed. */
static void for_every_build(void (*test)(const fr_build *build)) {
    static fr_build build;
    for (uint64_t seed = FIRST_SEED; seed < FIRST_SEED + BUILDS; seed += step()) {
        ref_make_random(seed, &build);
        test(&build);
    }
    for (size_t i = 0; i < ref_build_count; i += step()) {
        ref_builds[i].make(&build);
        test(&build);
    }
}

static const fr_stage_result *find(const fr_blend_result *blend, fr_stage stage) {
    for (size_t i = 0; i < blend->stage_count; i++) {
        if (blend->stages[i].stage == stage) {
            return &blend->stages[i];
        }
    }
    return NULL;
}

static double worst_use(const fr_blend_result *blend, fr_stage stage) {
    double worst = 0.0;
    for (size_t i = 0; i < blend->point_count; i++) {
        worst = fmax(worst, blend->points[i].use[stage]);
    }
    return worst;
}

/* ---- balances ---- */

/* What goes in comes out: tank = line + jet, line = demand + bypass, demand = port + direct; and
 * the circuit's voltage is what the wiring leaves. */
static void balance_point(const fr_build *build, const fr_point *point) {
    const fr_feed *feed = &build->feed;
    const double jet = feed->jet_pump_m3_s;
    const double bypass =
        feed->regulation == FR_ELECTRONIC_RETURNLESS ? 0.0 : feed->minimum_bypass_m3_s;
    unsigned pumps = 0;
    for (size_t i = 0; i < build->pumps.kind_count; i++) {
        pumps += build->pumps.kinds[i].count;
    }
    assert_close(point->lift_needed_m3_s, point->fuel_m3_s + bypass + jet, 1e-12);
    assert_close(point->port_fuel_kg_s + point->direct_fuel_kg_s, point->fuel_kg_s, 1e-12);
    if (feed->regulation == FR_RETURN) {
        assert_close(point->line_flow_m3_s, fmax(0.0, point->lift_available_m3_s - jet), 1e-12);
    } else {
        assert_close(point->line_flow_m3_s, point->fuel_m3_s, 1e-12);
    }
    const double ohm = build->pumps.wiring_ohm + pumps * build->pumps.shared_wiring_ohm;
    if (point->pump_voltage_v > 0.0) {
        assert_close(point->pump_voltage_v + ohm * point->pump_current_a,
                     build->site.supply_voltage_v, 1e-9);
    }
}

/* Pumps side by side deliver at the rise that they are said to work against what is said to be
 * available. An open relief valve has no one flow, so it is left out. */
static void balance_pumps(const fr_build *build, const fr_point *point) {
    const fr_pumps *pumps = &build->pumps;
    unsigned count = 0;
    double flow = 0.0;
    for (size_t i = 0; i < pumps->kind_count; i++) {
        count += pumps->kinds[i].count;
        if (pumps->kinds[i].relief_pa > 0.0) {
            return;
        }
    }
    if (pumps->series || build->feed.regulation == FR_ELECTRONIC_RETURNLESS) {
        return;
    }
    for (size_t i = 0; i < pumps->kind_count; i++) {
        flow += pumps->kinds[i].count *
                fr_pump_behind(&pumps->kinds[i], point->pump_rise_pa, build->site.supply_voltage_v,
                               pumps->wiring_ohm + count * pumps->shared_wiring_ohm)
                    .flow_m3_s;
    }
    assert_within(flow, point->lift_available_m3_s, 1e-9 * point->fuel_m3_s);
}

static void balance_build(const fr_build *build) {
    const fr_check_result *result = fr_check_run(check, build);
    for (size_t i = 0; i < result->blend_count; i++) {
        for (size_t n = 0; n < result->blends[i].point_count; n++) {
            balance_point(build, &result->blends[i].points[n]);
            balance_pumps(build, &result->blends[i].points[n]);
        }
    }
}

static void what_leaves_the_tank_arrives(void **state) {
    (void)state;
    for_every_build(balance_build);
}

/* ---- verdicts ---- */

static void judge_build(const fr_build *build) {
    const fr_check_result *result = fr_check_run(check, build);
    fr_verdict worst_blend = FR_CLEAR;
    for (size_t i = 0; i < result->blend_count; i++) {
        const fr_blend_result *blend = &result->blends[i];
        fr_verdict worst = FR_CLEAR;
        for (size_t n = 0; n < blend->stage_count; n++) {
            const fr_stage_result *stage = &blend->stages[n];
            worst = stage->verdict > worst ? stage->verdict : worst;
            assert_true(stage->limit <= stage->end);
            assert_true(stage->verdict != FR_CLEAR || stage->use <= stage->limit + 1.01e-6);
            assert_within(stage->use, worst_use(blend, stage->stage), 1e-6);
            assert_true(isnan(stage->reach_w) || isnan(stage->clear_to_w) ||
                        stage->clear_to_w <= stage->reach_w * (1.0 + 1e-9));
            assert_int_equal(isnan(stage->first_short_rpm), stage->verdict != FR_SHORT);
        }
        assert_int_equal(blend->verdict, worst);
        worst_blend = worst > worst_blend ? worst : worst_blend;
    }
    assert_int_equal(result->verdict, worst_blend);
}

static void the_verdict_is_the_worst_of_its_parts(void **state) {
    (void)state;
    for_every_build(judge_build);
}

/* A blend alone, the whole, and the outline say the same. */
static void ask_three_ways(const fr_build *build) {
    const fr_check_result *result = fr_check_run(check, build);
    const fr_check_result *outline = fr_check_outline(other, build);
    assert_int_equal(outline->verdict, result->verdict);
    for (size_t i = 0; i < result->blend_count; i++) {
        const fr_blend_result *whole = &result->blends[i];
        assert_int_equal(outline->blends[i].verdict, whole->verdict);
        assert_int_equal(isnan(outline->blends[i].reach_w), isnan(whole->reach_w));
        if (!isnan(whole->reach_w)) {
            assert_close(outline->blends[i].reach_w, whole->reach_w, 1e-8);
            assert_int_equal(outline->blends[i].weakest, whole->weakest);
        }
    }
    for (size_t i = 0; i < result->blend_count; i++) {
        const fr_blend_result *alone = fr_check_blend(other, build, build->blends[i]);
        assert_int_equal(alone->verdict, result->blends[i].verdict);
        assert_true(alone->reach_w == result->blends[i].reach_w ||
                    (isnan(alone->reach_w) && isnan(result->blends[i].reach_w)));
    }
}

static void whole_outline_and_single_blend_agree(void **state) {
    (void)state;
    for_every_build(ask_three_ways);
}

/* ---- reach ---- */

static bool counts_for_reach(const fr_stage_result *stage) {
    return stage->stage != FR_STAGE_DIRECT_INJECTOR &&
           stage->stage != FR_STAGE_HIGH_PRESSURE_PUMP && !stage->ruled_by_share &&
           !stage->no_power_mends;
}

/* A pump whose flow falls off a step: relief, or the smallest of a series. */
static bool has_steps(const fr_build *build) {
    for (size_t i = 0; i < build->pumps.kind_count; i++) {
        if (build->pumps.kinds[i].relief_pa > 0.0) {
            return true;
        }
    }
    return build->pumps.series;
}

/* The build asked for its own reach: the stage that ends it is at its end, none is beyond. */
static void ask_for_the_reach(const fr_build *build) {
    static const double beside = 1e-7;
    static fr_build scaled;
    const fr_check_result *result = fr_check_run(check, build);
    for (size_t i = 0; i < result->blend_count; i++) {
        const fr_blend_result *blend = &result->blends[i];
        if (isnan(blend->reach_w)) {
            continue;
        }
        const double k = blend->reach_w / blend->target_power_w;
        const double end = find(blend, blend->weakest)->end;
        scale_build(build, k * (1.0 - beside), &scaled);
        const fr_blend_result *below = fr_check_blend(other, &scaled, blend->ethanol);
        for (size_t n = 0; n < blend->stage_count; n++) {
            const fr_stage_result *stage = &blend->stages[n];
            /* A reach below the target is the nearest crossing; a stage that is not monotone may
             * be beyond again further down. */
            if (counts_for_reach(stage) && k >= 1.0) {
                assert_true(worst_use(below, stage->stage) <= stage->end);
            }
        }
        if (!has_steps(build)) {
            scale_build(build, k, &scaled);
            assert_within(worst_use(fr_check_blend(other, &scaled, blend->ethanol), blend->weakest),
                          end, 1e-6 * end);
        }
        scale_build(build, k * (1.0 + beside), &scaled);
        assert_true(worst_use(fr_check_blend(other, &scaled, blend->ethanol), blend->weakest) >
                    end);
    }
}

static void at_the_reach_the_weakest_stage_is_at_its_end(void **state) {
    (void)state;
    for_every_build(ask_for_the_reach);
}

static void ask_for_the_clear_to(const fr_build *build) {
    static const double beside = 1e-7;
    static fr_build scaled;
    const fr_check_result *result = fr_check_run(check, build);
    for (size_t i = 0; i < result->blend_count; i++) {
        const fr_blend_result *blend = &result->blends[i];
        for (size_t n = 0; n < blend->stage_count; n++) {
            const fr_stage_result *stage = &blend->stages[n];
            if (isnan(stage->clear_to_w)) {
                continue;
            }
            const double k = stage->clear_to_w / blend->target_power_w;
            scale_build(build, k * (1.0 - beside), &scaled);
            const double below =
                worst_use(fr_check_blend(other, &scaled, blend->ethanol), stage->stage);
            assert_true(below <= stage->limit || k < 1.0);
            if (!has_steps(build)) {
                scale_build(build, k, &scaled);
                assert_within(
                    worst_use(fr_check_blend(other, &scaled, blend->ethanol), stage->stage),
                    stage->limit, 1e-6 * stage->limit);
            }
            scale_build(build, k * (1.0 + beside), &scaled);
            assert_true(worst_use(fr_check_blend(other, &scaled, blend->ethanol), stage->stage) >
                        stage->limit);
        }
    }
}

static void at_clear_to_each_stage_is_at_its_limit(void **state) {
    (void)state;
    for_every_build(ask_for_the_clear_to);
}

/* Capacities belong to the parts: asked for 3 % more, with the boost that goes with it, the build
 * has the same reach. */
static void ask_for_more(const fr_build *build) {
    static fr_build scaled;
    const fr_check_result *result = fr_check_run(check, build);
    scale_build(build, 1.03, &scaled);
    const fr_check_result *more = fr_check_run(other, &scaled);
    for (size_t i = 0; i < result->blend_count; i++) {
        const fr_blend_result *one = &result->blends[i], *two = &more->blends[i];
        for (size_t n = 0; n < one->stage_count; n++) {
            if (!isnan(one->stages[n].reach_w) && !isnan(two->stages[n].reach_w)) {
                assert_close(two->stages[n].reach_w, one->stages[n].reach_w, 1e-8);
            }
        }
    }
}

static void reach_does_not_depend_on_the_power_asked(void **state) {
    (void)state;
    for_every_build(ask_for_more);
}

/* ---- the highest blend ---- */

static void ask_beside_the_highest_blend(const fr_build *build) {
    static const double beside = 1e-3; /* it is solved to 0.1 % */
    const fr_highest_blend highest = fr_check_run(check, build)->highest;
    if (highest.whole_range || isnan(highest.ethanol)) {
        return;
    }
    const fr_blend_result *blend = fr_check_blend(other, build, highest.ethanol + beside);
    assert_true(find(blend, highest.limited_by)->use > find(blend, highest.limited_by)->end);
    if (highest.ethanol > beside) {
        blend = fr_check_blend(other, build, highest.ethanol - beside);
        assert_true(find(blend, highest.limited_by)->use <= find(blend, highest.limited_by)->end);
    }
}

static void the_stage_named_ends_the_highest_blend(void **state) {
    (void)state;
    for_every_build(ask_beside_the_highest_blend);
}

/* ---- automatic share ---- */

static const fr_stage direct_stages[] = {FR_STAGE_DIRECT_INJECTOR, FR_STAGE_HIGH_PRESSURE_PUMP,
                                         FR_STAGE_DIRECT_PRESSURE};

/* How far the fullest direct stage of a point is over its limit. */
static double over_limit(const fr_build *build, const fr_point *point) {
    double worst = -INFINITY;
    for (size_t i = 0; i < 3; i++) {
        worst = fmax(worst, point->use[direct_stages[i]] - fr_build_limit(build, direct_stages[i]));
    }
    return worst;
}

static double over_limit_with_share(const fr_build *build, double ethanol, size_t n, double share) {
    static fr_build fixed;
    fixed = *build;
    fixed.share = FR_SHARE_CURVE;
    fixed.direct_share = fr_curve_constant(share);
    return over_limit(build, &fr_check_blend(other, &fixed, ethanol)->points[n]);
}

static void share_out(const fr_build *build) {
    if (build->share != FR_SHARE_AUTO) {
        return;
    }
    const fr_check_result *result = fr_check_run(check, build);
    for (size_t i = 0; i < result->blend_count; i++) {
        const fr_blend_result *blend = &result->blends[i];
        for (size_t n = 0; n < blend->point_count; n++) {
            const double share = blend->points[n].direct_share;
            assert_true(over_limit(build, &blend->points[n]) <= 1e-9);
            assert_true(share == 0.0 || share >= 0.01);
            if (share < 1.0) {
                const double more = share == 0.0 ? 0.01 : share + 1e-6;
                assert_true(over_limit_with_share(build, blend->ethanol, n, more) > 0.0);
            }
        }
    }
}

static void automatic_share_is_the_greatest_within_all_limits(void **state) {
    (void)state;
    for_every_build(share_out);
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
        cmocka_unit_test(what_leaves_the_tank_arrives),
        cmocka_unit_test(the_verdict_is_the_worst_of_its_parts),
        cmocka_unit_test(whole_outline_and_single_blend_agree),
        cmocka_unit_test(at_the_reach_the_weakest_stage_is_at_its_end),
        cmocka_unit_test(at_clear_to_each_stage_is_at_its_limit),
        cmocka_unit_test(reach_does_not_depend_on_the_power_asked),
        cmocka_unit_test(the_stage_named_ends_the_highest_blend),
        cmocka_unit_test(automatic_share_is_the_greatest_within_all_limits),
    };
    return cmocka_run_group_tests_name("invariants", tests, open_checks, close_checks);
}
