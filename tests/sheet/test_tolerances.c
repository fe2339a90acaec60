/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Inputs with a tolerance: the model's own by default, what the sheet writes in their place, and
 * every other ± of a sheet. */
#include "fuelreach/check.h"
#include "sheet_support.h"

static const double EXACT = 1e-12;

#define SHEET(engine, site, supply)                                                                \
    "engine:\n  cylinders: 4\n  displacement: 1.9 L\n  target_power: 163 kW\n  power_at: crank\n"  \
    "  aspiration: turbo\n" engine "site:\n  air_pressure: 1001 mbar\n" site                       \
    "supply:\n  lift_pump: 255 L/h\n" supply
#define PORT "  port_injection: {injector: 730 cc/min}\n"
#define DIRECT "  direct_injection: {injector: 15.1 cc/s, high_pressure_pump: 0.91 cc}\n"

static double at(const fr_build *build, size_t offset) {
    double value;
    memcpy(&value, (const char *)build + offset, sizeof value);
    return value;
}

static void the_models_inputs_are_there_with_their_usual_widths(void **state) {
    (void)state;
    static const struct {
        const char *name;
        fr_input_kind kind;
        double half_width;
        bool bad_is_high;
    } rows[] = {
        {"bsfc", FR_INPUT_SCALE, 0.10, true},
        {"lambda", FR_INPUT_SCALE, 0.02, false},
        {"ethanol-content", FR_INPUT_SHIFT, 0.03, true},
        {"gasoline-density", FR_INPUT_SCALE, 0.015, false},
        {"gasoline-vapour-pressure", FR_INPUT_SHIFT, 12e3, true},
        {"lift-pump", FR_INPUT_SCALE, 0.08, false},
        {"supply-voltage", FR_INPUT_SHIFT, 0.4, false},
        {"wiring", FR_INPUT_SCALE, 0.30, true},
        {"filter-drop", FR_INPUT_SCALE, 0.50, true},
        {"feed-temperature", FR_INPUT_SHIFT, 8.0, true},
        {"manifold-pressure", FR_INPUT_SHIFT, 7e3, true},
        {"port-injector", FR_INPUT_SCALE, 0.04, false},
        {"dead-time", FR_INPUT_SHIFT, 0.10e-3, true},
        {"direct-injector", FR_INPUT_SCALE, 0.04, false},
        {"high-pressure-pump", FR_INPUT_SCALE, 0.05, false},
        {"window", FR_INPUT_SHIFT, 10.0, false},
    };
    fr_sheet *sheet = open_sheet(SHEET("", "", PORT DIRECT));
    size_t count;
    fr_sheet_inputs(sheet, &count);
    assert_int_equal(count, sizeof rows / sizeof rows[0]);
    for (size_t i = 0; i < count; i++) {
        const fr_input *input = find_input(sheet, rows[i].name);
        assert_non_null(input);
        assert_int_equal(input->kind, rows[i].kind);
        assert_close(input->half_width, rows[i].half_width, EXACT);
        assert_int_equal(input->bad_is_high, rows[i].bad_is_high);
        assert_true(input->assumed);
        assert_true(input->target_count > 0);
        assert_true(strlen(input->label) > 0 && strlen(input->advice) > 0);
    }
    fr_sheet_close(sheet);
}

static void a_build_without_a_part_has_not_its_input(void **state) {
    (void)state;
    fr_sheet *sheet = open_sheet(SHEET("", "", "  filters: []\n" PORT));
    assert_null(find_input(sheet, "direct-injector"));
    assert_null(find_input(sheet, "window"));
    assert_null(find_input(sheet, "high-pressure-pump"));
    assert_null(find_input(sheet, "filter-drop"));
    assert_null(find_input(sheet, "target"));
    assert_non_null(find_input(sheet, "dead-time"));
    fr_sheet_close(sheet);
}

static void bsfc_that_is_given_is_known_twice_as_well(void **state) {
    (void)state;
    fr_sheet *sheet = open_sheet(SHEET("  bsfc: 341 g/kWh\n", "", PORT));
    assert_close(find_input(sheet, "bsfc")->half_width, 0.05, EXACT);
    assert_true(find_input(sheet, "bsfc")->assumed);
    fr_sheet_close(sheet);
}

/* ---- written ---- */

static const fr_input *written(const char *text, const char *name, fr_sheet **sheet) {
    *sheet = open_sheet(text);
    const fr_input *input = find_input(*sheet, name);
    assert_non_null(input);
    assert_false(input->assumed);
    return input;
}

static void a_written_tolerance_takes_the_place_of_the_usual_one(void **state) {
    (void)state;
    fr_sheet *sheet;
    const fr_input *input = written(SHEET("  bsfc: 341 g/kWh ± 3 %\n", "", PORT), "bsfc", &sheet);
    assert_close(input->half_width, 0.03, EXACT);
    fr_sheet_close(sheet);
    input =
        written(SHEET("", "  supply_voltage: 13.7 V ± 0.3 V\n", PORT), "supply-voltage", &sheet);
    assert_close(input->half_width, 0.3, EXACT);
    fr_sheet_close(sheet);
    /* a share of a voltage, written for an input that shifts */
    input = written(SHEET("", "  supply_voltage: 13.7 V ± 2 %\n", PORT), "supply-voltage", &sheet);
    assert_int_equal(input->kind, FR_INPUT_SHIFT);
    assert_close(input->half_width, 0.02 * 13.7, EXACT);
    fr_sheet_close(sheet);
    /* an amount, written for an input that scales */
    input = written(SHEET("", "", "  pump_circuit: {wiring: 60 mohm ± 9 mohm}\n" PORT), "wiring",
                    &sheet);
    assert_int_equal(input->kind, FR_INPUT_SCALE);
    assert_close(input->half_width, 0.15, EXACT);
    fr_sheet_close(sheet);
}

static void a_rating_may_carry_its_tolerance(void **state) {
    (void)state;
    fr_sheet *sheet;
    const fr_input *input =
        written(SHEET("", "", "  port_injection: {injector: 730 cc/min ± 2.5 % at 3 bar}\n"),
                "port-injector", &sheet);
    assert_close(input->half_width, 0.025, EXACT);
    fr_sheet_close(sheet);
}

static void a_curve_with_an_amount_moves_by_its_shift(void **state) {
    (void)state;
    fr_sheet *sheet;
    const fr_input *input =
        written(SHEET("  bsfc: {3000 rpm: 330 g/kWh ± 7 g/kWh, 6000 rpm: 345 g/kWh ± 11 g/kWh}\n",
                      "", PORT),
                "bsfc", &sheet);
    assert_int_equal(input->kind, FR_INPUT_SHIFT);
    /* different points of one curve: the widest */
    assert_close(input->half_width, 11e-3 / 3.6e6, EXACT);
    assert_true(input->targets[0] == offsetof(fr_build, engine.bsfc_kg_j.shift));
    fr_sheet_close(sheet);
    input =
        written(SHEET("  bsfc: {3000 rpm: 330 g/kWh ± 2 %, 6000 rpm: 345 g/kWh ± 4 %}\n", "", PORT),
                "bsfc", &sheet);
    assert_int_equal(input->kind, FR_INPUT_SCALE);
    assert_close(input->half_width, 0.04, EXACT);
    assert_true(input->targets[0] == offsetof(fr_build, engine.bsfc_kg_j.scale));
    fr_sheet_close(sheet);
}

static void a_target_has_a_tolerance_only_when_written(void **state) {
    (void)state;
    fr_sheet *sheet;
    const fr_input *input =
        written(with_text(SHEET("", "", PORT), "163 kW", "163 kW ± 2 %"), "target", &sheet);
    assert_close(input->half_width, 0.02, EXACT);
    assert_true(input->bad_is_high);
    fr_sheet_close(sheet);
}

static void any_other_tolerance_becomes_an_input_of_its_own(void **state) {
    (void)state;
    fr_sheet *sheet;
    const fr_input *input = written(SHEET("", "", "  feed_pressure: 3.1 bar +/- 0.15 bar\n" PORT),
                                    "supply.feed_pressure", &sheet);
    assert_int_equal(input->kind, FR_INPUT_SHIFT);
    assert_close(input->half_width, 0.15e5, EXACT);
    assert_int_equal(input->target_count, 1);
    assert_close(at(fr_sheet_build(sheet), input->targets[0]), 3.1e5, EXACT);
    fr_sheet_close(sheet);
    input = written(SHEET("  boost: {3000 rpm: 1.2 bar ± 0.1 bar, 6000 rpm: 1.1 bar}\n", "", PORT),
                    "engine.boost", &sheet);
    assert_true(input->targets[0] == offsetof(fr_build, engine.boost_gauge_pa.shift));
    assert_close(input->half_width, 0.1e5, EXACT);
    fr_sheet_close(sheet);
    input = written(
        SHEET("", "",
              "  direct_injection: {injector: 15.1 cc/s, high_pressure_pump: {plunger: 9 mm "
              "± 1 %, lift: 3.4 mm, lobes: 4}}\n"),
        "supply.direct_injection.high_pressure_pump.plunger", &sheet);
    /* the area goes with the square of the diameter */
    assert_close(input->half_width, 0.02, EXACT);
    assert_true(input->targets[0] == offsetof(fr_build, direct.displacement_m3));
    assert_false(input->bad_is_high);
    fr_sheet_close(sheet);
}

static void a_currents_tolerance_moves_its_points_wherever_they_end_up(void **state) {
    (void)state;
    /* The higher voltage stands first in the sheet, last in the build. */
    fr_sheet *sheet = open_sheet(with_text(
        SHEET("", "", PORT), "255 L/h",
        "{curves: [{voltage: 13.5 V, flow: {3 bar: 341 L/h, 5 bar: 271 L/h}, current: {3 bar: 11.3 "
        "A ± 5 %, 5 bar: 14.1 A}}, {voltage: 12 V, flow: 233 L/h, current: 9.7 A}]}"));
    const fr_input *input = find_input(sheet, "supply.lift_pump.curves.0.current");
    assert_non_null(input);
    assert_int_equal(input->target_count, 2);
    assert_close(at(fr_sheet_build(sheet), input->targets[0]), 11.3, EXACT);
    assert_close(at(fr_sheet_build(sheet), input->targets[1]), 14.1, EXACT);
    fr_sheet_close(sheet);
}

/* ---- what moves together ---- */

static void temperatures_move_together_but_for_one_with_its_own_tolerance(void **state) {
    (void)state;
    fr_sheet *sheet = open_sheet(SHEET("", "", DIRECT));
    const fr_input *input = find_input(sheet, "feed-temperature");
    assert_int_equal(input->target_count, 4);
    fr_build moved;
    double up = 1.96;
    fr_build_move(fr_sheet_build(sheet), input, 1, &up, &moved);
    const fr_site *was = &fr_sheet_build(sheet)->site;
    assert_close(moved.site.feed_temperature_c, was->feed_temperature_c + 8, EXACT);
    assert_close(moved.site.tank_temperature_c, was->tank_temperature_c + 8, EXACT);
    assert_close(moved.site.rail_temperature_c, was->rail_temperature_c + 8, EXACT);
    assert_close(moved.site.hp_inlet_temperature_c, was->hp_inlet_temperature_c + 8, EXACT);
    fr_sheet_close(sheet);
    sheet = open_sheet(SHEET("", "  rail_temperature: 71 °C ± 6 K\n", DIRECT));
    assert_int_equal(find_input(sheet, "feed-temperature")->target_count, 3);
    assert_close(find_input(sheet, "site.rail_temperature")->half_width, 6.0, EXACT);
    fr_sheet_close(sheet);
}

static void unlike_pumps_have_their_own_inputs_and_twins_share_one(void **state) {
    (void)state;
    fr_sheet *sheet = open_sheet(with_text(
        SHEET("", "", PORT), "255 L/h",
        "{pumps: [{part: lift-255}, {part: inline-370, spread: 11 %}, {part: lift-255}]}"));
    const fr_input *first = find_input(sheet, "lift-pump");
    const fr_input *second = find_input(sheet, "lift-pump-2");
    assert_int_equal(first->target_count, 2);
    assert_int_equal(second->target_count, 1);
    assert_close(second->half_width, 0.11, EXACT);
    assert_true(second->targets[0] == offsetof(fr_build, pumps.kinds[1].flow_factor));
    assert_null(find_input(sheet, "lift-pump-3"));
    fr_sheet_close(sheet);
}

static void all_filters_share_one_factor(void **state) {
    (void)state;
    fr_sheet *sheet = open_sheet(SHEET("", "", "  filters: [filter-10, {drop: 0.2 bar}]\n" PORT));
    const fr_input *input = find_input(sheet, "filter-drop");
    assert_int_equal(input->target_count, 2);
    double down = -1.96;
    fr_build moved;
    fr_build_move(fr_sheet_build(sheet), input, 1, &down, &moved);
    assert_close(moved.feed.filters[1].drop_pa, 0.5 * 0.2e5, EXACT);
    fr_sheet_close(sheet);
}

static void a_spread_or_factory_is_the_parts_tolerance(void **state) {
    (void)state;
    fr_sheet *sheet = open_sheet(with_text(
        with_text(SHEET("", "", "  port_injection: {injector: {flow: 730 cc/min, spread: 6 %}}\n"),
                  "lift_pump: 255 L/h", "lift_pump: factory"),
        "  power_at", "  factory_power: 121 kW\n  power_at"));
    assert_close(find_input(sheet, "port-injector")->half_width, 0.06, EXACT);
    assert_close(find_input(sheet, "lift-pump")->half_width, 0.15, EXACT);
    fr_sheet_close(sheet);
}

/* ---- moving ---- */

static void each_bad_end_is_the_one_that_takes_reach(void **state) {
    (void)state;
    fr_sheet *sheet = open_sheet(SHEET("", "", PORT));
    const fr_build *build = fr_sheet_build(sheet);
    fr_check *check = fr_check_open();
    assert_non_null(check);
    size_t count, last;
    const fr_input *inputs = fr_sheet_inputs(sheet, &count);
    const fr_check_result *result = fr_check_outline(check, build);
    last = result->blend_count - 1;
    double reach = result->blends[last].reach_w;
    for (size_t i = 0; i < count; i++) {
        fr_build moved;
        double bad = inputs[i].bad_is_high ? 1.0 : -1.0;
        fr_build_move(build, &inputs[i], 1, &bad, &moved);
        double worse = fr_check_outline(check, &moved)->blends[last].reach_w;
        /* the lightest touch may leave the stage that ends reach alone */
        if (!(worse <= reach * (1.0 + 1e-9)))
            print_error("%s: %.6g over %.6g\n", inputs[i].name, worse, reach);
        assert_true(worse <= reach * (1.0 + 1e-9));
    }
    fr_check_close(check);
    fr_sheet_close(sheet);
}

static void nothing_moves_at_no_deviation(void **state) {
    (void)state;
    fr_sheet *sheet = open_sheet(SHEET("", "", PORT DIRECT));
    size_t count;
    const fr_input *inputs = fr_sheet_inputs(sheet, &count);
    double *none = calloc(count, sizeof *none);
    assert_non_null(none);
    fr_build moved;
    fr_build_move(fr_sheet_build(sheet), inputs, count, none, &moved);
    assert_null(builds_differ(fr_sheet_build(sheet), &moved, 0.0));
    free(none);
    fr_sheet_close(sheet);
}

static void a_tolerance_as_wide_as_its_value_is_refused(void **state) {
    (void)state;
    fr_report report = FR_REPORT_EMPTY;
    assert_null(try_sheet(SHEET("  bsfc: 341 g/kWh ± 90 %\n", "", PORT), NULL, NULL, &report));
    assert_remark(&report, 7, 9, "the ± of bsfc is too wide");
    fr_report_close(&report);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_models_inputs_are_there_with_their_usual_widths),
        cmocka_unit_test(a_build_without_a_part_has_not_its_input),
        cmocka_unit_test(bsfc_that_is_given_is_known_twice_as_well),
        cmocka_unit_test(a_written_tolerance_takes_the_place_of_the_usual_one),
        cmocka_unit_test(a_rating_may_carry_its_tolerance),
        cmocka_unit_test(a_curve_with_an_amount_moves_by_its_shift),
        cmocka_unit_test(a_target_has_a_tolerance_only_when_written),
        cmocka_unit_test(any_other_tolerance_becomes_an_input_of_its_own),
        cmocka_unit_test(a_currents_tolerance_moves_its_points_wherever_they_end_up),
        cmocka_unit_test(temperatures_move_together_but_for_one_with_its_own_tolerance),
        cmocka_unit_test(unlike_pumps_have_their_own_inputs_and_twins_share_one),
        cmocka_unit_test(all_filters_share_one_factor),
        cmocka_unit_test(a_spread_or_factory_is_the_parts_tolerance),
        cmocka_unit_test(each_bad_end_is_the_one_that_takes_reach),
        cmocka_unit_test(nothing_moves_at_no_deviation),
        cmocka_unit_test(a_tolerance_as_wide_as_its_value_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
