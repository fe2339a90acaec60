/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the search relies on: no stage gets fuller when a figure gets more favourable. Each row is
 * one of the monotonicities that the bounds of src/sizing/ideal.c use. */
#include "support.h"

#include "fuelreach/sizing.h"
#include "reference/builds.h"

typedef void better(fr_build *build);

static void wider_line(fr_build *build) {
    for (size_t i = 0; i < build->feed.line_count; i++) {
        build->feed.lines[i].bore_m *= 1.25;
    }
}
static void smoother_line(fr_build *build) {
    for (size_t i = 0; i < build->feed.line_count; i++) {
        build->feed.lines[i].roughness_m *= 0.2;
    }
}
static void freer_filter(fr_build *build) {
    for (size_t i = 0; i < build->feed.filter_count; i++) {
        build->feed.filters[i].drop_pa *= 0.4;
    }
}
static void larger_port_injectors(fr_build *build) {
    build->port.flow_kg_s *= 1.3;
}
static void quicker_port_injectors(fr_build *build) {
    build->port.dead_time_s = fr_curve_constant(0.0);
    build->port.dead_time_s_per_pa = 0.0;
}
static void larger_direct_injectors(fr_build *build) {
    build->direct.flow_kg_s *= 1.3;
}
static void quicker_direct_injectors(fr_build *build) {
    build->direct.opening_delay_s *= 0.5;
}
static void larger_high_pressure_pump(fr_build *build) {
    build->direct.displacement_m3 *= 1.2;
}
static void fuller_high_pressure_pump(fr_build *build) {
    for (size_t i = 0; i < build->direct.fill.count; i++) {
        build->direct.fill.y[i] *= 1.04;
    }
}
static void less_dead_volume(fr_build *build) {
    build->direct.dead_volume_ratio *= 0.7;
}
static void less_leakage(fr_build *build) {
    build->direct.leakage_m3_s *= 0.5;
}
static void lower_least_inlet(fr_build *build) {
    build->direct.minimum_inlet_gauge_pa *= 0.8;
}

static const struct {
    const char *name;
    better *make;
} ROWS[] = {
    {"a wider line", wider_line},
    {"a smoother line", smoother_line},
    {"a freer filter", freer_filter},
    {"larger port injectors", larger_port_injectors},
    {"quicker port injectors", quicker_port_injectors},
    {"larger direct injectors", larger_direct_injectors},
    {"quicker direct injectors", quicker_direct_injectors},
    {"a larger high-pressure pump", larger_high_pressure_pump},
    {"a fuller high-pressure pump", fuller_high_pressure_pump},
    {"less dead volume", less_dead_volume},
    {"less leakage", less_leakage},
    {"a lower least inlet pressure", lower_least_inlet},
};

/* Use of a stage at one point; what has no use has none. */
static double use_of(const fr_check_result *result, size_t blend, size_t point, int stage) {
    const double use = result->blends[blend].points[point].use[stage];
    return isnan(use) ? 0.0 : use;
}

/* Far from any limit the order may turn: more rail pressure is also more dead time. What decides a
 * bound lies near a limit. */
static const double NEAR_A_LIMIT = 0.5;

/* Under automatic share the direct stages sit where their limits put them; only the port injectors
 * and what feeds them tell better from worse. */
static bool tells(const fr_build *build, int stage) {
    const bool direct = stage == FR_STAGE_DIRECT_INJECTOR || stage == FR_STAGE_DIRECT_PRESSURE ||
                        stage == FR_STAGE_HIGH_PRESSURE_PUMP;
    return !(direct && build->share == FR_SHARE_AUTO);
}

static void no_stage_gets_fuller_with_better_parts(void **state) {
    (void)state;
    enum { BUILDS = 60 };
    static const double SAME = 1e-7;
    fr_check *before = fr_check_open(), *after = fr_check_open();
    for (uint64_t seed = 1; seed <= BUILDS; seed++) {
        fr_build build;
        ref_make_random(seed, &build);
        const fr_check_result *worse = fr_check_run(before, &build);
        for (size_t row = 0; row < sizeof ROWS / sizeof *ROWS; row++) {
            fr_build changed = build;
            ROWS[row].make(&changed);
            const fr_check_result *better_result = fr_check_run(after, &changed);
            for (size_t b = 0; b < worse->blend_count; b++) {
                for (size_t i = 0; i < worse->blends[b].point_count; i++) {
                    for (int stage = 0; stage < FR_STAGE_COUNT; stage++) {
                        const double was = use_of(worse, b, i, stage);
                        const double is = use_of(better_result, b, i, stage);
                        if (tells(&build, stage) && is > NEAR_A_LIMIT && is > was + SAME * (1.0 + was)) {
                            print_error("seed %d, %s: %s from %.9g to %.9g\n", (int)seed,
                                        ROWS[row].name, fr_stage_name((fr_stage)stage), was, is);
                            fail();
                        }
                    }
                }
            }
        }
    }
    fr_check_close(before);
    fr_check_close(after);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_stage_gets_fuller_with_better_parts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
