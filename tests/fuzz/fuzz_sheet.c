/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes from sheet to build to check. A sheet is either refused with an error, or gives a
 * build whose check holds numbers wherever the build has the thing. */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fuelreach/check.h"
#include "fuelreach/sheet.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void demand(bool holds) {
    if (!holds) {
        abort();
    }
}

/* A figure that does not apply is none; none is endless. */
static void meet_figures(const fr_point *point) {
    const double figures[] = {
        point->lift_headroom,       point->direct_share,       point->port_static_kg_s,
        point->port_pulse_s,        point->port_duty,          point->direct_required_pa,
        point->direct_available_pa, point->direct_held_pa,     point->direct_margin_pa,
        point->direct_angle_deg,    point->direct_window_deg,  point->hp_delivery_kg_s,
        point->hp_headroom,         point->direct_static_kg_s, point->volumetric_efficiency,
    };
    for (size_t i = 0; i < sizeof figures / sizeof figures[0]; i++) {
        demand(!isinf(figures[i]));
    }
    for (int stage = 0; stage < FR_STAGE_COUNT; stage++) {
        double capacity = point->capacity_kg_s[stage];
        double clear = point->clear_capacity_kg_s[stage];
        demand(isnan(capacity) || (isfinite(capacity) && capacity >= 0.0));
        demand(isnan(clear) || (isfinite(clear) && clear >= 0.0));
    }
}

static void meet_point(const fr_point *point) {
    meet_figures(point);
    demand(isfinite(point->speed_rpm) && isfinite(point->power_w));
    demand(isfinite(point->crank_power_w) && isfinite(point->bsfc_kg_j));
    demand(isfinite(point->fuel_kg_s) && isfinite(point->fuel_m3_s));
    demand(isfinite(point->manifold_abs_pa) && isfinite(point->set_gauge_pa));
    demand(isfinite(point->lift_available_m3_s) && isfinite(point->lift_needed_m3_s));
    demand(isfinite(point->feed_gauge_pa) && isfinite(point->line_loss_pa));
    demand(isfinite(point->vapour_pressure_pa) && isfinite(point->pump_voltage_v));
    demand(isfinite(point->pump_current_a) && isfinite(point->port_fuel_kg_s));
}

static void meet_blend(const fr_blend_result *blend) {
    demand(isfinite(blend->target_power_w) && isfinite(blend->density_kg_m3));
    demand(blend->point_count >= 1 && blend->point_count <= FR_SPEEDS_MAX);
    for (size_t i = 0; i < blend->point_count; i++) {
        meet_point(&blend->points[i]);
    }
    for (size_t i = 0; i < blend->stage_count; i++) {
        const fr_stage_result *stage = &blend->stages[i];
        double use = blend->points[stage->worst_point].use[stage->stage];
        demand(use >= 0.0 && use <= 10.0);
        demand(isfinite(stage->limit) && isfinite(stage->end));
        demand(isnan(stage->reach_w) || stage->reach_w >= 0.0);
        demand(isnan(stage->clear_to_w) || stage->clear_to_w >= 0.0);
    }
    demand(isnan(blend->reach_w) || blend->reach_w >= 0.0);
}

static void meet_check(const fr_build *build) {
    fr_check *check = fr_check_open();
    fr_check *scratch = fr_check_open();
    demand(check != NULL && scratch != NULL);
    const fr_check_result *result = fr_check_run(check, build);
    demand(result->blend_count == build->blend_count);
    for (size_t i = 0; i < result->blend_count; i++) {
        meet_blend(&result->blends[i]);
    }
    fr_caution cautions[FR_CAUTIONS_MAX];
    size_t count = fr_cautions(build, result, scratch, cautions);
    for (size_t i = 0; i < count; i++) {
        demand(!isnan(cautions[i].value));
    }
    fr_check_close(scratch);
    fr_check_close(check);
}

/* ---- mutation ---- */

/* A sheet with a byte changed is seldom a sheet; one with another number is. Two of three mutations
 * put another number in the place of one that is there. */

/* libFuzzer's own; absent where the corpus is only replayed. */
__attribute__((weak)) size_t LLVMFuzzerMutate(uint8_t *data, size_t size, size_t max_size);
size_t LLVMFuzzerCustomMutator(uint8_t *data, size_t size, size_t max_size, unsigned seed);

static unsigned next_random(unsigned *seed) {
    *seed = *seed * 1664525u + 1013904223u; /* Numerical Recipes' generator */
    return *seed >> 8;
}

static bool is_digit(uint8_t c) {
    return c >= '0' && c <= '9';
}

/* Where the n-th run of digits begins, counted round and round; size when there is none. */
static size_t find_number(const uint8_t *data, size_t size, unsigned n) {
    size_t found[256];
    size_t count = 0;
    for (size_t i = 0; i < size && count < 256; i++) {
        if (is_digit(data[i]) && (i == 0 || (!is_digit(data[i - 1]) && data[i - 1] != '.'))) {
            found[count++] = i;
        }
    }
    return count == 0 ? size : found[n % count];
}

static int spell_number(char *out, size_t size, double old, unsigned *seed) {
    static const double edges[] = {0.0, 1e-3, 0.5, 1.0, 1.001, 2.0, 10.0, 99.9, 720.0, 1e4, 1e6};
    unsigned kind = next_random(seed) % 4;
    if (kind == 0) {
        return snprintf(out, size, "%g",
                        edges[next_random(seed) % (sizeof edges / sizeof edges[0])]);
    }
    double factor = (double)(next_random(seed) % 2000 + 1) / (kind == 1 ? 100.0 : 1000.0);
    return snprintf(out, size, "%.4g", old * factor);
}

size_t LLVMFuzzerCustomMutator(uint8_t *data, size_t size, size_t max_size, unsigned seed) {
    char number[32];
    size_t at = find_number(data, size, next_random(&seed));
    if (at == size || next_random(&seed) % 3 == 0) {
        return LLVMFuzzerMutate == NULL ? size : LLVMFuzzerMutate(data, size, max_size);
    }
    size_t end = at;
    double old = 0.0;
    while (end < size && end < at + 9 && is_digit(data[end])) {
        old = 10.0 * old + (data[end++] - '0');
    }
    while (end < size && (is_digit(data[end]) || data[end] == '.')) {
        end++;
    }
    size_t length = (size_t)spell_number(number, sizeof number, old, &seed);
    if (size - (end - at) + length > max_size) {
        return size;
    }
    memmove(data + at + length, data + end, size - end);
    memcpy(data + at, number, length);
    return size - (end - at) + length;
}

/* ---- the target ---- */

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static const fr_sheet_options options = {0};
    fr_report report = FR_REPORT_EMPTY;
    fr_sheet *sheet = NULL;
    fr_status status = fr_sheet_open_text("fuzz", size == 0 ? "" : (const char *)data, size,
                                          &options, &report, &sheet);
    demand(status == FR_OK || status == FR_BAD_INPUT);
    demand((status == FR_OK) == (sheet != NULL));
    demand((status == FR_OK) == (fr_report_errors(&report) == 0));
    if (sheet != NULL) {
        meet_check(fr_sheet_build(sheet));
    }
    fr_sheet_close(sheet);
    fr_report_close(&report);
    return 0;
}
