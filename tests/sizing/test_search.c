/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The search finds what looking at every set finds. */
#include "support.h"

#include "fuelreach/sizing.h"
#include "reference/builds.h"
#include "sizing/brute.h"
#include "sizing/catalogue.h"

enum { CATALOGUES = 240, FEW_CATALOGUES = 12, WANTED = 4 };

static fr_check *scratch;

static fr_size_request request_for(const fr_build *build, const catalogue *from, size_t top) {
    return (fr_size_request){.build = build,
                             .parts = from->parts,
                             .part_count = from->count,
                             .budget = INFINITY,
                             .top = top,
                             .scratch = scratch};
}

/* A build that is asked for more than it carries. */
static void make_stretched(uint64_t seed, fr_build *build) {
    static void (*const MAKE[])(fr_build *) = {ref_make_port, ref_make_direct, ref_make_both};
    MAKE[seed % 3](build);
    const double times = 0.85 + 0.06 * (double)(seed % 11);
    for (size_t i = 0; i < build->engine.target_power_w.count; i++) {
        build->engine.target_power_w.y[i] *= times;
    }
    if (seed % 5 == 0) {
        build->feed.regulation = FR_MECHANICAL_RETURNLESS;
        build->feed.manifold_referenced = false;
        build->feed.pressure_gauge_pa = 5e5;
    }
    build->blend_count = 2;
}

static void the_search_finds_what_brute_force_finds(void **state) {
    (void)state;
    static fr_size_result result;
    static catalogue parts;
    size_t with_choice = 0, with_ties = 0;
    const size_t catalogues = support_cases(CATALOGUES, FEW_CATALOGUES);
    for (uint64_t seed = 1; seed <= catalogues; seed++) {
        fr_build build;
        brute_set best[WANTED + 1];
        make_stretched(seed, &build);
        catalogue_make(&parts, &build, seed * 977, seed % 3 == 2 ? 1 : 2, false,
                       seed % 2 == 0 ? 100.0 : 7.3);
        fr_size_request request = request_for(&build, &parts, WANTED);
        request.fitting[FR_SLOT_LIFT_PUMP] = seed % 4 == 0 ? 50.0 : 0.0;
        request.owned_wiring_price = seed % 7 == 0 ? 35.0 : 0.0;
        request.keep[FR_SLOT_LINE] = seed % 6 == 0;
        assert_int_equal(fr_size_run(&request, &result), FR_OK);
        const size_t count = brute_best(&request, WANTED, best);
        assert_int_equal(result.choice_count, count);
        for (size_t i = 0; i < count; i++) {
            assert_within(result.choices[i].price, best[i].price, 1e-6);
            assert_close(result.choices[i].reach_times, best[i].reach_times, 1e-6);
            assert_int_equal(result.choices[i].marks.return_overrun ||
                                 result.choices[i].marks.beyond_curve,
                             best[i].marked);
            with_ties += i > 0 && fabs(best[i].price - best[i - 1].price) < 1e-9;
        }
        with_choice += count > 0 && best[0].price > 0.0;
    }
    print_message("%zu catalogues with something to buy, %zu ties\n", with_choice, with_ties);
    assert_true(with_choice >= catalogues / 5);
    assert_true(with_ties > 0 || catalogues < CATALOGUES);
}

static void the_front_rises_in_price_and_reach(void **state) {
    (void)state;
    static fr_size_result result;
    static catalogue parts;
    for (uint64_t seed = 3; seed < 30; seed += 4) {
        fr_build build;
        make_stretched(seed, &build);
        catalogue_make(&parts, &build, seed * 31, 3, true, 10.0);
        fr_size_request request = request_for(&build, &parts, 1);
        request.front = true;
        assert_int_equal(fr_size_run(&request, &result), FR_OK);
        assert_true(result.front_count > 0);
        for (size_t i = 1; i < result.front_count; i++) {
            assert_true(result.front[i].price > result.front[i - 1].price);
            assert_true(result.front[i].reach_times > result.front[i - 1].reach_times);
        }
        for (size_t i = 0; i < result.front_count && result.choice_count > 0; i++) {
            /* whatever is clear at the target carries the target */
            if (result.front[i].price > result.choices[0].price) {
                assert_true(result.front[i].reach_times >= 1.0);
            }
        }
    }
}

static void what_it_evaluates_is_less_than_what_there_is(void **state) {
    (void)state;
    static fr_size_result result;
    static catalogue parts;
    fr_build build;
    make_stretched(10, &build);
    catalogue_make(&parts, &build, 4711, 30, true, 1.7);
    fr_size_request request = request_for(&build, &parts, 1);
    assert_int_equal(fr_size_run(&request, &result), FR_OK);
    print_message("%.3g sets, %.3g looked at, choice %s\n", result.combinations, result.evaluated,
                  result.choice_count > 0 ? "found" : "none");
    assert_true(result.proven);
    assert_true(result.combinations > 1e9);
    assert_true(result.evaluated < 1e6);
}

static int open_scratch(void **state) {
    (void)state;
    scratch = fr_check_open();
    return scratch == NULL;
}
static int close_scratch(void **state) {
    (void)state;
    fr_check_close(scratch);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_search_finds_what_brute_force_finds),
        cmocka_unit_test(the_front_rises_in_price_and_reach),
        cmocka_unit_test(what_it_evaluates_is_less_than_what_there_is),
    };
    return cmocka_run_group_tests(tests, open_scratch, close_scratch);
}
