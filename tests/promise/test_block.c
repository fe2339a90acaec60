/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The block kernel against the check on one build (itself held against tests/reference), and
 * against itself: lanes, order of work and instruction set must not matter to the last bit. */
#include "support.h"

#include <glob.h>

#include "chance/block.h"
#include "chance/moves.h"
#include "chance/points.h"
#include "fuelreach/check.h"
#include "fuelreach/sheet.h"

#include "promise/block_support.h"
#include "promise/other_kernels.h"
#include "reference/builds.h"

enum { RANDOM_BUILDS = 600, LANES_CHECKED = 16, RANDOM_SAME = 600, RANDOM_CAPACITIES = 200 };

static const double REACH_AGREES = 1e-7;

typedef struct fixture {
    fr_block *block;
    fr_check *check;
    fr_moves moves;
    fr_draw_plan plan;
    bool whole; /* walks */
    fr_build build;
    fr_input inputs[SOME_INPUTS_MAX];
    size_t input_count;
    fr_row z[SOME_INPUTS_MAX];
} fixture;

static fixture *shared;

static void draw_deviations(fixture *f, uint64_t seed) {
    support_random random = {seed};
    for (size_t i = 0; i < f->input_count; i++) {
        FR_EACH_LANE(l) {
            f->z[i][l] = support_random_between(&random, -3.0, 3.0);
        }
    }
}

static void put_lanes(fixture *f) {
    fr_draws *draws = fr_block_draws(f->block);
    fr_draw_plan_make(&f->build, f->inputs, f->input_count, &f->plan);
    fr_draws_begin(draws, f->whole);
    assert_true(fr_moves_start(&f->moves, &f->build, f->inputs, f->input_count));
    FR_EACH_LANE(l) {
        fr_draws_put(draws, &f->plan, l, fr_moves_to(&f->moves, &f->z[0][l], FR_LANES));
    }
    fr_draws_complete(draws, &f->plan);
}

static void begin(fixture *f, uint64_t seed) {
    f->input_count = some_inputs(&f->build, f->inputs);
    draw_deviations(f, seed);
    put_lanes(f);
}

/* A reach of neither is agreement, and so is one a hair beyond four times the target. */
static double difference(double times, double reach_w, double target_w) {
    const double LAST = 4.0 * (1.0 - 1e-9);
    if (isnan(reach_w)) {
        return isinf(times) || times > LAST ? 0.0 : 1.0;
    }
    return isinf(times) && reach_w / target_w > LAST ? 0.0
                                                     : fabs(times * target_w / reach_w - 1.0);
}

/* A run, with the walks made whole where it asks for that. */
static const fr_block_result *run(fixture *f, double ethanol, fr_block_want want) {
    const fr_block_result *result = fr_block_run(f->block, &f->plan, ethanol, want);
    if (result == NULL) {
        const bool before = f->whole;
        f->whole = true;
        put_lanes(f);
        f->whole = before;
        result = fr_block_run(f->block, &f->plan, ethanol, want);
    }
    return result;
}

static void compare_lane(fixture *f, int l, const char *name, double *worst) {
    const fr_build *moved = fr_moves_to(&f->moves, &f->z[0][l], FR_LANES);
    const fr_check_result *scalar = fr_check_outline(f->check, moved);
    for (size_t i = 0; i < f->build.blend_count; i++) {
        const fr_blend_result *blend = &scalar->blends[i];
        const double ethanol = f->build.blends[i];
        const fr_block_result *block = run(f, ethanol, FR_WANT_ODDS);
        const double off = difference(block->times[l], blend->reach_w, blend->target_power_w);
        if (!(off <= REACH_AGREES)) {
            print_error("%s, E%.1f, lane %d: reach is %.12g times the target, the check says "
                        "%.12g (%s)\n", name, 100.0 * ethanol, l, block->times[l],
                        blend->reach_w / blend->target_power_w, fr_stage_name(blend->weakest));
            fail();
        }
        assert_close(block->target_w[l], blend->target_power_w, 1e-12);
        if ((block->any_short[l] > 0.0) != (blend->verdict == FR_SHORT)) {
            print_error("%s, E%.1f, lane %d: short is %d, the check says %s\n", name,
                        100.0 * ethanol, l, block->any_short[l] > 0.0,
                        fr_verdict_name(blend->verdict));
            fail();
        }
        for (size_t s = 0; s < blend->stage_count; s++) {
            const fr_stage_result *stage = &blend->stages[s];
            if ((block->is_short[stage->stage][l] > 0.0) != (stage->verdict == FR_SHORT)) {
                print_error("%s, E%.1f, lane %d, %s: short is %d, use %.9g\n", name,
                            100.0 * ethanol, l, fr_stage_name(stage->stage),
                            block->is_short[stage->stage][l] > 0.0, stage->use);
                fail();
            }
        }
        *worst = off > *worst ? off : *worst;
    }
}

static void compare_build(fixture *f, const char *name, uint64_t seed, double *worst) {
    begin(f, seed);
    for (int l = 0; l < (int)support_cases(LANES_CHECKED, 3); l++) {
        compare_lane(f, l, name, worst);
    }
}

static void builds_of_every_arrangement_agree_with_the_check(void **state) {
    fixture *f = *state;
    double worst = 0.0;
    for (size_t i = 0; i < ref_build_count; i++) {
        ref_builds[i].make(&f->build);
        compare_build(f, ref_builds[i].name, 17 + i, &worst);
    }
    print_message("%zu builds; reach farthest off: %.1e\n", ref_build_count, worst);
}

/* With the inputs that the sheet itself has, its default tolerances among them. */
static void compare_sheet(fixture *f, const char *path, uint64_t seed, double *worst) {
    const fr_sheet_options options = {0};
    fr_report report = FR_REPORT_EMPTY;
    fr_sheet *sheet;
    assert_int_equal(fr_sheet_open(path, &options, &report, &sheet), FR_OK);
    const fr_input *inputs = fr_sheet_inputs(sheet, &f->input_count);
    assert_in_range(f->input_count, 5, SOME_INPUTS_MAX);
    f->build = *fr_sheet_build(sheet);
    memcpy(f->inputs, inputs, f->input_count * sizeof *inputs);
    assert_true(fr_moves_suit_block(&f->build, f->inputs, f->input_count));
    draw_deviations(f, seed);
    put_lanes(f);
    for (int l = 0; l < (int)support_cases(LANES_CHECKED, 3); l++) {
        compare_lane(f, l, path, worst);
    }
    fr_sheet_close(sheet);
    fr_report_close(&report);
}

static void every_sheet_that_is_shipped_agrees_with_the_check(void **state) {
    glob_t sheets;
    double worst = 0.0;
    assert_int_equal(glob("examples/*.yaml", 0, NULL, &sheets), 0);
    assert_true(sheets.gl_pathc >= 8);
    for (size_t i = 0; i < sheets.gl_pathc; i++) {
        compare_sheet(*state, sheets.gl_pathv[i], 900 + i, &worst);
    }
    print_message("%zu sheets; reach farthest off: %.1e\n", sheets.gl_pathc, worst);
    globfree(&sheets);
}

static void builds_drawn_at_random_agree_with_the_check(void **state) {
    fixture *f = *state;
    double worst = 0.0;
    for (uint64_t seed = 1; seed <= support_cases(RANDOM_BUILDS, 40); seed++) {
        char name[40];
        snprintf(name, sizeof name, "random build %d", (int)seed);
        ref_make_random(seed, &f->build);
        compare_build(f, name, 1000 + seed, &worst);
    }
    print_message("%d builds; reach farthest off: %.1e\n", (int)support_cases(RANDOM_BUILDS, 40), worst);
}

/* No curve of loss serves draws whose lines differ. */
static void draws_that_move_a_line_agree_with_the_check_too(void **state) {
    fixture *f = *state;
    double worst = 0.0;
    for (size_t i = 0; i < ref_build_count; i += 5) {
        ref_builds[i].make(&f->build);
        f->input_count = some_inputs(&f->build, f->inputs);
        fr_input *input = &f->inputs[f->input_count - 1];
        input->kind = FR_INPUT_SCALE;
        input->half_width = 0.2;
        input->target_count = 2;
        input->targets[0] = offsetof(fr_build, feed.lines) + offsetof(fr_line, length_m);
        input->targets[1] = offsetof(fr_build, feed.lines) + offsetof(fr_line, bore_m);
        draw_deviations(f, 217 + i);
        put_lanes(f);
        assert_true(f->plan.lines_move);
        for (int l = 0; l < 3; l++) {
            compare_lane(f, l, ref_builds[i].name, &worst);
        }
    }
    print_message("reach farthest off: %.1e\n", worst);
}

/* Reaches of all lanes and blends. */
static void gather(fixture *f, fr_block_want want, double *out) {
    for (size_t i = 0; i < f->build.blend_count; i++) {
        memcpy(out + i * FR_LANES,
               run(f, f->build.blends[i], want)->times, sizeof(fr_row));
    }
}

static void assert_same_bits(const char *name, const double *a, const double *b, size_t count) {
    for (size_t i = 0; i < count; i++) {
        if (memcmp(&a[i], &b[i], sizeof(double)) != 0) {
            print_error("%s: figure %zu is %.17g and %.17g\n", name, i, a[i], b[i]);
            fail();
        }
    }
}

/* The last draw in every lane, alone. */
static void put_last_alone(fixture *f) {
    for (size_t k = 0; k < f->input_count; k++) {
        FR_EACH_LANE(l) {
            f->z[k][l] = f->z[k][FR_LANES - 1];
        }
    }
    put_lanes(f);
}

static void assert_reach_alone(fixture *f, uint64_t seed, const char *name) {
    static double before[FR_BLENDS_MAX * FR_LANES], after[FR_BLENDS_MAX * FR_LANES];
    const size_t last = FR_LANES - 1;
    begin(f, seed);
    gather(f, FR_WANT_REACH, before);
    put_last_alone(f);
    gather(f, FR_WANT_REACH, after);
    for (size_t b = 0; b < f->build.blend_count; b++) {
        assert_same_bits(name, &before[b * FR_LANES + last], &after[b * FR_LANES], 1);
        assert_same_bits(name, &before[b * FR_LANES + last], &after[b * FR_LANES + last], 1);
    }
}

static void a_draw_does_not_depend_on_its_lane_or_its_company(void **state) {
    fixture *f = *state;
    for (size_t i = 0; i < ref_build_count; i++) {
        ref_builds[i].make(&f->build);
        assert_reach_alone(f, 51 + i, ref_builds[i].name);
    }
    for (uint64_t seed = 1; seed <= support_cases(RANDOM_SAME, 20); seed++) {
        char name[40];
        snprintf(name, sizeof name, "random build %d", (int)seed);
        ref_make_random(seed, &f->build);
        assert_reach_alone(f, 5000 + seed, name);
    }
}

/* Every stage's capacity at every point of the first blend. */
static void gather_points(fixture *f, double *out, size_t *count) {
    run(f, f->build.blends[0], FR_WANT_STAGES);
    *count = f->plan.speed_count * FR_STAGE_COUNT * FR_LANES;
    memcpy(out, fr_block_points(f->block), *count * sizeof *out);
}

static void assert_points_alone(fixture *f, uint64_t seed, const char *name) {
    static double before[FR_SPEEDS_MAX * FR_STAGE_COUNT * FR_LANES],
        after[FR_SPEEDS_MAX * FR_STAGE_COUNT * FR_LANES];
    size_t count;
    begin(f, seed);
    gather_points(f, before, &count);
    put_last_alone(f);
    gather_points(f, after, &count);
    for (size_t k = FR_LANES - 1; k < count; k += FR_LANES) {
        assert_same_bits(name, &before[k], &after[k], 1);
    }
}

static void a_capacity_does_not_depend_on_its_company(void **state) {
    fixture *f = *state;
    assert_true(fr_block_keep_points(f->block));
    f->whole = true;
    for (size_t i = 0; i < ref_build_count; i++) {
        ref_builds[i].make(&f->build);
        assert_points_alone(f, 51 + i, ref_builds[i].name);
    }
    for (uint64_t seed = 1; seed <= support_cases(RANDOM_SAME, 20); seed++) {
        char name[40];
        snprintf(name, sizeof name, "random build %d", (int)seed);
        ref_make_random(seed, &f->build);
        assert_points_alone(f, 5000 + seed, name);
    }
    f->whole = false;
}

/* A block puts its draws whole when any of them needs it: the others must not notice. */
static void walks_made_whole_give_the_same_bits(void **state) {
    fixture *f = *state;
    static double narrow[FR_BLENDS_MAX * FR_LANES], whole[FR_BLENDS_MAX * FR_LANES];
    for (size_t i = 0; i < ref_build_count; i++) {
        ref_builds[i].make(&f->build);
        f->whole = false;
        begin(f, 33 + i);
        gather(f, FR_WANT_REACH, narrow);
        f->whole = true;
        put_lanes(f);
        gather(f, FR_WANT_REACH, whole);
        f->whole = false;
        assert_same_bits(ref_builds[i].name, narrow, whole, f->build.blend_count * FR_LANES);
    }
}

static void the_reach_is_the_same_whatever_else_is_asked(void **state) {
    fixture *f = *state;
    static double reach[FR_BLENDS_MAX * FR_LANES], odds[FR_BLENDS_MAX * FR_LANES],
        stages[FR_BLENDS_MAX * FR_LANES];
    for (size_t i = 0; i < ref_build_count; i++) {
        ref_builds[i].make(&f->build);
        begin(f, 77 + i);
        gather(f, FR_WANT_REACH, reach);
        gather(f, FR_WANT_ODDS, odds);
        gather(f, FR_WANT_STAGES, stages);
        const size_t count = f->build.blend_count * FR_LANES;
        for (size_t k = 0; k < count; k++) {
            const bool all_beyond = isinf(reach[k]) && isinf(stages[k]) && isinf(odds[k]);
            if (!all_beyond) {
                assert_close(odds[k], stages[k], 1e-9);
                assert_close(reach[k], stages[k], 1e-9);
            }
        }
    }
}

/* The reaches of the build by a kernel that was compiled in another way. */
static void assert_same_build(fixture *f, uint64_t seed, const char *name, const char *how,
                              fr_kernel_reaches *reaches) {
    static double here[FR_BLENDS_MAX * FR_LANES], there[FR_BLENDS_MAX * FR_LANES];
    char both[80];
    snprintf(both, sizeof both, "%s, %s", name, how);
    begin(f, seed);
    gather(f, FR_WANT_REACH, here);
    assert_true(reaches(&f->build, f->inputs, f->input_count, &f->z[0][0], FR_LANES, there));
    assert_same_bits(both, here, there, f->build.blend_count * FR_LANES);
}

static void assert_same_by(fixture *f, const char *how, fr_kernel_reaches *reaches) {
    for (size_t i = 0; i < ref_build_count; i++) {
        ref_builds[i].make(&f->build);
        assert_same_build(f, 5 + i, ref_builds[i].name, how, reaches);
    }
    for (uint64_t seed = 1; seed <= support_cases(RANDOM_SAME, 20); seed++) {
        char name[40];
        snprintf(name, sizeof name, "random build %d", (int)seed);
        ref_make_random(seed, &f->build);
        assert_same_build(f, 3000 + seed, name, how, reaches);
    }
}

static void every_clone_gives_the_same_bits(void **state) {
    assert_same_by(*state, "without vectors", plain_reaches);
}

static void every_size_of_block_gives_the_same_bits(void **state) {
    assert_same_by(*state, "16 lanes", of_16_reaches);
    assert_same_by(*state, "32 lanes", of_32_reaches);
    assert_same_by(*state, "128 lanes", of_128_reaches);
}

/* Stages of the block's points against those of a check; how many were compared. */
static size_t compare_points(const fr_blend_result *blend, const double *points, int l,
                             const char *name, double *worst) {
    const double CAPACITY_AGREES = 1e-6, FAR = 5.99, NONE = 1e-3;
    const fr_stage stages[] = {FR_STAGE_LIFT_PUMP,       FR_STAGE_FEED_PRESSURE,
                               FR_STAGE_VAPOUR,          FR_STAGE_PORT_INJECTOR,
                               FR_STAGE_DIRECT_INJECTOR, FR_STAGE_HIGH_PRESSURE_PUMP,
                               FR_STAGE_DIRECT_PRESSURE};
    size_t compared = 0;
    for (size_t p = 0; p < blend->point_count; p++) {
        for (size_t s = 0; s < sizeof stages / sizeof *stages; s++) {
            const double times = points[(p * FR_STAGE_COUNT + stages[s]) * FR_LANES + (size_t)l];
            const double expected =
                blend->points[p].capacity_kg_s[stages[s]] / blend->points[p].fuel_kg_s;
            if (!(expected < FAR)) { /* not there, or not looked for so far */
                continue;
            }
            const double off = fabs(times - expected) / fmax(expected, NONE);
            if (!(off <= CAPACITY_AGREES)) {
                print_error("%s, E%.1f, lane %d, point %zu, %s: %.12g times the demand, the check "
                            "says %.12g\n", name, 100.0 * blend->ethanol, l, p,
                            fr_stage_name(stages[s]), times, expected);
                fail();
            }
            *worst = fmax(*worst, off);
            compared++;
        }
    }
    return compared;
}

/* Some lanes of the build that is in the fixture. */
static size_t compare_capacities(fixture *f, const char *name, uint64_t seed, size_t lanes,
                                 double *worst) {
    size_t compared = 0;
    begin(f, seed);
    for (int l = 0; l < (int)lanes; l++) {
        const fr_build *moved = fr_moves_to(&f->moves, &f->z[0][l], FR_LANES);
        const fr_check_result *scalar = fr_check_run(f->check, moved);
        for (size_t b = 0; b < f->build.blend_count; b++) {
            run(f, f->build.blends[b], FR_WANT_STAGES);
            compared += compare_points(&scalar->blends[b], fr_block_points(f->block), l, name,
                                       worst);
        }
    }
    return compared;
}

static void capacities_of_points_agree_with_the_check(void **state) {
    fixture *f = *state;
    const size_t lanes = support_cases(LANES_CHECKED, 2);
    size_t compared = 0;
    double worst = 0.0;
    assert_true(fr_block_keep_points(f->block));
    f->whole = true;
    for (size_t i = 0; i < ref_build_count; i++) {
        ref_builds[i].make(&f->build);
        compared += compare_capacities(f, ref_builds[i].name, 400 + i, lanes, &worst);
    }
    for (uint64_t seed = 1; seed <= support_cases(RANDOM_CAPACITIES, 20); seed++) {
        char name[40];
        snprintf(name, sizeof name, "random build %d", (int)seed);
        ref_make_random(seed, &f->build);
        compared += compare_capacities(f, name, 700 + seed, 2, &worst);
    }
    f->whole = false;
    print_message("%zu capacities; farthest off: %.1e\n", compared, worst);
    assert_true(compared > 1000);
}

static int open_fixture(void **state) {
    void *memory = NULL;
    if (posix_memalign(&memory, 64, sizeof(fixture)) != 0) {
        return 1;
    }
    shared = memory;
    memset(shared, 0, sizeof *shared);
    shared->block = fr_block_open();
    shared->check = fr_check_open();
    *state = shared;
    return shared->block == NULL || shared->check == NULL;
}

static int close_fixture(void **state) {
    fixture *f = *state;
    fr_block_close(f->block);
    fr_check_close(f->check);
    free(f);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(builds_of_every_arrangement_agree_with_the_check),
        cmocka_unit_test(every_sheet_that_is_shipped_agrees_with_the_check),
        cmocka_unit_test(builds_drawn_at_random_agree_with_the_check),
        cmocka_unit_test(draws_that_move_a_line_agree_with_the_check_too),
        cmocka_unit_test(a_draw_does_not_depend_on_its_lane_or_its_company),
        cmocka_unit_test(a_capacity_does_not_depend_on_its_company),
        cmocka_unit_test(walks_made_whole_give_the_same_bits),
        cmocka_unit_test(the_reach_is_the_same_whatever_else_is_asked),
        cmocka_unit_test(every_clone_gives_the_same_bits),
        cmocka_unit_test(every_size_of_block_gives_the_same_bits),
        cmocka_unit_test(capacities_of_points_agree_with_the_check),
    };
    return cmocka_run_group_tests_name("block kernel", tests, open_fixture, close_fixture);
}
