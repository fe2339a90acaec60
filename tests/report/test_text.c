/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The text report: what it says of results filled by hand, and that it stays on its page. */
#include "report/fixture.h"
#include "report/utf8.h"
#include "support.h"

static void a_short_build_says_where_what_and_how_far(void **state) {
    (void)state;
    static report_fixture fixture;
    fixture_port(&fixture);
    char *text = fixture_text(&fixture, FR_METRIC);
    assert_contains(text, "\nRUNS SHORT on E85: the lift pump gives too little.\n"
                          "At 225 kW it is clear up to E41 and holds up to E74. On E85 it holds ");
    assert_contains(text, "  Lift pump                  85       66       89~     104!\n");
    assert_contains(text, "  Verdict                          clear    tight    short\n");
    fixture_assert_page(text);
    free(text);
    fixture_close(&fixture);
}

static void parts_stand_in_the_order_in_which_people_read(void **state) {
    (void)state;
    static const char *const order[] = {"Asked: ",
                                        "RUNS SHORT",
                                        "Used at ",
                                        "Ends it",
                                        "What runs out, and the least that mends it",
                                        "Assumed, not in the sheet",
                                        "Cautions"};
    static report_fixture fixture;
    fixture_port(&fixture);
    char *text = fixture_text(&fixture, FR_METRIC);
    const char *at = text;
    for (size_t i = 0; i < sizeof order / sizeof order[0]; i++) {
        at = strstr(at, order[i]);
        assert_non_null(at);
    }
    free(text);
    fixture_close(&fixture);
}

static void a_build_that_holds_says_what_would_end_it(void **state) {
    (void)state;
    static report_fixture fixture;
    fixture_port(&fixture);
    fixture.result.verdict = FR_CLEAR;
    for (size_t b = 0; b < 3; b++) {
        fixture.result.blends[b].verdict = FR_CLEAR;
        fixture.result.blends[b].reach_w = 301234 - 10000 * (double)b;
        fixture.result.blends[b].stages[0].verdict = FR_CLEAR;
    }
    fixture.mends.stage_count = 0;
    fixture.result.highest = (fr_highest_blend){.ethanol = 1, .whole_range = true, .clear_to = 0.9};
    char *text = fixture_text(&fixture, FR_METRIC);
    assert_contains(text,
                    "HOLDS on every blend asked, E10 to E85. Every stage is within its limit.");
    assert_contains(text, "clear up to E90 and holds on every blend to E100.");
    assert_contains(text, "On E85 the\nlift pump would run out first, at 281 kW.");
    assert_contains(text, "What runs out: nothing at 225 kW.");
    free(text);
    fixture_close(&fixture);
}

static void a_doubtful_input_is_said_beside_the_verdict(void **state) {
    (void)state;
    static report_fixture fixture;
    fixture_port(&fixture);
    fixture.result.blends[1].doubtful = true;
    char *text = fixture_text(&fixture, FR_METRIC);
    assert_contains(text, "RUNS SHORT on E85 (input doubtful, see Cautions):");
    assert_contains(text, "clear    tight?   short\n");
    free(text);
    fixture_close(&fixture);
}

static void where_no_pressure_passes_the_fuel_it_says_none(void **state) {
    (void)state;
    static report_fixture fixture;
    fixture_direct(&fixture);
    char *text = fixture_text(&fixture, FR_METRIC);
    assert_contains(text,
                    "RUNS SHORT on E85: the direct injectors and the high-pressure pump are too");
    assert_contains(text,
                    "Margin none: from 4750 rpm the pump cannot pass this fuel at any pressure.");
    assert_contains(text, ">200!");
    assert_contains(text, "+98 bar");
    fixture_assert_page(text);
    free(text);
    fixture_close(&fixture);
}

static void us_units_are_used_throughout(void **state) {
    (void)state;
    static report_fixture fixture;
    fixture_direct(&fixture);
    char *text = fixture_text(&fixture, FR_US);
    fixture_assert_page(text);
    /* What was assumed stands as it would be written in the sheet, which is metric. */
    char *assumed = strstr(text, "\nAssumed");
    assert_non_null(assumed);
    *assumed = '\0';
    assert_contains(text, "Asked: 282 hp at the crank");
    assert_contains(text, "gal/h");
    assert_contains(text, "psi");
    assert_null(strstr(text, " kW"));
    assert_null(strstr(text, " bar"));
    assert_null(strstr(text, "kg/h"));
    free(text);
    fixture_close(&fixture);
}

static void powers_at_the_wheels_say_so(void **state) {
    (void)state;
    static report_fixture fixture;
    fixture_port(&fixture);
    fixture.build.engine.at_wheels = true;
    char *text = fixture_text(&fixture, FR_METRIC);
    assert_contains(text, "Asked: 225 kW at the wheels");
    assert_contains(text, "At 225 kW at the wheels it is clear");
    assert_contains(text, "All powers are at the wheels.");
    fixture_assert_page(text);
    free(text);
    fixture_close(&fixture);
}

static size_t count_of(const char *text, const char *part) {
    size_t count = 0;
    for (; (text = strstr(text, part)) != NULL; text++)
        count++;
    return count;
}

static void more_than_eight_blends_take_two_grids(void **state) {
    (void)state;
    static report_fixture fixture;
    fixture_port(&fixture);
    fixture_spread(&fixture, 8, 10);
    char *text = fixture_text(&fixture, FR_METRIC);
    assert_int_equal(count_of(text, "   limit "), 1);
    fixture_assert_page(text);
    free(text);
    fixture_spread(&fixture, 9, 10);
    text = fixture_text(&fixture, FR_METRIC);
    assert_int_equal(count_of(text, "   limit "), 2);
    assert_int_equal(count_of(text, "  Verdict"), 2);
    fixture_assert_page(text);
    free(text);
    fixture_spread(&fixture, FR_BLENDS_MAX, 2.75);
    text = fixture_text(&fixture, FR_METRIC);
    assert_contains(text, "E90.25");
    fixture_assert_page(text);
    free(text);
    fixture_close(&fixture);
}

static void a_fuse_that_is_not_given_is_not_judged_and_said_why(void **state) {
    (void)state;
    static report_fixture fixture;
    fixture_port(&fixture);
    fixture.build.pumps.fuse_a = 0;
    char *text = fixture_text(&fixture, FR_METRIC);
    assert_contains(text, "Pump fuse: not judged, no fuse given; a pump draws 9.9 A.");
    free(text);
    fixture_close(&fixture);
}

static void a_power_that_carries_the_target_is_not_shown_below_it(void **state) {
    (void)state;
    static report_fixture fixture;
    fixture_port(&fixture);
    fixture.turns.count = 1;
    fixture.turns.turns[0] = (fr_turn){.field = "site.supply_voltage",
                                       .instead = "13.1 V",
                                       .paste = "  supply_voltage: 13.1 V",
                                       .question = "13.1 V at the car, not 13.5 V?",
                                       .verdict = FR_SHORT,
                                       .ethanol = 0.85,
                                       .stage = FR_STAGE_LIFT_PUMP,
                                       .reach_w = 209876};
    for (size_t b = 0; b < 3; b++)
        fixture.result.blends[b].target_power_w = 227e3;
    fixture.result.blends[0].reach_w = 228.4e3;
    fixture.result.blends[1].reach_w = 226.9e3;
    char *text = fixture_text(&fixture, FR_METRIC);
    assert_contains(text, "228 kW   lift pump"); /* carries 227: the step of 5 would say 225 */
    assert_contains(text, "225 kW   lift pump"); /* does not */
    assert_contains(text, "Powers are rounded down to 5 kW");
    assert_contains(text, "13.1 V at the car, not 13.5 V?");
    assert_contains(text, "E85 SHORT: the lift pump, at 205 kW");
    assert_contains(text, "under site: supply_voltage: 13.1 V");
    fixture_assert_page(text);
    free(text);
    fixture_close(&fixture);
}

static void targets_that_differ_by_blend_get_a_column(void **state) {
    (void)state;
    static report_fixture fixture;
    fixture_port(&fixture);
    fixture.result.blends[2].target_power_w = 240e3;
    char *text = fixture_text(&fixture, FR_METRIC);
    assert_contains(text, "Asked: 225 to 240 kW at the crank, by blend");
    assert_contains(text, "At the power asked of each blend it is clear");
    assert_contains(text, "Asked");
    fixture_assert_page(text);
    free(text);
    fixture_close(&fixture);
}

static void a_stage_that_no_power_mends_is_said_as_such(void **state) {
    (void)state;
    static report_fixture fixture;
    fixture_port(&fixture);
    for (size_t b = 0; b < 3; b++)
        fixture.result.blends[b].verdict = fixture.result.verdict = FR_CLEAR;
    for (size_t b = 0; b < 3; b++)
        fixture_stage(&fixture, b, FR_STAGE_LIFT_PUMP, FR_CLEAR, 0.5, 4e5);
    fixture_stage(&fixture, 0, FR_STAGE_PUMP_INLET, FR_SHORT, 1.08, NAN);
    fixture.build.site.tank_temperature_given = true;
    fixture.result.blends[0].stages[fixture.result.blends[0].stage_count - 1].no_power_mends = true;
    fixture.mends.stages[0] = (fr_mended_stage){
        .stage = FR_STAGE_PUMP_INLET,
        .blend = 0,
        .mend_count = 1,
        .mends = {{FR_STAGE_PUMP_INLET, FR_LEVER_TANK_TEMPERATURE, 38.44, 52, NAN}}};
    char *text = fixture_text(&fixture, FR_METRIC);
    assert_contains(text, "RUNS SHORT on E10: the fuel at the pump's inlet boils.");
    assert_contains(text, "No power mends it");
    assert_contains(text, "a tank no warmer than 38 °C");
    free(text);
    fixture_close(&fixture);
}

static void a_feed_that_sags_is_laid_on_the_lift_pump(void **state) {
    (void)state;
    static report_fixture fixture;
    fixture_port(&fixture);
    fixture_stage(&fixture, 2, FR_STAGE_FEED_PRESSURE, FR_SHORT, 1.3, 2.2e5);
    fixture_stage(&fixture, 2, FR_STAGE_VAPOUR, FR_SHORT, 1.1, 2.3e5);
    char *text = fixture_text(&fixture, FR_METRIC);
    assert_contains(text, "RUNS SHORT on E85: the lift pump gives too little.\n");
    free(text);
    fixture.result.blends[2].weakest = FR_STAGE_FEED_PRESSURE;
    text = fixture_text(&fixture, FR_METRIC);
    assert_contains(text, "RUNS SHORT on E85: the feed pressure falls too far.\n");
    free(text);
    fixture_close(&fixture);
}

static void where_nothing_ends_it_a_power_is_only_bounded(void **state) {
    (void)state;
    static report_fixture fixture;
    fixture_port(&fixture);
    for (size_t b = 0; b < 3; b++) {
        fixture.result.blends[b].verdict = fixture.result.verdict = FR_CLEAR;
        fixture.result.blends[b].stages[0].verdict = FR_CLEAR;
        fixture.result.blends[b].reach_w = fixture.result.blends[b].clear_to_w = NAN;
    }
    char *text = fixture_text(&fixture, FR_METRIC);
    assert_contains(text, "No stage would run out within four times that power.");
    assert_contains(text, ">900 kW   >900 kW   nothing");
    free(text);
    fixture.result.blends[0].reach_is_mended_by_no_power = true;
    text = fixture_text(&fixture, FR_METRIC);
    assert_contains(text, "none   nothing");
    assert_contains(text, "Power none: a stage is past its limit with no fuel drawn");
    free(text);
    fixture_close(&fixture);
}

static void what_it_rests_on_is_counted(void **state) {
    (void)state;
    static report_fixture fixture;
    fixture_port(&fixture);
    size_t count;
    char sentence[96];
    fr_sheet_assumed(fixture.sheet, &count);
    fixture.turns.tried = 20;
    char *text = fixture_text(&fixture, FR_METRIC);
    snprintf(sentence, sizeof sentence,
             "It rests on %zu assumed values; none of them alone would change it.", count);
    assert_contains(text, sentence);
    free(text);
    fixture_close(&fixture);
}

static void a_hostile_name_stays_text_on_its_line(void **state) {
    (void)state;
    static report_fixture fixture;
    fixture_port_named(&fixture, "\"\\e]0;owned\\a\\e[2J \\u202E</script>\"");
    char *text = fixture_text(&fixture, FR_METRIC);
    assert_null(strpbrk(text, "\033\a"));
    assert_null(strstr(text, "\xE2\x80\xAE"));
    assert_contains(text, "</script>");
    free(text);
    char *json = fixture_json(&fixture);
    assert_contains(json, "\\u001b]0;owned\\u0007");
    assert_contains(json, "<\\/script>");
    free(json);
    fixture_close(&fixture);
}

static void a_long_name_in_wide_characters_is_cut_to_the_page(void **state) {
    (void)state;
    static report_fixture fixture;
    char name[3 * 300 + 1] = "";
    for (size_t i = 0; i < 300; i++)
        strcat(name, "燕");
    fixture_port_named(&fixture, name);
    char *text = fixture_text(&fixture, FR_METRIC);
    fixture_assert_page(text);
    assert_contains(text, "燕…\ntern.yaml\n2.0 L");
    free(text);
    fixture_close(&fixture);
}

static void detail_adds_speeds_and_lines_to_paste(void **state) {
    (void)state;
    static report_fixture fixture;
    fixture_port(&fixture);
    FILE *file = tmpfile();
    static char text[65536];
    assert_non_null(file);
    const fr_text_style style = {.units = FR_METRIC, .detail = true};
    fr_write_check_text(file, &fixture.document, &style);
    rewind(file);
    text[fread(text, 1, sizeof text - 1, file)] = '\0';
    fclose(file);
    assert_contains(text, "tern.yaml:3, engine:\n");
    assert_contains(text, "      bsfc_blend: E10\n");
    assert_contains(text, "tern.yaml, at its end:\n    site:\n");
    assert_contains(text, "\nOver speed\n");
    assert_contains(text, "\nE85\n  Speed   Power   Fuel");
    assert_contains(text, "\n   7000     225 ");
    fixture_close(&fixture);
}

static void only_colour_changes_with_colour(void **state) {
    (void)state;
    static report_fixture fixture;
    fixture_port(&fixture);
    FILE *file = tmpfile();
    assert_non_null(file);
    const fr_text_style style = {.units = FR_METRIC, .colour = true};
    fr_write_check_text(file, &fixture.document, &style);
    static char coloured[65536], bare[65536];
    rewind(file);
    coloured[fread(coloured, 1, sizeof coloured - 1, file)] = '\0';
    fclose(file);
    assert_contains(coloured, "\033[1;31mRUNS SHORT\033[0m on E85");
    size_t used = 0;
    for (const char *at = coloured; *at != '\0';)
        if (*at == '\033')
            at += strcspn(at, "m") + 1;
        else
            bare[used++] = *at++;
    bare[used] = '\0';
    char *plain = fixture_text(&fixture, FR_METRIC);
    assert_string_equal(bare, plain);
    free(plain);
    fixture_close(&fixture);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_short_build_says_where_what_and_how_far),
        cmocka_unit_test(parts_stand_in_the_order_in_which_people_read),
        cmocka_unit_test(a_build_that_holds_says_what_would_end_it),
        cmocka_unit_test(a_doubtful_input_is_said_beside_the_verdict),
        cmocka_unit_test(where_no_pressure_passes_the_fuel_it_says_none),
        cmocka_unit_test(us_units_are_used_throughout),
        cmocka_unit_test(powers_at_the_wheels_say_so),
        cmocka_unit_test(more_than_eight_blends_take_two_grids),
        cmocka_unit_test(a_fuse_that_is_not_given_is_not_judged_and_said_why),
        cmocka_unit_test(a_power_that_carries_the_target_is_not_shown_below_it),
        cmocka_unit_test(targets_that_differ_by_blend_get_a_column),
        cmocka_unit_test(a_stage_that_no_power_mends_is_said_as_such),
        cmocka_unit_test(a_feed_that_sags_is_laid_on_the_lift_pump),
        cmocka_unit_test(where_nothing_ends_it_a_power_is_only_bounded),
        cmocka_unit_test(what_it_rests_on_is_counted),
        cmocka_unit_test(a_hostile_name_stays_text_on_its_line),
        cmocka_unit_test(a_long_name_in_wide_characters_is_cut_to_the_page),
        cmocka_unit_test(detail_adds_speeds_and_lines_to_paste),
        cmocka_unit_test(only_colour_changes_with_colour),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
