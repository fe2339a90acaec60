/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is needed is enough, and the least that is. */
#include "support.h"

#include <glob.h>

#include "fuelreach/sizing.h"

typedef struct examples {
    glob_t found;
    fr_check *check, *scratch;
} examples;

static fr_sheet *open_example(const char *path) {
    const fr_sheet_options none = {0};
    fr_report report = FR_REPORT_EMPTY;
    fr_sheet *sheet;
    assert_int_equal(fr_sheet_open(path, &none, &report, &sheet), FR_OK);
    fr_report_close(&report);
    return sheet;
}

/* Every stage of every blend within its limit; no part mends the fuel's own temperature. */
static bool is_clear(fr_check *check, const fr_build *build) {
    const fr_check_result *result = fr_check_outline(check, build);
    for (size_t i = 0; i < result->blend_count; i++) {
        for (size_t s = 0; s < result->blends[i].stage_count; s++) {
            const fr_stage_result *stage = &result->blends[i].stages[s];
            if (stage->verdict != FR_CLEAR && stage->stage != FR_STAGE_PUMP_INLET) {
                return false;
            }
        }
    }
    return true;
}

/* The build with its target so raised that something is wanting on every example. */
static fr_build stretched(const fr_sheet *sheet, double times) {
    fr_build build = *fr_sheet_build(sheet);
    for (size_t i = 0; i < build.engine.target_power_w.count; i++) {
        build.engine.target_power_w.y[i] *= times;
    }
    return build;
}

static void fit(fr_build *build, const fr_size_need *needs, size_t count, fr_lever less,
                double part) {
    for (size_t i = 0; i < count; i++) {
        if (!needs[i].alone) {
            const fr_mend *mend = &needs[i].mend;
            double needed = mend->needs;
            if (mend->lever == less) { /* less of more, or more of less */
                needed *= mend->factor > 1.0 ? part : 2.0 - part;
            }
            fr_lever_set(build, mend->lever, needed, mend->has);
        }
    }
}

static void all_together_makes_clear_and_one_per_cent_less_does_not(void **state) {
    examples *all = *state;
    static fr_size_need needs[FR_SIZE_NEEDS_MAX];
    size_t tried = 0;
    for (size_t i = 0; i < all->found.gl_pathc; i++) {
        fr_sheet *sheet = open_example(all->found.gl_pathv[i]);
        static const double TIMES[] = {1.0, 1.15, 1.4};
        for (size_t t = 0; t < sizeof TIMES / sizeof *TIMES; t++) {
            const fr_build build = stretched(sheet, TIMES[t]);
            bool clear;
            const size_t count = fr_size_needs(&build, all->scratch, needs, &clear);
            if (!clear) {
                continue; /* said so: no such parts make it clear */
            }
            fr_build fitted = build;
            fit(&fitted, needs, count, FR_LEVER_NONE, 1.0);
            if (!is_clear(all->check, &fitted)) {
                print_error("%s at %g times\n", all->found.gl_pathv[i], TIMES[t]);
            }
            assert_true(is_clear(all->check, &fitted));
            for (size_t n = 0; n < count; n++) {
                if (needs[n].alone) {
                    continue;
                }
                fr_build less = build;
                fit(&less, needs, count, needs[n].mend.lever, 0.99);
                if (is_clear(all->check, &less)) {
                    print_error("%s at %g times: 1 %% less of %s is clear too\n",
                                all->found.gl_pathv[i], TIMES[t],
                                fr_lever_path(needs[n].mend.lever));
                }
                assert_false(is_clear(all->check, &less));
                tried++;
            }
        }
        fr_sheet_close(sheet);
    }
    print_message("%zu changes, each of them needed\n", tried);
    assert_true(tried > 10);
}

/* Port injectors in a direct-only engine, large enough for whatever they are left. */
static void share_with_port(fr_build *build, double direct_share) {
    build->share = FR_SHARE_CURVE;
    build->direct_share = fr_curve_constant(direct_share);
    build->port = (fr_port){.present = true,
                            .count = build->engine.cylinders,
                            .flow_kg_s = 0.05,
                            .test_pressure_pa = 3e5,
                            .test_density_kg_m3 = 683.8,
                            .dead_time_s = fr_curve_constant(1e-3),
                            .max_duty = 0.95};
}

static void each_alone_makes_its_own_stage_clear(void **state) {
    examples *all = *state;
    static fr_size_need needs[FR_SIZE_NEEDS_MAX];
    size_t tried = 0, shared = 0;
    for (size_t i = 0; i < all->found.gl_pathc; i++) {
        fr_sheet *sheet = open_example(all->found.gl_pathv[i]);
        const fr_build build = stretched(sheet, 1.2);
        bool clear;
        const size_t count = fr_size_needs(&build, all->scratch, needs, &clear);
        for (size_t n = 0; n < count; n++) {
            if (!needs[n].alone) {
                continue;
            }
            fr_build fitted = build;
            if (needs[n].mend.lever == FR_LEVER_DIRECT_SHARE && !build.port.present) {
                share_with_port(&fitted, needs[n].mend.needs);
                shared++;
            } else {
                fr_lever_set(&fitted, needs[n].mend.lever, needs[n].mend.needs, needs[n].mend.has);
            }
            const fr_blend_result *blend =
                fr_check_blend(all->check, &fitted, needs[n].ethanol);
            for (size_t s = 0; s < blend->stage_count; s++) {
                if (blend->stages[s].stage == needs[n].stage) {
                    assert_int_equal(blend->stages[s].verdict, FR_CLEAR);
                    tried++;
                }
            }
        }
        fr_sheet_close(sheet);
    }
    assert_true(tried > 20);
    assert_true(shared > 0);
}

static int open_all(void **state) {
    static examples all;
    all.check = fr_check_open();
    all.scratch = fr_check_open();
    *state = &all;
    return glob("examples/*.yaml", 0, NULL, &all.found);
}

static int close_all(void **state) {
    examples *all = *state;
    globfree(&all->found);
    fr_check_close(all->check);
    fr_check_close(all->scratch);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(all_together_makes_clear_and_one_per_cent_less_does_not),
        cmocka_unit_test(each_alone_makes_its_own_stage_clear),
    };
    return cmocka_run_group_tests(tests, open_all, close_all);
}
