/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes from sheet to build to check. A sheet is either refused with an error, or gives a
 * build whose check holds numbers wherever the build has the thing. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

#include "fuelreach/check.h"
#include "fuelreach/sheet.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void demand(bool holds) {
    if (!holds) {
        abort();
    }
}

static void meet_point(const fr_point *point) {
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
