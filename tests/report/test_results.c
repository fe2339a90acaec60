/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Results for programs: each figure under its name, in its unit, and nothing else. */
#include "report/fixture.h"
#include "report/point_figures.h"
#include "report/schema.h"
#include "support.h"

static void figures_stand_under_their_names_in_their_units(void **state) {
    (void)state;
    static report_fixture fixture;
    fixture_port(&fixture);
    char *json = fixture_json(&fixture);
    assert_contains(json,
                    "{\"fuelreach\":1,\"sheet\":\"tern.yaml\",\"name\":\"Tern estate, invented "
                    "for a test\",\"verdict\":\"short\",");
    assert_contains(json,
                    "\"highest_blend\":{\"ethanol_percent\":74.31,\"limited_by\":\"lift-pump\","
                    "\"whole_range\":false,\"clear_to_percent\":41.2}");
    assert_contains(
        json, "{\"blend\":\"E85\",\"ethanol_percent\":85,\"verdict\":\"short\",\"weakest\":"
              "\"lift-pump\",\"doubtful\":false,\"target_power_kw\":225,\"reach_kw\":216.345");
    assert_contains(json,
                    "{\"stage\":\"lift-pump\",\"verdict\":\"tight\",\"use\":0.8871,\"limit\":0.85,"
                    "\"end\":1,\"worst_rpm\":7000,\"first_short_rpm\":null,\"reach_kw\":253.641");
    assert_contains(json, "\"first_short_rpm\":4750");
    assert_contains(json, "\"capacity_kg_h\":{\"lift-pump\":null,\"pump-circuit\":null,");
    free(json);
    fixture_close(&fixture);
}

/* The number of the first such key in a piece of JSON. */
static double number_of(const char *json, const char *name) {
    char key[64];
    snprintf(key, sizeof key, "\"%s\":", name);
    const char *at = strstr(json, key);
    assert_non_null(at);
    return strtod(at + strlen(key), NULL);
}

/* Each figure of the table is given a number of its own; each must come out under its name. */
static void no_figure_stands_under_another_name(void **state) {
    (void)state;
    static report_fixture fixture;
    fixture_port(&fixture);
    fr_point *point = &fixture.points[0][0];
    size_t count = 0;
    for (const fr_point_figure *f = fr_point_figures; f->name != NULL; f++) {
        double *value = (double *)(void *)((char *)point + f->offset);
        *value = (1000.0 + (double)count) * f->over / f->times;
        count++;
    }
    char *json = fixture_json(&fixture);
    const char *row = strstr(json, "\"points\":[{");
    assert_non_null(row);
    for (const fr_point_figure *f = fr_point_figures; f->name != NULL; f++) {
        assert_close(number_of(row, f->name), 1000.0 + (double)(f - fr_point_figures), 1e-14);
    }
    free(json);
    fixture_close(&fixture);
}

/* docs/results.md: kg/h, L/h, bar, ms, g/s, per cent, g/kWh. Odd numbers by hand. */
static void units_are_those_of_the_names(void **state) {
    (void)state;
    static report_fixture fixture;
    fixture_port(&fixture);
    fr_point *point = &fixture.points[0][0];
    point->fuel_kg_s = 0.017;
    point->fuel_m3_s = 2.5e-5;
    point->bsfc_kg_j = 325.0 / 3.6e9;
    point->feed_gauge_pa = 371000;
    point->port_pulse_s = 0.00731;
    point->port_static_kg_s = 0.0115;
    point->lift_headroom = 0.293;
    point->capacity_kg_s[FR_STAGE_LIFT_PUMP] = 0.05;
    char *json = fixture_json(&fixture);
    const char *row = strstr(json, "\"points\":[{");
    assert_non_null(row);
    assert_close(number_of(row, "fuel_kg_h"), 61.2, 1e-14);
    assert_close(number_of(row, "fuel_l_h"), 90, 1e-14);
    assert_close(number_of(row, "bsfc_g_kwh"), 325, 1e-14);
    assert_close(number_of(row, "feed_pressure_bar"), 3.71, 1e-14);
    assert_close(number_of(row, "port_pulse_ms"), 7.31, 1e-14);
    assert_close(number_of(row, "port_static_g_s"), 11.5, 1e-14);
    assert_close(number_of(row, "lift_headroom_percent"), 29.3, 1e-14);
    assert_close(number_of(row, "lift-pump"), 180, 1e-14);
    free(json);
    fixture_close(&fixture);
}

static void only_what_is_tight_or_short_is_advised(void **state) {
    (void)state;
    static report_fixture fixture;
    fixture_port(&fixture);
    char *json = fixture_json(&fixture);
    assert_contains(json, "\"advice\":\"Short from 4750 rpm. At 7000 rpm and 4.6 bar it must give "
                          "158 L/h and gives 151 L/h. Needs a pump that gives 185 L/h");
    assert_contains(json, "\"advice\":\"Over its 85 % limit.");
    assert_contains(json, "For E85, where it is worst: Needs");
    char *text = fixture_text(&fixture, FR_METRIC);
    assert_contains(text, "must give\n    158 L/h and gives 151 L/h. Needs a pump that gives 185");
    size_t advised = 0;
    for (const char *at = json; (at = strstr(at, "\"advice\":\"")) != NULL; at++)
        advised++;
    assert_int_equal(advised, 2);
    free(text);
    free(json);
    fixture_close(&fixture);
}

static void what_the_answer_turns_on_is_told(void **state) {
    (void)state;
    static report_fixture fixture;
    fixture_port(&fixture);
    fixture.turns.count = 1;
    fixture.turns.turns[0] = (fr_turn){.field = "supply.regulation",
                                       .instead = "mechanical-returnless",
                                       .paste = "  regulation: mechanical-returnless",
                                       .question = "no return line in the car?",
                                       .verdict = FR_SHORT,
                                       .ethanol = 0.85,
                                       .stage = FR_STAGE_PORT_INJECTOR,
                                       .reach_w = 197432};
    char *json = fixture_json(&fixture);
    assert_contains(json,
                    "\"turns_on\":[{\"field\":\"supply.regulation\",\"instead\":"
                    "\"mechanical-returnless\",\"verdict\":\"short\",\"blend\":\"E85\","
                    "\"reach_kw\":197.432,\"paste\":\"  regulation: mechanical-returnless\"}]");
    free(json);
    fixture_close(&fixture);
}

static void cautions_carry_code_and_sentence(void **state) {
    (void)state;
    static report_fixture fixture;
    fixture_port(&fixture);
    fixture.cautions[0] = (fr_caution){FR_CAUTION_IMPLIED_AIRFLOW, 1.407, 1.25, 0.85, 5500, NAN};
    fixture.document.caution_count = 1;
    fr_report_add(&fixture.remarks, FR_CAUTION, "tern.yaml", 7, 3, NULL, "\"boost\" is high",
                  "gauge, not absolute?", NULL);
    char *json = fixture_json(&fixture);
    assert_contains(json,
                    "{\"code\":\"implied-airflow\",\"text\":\"Input doubtful: on E85 at 5500 rpm "
                    "the engine would have to fill its cylinders to 141 %");
    assert_contains(
        json, "{\"code\":\"sheet\",\"text\":\"tern.yaml:7:3: \\\"boost\\\" is high; gauge, not "
              "absolute?\"}");
    assert_contains(json, "{\"code\":\"stored-pressure\",");
    assert_contains(json, "{\"code\":\"lean-running\",");
    assert_null(strstr(json, "\"rail-pressure\"")); /* no direct injection */
    free(json);
    fixture_close(&fixture);
}

static void both_kinds_of_build_are_valid_by_the_schema(void **state) {
    (void)state;
    static report_fixture fixture;
    fixture_direct(&fixture);
    for (size_t b = 0; b < 3; b++)
        for (size_t p = 0; p < FIXTURE_POINTS; p++) {
            fixture.points[b][p].bsfc_kg_j = 1e-7;
            fixture.points[b][p].vapour_pressure_pa = 5e4;
        }
    char *json = fixture_json(&fixture);
    assert_contains(json, "\"direct_available_bar\":null");
    schema_assert_valid(json);
    char *verdict = strstr(json, "\"verdict\":\"clear\"");
    assert_non_null(verdict);
    memcpy(verdict, "\"verdict\":\"cleaq\"", strlen("\"verdict\":\"cleaq\""));
    schema_assert_refused(json);
    free(json);
    fixture_close(&fixture);
}

static void csv_writer(FILE *out, const fr_check_document *document, const void *how) {
    fr_write_check_csv(out, document, *(const bool *)how);
}

static size_t count_commas(const char *line, size_t length) {
    size_t count = 0;
    bool quoted = false;
    for (size_t i = 0; i < length; i++) {
        quoted = quoted != (line[i] == '"');
        count += line[i] == ',' && !quoted;
    }
    return count;
}

static void csv_has_a_row_a_point_and_as_many_cells_as_heads(void **state) {
    (void)state;
    static report_fixture fixture;
    const bool header = true, none = false;
    fixture_port(&fixture);
    char *csv = fixture_written(&fixture, csv_writer, &header);
    size_t lines = 0, heads = count_commas(csv, strcspn(csv, "\n"));
    for (const char *at = csv; *at != '\0'; lines++) {
        size_t length = strcspn(at, "\n");
        assert_int_equal(count_commas(at, length), heads);
        at += length + 1;
    }
    assert_int_equal(lines, 1 + 3 * FIXTURE_POINTS);
    assert_contains(csv, "sheet,blend,ethanol_percent,blend_verdict,rpm,power_kw,");
    assert_contains(csv, "lift-pump_use_percent,");
    assert_contains(csv, "tern.yaml,E85,85,short,7000,225,");
    free(csv);
    csv = fixture_written(&fixture, csv_writer, &none);
    assert_null(strstr(csv, "ethanol_percent"));
    free(csv);
    fixture_close(&fixture);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(figures_stand_under_their_names_in_their_units),
        cmocka_unit_test(no_figure_stands_under_another_name),
        cmocka_unit_test(units_are_those_of_the_names),
        cmocka_unit_test(only_what_is_tight_or_short_is_advised),
        cmocka_unit_test(what_the_answer_turns_on_is_told),
        cmocka_unit_test(cautions_carry_code_and_sentence),
        cmocka_unit_test(both_kinds_of_build_are_valid_by_the_schema),
        cmocka_unit_test(csv_has_a_row_a_point_and_as_many_cells_as_heads),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
