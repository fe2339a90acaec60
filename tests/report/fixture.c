/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/fixture.h"

#include "report/utf8.h"
#include "support.h"

/* %s: the name, as YAML has it. */
static const char port_sheet[] = "fuelreach: 1\n"
                                 "name: %s\n"
                                 "engine:\n"
                                 "  cylinders: 4\n"
                                 "  displacement: 2.0 L\n"
                                 "  aspiration: turbo\n"
                                 "  target_power: 225 kW\n"
                                 "  power_at: crank\n"
                                 "  bsfc: 330 g/kWh\n"
                                 "supply:\n"
                                 "  lift_pump: 255 L/h\n"
                                 "  pump_circuit: {wiring: 60 mohm, fuse: 20 A}\n"
                                 "  port_injection: {injector: 900 cc/min}\n";

static const char direct_sheet[] = "fuelreach: 1\n"
                                   "name: Tern hatch, invented for a test\n"
                                   "engine:\n"
                                   "  cylinders: 4\n"
                                   "  displacement: 1.8 L\n"
                                   "  aspiration: turbo\n"
                                   "  target_power: 210 kW\n"
                                   "  power_at: crank\n"
                                   "  bsfc: 320 g/kWh\n"
                                   "supply:\n"
                                   "  lift_pump: 340 L/h\n"
                                   "  pump_circuit: {wiring: 45 mohm, fuse: 30 A}\n"
                                   "  direct_injection:\n"
                                   "    injector: 17.5 cc/s at 100 bar\n"
                                   "    high_pressure_pump: {displacement: 0.98 cc}\n";

static void open_sheet(report_fixture *fixture, const char *text) {
    static const fr_report empty = FR_REPORT_EMPTY;
    memset(fixture, 0, sizeof *fixture);
    fixture->remarks = empty;
    fr_status status = fr_sheet_open_text("tern.yaml", text, strlen(text), NULL, &fixture->remarks,
                                          &fixture->sheet);
    assert_no_errors(&fixture->remarks);
    assert_int_equal(status, FR_OK);
    fixture->build = *fr_sheet_build(fixture->sheet);
    fixture->document = (fr_check_document){.sheet = fixture->sheet,
                                            .build = &fixture->build,
                                            .result = &fixture->result,
                                            .turns = &fixture->turns,
                                            .mends = &fixture->mends,
                                            .cautions = fixture->cautions,
                                            .remarks = &fixture->remarks};
}

/* A point on which nothing is said yet. */
static fr_point blank_point(double speed_rpm) {
    fr_point point;
    memset(&point, 0, sizeof point);
    point.speed_rpm = speed_rpm;
    point.direct_share = point.port_static_kg_s = point.port_pulse_s = point.port_duty = NAN;
    point.direct_required_pa = point.direct_available_pa = point.direct_held_pa = NAN;
    point.direct_margin_pa = point.direct_angle_deg = point.direct_window_deg = NAN;
    point.direct_command_pa = point.hp_delivery_kg_s = point.hp_headroom = NAN;
    for (int stage = 0; stage < FR_STAGE_COUNT; stage++)
        point.use[stage] = point.capacity_kg_s[stage] = point.clear_capacity_kg_s[stage] = NAN;
    return point;
}

static void begin_blends(report_fixture *fixture, double target_w) {
    static const double ethanol[] = {0.10, 0.50, 0.85};
    static const double speeds[FIXTURE_POINTS] = {2500, 4750, 7000};
    fixture->result.blend_count = 3;
    for (size_t b = 0; b < 3; b++) {
        fr_blend_result *blend = &fixture->result.blends[b];
        blend->ethanol = ethanol[b];
        blend->target_power_w = target_w;
        blend->blend = fr_blend_make(&fixture->build.gasoline, ethanol[b]);
        blend->density_kg_m3 = 731.25 + 8.0 * (double)b;
        blend->fuel_kg_s = 0.0207 + 0.004 * (double)b;
        blend->fuel_m3_s = blend->fuel_kg_s / blend->density_kg_m3;
        blend->clear_to_w = blend->reach_w = NAN;
        blend->points = fixture->points[b];
        blend->point_count = FIXTURE_POINTS;
        for (size_t p = 0; p < FIXTURE_POINTS; p++)
            fixture->points[b][p] = blank_point(speeds[p]);
    }
}

void fixture_stage(report_fixture *fixture, size_t b, fr_stage stage, fr_verdict verdict,
                   double use, double reach_w) {
    fr_blend_result *blend = &fixture->result.blends[b];
    fr_stage_result *result = NULL;
    for (size_t i = 0; i < blend->stage_count; i++)
        if (blend->stages[i].stage == stage)
            result = &blend->stages[i];
    if (result == NULL)
        result = &blend->stages[blend->stage_count++];
    *result = (fr_stage_result){.stage = stage,
                                .verdict = verdict,
                                .use = use,
                                .limit = fr_build_limit(&fixture->build, stage),
                                .end = fr_build_end(&fixture->build, stage),
                                .worst_rpm = 7000,
                                .worst_point = FIXTURE_POINTS - 1,
                                .first_short_rpm = verdict == FR_SHORT ? 4750 : NAN,
                                .reach_w = reach_w,
                                .clear_to_w = reach_w * 0.875,
                                .spare = reach_w / blend->target_power_w - 1};
    fixture->points[b][FIXTURE_POINTS - 1].use[stage] = use;
    blend->verdict = verdict > blend->verdict ? verdict : blend->verdict;
    fixture->result.verdict =
        blend->verdict > fixture->result.verdict ? blend->verdict : fixture->result.verdict;
}

static void end_blend(report_fixture *fixture, size_t b, fr_stage weakest, double reach_w) {
    fr_blend_result *blend = &fixture->result.blends[b];
    blend->weakest = weakest;
    blend->reach_w = reach_w;
    blend->clear_to_w = reach_w * 0.875;
}

void fixture_port(report_fixture *fixture) {
    fixture_port_named(fixture, "Tern estate, invented for a test");
}

void fixture_port_named(report_fixture *fixture, const char *name) {
    char sheet[4096];
    static const double lift_use[] = {0.652, 0.8871, 1.04};
    static const double reach_w[] = {345678, 253641, 216345};
    snprintf(sheet, sizeof sheet, port_sheet, name);
    open_sheet(fixture, sheet);
    begin_blends(fixture, 225e3);
    for (size_t b = 0; b < 3; b++) {
        fr_point *point = &fixture->points[b][FIXTURE_POINTS - 1];
        fixture_stage(fixture, b, FR_STAGE_LIFT_PUMP, (fr_verdict)b, lift_use[b], reach_w[b]);
        fixture_stage(fixture, b, FR_STAGE_PUMP_CIRCUIT, FR_CLEAR, 0.4901, NAN);
        fixture_stage(fixture, b, FR_STAGE_PORT_INJECTOR, FR_CLEAR, 0.57 + 0.1 * (double)b, 3e5);
        end_blend(fixture, b, FR_STAGE_LIFT_PUMP, reach_w[b]);
        point->power_w = 225e3;
        point->port_fuel_kg_s = fixture->result.blends[b].fuel_kg_s;
        point->lift_needed_m3_s = 157.2 / 3.6e6;
        point->lift_available_m3_s = point->lift_needed_m3_s / lift_use[b];
        point->lift_headroom = 1 - lift_use[b];
        point->pump_rise_pa = 4.56e5;
        point->pump_voltage_v = 12.87;
        point->greatest_current_a = point->pump_current_a = 9.801;
        point->port_duty = 0.57 + 0.1 * (double)b;
    }
    fixture->result.highest = (fr_highest_blend){
        .ethanol = 0.7431, .has_limit = true, .limited_by = FR_STAGE_LIFT_PUMP, .clear_to = 0.412};
    fixture->mends.stage_count = 1;
    fixture->mends.stages[0] = (fr_mended_stage){
        .stage = FR_STAGE_LIFT_PUMP,
        .blend = 2,
        .mend_count = 2,
        .mends = {{FR_STAGE_LIFT_PUMP, FR_LEVER_LIFT_FLOW, 184.9 / 3.6e6, 151.2 / 3.6e6, 1.223},
                  {FR_STAGE_LIFT_PUMP, FR_LEVER_WIRING, 0.0318, 0.060, 0.53}}};
    fixture->mends.together_count = 1;
    fixture->mends.together[0] = fixture->mends.stages[0].mends[0];
    fixture->mends.together_clear = true;
    fixture->mends.alone_clears = 1;
}

/* E85 is short of high-pressure pump and injectors; from the middle speed no pressure does. */
static void fill_direct_point(fr_point *point, size_t b, bool none) {
    point->power_w = 210e3;
    point->direct_share = 1;
    point->direct_fuel_kg_s = 73.35 / 3600;
    point->hp_delivery_kg_s = (b < 2 ? 90.1 : 65.67) / 3600;
    point->hp_headroom = 1 - point->direct_fuel_kg_s / point->hp_delivery_kg_s;
    point->direct_command_pa = 200e5;
    point->direct_required_pa = 141.2e5 + 40e5 * (double)b;
    point->direct_available_pa = none ? NAN : 240e5;
    point->direct_margin_pa = point->direct_available_pa - point->direct_required_pa;
    point->direct_angle_deg = 251.2 + 25.3 * (double)b;
    point->direct_window_deg = 280;
    point->hp_short_kg_s = none ? 7.72 / 3600 : 0;
    point->lift_needed_m3_s = 100.0 / 3.6e6;
    point->lift_available_m3_s = 250.0 / 3.6e6;
    point->lift_headroom = 0.6;
}

void fixture_direct(report_fixture *fixture) {
    static const double reach_w[] = {277123, 238456, 204789};
    open_sheet(fixture, direct_sheet);
    begin_blends(fixture, 210e3);
    for (size_t b = 0; b < 3; b++) {
        fr_verdict verdict = b < 2 ? FR_CLEAR : FR_SHORT;
        for (size_t p = 0; p < FIXTURE_POINTS; p++)
            fill_direct_point(&fixture->points[b][p], b, b == 2 && p > 0);
        fixture_stage(fixture, b, FR_STAGE_LIFT_PUMP, FR_CLEAR, 0.4, NAN);
        fixture_stage(fixture, b, FR_STAGE_DIRECT_INJECTOR, verdict, b < 2 ? 0.9 : 1.08, 2.3e5);
        fixture_stage(fixture, b, FR_STAGE_HIGH_PRESSURE_PUMP, verdict, b < 2 ? 0.83 : 1.117, 2e5);
        fixture_stage(fixture, b, FR_STAGE_DIRECT_PRESSURE, verdict, b < 2 ? 0.6 : 10, reach_w[b]);
        end_blend(fixture, b, FR_STAGE_DIRECT_PRESSURE, reach_w[b]);
    }
    fixture->result.highest = (fr_highest_blend){.ethanol = 0.648,
                                                 .has_limit = true,
                                                 .limited_by = FR_STAGE_DIRECT_PRESSURE,
                                                 .clear_to = 0.331};
    fixture->mends.stage_count = 1;
    fixture->mends.stages[0] =
        (fr_mended_stage){.stage = FR_STAGE_HIGH_PRESSURE_PUMP,
                          .blend = 2,
                          .mend_count = 1,
                          .mends = {{FR_STAGE_HIGH_PRESSURE_PUMP, FR_LEVER_HP_DISPLACEMENT,
                                     1.203e-6, 0.98e-6, 1.23}}};
}

void fixture_spread(report_fixture *fixture, size_t count, double step) {
    const fr_blend_result first = fixture->result.blends[0];
    fixture->result.blend_count = count;
    for (size_t b = 0; b < count; b++) {
        fixture->result.blends[b] = first;
        fixture->result.blends[b].ethanol = 0.05 + step / 100.0 * (double)b;
    }
}

void fixture_close(report_fixture *fixture) {
    fr_sheet_close(fixture->sheet);
    fr_report_close(&fixture->remarks);
}

char *fixture_written(const report_fixture *fixture, fixture_writer *writer, const void *how) {
    FILE *file = tmpfile();
    assert_non_null(file);
    writer(file, &fixture->document, how);
    long length = ftell(file);
    assert_true(length >= 0);
    rewind(file);
    char *text = malloc((size_t)length + 1);
    assert_non_null(text);
    assert_int_equal(fread(text, 1, (size_t)length, file), length);
    text[length] = '\0';
    fclose(file);
    return text;
}

static void text_writer(FILE *out, const fr_check_document *document, const void *how) {
    fr_write_check_text(out, document, how);
}

static void json_writer(FILE *out, const fr_check_document *document, const void *how) {
    (void)how;
    fr_write_check_json(out, document);
}

char *fixture_text(const report_fixture *fixture, fr_units units) {
    const fr_text_style style = {.units = units, .colour = false, .detail = false};
    return fixture_written(fixture, text_writer, &style);
}

char *fixture_json(const report_fixture *fixture) {
    return fixture_written(fixture, json_writer, NULL);
}

void fixture_assert_page(const char *text) {
    while (*text != '\0') {
        char line[4096];
        size_t length = strcspn(text, "\n");
        assert_true(length < sizeof line);
        memcpy(line, text, length);
        line[length] = '\0';
        if (fr_text_columns(line) > 80)
            fail_msg("%zu columns: %s", fr_text_columns(line), line);
        if (length > 0 && line[length - 1] == ' ')
            fail_msg("ends in a blank: %s", line);
        text += length + (text[length] == '\n');
    }
}
