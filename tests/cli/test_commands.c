/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fuelreach fuel, draft and parts, run as a person runs them. */
#include "cli/program.h"

enum { PATH_SIZE = 256 };

/* A number behind "key": in JSON. */
static double json_number(const char *json, const char *key) {
    char quoted[64];

    snprintf(quoted, sizeof quoted, "\"%s\":", key);
    const char *found = strstr(json, quoted);
    if (found == NULL)
        fail_msg("no %s in %s", quoted, json);
    return strtod(found + strlen(quoted), NULL);
}

/* Ethanol: densities of the equation of state of Schroeder, Penoncello and Schroeder, J. Phys.
 * Chem. Ref. Data 43 (2014) 043102. The one at 200 bar is at constant temperature, ours is
 * compressed without giving heat away, as a pump does it, and so comes out 0.3 % lower. */
static void fuel_gives_published_densities_of_ethanol(void **state) {
    (void)state;
    static const struct {
        const char *temperature, *pressure;
        double density, tolerance;
    } published[] = {
        {"15 C", "101325 Pa", 793.69, 2e-4},
        {"20 degC", "101325 Pa", 789.42, 2e-4},
        {"60 °C", "101325 Pa", 754.05, 5e-4},
        {"68 F", "200 bar", 805.37 * 0.997, 1e-3},
    };

    for (size_t i = 0; i < sizeof published / sizeof published[0]; i++) {
        program_run run =
            run_fuelreach("fuel", "E100", "--format", "json", "-t", published[i].temperature,
                          "--pressure", published[i].pressure);
        assert_code(&run, 0);
        assert_close(json_number(run.out, "density_kg_m3"), published[i].density,
                     published[i].tolerance);
        assert_close(json_number(run.out, "mass_fraction"), 1.0, 1e-12);
        program_forget(&run);
    }
}

static void fuel_lists_the_blends_asked_for(void **state) {
    (void)state;
    program_run run = run_fuelreach("fuel", "E85", "e62.5");
    program_run all = run_fuelreach("fuel", "--units", "us");
    program_run slip = run_fuelreach("fuel", "93");

    assert_code(&run, 0);
    assert_contains(run.out, "\nE85 ");
    assert_contains(run.out, "\nE62.5 ");
    assert_null(strstr(run.out, "\nE10 "));
    assert_code(&all, 0);
    assert_contains(all.out, "\nE100 ");
    assert_contains(all.out, "lb/gal");
    assert_code(&slip, 2);
    program_forget(&run);
    program_forget(&all);
    program_forget(&slip);
}

static void fuel_refuses_what_is_no_condition(void **state) {
    (void)state;
    static const char *const bad[][2] = {
        {"-t", "45"},
        {"-t", "3 bar"},
        {"-t", "900 C"},
        {"--pressure", "-3 bar"},
    };

    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        program_run run = run_fuelreach("fuel", "E85", bad[i][0], bad[i][1]);
        assert_code(&run, 2);
        assert_contains(run.err, bad[i][1]);
        assert_string_equal(run.out, "");
        program_forget(&run);
    }
}

static void a_draft_is_taken_as_it_is(void **state) {
    (void)state;
    char path[PATH_SIZE], *folder = program_folder();

    program_path(path, sizeof path, folder, "mycar.yaml");
    program_run drafted = run_fuelreach("draft", path);
    program_run checked = run_fuelreach("check", path);
    program_run shown = run_fuelreach("draft");
    char *text = support_read_file(path, NULL);

    assert_code(&drafted, 0);
    assert_true(checked.code == 0 || checked.code == 1);
    assert_string_equal(checked.err, "");
    assert_non_null(text);
    assert_string_equal(shown.out, text);
    free(text);
    program_forget(&drafted);
    program_forget(&checked);
    program_forget(&shown);
    program_folder_remove(folder);
}

static void a_draft_never_overwrites(void **state) {
    (void)state;
    char path[PATH_SIZE], *folder = program_folder();

    program_write_file(program_path(path, sizeof path, folder, "mycar.yaml"), "mine\n");
    program_run run = run_fuelreach("draft", path);
    char *text = support_read_file(path, NULL);
    assert_code(&run, 2);
    assert_contains(run.err, "is there already");
    assert_string_equal(text, "mine\n");
    free(text);
    program_forget(&run);
    program_folder_remove(folder);
}

/* Each starts the program once: a few will do where that is slow. */
static void every_part_can_be_shown(void **state) {
    (void)state;
    program_run list = program_run_shell("ls components/*/*.yaml");
    const size_t every = support_cases(1, 9);
    char *rest = list.out, *path;
    size_t seen = 0;

    while ((path = strtok_r(rest, "\n", &rest)) != NULL) {
        char *name = strrchr(path, '/') + 1;
        if (seen++ % every != 0)
            continue;
        *strrchr(name, '.') = '\0';
        program_run text = run_fuelreach("parts", name);
        assert_code(&text, 0);
        assert_int_equal(strncmp(text.out, name, strlen(name)), 0);
        assert_contains(text.out, "components/");
        assert_null(strstr(text.out, "nan"));
        program_forget(&text);
    }
    assert_true(seen >= 40);
    program_forget(&list);
}

static size_t occurrences(const char *text, const char *part) {
    size_t count = 0;
    for (text = strstr(text, part); text != NULL; text = strstr(text + 1, part))
        count++;
    return count;
}

static void every_part_has_figures(void **state) {
    (void)state;
    program_run list = program_run_shell("ls components/*/*.yaml | wc -l");
    program_run json = run_fuelreach("parts", "--format", "json");

    assert_code(&json, 0);
    assert_int_equal(occurrences(json.out, "\"kind\":"), strtoul(list.out, NULL, 10));
    assert_int_equal(occurrences(json.out, "\"figures\":[{"), strtoul(list.out, NULL, 10));
    program_forget(&list);
    program_forget(&json);
}

static void a_kind_lists_its_parts_alone(void **state) {
    (void)state;
    program_run all = run_fuelreach("parts");
    program_run pumps = run_fuelreach("parts", "lift-pump");

    assert_code(&all, 0);
    assert_contains(all.out, "lift-340");
    assert_contains(all.out, "filter-10");
    assert_code(&pumps, 0);
    assert_contains(pumps.out, "lift-340");
    assert_null(strstr(pumps.out, "filter-10"));
    program_forget(&all);
    program_forget(&pumps);
}

/* The square root of 200/100, and the densities, by hand: 14 cc/s of n-heptane (683.8 kg/m3). */
static void an_injectors_figures_follow_the_square_root(void **state) {
    (void)state;
    program_run run = run_fuelreach("parts", "direct-14", "--format", "json");
    const char *at_100, *at_200;

    assert_code(&run, 0);
    at_100 = strstr(run.out, "\"drop_bar\":100");
    at_200 = strstr(run.out, "\"drop_bar\":200");
    assert_non_null(at_100);
    assert_non_null(at_200);
    assert_close(json_number(at_200, "flow_e0_g_s"), json_number(at_100, "flow_e0_g_s") * sqrt(2.0),
                 1e-12);
    double density = json_number(at_100, "flow_e0_g_s") / json_number(at_100, "flow_e0_cc_s") * 1e3;
    assert_close(json_number(at_100, "flow_e0_cc_s"), 14.0 * sqrt(683.8 / density), 1e-9);
    program_forget(&run);
}

static void a_part_of_ones_own_hides_a_shipped_one(void **state) {
    (void)state;
    char path[PATH_SIZE], *folder = program_folder();

    program_write_file(program_path(path, sizeof path, folder, "lift-340.yaml"),
                       "kind: lift-pump\ntitle: my own pump\nsize: 317 L/h\n");
    program_run run = run_fuelreach("parts", "lift-340", "--parts", folder);
    program_run shipped = run_fuelreach("parts", "lift-340");
    assert_code(&run, 0);
    assert_contains(run.out, "my own pump");
    assert_contains(run.out, "hides a shipped part");
    assert_contains(run.out, "317");
    assert_null(strstr(shipped.out, "my own pump"));
    program_forget(&run);
    program_forget(&shipped);
    program_folder_remove(folder);
}

static void an_unknown_part_gets_the_nearest_name(void **state) {
    (void)state;
    program_run part = run_fuelreach("parts", "lift-34O");
    program_run kind = run_fuelreach("parts", "lift-pumps");

    assert_code(&part, 2);
    assert_contains(part.err, "'lift-340' is meant?");
    assert_code(&kind, 2);
    assert_contains(kind.err, "'lift-pump' is meant?");
    program_forget(&part);
    program_forget(&kind);
}

static void a_missing_folder_of_parts_is_said(void **state) {
    (void)state;
    program_run run = run_fuelreach("parts", "--parts", "/no/such/folder");

    assert_code(&run, 3);
    assert_contains(run.err, "/no/such/folder");
    program_forget(&run);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fuel_gives_published_densities_of_ethanol),
        cmocka_unit_test(fuel_lists_the_blends_asked_for),
        cmocka_unit_test(fuel_refuses_what_is_no_condition),
        cmocka_unit_test(a_draft_is_taken_as_it_is),
        cmocka_unit_test(a_draft_never_overwrites),
        cmocka_unit_test(every_part_can_be_shown),
        cmocka_unit_test(every_part_has_figures),
        cmocka_unit_test(a_kind_lists_its_parts_alone),
        cmocka_unit_test(an_injectors_figures_follow_the_square_root),
        cmocka_unit_test(a_part_of_ones_own_hides_a_shipped_one),
        cmocka_unit_test(an_unknown_part_gets_the_nearest_name),
        cmocka_unit_test(a_missing_folder_of_parts_is_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
