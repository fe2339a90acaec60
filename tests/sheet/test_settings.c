/* SPDX-License-Identifier: GPL-3.0-or-later */
/* --set PATH=VALUE, and the sheet as it would be with one setting more. */
#include "fuelreach/check.h"
#include "sheet_support.h"

static const double EXACT = 1e-12;

static const char sheet_text[] =
    "engine:\n  cylinders: 4\n  displacement: 1.9 L\n  target_power: 163 kW\n  power_at: crank\n"
    "  aspiration: turbo\n"
    "supply:\n  lift_pump: lift-340\n  filters: [filter-10, {drop: 0.2 bar, at: 190 L/h}]\n"
    "  port_injection: {injector: 730 cc/min}\n";

/* The build with one setting, opened so. `fr_sheet_with` must give the same. */
static fr_build set_to(const char *set) {
    const char *sets[] = {set, NULL};
    fr_sheet *plain = open_sheet(sheet_text);
    fr_sheet *sheet = open_sheet_with(sheet_text, sets);
    static fr_build with;
    fr_build build = *fr_sheet_build(sheet);
    if (!fr_sheet_with(plain, set, &with)) {
        print_error("fr_sheet_with does not take %s\n", set);
        fail();
    }
    const char *where = builds_differ(&build, &with, 0.0);
    if (where != NULL)
        print_error("%s: differ at %s\n", set, where);
    assert_null(where);
    fr_sheet_close(sheet);
    fr_sheet_close(plain);
    return build;
}

static void a_setting_replaces_what_the_sheet_says(void **state) {
    (void)state;
    assert_close(set_to("engine.target_power=171 kW").engine.target_power_w.y[0], 171e3, EXACT);
    assert_close(set_to("engine.target_power = 171 kW").engine.target_power_w.y[0], 171e3, EXACT);
    assert_int_equal(set_to("supply.regulation=electronic-returnless").feed.regulation,
                     FR_ELECTRONIC_RETURNLESS);
}

static void a_setting_may_be_a_curve_or_a_mapping(void **state) {
    (void)state;
    fr_build build = set_to("engine.boost={2500 rpm: 0.9 bar, 5000 rpm: 1.4 bar}");
    assert_int_equal(build.engine.boost_gauge_pa.count, 2);
    assert_close(build.engine.boost_gauge_pa.y[1], 1.4e5, EXACT);
    build = set_to("supply.port_injection={injector: {flow: 551 cc/min, at: 4 bar}, count: 8}");
    assert_int_equal(build.port.count, 8);
    assert_close(build.port.test_pressure_pa, 4e5, EXACT);
    build = set_to("fuel.blends=[E20, E77]");
    assert_int_equal(build.blend_count, 2);
}

static void a_setting_makes_the_section_that_is_not_there(void **state) {
    (void)state;
    assert_close(set_to("site.supply_voltage=12.9 V").site.supply_voltage_v, 12.9, EXACT);
    assert_close(set_to("limits.port-injector=90 %").limits[FR_STAGE_PORT_INJECTOR], 0.90, EXACT);
    assert_close(set_to("supply.pump_circuit.fuse=25 A").pumps.fuse_a, 25, EXACT);
}

static void a_path_leads_into_a_named_part(void **state) {
    (void)state;
    fr_build plain = set_to("site.supply_voltage=13.5 V");
    fr_build build = set_to("supply.lift_pump.condition=90 %");
    assert_close(build.pumps.kinds[0].flow_factor, 0.90, EXACT);
    assert_close(build.pumps.kinds[0].curves[0].flow_m3_s.y[0],
                 plain.pumps.kinds[0].curves[0].flow_m3_s.y[0], EXACT);
    build = set_to("supply.lift_pump.relief=7.7 bar");
    assert_close(build.pumps.kinds[0].relief_pa, 7.7e5, EXACT);
}

static void a_path_leads_into_what_a_parts_file_says(void **state) {
    (void)state;
    fr_build plain = set_to("site.supply_voltage=13.5 V");
    const fr_pump *pump = &plain.pumps.kinds[0];
    fr_build build = set_to("supply.lift_pump.curves.0.voltage=11.9 V");
    assert_close(build.pumps.kinds[0].curves[0].voltage_v, 11.9, EXACT);
    assert_int_equal(build.pumps.kinds[0].curve_count, pump->curve_count);
    assert_close(build.pumps.kinds[0].curves[0].flow_m3_s.y[0], pump->curves[0].flow_m3_s.y[0],
                 EXACT);
}

static void a_path_leads_into_a_rating(void **state) {
    (void)state;
    fr_build build = set_to("supply.port_injection.injector.max_duty=91 %");
    assert_close(build.port.max_duty, 0.91, EXACT);
    assert_close(build.port.flow_kg_s, 730e-6 / 60 * 683.8, EXACT);
}

static void a_path_leads_into_a_list(void **state) {
    (void)state;
    fr_build build = set_to("supply.filters.1.drop=0.3 bar");
    assert_close(build.feed.filters[1].drop_pa, 0.3e5, EXACT);
    assert_close(build.feed.filters[1].rated_flow_m3_s, 190e-3 / 3600, EXACT);
    build = set_to("supply.filters.0.drop=0.4 bar");
    assert_close(build.feed.filters[0].drop_pa, 0.4e5, EXACT);
    build = set_to("supply.filters.2={drop: 0.1 bar}");
    assert_int_equal(build.feed.filter_count, 3);
}

static void a_path_leads_into_a_default(void **state) {
    (void)state;
    fr_build build = set_to("supply.lines.0.bore=9.1 mm");
    assert_close(build.feed.lines[0].bore_m, 9.1e-3, EXACT);
    assert_close(build.feed.lines[0].length_m, 4.5, EXACT);
    assert_close(build.feed.lines[0].fittings, 6.0, EXACT);
}

static void other_defaults_are_taken_anew(void **state) {
    (void)state;
    fr_build build = set_to("engine.aspiration=natural");
    assert_int_equal(build.feed.regulation, FR_MECHANICAL_RETURNLESS);
    assert_close(build.site.feed_temperature_c, 40, EXACT);
    build = set_to("supply.regulation=mechanical-returnless");
    assert_close(build.feed.pressure_gauge_pa, 4e5, EXACT);
    assert_close(build.site.tank_temperature_c, 35, EXACT);
}

static void what_is_wrong_with_a_setting_is_said_by_its_name(void **state) {
    (void)state;
    static const struct {
        const char *set, *said;
    } rows[] = {
        {"supply.regulation=returnles", "returnless is of two kinds"},
        {"engine.bosst=1 bar", "no field 'bosst' in engine"},
        {"supply.feed_pressure=4", "feed_pressure has no unit"},
        {"engine.boost={2500 rpm: 1,2 bar}", "write '1.2 bar'"},
        {"supply.lift_pump.condtion=90 %", "no field 'condtion'"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        fr_report report = FR_REPORT_EMPTY;
        const char *sets[] = {rows[i].set, NULL};
        char line[1024], name[128];
        assert_null(try_sheet(sheet_text, sets, NULL, &report));
        assert_int_equal(fr_report_errors(&report), 1);
        support_spell_remark(&report.remarks[0], line, sizeof line);
        snprintf(name, sizeof name, "--set %.*s", (int)strcspn(rows[i].set, "="), rows[i].set);
        assert_string_equal(report.remarks[0].file, name);
        assert_contains(line, rows[i].said);
        fr_report_close(&report);
    }
}

static void a_setting_that_leads_nowhere_is_refused(void **state) {
    (void)state;
    static const char *const bad[] = {"no equals sign", "=3", "engine.bsfc.x.y=3", "supply..x=1",
                                      "supply.filters.7=filter-10"};
    fr_sheet *sheet = open_sheet(sheet_text);
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        static fr_build build;
        fr_report report = FR_REPORT_EMPTY;
        const char *sets[] = {bad[i], NULL};
        assert_null(try_sheet(sheet_text, sets, NULL, &report));
        assert_true(fr_report_errors(&report) >= 1);
        assert_false(fr_sheet_with(sheet, bad[i], &build));
        fr_report_close(&report);
    }
    fr_sheet_close(sheet);
}

static void the_sheet_is_not_changed_by_looking(void **state) {
    (void)state;
    static fr_build other;
    fr_sheet *sheet = open_sheet(sheet_text);
    fr_build before = *fr_sheet_build(sheet);
    assert_true(fr_sheet_with(sheet, "supply.lift_pump=lift-450", &other));
    assert_false(fr_sheet_with(sheet, "supply.lift_pump=lift-9999", &other));
    assert_true(fr_sheet_with(sheet, "engine.power_at=wheels", &other));
    assert_null(builds_differ(&before, fr_sheet_build(sheet), 0.0));
    assert_true(fr_sheet_with(sheet, "site.air_pressure=1013.25 mbar", &other));
    assert_null(builds_differ(&before, &other, 0.0));
    fr_sheet_close(sheet);
}

static void blends_of_the_command_line_take_the_sheets_place(void **state) {
    (void)state;
    static const char *const blends[] = {"E62.5", "e0"};
    fr_sheet_options options = {.blends = blends, .blend_count = 2};
    fr_report report = FR_REPORT_EMPTY;
    fr_sheet *sheet;
    assert_int_equal(
        fr_sheet_open_text("x", sheet_text, strlen(sheet_text), &options, &report, &sheet), FR_OK);
    assert_int_equal(fr_sheet_build(sheet)->blend_count, 2);
    assert_close(fr_sheet_build(sheet)->blends[0], 0.625, EXACT);
    assert_null(find_assumed(sheet, "fuel.blends"));
    fr_sheet_close(sheet);
    static const char *const bad[] = {"93"};
    options.blends = bad;
    options.blend_count = 1;
    assert_int_equal(
        fr_sheet_open_text("x", sheet_text, strlen(sheet_text), &options, &report, &sheet),
        FR_BAD_INPUT);
    assert_string_equal(report.remarks[0].file, "--blend");
    fr_report_close(&report);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_setting_replaces_what_the_sheet_says),
        cmocka_unit_test(a_setting_may_be_a_curve_or_a_mapping),
        cmocka_unit_test(a_setting_makes_the_section_that_is_not_there),
        cmocka_unit_test(a_path_leads_into_a_named_part),
        cmocka_unit_test(a_path_leads_into_what_a_parts_file_says),
        cmocka_unit_test(a_path_leads_into_a_rating),
        cmocka_unit_test(a_path_leads_into_a_list),
        cmocka_unit_test(a_path_leads_into_a_default),
        cmocka_unit_test(other_defaults_are_taken_anew),
        cmocka_unit_test(what_is_wrong_with_a_setting_is_said_by_its_name),
        cmocka_unit_test(a_setting_that_leads_nowhere_is_refused),
        cmocka_unit_test(the_sheet_is_not_changed_by_looking),
        cmocka_unit_test(blends_of_the_command_line_take_the_sheets_place),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
