/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The check, held against the slow second implementation in tests/reference: every figure of
 * every point, capacities and reach, all to 1e-8. */
#include "support.h"

#include "fuelreach/check.h"

#include "reference/builds.h"
#include "reference/compare.h"
#include "reference/reference.h"

enum { RANDOM_BUILDS = 120, HIGHEST_EVERY = 3, FEWER = 12 };

/* Under a checker of memory all this takes half an hour; a part of it sees the same code. */
static size_t step(void) {
    const char *under = getenv("RUN_UNDER");
    return under != NULL && under[0] != '\0' ? FEWER : 1;
}

static void compare_build(ref_comparison *comparison, fr_check *check, const fr_build *build,
                          bool highest) {
    static ref_blend_result reference;
    const fr_check_result *result = fr_check_run(check, build);
    assert_int_equal(result->blend_count, build->blend_count);
    for (size_t i = 0; i < build->blend_count; i++) {
        ref_check_blend(build, build->blends[i], &reference);
        ref_compare_blend(comparison, &result->blends[i], &reference);
    }
    if (highest) {
        const fr_highest_blend judged = ref_highest_blend(build);
        ref_compare_highest(comparison, &result->highest, &judged);
    }
}

static void conclude(const ref_comparison *c) {
    print_message("%d figures; farthest off: point figures %.1e (%s), capacities %.1e (%s)\n",
                  c->figures, c->worst_point, c->worst_point_is, c->worst_capacity,
                  c->worst_capacity_is);
    assert_int_equal(c->failures, 0);
}

static void builds_of_every_arrangement_equal_the_reference(void **state) {
    static fr_build build;
    ref_comparison comparison = {0};
    for (size_t i = 0; i < ref_build_count; i += step()) {
        comparison.build = ref_builds[i].name;
        ref_builds[i].make(&build);
        compare_build(&comparison, *state, &build, true);
    }
    conclude(&comparison);
}

static void builds_drawn_at_random_equal_the_reference(void **state) {
    static fr_build build;
    ref_comparison comparison = {0};
    for (uint64_t seed = 1; seed <= RANDOM_BUILDS; seed += step()) {
        char name[32];
        snprintf(name, sizeof name, "random build %d", (int)seed);
        comparison.build = name;
        ref_make_random(seed, &build);
        compare_build(&comparison, *state, &build, seed % HIGHEST_EVERY == 0);
    }
    conclude(&comparison);
}

static int open_check(void **state) {
    *state = fr_check_open();
    return *state == NULL;
}

static int close_check(void **state) {
    fr_check_close(*state);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(builds_of_every_arrangement_equal_the_reference),
        cmocka_unit_test(builds_drawn_at_random_equal_the_reference),
    };
    return cmocka_run_group_tests_name("against the reference", tests, open_check, close_check);
}
