/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The block kernel and the promise: time a (draw, blend, speed) point, against the check of one
 * build and against numpy in the same run. Times are of the processor, so that other work on the
 * machine counts little; the study itself is timed by the clock. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include <gsl/gsl_errno.h>

#include "chance/block.h"
#include "chance/moves.h"
#include "chance/points.h"
#include "engine/demand.h"
#include "fuelreach/check.h"
#include "fuelreach/promise.h"
#include "fuelreach/sheet.h"

#include "bench/bench.h"
#include "reference/builds.h"

enum { ROUNDS = 15, INPUTS = 10 };
static const double NS = 1e9;

static double processor_s(void) {
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* ---- the block, on a sheet ---- */

typedef struct bench_case {
    const fr_build *build;
    const fr_input *inputs;
    size_t input_count;
    fr_moves moves;
    fr_draw_plan plan;
    fr_block *block;
    fr_row *z;
} bench_case;

static void put(bench_case *c, bool whole) {
    fr_draws *draws = fr_block_draws(c->block);
    fr_draws_begin(draws, whole);
    for (int l = 0; l < FR_LANES; l++) {
        fr_draws_put(draws, &c->plan, l, fr_moves_to(&c->moves, &c->z[0][l], FR_LANES));
    }
    fr_draws_complete(draws, &c->plan);
}

static void open_case(bench_case *c, const fr_build *build, const fr_input *inputs, size_t count) {
    double amounts[FR_POINT_DIMENSIONS_MAX], *base = malloc(sizeof *base * FR_LANES * count);
    fr_points *points = fr_points_open(count);
    c->build = build;
    c->inputs = inputs;
    c->input_count = count;
    c->block = fr_block_open();
    if (posix_memalign((void **)&c->z, 64, sizeof(fr_row) * count) != 0 || base == NULL ||
        points == NULL || c->block == NULL ||
        !fr_moves_start(&c->moves, build, inputs, count)) {
        exit(3);
    }
    fr_points_shift(3, 0, count, amounts);
    fr_points_next(points, FR_LANES, base);
    fr_points_deviate(base, FR_LANES, count, amounts, 3, 0, 0, c->z);
    fr_draw_plan_make(build, &c->plan);
    fr_points_close(points);
    free(base);
}

/* Least time a point of a run over all blends, with the draws put anew (`with_put`) or not. */
static double block_point_s(bench_case *c, fr_block_want want, bool with_put) {
    const double points =
        (double)(c->plan.speed_count * c->build->blend_count) * (double)FR_LANES;
    double least = INFINITY;
    bool whole = want == FR_WANT_STAGES;
    put(c, whole);
    for (int round = 0; round < ROUNDS; round++) {
        const double begun = processor_s();
        if (with_put) {
            put(c, whole);
        }
        for (size_t i = 0; i < c->build->blend_count; i++) {
            if (fr_block_run(c->block, &c->plan, c->build->blends[i], want) == NULL) {
                whole = true; /* some draw is short of lift pump */
                put(c, true);
            }
        }
        const double spent = (processor_s() - begun) / points;
        least = spent < least ? spent : least;
    }
    return least;
}

static double check_point_s(const bench_case *c) {
    fr_check *check = fr_check_open();
    double least = INFINITY;
    static fr_build moved;
    for (int round = 0; round < ROUNDS; round++) {
        double deviations[FR_POINT_DIMENSIONS_MAX];
        for (size_t i = 0; i < c->input_count; i++) {
            deviations[i] = c->z[i][round];
        }
        fr_build_move(c->build, c->inputs, c->input_count, deviations, &moved);
        const double begun = processor_s();
        fr_check_outline(check, &moved);
        const double spent = processor_s() - begun;
        least = spent < least ? spent : least;
    }
    fr_check_close(check);
    return least / (double)(c->plan.speed_count * c->build->blend_count);
}

static void bench_sheet(const char *path) {
    static bench_case c;
    fr_report report = FR_REPORT_EMPTY;
    const fr_sheet_options options = {0};
    fr_sheet *sheet;
    size_t count;
    if (fr_sheet_open(path, &options, &report, &sheet) != FR_OK) {
        printf("%s could not be read\n", path);
        return;
    }
    const fr_input *inputs = fr_sheet_inputs(sheet, &count);
    open_case(&c, fr_sheet_build(sheet), inputs, count);
    printf("%s: %zu inputs, %zu blends, %zu speeds\n", path, count, c.build->blend_count,
           c.plan.speed_count);
    const double scalar = check_point_s(&c);
    const double reach = block_point_s(&c, FR_WANT_REACH, false);
    bench_line("  check of one build, verdict and reach", scalar * NS, "ns a point", 0);
    bench_line("  block, overall reach", reach * NS, "ns a point", 12);
    bench_line("  block, overall reach, drawing included",
               block_point_s(&c, FR_WANT_REACH, true) * NS, "ns a point", 0);
    bench_line("  block, reach and odds of every stage",
               block_point_s(&c, FR_WANT_ODDS, false) * NS, "ns a point", 0);
    bench_line("  block, every stage's reach", block_point_s(&c, FR_WANT_STAGES, false) * NS,
               "ns a point", 0);
    fr_block_keep_points(c.block);
    bench_line("  block, every stage's capacity at every point",
               block_point_s(&c, FR_WANT_STAGES, false) * NS, "ns a point", 40);
    printf("  block against the check: %.0f times\n", scalar / reach);
    fr_block_close(c.block);
    free(c.z);
    fr_sheet_close(sheet);
    fr_report_close(&report);
}

static void bench_study(const char *path, unsigned threads) {
    fr_report report = FR_REPORT_EMPTY;
    const fr_sheet_options sheet_options = {0};
    fr_sheet *sheet;
    size_t count;
    fr_promise_result *result = calloc(1, sizeof *result);
    if (result == NULL || fr_sheet_open(path, &sheet_options, &report, &sheet) != FR_OK) {
        exit(3);
    }
    const fr_input *inputs = fr_sheet_inputs(sheet, &count);
    fr_promise_options options = fr_promise_options_default();
    options.threads = threads;
    double least = INFINITY, least_processor = INFINITY;
    for (int round = 0; round < 3; round++) {
        const double begun = bench_clock_s(), begun_processor = processor_s();
        fr_promise_run(fr_sheet_build(sheet), inputs, count, &options, result);
        least = fmin(least, bench_clock_s() - begun);
        least_processor = fmin(least_processor, processor_s() - begun_processor);
    }
    char what[80];
    snprintf(what, sizeof what, "  whole study, 65,536 draws, %u thread%s", threads,
             threads > 1 ? "s" : "");
    bench_line(what, least * 1e3, "ms", threads > 1 ? 500 : 0);
    bench_line("    of processor time", least_processor * 1e3, "ms", 0);
    fr_sheet_close(sheet);
    fr_report_close(&report);
    free(result);
}

/* ---- numpy ---- */

#define AT(member) offsetof(fr_build, member)

/* The ten inputs that the script draws, in its order. */
static const fr_input NUMPY_INPUTS[INPUTS] = {
    {.kind = FR_INPUT_SCALE, .half_width = 0.05, .target_count = 1, .targets = {AT(engine.bsfc_kg_j.scale)}},
    {.kind = FR_INPUT_SCALE, .half_width = 0.02, .target_count = 1, .targets = {AT(engine.lambda.scale)}},
    {.kind = FR_INPUT_SHIFT, .half_width = 0.03, .target_count = 1, .targets = {AT(ethanol_shift)}},
    {.kind = FR_INPUT_SCALE, .half_width = 0.08, .target_count = 1, .targets = {AT(pumps.kinds) + offsetof(fr_pump, flow_factor)}},
    {.kind = FR_INPUT_SHIFT, .half_width = 0.4, .target_count = 1, .targets = {AT(site.supply_voltage_v)}},
    {.kind = FR_INPUT_SCALE, .half_width = 0.3, .target_count = 1, .targets = {AT(pumps.wiring_ohm)}},
    {.kind = FR_INPUT_SHIFT, .half_width = 8.0, .target_count = 3,
     .targets = {AT(site.feed_temperature_c), AT(site.rail_temperature_c), AT(site.hp_inlet_temperature_c)}},
    {.kind = FR_INPUT_SCALE, .half_width = 0.04, .target_count = 1, .targets = {AT(direct.flow_kg_s)}},
    {.kind = FR_INPUT_SCALE, .half_width = 0.05, .target_count = 1, .targets = {AT(direct.fill.scale)}},
    {.kind = FR_INPUT_SHIFT, .half_width = 10.0, .target_count = 1, .targets = {AT(direct.window_deg.shift)}},
};

static void write_list(FILE *out, const char *key, const double *x, size_t count) {
    fprintf(out, key != NULL ? "\"%s\": [" : "[", key);
    for (size_t i = 0; i < count; i++) {
        fprintf(out, "%s%.17g", i > 0 ? ", " : "", x[i]);
    }
    fputs(key != NULL ? "],\n" : "]", out);
}

static void write_curve(FILE *out, const char *key, const fr_curve *curve) {
    fprintf(out, "\"%s\": [", key);
    write_list(out, NULL, curve->x, curve->count);
    fputs(", ", out);
    write_list(out, NULL, curve->y, curve->count);
    fputs("],\n", out);
}

static void write_pump_line(FILE *out, const char *key, const fr_pump_line *line) {
    fprintf(out, "\"%s\": [", key);
    write_list(out, NULL, line->rise_pa, line->count);
    fputs(", ", out);
    write_list(out, NULL, line->y, line->count);
    fputs("]", out);
}

static void write_figures(FILE *out, const fr_build *b) {
    const fr_direct *d = &b->direct;
    const struct {
        const char *key;
        double value;
    } figures[] = {
        {"rho15", b->gasoline.density_15_kg_m3}, {"stoich", b->gasoline.stoich},
        {"ethanol_stoich", fr_stoich_from_composition(2.0, 6.0, 1.0)},
        {"bsfc_ethanol", b->engine.bsfc_ethanol}, {"bsfc_lambda", b->engine.bsfc_lambda},
        {"target", fr_curve_at(&b->engine.target_power_w, 0.85)},
        {"feed_t", b->site.feed_temperature_c}, {"rail_t", b->site.rail_temperature_c},
        {"inlet_t", b->site.hp_inlet_temperature_c}, {"air", b->site.air_pressure_pa},
        {"supply", b->site.supply_voltage_v}, {"ohm", b->pumps.wiring_ohm},
        {"flow_factor", b->pumps.kinds[0].flow_factor}, {"set", b->feed.pressure_gauge_pa},
        {"jet", b->feed.jet_pump_m3_s}, {"bypass", b->feed.minimum_bypass_m3_s},
        {"delay", d->opening_delay_s}, {"injectors", (double)d->count},
        {"injector", d->flow_kg_s}, {"test_pressure", d->test_pressure_pa},
        {"test_density", d->test_density_kg_m3},
        {"swept", (double)d->pump_count * d->displacement_m3}, {"drive_ratio", d->drive_ratio},
        {"dead_volume", d->dead_volume_ratio},
        {"leak", (double)d->pump_count * d->leakage_m3_s / d->leakage_at_pa},
        {"limit", d->pump_max_pa < d->injector_max_pa ? d->pump_max_pa : d->injector_max_pa},
    };
    for (size_t i = 0; i < sizeof figures / sizeof *figures; i++) {
        fprintf(out, "\"%s\": %.17g,\n", figures[i].key, figures[i].value);
    }
}

static void write_build(FILE *out, const fr_build *b) {
    static fr_speed speeds[FR_SPEEDS_MAX];
    double rpm[FR_SPEEDS_MAX], pull[FR_SPEEDS_MAX], bsfc[FR_SPEEDS_MAX], boost[FR_SPEEDS_MAX];
    double window[FR_SPEEDS_MAX], fill[FR_SPEEDS_MAX];
    const size_t count = fr_speeds_of_pull(b, speeds);
    for (size_t i = 0; i < count; i++) {
        rpm[i] = speeds[i].rpm;
        pull[i] = speeds[i].pull;
        bsfc[i] = speeds[i].bsfc_kg_j;
        boost[i] = speeds[i].manifold_abs_pa - b->site.air_pressure_pa;
        window[i] = speeds[i].window_deg;
        fill[i] = speeds[i].fill;
    }
    fputs("{", out);
    write_figures(out, b);
    write_list(out, "rpm", rpm, count);
    write_list(out, "pull", pull, count);
    write_list(out, "bsfc", bsfc, count);
    write_list(out, "boost", boost, count);
    write_list(out, "window", window, count);
    write_list(out, "fill", fill, count);
    write_curve(out, "lambda", &b->engine.lambda);
    write_curve(out, "gain", &b->engine.same_air_gain);
    fputs("\"lines\": [", out);
    for (size_t i = 0; i < b->feed.line_count; i++) {
        const fr_line *line = &b->feed.lines[i];
        fprintf(out, "%s[%.17g, %.17g, %.17g, %.17g]", i > 0 ? ", " : "", line->bore_m,
                line->length_m, line->roughness_m, line->fittings);
    }
    fputs("], \"filters\": [", out);
    for (size_t i = 0; i < b->feed.filter_count; i++) {
        fprintf(out, "%s[%.17g, %.17g]", i > 0 ? ", " : "", b->feed.filters[i].drop_pa,
                b->feed.filters[i].rated_flow_m3_s);
    }
    fputs("], \"pump\": [", out);
    for (size_t i = 0; i < 2; i++) {
        const fr_pump_curve *curve = &b->pumps.kinds[0].curves[i];
        fprintf(out, "%s{\"voltage\": %.17g, ", i > 0 ? ", " : "", curve->voltage_v);
        write_pump_line(out, "flow", &curve->flow_m3_s);
        fputs(", ", out);
        write_pump_line(out, "current", &curve->current_a);
        fputs("}", out);
    }
    fputs("], ", out);
    write_list(out, "blends", b->blends, b->blend_count);
    fputs("\"end\": 0}\n", out);
}

static void bench_numpy(void) {
    static fr_build build;
    static bench_case c;
    char path[] = "/tmp/fuelreach-numpy-XXXXXX", command[160];
    const int file = mkstemp(path);
    FILE *out = file >= 0 ? fdopen(file, "w") : NULL;
    if (out == NULL) {
        return;
    }
    ref_make_direct(&build);
    build.engine.target_power_w.scale = 0.84; /* near even odds, so that chances can be compared */
    write_build(out, &build);
    fclose(out);
    snprintf(command, sizeof command,
             "OMP_NUM_THREADS=1 /usr/bin/python3 tests/bench/numpy_promise.py 4000 <%s", path);
    FILE *numpy = popen(command, "r");
    double point_s = NAN, chances[FR_BLENDS_MAX];
    const bool told = numpy != NULL && fscanf(numpy, "%lf", &point_s) == 1;
    for (size_t i = 0; told && i < build.blend_count; i++) {
        if (fscanf(numpy, "%lf", &chances[i]) != 1) {
            chances[i] = NAN;
        }
    }
    if (numpy != NULL) {
        pclose(numpy);
    }
    unlink(path);
    if (!told) {
        printf("  SKIPPED: numpy (Debian python3-numpy) is not here\n");
        return;
    }
    open_case(&c, &build, NUMPY_INPUTS, INPUTS);
    const double ours = block_point_s(&c, FR_WANT_ODDS, true);
    printf("a direct-injected build, odds of short, one core\n");
    bench_line("  vectorised numpy", point_s * NS, "ns a point", 0);
    bench_line("  block, drawing included", ours * NS, "ns a point", 0);
    printf("  numpy takes %.0f times as long (aim: 300)\n", point_s / ours);
    fr_promise_result *result = calloc(1, sizeof *result);
    fr_promise_options options = fr_promise_options_default();
    options.sensitivity_draws = 64;
    fr_promise_run(&build, NUMPY_INPUTS, INPUTS, &options, result);
    for (size_t i = 0; i < build.blend_count; i++) {
        printf("  chance of short on E%.0f: numpy %.3f, here %.3f\n", 100.0 * build.blends[i],
               chances[i], result->blends[i].chance_short);
    }
    free(result);
    fr_block_close(c.block);
    free(c.z);
}

int main(void) {
    gsl_set_error_handler_off();
    printf("promise\n");
    bench_sheet("examples/tern-direct.yaml");
    bench_sheet("examples/tern-return.yaml");
    bench_sheet("examples/tern-natural.yaml");
    bench_sheet("examples/largest.yaml");
    bench_study("examples/largest.yaml", 1);
    bench_study("examples/largest.yaml", 2);
    bench_numpy();
    return 0;
}
