/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Finding parts: shipped ones by kind and name, a user's anywhere under their folder, which of two
 * wins, and what is said of a file that is no good. */
#include <sys/stat.h>
#include <unistd.h>

#include "sheet/folder.h"
#include "sheet_support.h"

static const double EXACT = 1e-12;

static const char base[] =
    "engine: {cylinders: 4, displacement: 1.9 L, target_power: 163 kW, power_at: crank, "
    "aspiration: turbo}\n"
    "supply:\n  lift_pump: lift-340\n  port_injection: {injector: port-550}\n";

/* ---- a folder of one's own ---- */

static char folder[] = "/tmp/fr-parts-XXXXXX";
static char other[] = "/tmp/fr-other-XXXXXX";

static void put_file(const char *dir, const char *name, const char *text) {
    char path[256];
    snprintf(path, sizeof path, "%s/%s", dir, name);
    FILE *out = fopen(path, "wb");
    assert_non_null(out);
    fputs(text, out);
    fclose(out);
}

static int make_folders(void **state) {
    (void)state;
    char deep[256];
    if (mkdtemp(folder) == NULL || mkdtemp(other) == NULL)
        return 1;
    snprintf(deep, sizeof deep, "%s/shop", folder);
    if (mkdir(deep, 0700) != 0)
        return 1;
    snprintf(deep, sizeof deep, "%s/shop/pumps", folder);
    if (mkdir(deep, 0700) != 0)
        return 1;
    put_file(folder, "shop/pumps/bench-317.yaml",
             "kind: lift-pump\nprice: 83\nsize: 317 L/h\nsize_at: 3 bar\nspread: 3 %\n");
    put_file(folder, "lift-340.yaml", "kind: lift-pump\ntitle: ours\nsize: 327 L/h\n");
    put_file(folder, "port-550.yaml", "kind: filter\ndrop: 0.3 bar\nat: 111 L/h\n");
    put_file(other, "bench-317.yaml", "kind: lift-pump\nsize: 309 L/h\n");
    put_file(other, "notes.txt", "not a part\n");
    return 0;
}

static bool remove_one(const char *path, const char *name, void *context) {
    (void)name;
    (void)context;
    return unlink(path) == 0;
}

static int remove_folders(void **state) {
    (void)state;
    char path[256];
    static const char *const inner[] = {"shop/pumps", "shop"};
    fr_folder_walk(folder, remove_one, NULL);
    fr_folder_walk(other, remove_one, NULL);
    for (size_t i = 0; i < 2; i++) {
        snprintf(path, sizeof path, "%s/%s", folder, inner[i]);
        rmdir(path);
    }
    snprintf(path, sizeof path, "%s/notes.txt", other);
    unlink(path);
    rmdir(folder);
    rmdir(other);
    return 0;
}

static fr_sheet *open_with_parts(const char *text, const char *first, const char *second,
                                 fr_report *report) {
    const char *const parts[] = {first, second, NULL};
    return try_sheet(text, NULL, parts, report);
}

static double flow_l_h(const fr_sheet *sheet) {
    return fr_sheet_build(sheet)->pumps.kinds[0].curves[0].flow_m3_s.y[0] * 3.6e6;
}

static void a_part_is_found_anywhere_under_its_folder(void **state) {
    (void)state;
    fr_report report = FR_REPORT_EMPTY;
    fr_sheet *sheet =
        open_with_parts(with_text(base, "lift-340", "bench-317"), folder, NULL, &report);
    assert_no_errors(&report);
    assert_close(flow_l_h(sheet), 317, 1e-9);
    assert_close(find_input(sheet, "lift-pump")->half_width, 0.03, EXACT);
    assert_string_equal(fr_sheet_part_name(sheet, "lift_pump"), "bench-317");
    assert_string_equal(fr_sheet_part_name(sheet, "port_injector"), "port-550");
    fr_sheet_close(sheet);
    fr_report_close(&report);
}

static void the_last_folder_wins(void **state) {
    (void)state;
    fr_report report = FR_REPORT_EMPTY;
    const char *text = with_text(base, "lift-340", "bench-317");
    fr_sheet *sheet = open_with_parts(text, folder, other, &report);
    assert_close(flow_l_h(sheet), 309, 1e-9);
    fr_sheet_close(sheet);
    sheet = open_with_parts(text, other, folder, &report);
    assert_close(flow_l_h(sheet), 317, 1e-9);
    fr_sheet_close(sheet);
    fr_report_close(&report);
}

static void a_part_of_ones_own_hides_a_shipped_one_and_that_is_said(void **state) {
    (void)state;
    fr_report report = FR_REPORT_EMPTY;
    fr_sheet *sheet = open_with_parts(base, folder, NULL, &report);
    assert_close(flow_l_h(sheet), 327, 1e-9);
    assert_int_equal(report.count, 1);
    assert_int_equal(report.remarks[0].severity, FR_NOTE);
    assert_contains(report.remarks[0].message, "hides the shipped part");
    /* a file of that name but of another kind hides nothing */
    assert_close(fr_sheet_build(sheet)->port.flow_kg_s, 550e-6 / 60 * 683.8, EXACT);
    fr_sheet_close(sheet);
    fr_report_close(&report);
}

/* ---- overriding ---- */

static void fields_beside_part_change_it(void **state) {
    (void)state;
    fr_sheet *plain = open_sheet(base);
    fr_sheet *sheet =
        open_sheet(with_text(with_text(base, "lift-340",
                                       "{part: lift-340, condition: "
                                       "91 %, relief: 6.9 bar}"),
                             "injector: port-550", "injector: {part: port-550, at: 4 bar}"));
    const fr_pump *pump = &fr_sheet_build(sheet)->pumps.kinds[0];
    assert_close(flow_l_h(sheet), flow_l_h(plain), EXACT);
    assert_close(pump->flow_factor, 0.91, EXACT);
    assert_close(pump->relief_pa, 6.9e5, EXACT);
    assert_close(fr_sheet_build(sheet)->port.test_pressure_pa, 4e5, EXACT);
    assert_close(fr_sheet_build(sheet)->port.flow_kg_s, fr_sheet_build(plain)->port.flow_kg_s,
                 EXACT);
    fr_sheet_close(sheet);
    fr_sheet_close(plain);
}

static void lines_and_wiring_may_be_named(void **state) {
    (void)state;
    fr_sheet *sheet = open_sheet(with_text(base, "  port_injection",
                                           "  lines: [{part: hose-8, length: 3.3 m, fittings: 2}]\n"
                                           "  pump_circuit: {wiring: wire-10awg}\n"
                                           "  port_injection"));
    const fr_build *build = fr_sheet_build(sheet);
    assert_close(build->feed.lines[0].bore_m, 11.1e-3, EXACT);
    assert_close(build->feed.lines[0].length_m, 3.3, EXACT);
    assert_close(build->feed.lines[0].fittings, 2, EXACT);
    assert_close(build->pumps.fuse_a, 30, EXACT);
    assert_string_equal(fr_sheet_part_name(sheet, "wiring"), "wire-10awg");
    assert_string_equal(fr_sheet_part_name(sheet, "line"), "hose-8");
    fr_sheet_close(sheet);
}

/* ---- what is wrong ---- */

static void check_said(const char *text, const char *dir, const char *file, const char *said) {
    fr_report report = FR_REPORT_EMPTY;
    fr_sheet *sheet = open_with_parts(text, dir, NULL, &report);
    bool found = false;
    for (size_t i = 0; i < report.count; i++) {
        char line[2048];
        support_spell_remark(&report.remarks[i], line, sizeof line);
        found = found || (strstr(line, file) != NULL && strstr(line, said) != NULL);
    }
    if (!found || sheet != NULL) {
        print_error("not said: %s\n", said);
        support_print_report(&report);
    }
    assert_true(found);
    assert_null(sheet);
    fr_report_close(&report);
}

static void an_unknown_part_gets_the_nearest_name(void **state) {
    (void)state;
    check_said(with_text(base, "lift-340", "lift-341"), NULL, "test.yaml:3:14",
               "no part 'lift-341'; 'lift-340' is meant?");
    check_said(with_text(base, "lift-340", "bench-371"), folder, "test.yaml:3:14",
               "'bench-317' is meant?");
    check_said(with_text(base, "lift-340", "../lift-pump/lift-340"), NULL, "test.yaml:3:14",
               "no part");
}

static void a_fault_in_a_parts_file_is_said_at_its_place_there(void **state) {
    (void)state;
    put_file(other, "odd.yaml", "kind: lift-pump\nsize: 255\n");
    check_said(with_text(base, "lift-340", "odd"), other, "odd.yaml:2:7", "size has no unit");
    put_file(other, "odd.yaml", "kind: lift-pump\nsize: 255 L/h\ncount: 2\n");
    check_said(with_text(base, "lift-340", "odd"), other, "odd.yaml:3:1",
               "count stands in a sheet, not in a part's file");
    put_file(other, "odd.yaml", "kind: lift-pump\nsize: 255 L/h\nflavour: sweet\n");
    check_said(with_text(base, "lift-340", "odd"), other, "odd.yaml:3:1", "no field 'flavour'");
    put_file(other, "odd.yaml", "kind: lift-pump\nsize: {\n");
    check_said(with_text(base, "lift-340", "odd"), other, "odd.yaml", "");
    put_file(other, "odd.yaml", "kind: lift-pump\n");
    check_said(with_text(base, "lift-340", "odd"), other, "", "neither curves nor a size");
    unlink("odd.yaml");
    char path[256];
    snprintf(path, sizeof path, "%s/odd.yaml", other);
    unlink(path);
}

/* ---- the shelf ---- */

static const fr_part *find_part(const fr_shelf *shelf, fr_part_kind kind, const char *name) {
    size_t count;
    const fr_part *parts = fr_shelf_parts(shelf, &count);
    for (size_t i = 0; i < count; i++)
        if (parts[i].kind == kind && strcmp(parts[i].name, name) == 0)
            return &parts[i];
    return NULL;
}

static void the_shelf_holds_all_parts_in_order(void **state) {
    (void)state;
    const char *const dirs[] = {folder};
    fr_report report = FR_REPORT_EMPTY;
    fr_shelf *shelf;
    assert_int_equal(fr_shelf_open(dirs, 1, false, &report, &shelf), FR_OK);
    assert_no_errors(&report);
    size_t count;
    const fr_part *parts = fr_shelf_parts(shelf, &count);
    assert_true(count >= 42);
    for (size_t i = 1; i < count; i++) {
        assert_true(parts[i - 1].kind <= parts[i].kind);
        for (size_t k = 0; k < i; k++)
            assert_false(parts[k].kind == parts[i].kind && !strcmp(parts[k].name, parts[i].name));
    }
    /* by letters, and by the numbers in names */
    const char *const order[] = {"port-60-lb", "port-210", "port-850", "port-1000", "port-2200"};
    for (size_t i = 1; i < sizeof order / sizeof *order; i++)
        assert_true(find_part(shelf, FR_PART_PORT_INJECTOR, order[i - 1]) <
                    find_part(shelf, FR_PART_PORT_INJECTOR, order[i]));
    assert_true(find_part(shelf, FR_PART_LIFT_PUMP, "gerotor-400") <
                find_part(shelf, FR_PART_LIFT_PUMP, "inline-255"));
    const fr_part *own = find_part(shelf, FR_PART_LIFT_PUMP, "bench-317");
    assert_non_null(own);
    assert_close(own->price, 83, EXACT);
    assert_close(own->spread, 0.03, EXACT);
    assert_string_equal(own->title, "");
    assert_false(own->hides_shipped);
    assert_true(find_part(shelf, FR_PART_LIFT_PUMP, "lift-340")->hides_shipped);
    assert_close(find_part(shelf, FR_PART_FILTER, "port-550")->as.filter.drop_pa, 0.3e5, EXACT);
    fr_shelf_close(shelf);
    assert_int_equal(fr_shelf_open(dirs, 1, true, &report, &shelf), FR_OK);
    fr_shelf_parts(shelf, &count);
    assert_int_equal(count, 3);
    fr_shelf_close(shelf);
    fr_report_close(&report);
}

static void a_part_of_the_shelf_is_the_part_of_a_sheet(void **state) {
    (void)state;
    fr_report report = FR_REPORT_EMPTY;
    fr_shelf *shelf;
    assert_int_equal(fr_shelf_open(NULL, 0, false, &report, &shelf), FR_OK);
    fr_sheet *sheet = open_sheet(
        with_text(base, "  port_injection",
                  "  direct_injection: {injector: direct-14, high_pressure_pump: plunger-87}\n"
                  "  port_injection"));
    const fr_build *build = fr_sheet_build(sheet);
    const fr_part *injector = find_part(shelf, FR_PART_PORT_INJECTOR, "port-550");
    const fr_part *direct = find_part(shelf, FR_PART_DIRECT_INJECTOR, "direct-14");
    const fr_part *pump = find_part(shelf, FR_PART_HIGH_PRESSURE_PUMP, "plunger-87");
    const fr_part *lift = find_part(shelf, FR_PART_LIFT_PUMP, "lift-340");
    assert_close(injector->as.port_injector.flow_kg_s, build->port.flow_kg_s, EXACT);
    assert_close(injector->as.port_injector.dead_time_s.y[0], build->port.dead_time_s.y[0], EXACT);
    assert_close(direct->as.direct_injector.flow_kg_s, build->direct.flow_kg_s, EXACT);
    assert_close(pump->as.high_pressure_pump.displacement_m3, build->direct.displacement_m3, EXACT);
    assert_close(lift->as.lift_pump.curves[0].flow_m3_s.y[0],
                 build->pumps.kinds[0].curves[0].flow_m3_s.y[0], EXACT);
    fr_sheet_close(sheet);
    fr_shelf_close(shelf);
    fr_report_close(&report);
}

static void a_folder_that_is_not_there_is_said(void **state) {
    (void)state;
    const char *const dirs[] = {"/nonexistent/parts"};
    fr_report report = FR_REPORT_EMPTY;
    fr_shelf *shelf;
    assert_int_equal(fr_shelf_open(dirs, 1, true, &report, &shelf), FR_SYSTEM);
    assert_null(shelf);
    assert_int_equal(fr_report_errors(&report), 1);
    assert_null(open_with_parts(base, dirs[0], NULL, &report));
    assert_int_equal(fr_report_errors(&report), 2);
    fr_report_close(&report);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_part_is_found_anywhere_under_its_folder),
        cmocka_unit_test(the_last_folder_wins),
        cmocka_unit_test(a_part_of_ones_own_hides_a_shipped_one_and_that_is_said),
        cmocka_unit_test(fields_beside_part_change_it),
        cmocka_unit_test(lines_and_wiring_may_be_named),
        cmocka_unit_test(an_unknown_part_gets_the_nearest_name),
        cmocka_unit_test(a_fault_in_a_parts_file_is_said_at_its_place_there),
        cmocka_unit_test(the_shelf_holds_all_parts_in_order),
        cmocka_unit_test(a_part_of_the_shelf_is_the_part_of_a_sheet),
        cmocka_unit_test(a_folder_that_is_not_there_is_said),
    };
    return cmocka_run_group_tests(tests, make_folders, remove_folders);
}
