/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include "engine/demand.h"
#include "fuelreach/promise.h"

#include "bench.h"
#include "promise_case.h"
#include "reference/builds.h"

enum { INPUTS = 10 };

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

void bench_numpy(void) {
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
    bench_case_open(&c, &build, NUMPY_INPUTS, INPUTS);
    const double ours = bench_block_point_s(&c, FR_WANT_ODDS, true);
    printf("a direct-injected build, odds of short, one core\n");
    bench_line("  vectorised numpy", point_s * BENCH_NS, "ns a point", 0);
    bench_line("  block, drawing included", ours * BENCH_NS, "ns a point", 0);
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
    bench_case_close(&c);
}
