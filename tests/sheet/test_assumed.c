/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every default taken is listed, with the line that says the same: pasted where it belongs, the
 * build stays what it was. */
#include "fuelreach/check.h"
#include "sheet_support.h"

enum { LINES_MAX = 400, LINE_MAX_SIZE = 1024 };

static const char *const sheets[] = {
    /* block style, boosted, port */
    "engine:\n  cylinders: 4\n  displacement: 1.9 L\n  target_power: 163 kW\n  power_at: wheels\n"
    "  aspiration: turbo\nsupply:\n  lift_pump: 255 L/h\n"
    "  port_injection:\n    injector: 730 cc/min\n",
    /* natural, nothing but what is needed, in one line each */
    "engine: {cylinders: 6, displacement: 3.1 L, target_power: 171 kW, power_at: crank}\n"
    "supply: {lift_pump: 190 L/h, port_injection: {injector: 360 cc/min}}\n",
    /* direct, four blanks of indentation, a part named and changed, lines given in part */
    "name: \"Tern: direct #3\"\n"
    "engine:\n    cylinders: 4\n    displacement: 2.0 L\n    target_power: {E10: 181 kW, E85: 193 "
    "kW}\n    power_at: crank\n    aspiration: supercharged\n    peak_power_at: 6300 rpm\n"
    "site: {air_pressure: 987 mbar}\n"
    "supply:\n    lift_pump: {part: lift-340, condition: 92 %}\n"
    "    pump_circuit: {fuse: 25 A}\n    lines: [{bore: 8.1 mm}, {length: 0.7 m, bore: 7 mm}]\n"
    "    filters: [{drop: 0.1 bar}]\n"
    "    direct_injection:\n        injector: 15.3 cc/s\n"
    "        high_pressure_pump: {plunger: 9 mm, lift: 3.4 mm, lobes: 4}\n",
    /* both, two pumps, a comment in between */
    "engine:\n  cylinders: 4\n  displacement: 2.0 L\n\n  # what the customer asks for\n"
    "  target_power: 291 kW\n  power_at: crank\n  aspiration: turbo\n  boost: 1.63 bar\n"
    "fuel:\n  blends: [E10, E85]\n"
    "supply:\n  lift_pump: {count: 2, size: 255 L/h}\n  regulation: mechanical-returnless\n"
    "  port_injection: {injector: 41 lb/h at 43.5 psi, count: 8}\n"
    "  direct_injection: {injector: direct-14, high_pressure_pump: plunger-87}\n",
    /* unlike pumps in block style, wiring by its wire */
    "engine:\n  cylinders: 8\n  displacement: 4.9 L\n  target_power: 411 kW\n  power_at: crank\n"
    "supply:\n  lift_pump:\n    pumps:\n      - part: lift-255\n      - {part: 300 L/h at 4 bar}\n"
    "  pump_circuit:\n    wiring: {wire: 10 AWG}\n"
    "  port_injection: {injector: {part: port-550, max_duty: 92 %}}\n",
    /* curves without current; gasoline in part */
    "engine:\n  cylinders: 3\n  displacement: 1.2 L\n  target_power: 97 kW\n  power_at: crank\n"
    "  aspiration: turbo\n  power_curve: {2100 rpm: 31 kW, 5900 rpm: 97 kW}\n"
    "fuel: {gasoline: {density: 738 kg/m3}}\n"
    "supply:\n  lift_pump: {curves: [{flow: {3 bar: 131 L/h, 5 bar: 93 L/h}}]}\n"
    "  regulation: return\n  return_line: {length: 3.9 m}\n"
    "  port_injection: {injector: {flow: 391 cc/min, dead_time: 1.1 ms}}\n",
};
enum { SHEETS = sizeof sheets / sizeof sheets[0] };

static const char us_sheet[] =
    "units: us\n"
    "engine:\n  cylinders: 8\n  displacement: 302 ci\n  target_power: 420 hp\n  power_at: wheels\n"
    "  aspiration: supercharged\nsupply:\n  lift_pump: 340 L/h\n"
    "  port_injection: {injector: 60 lb/h}\n";

/* ---- pasting ---- */

typedef struct lines {
    size_t count;
    char text[LINES_MAX][LINE_MAX_SIZE];
} lines;

static void split(const char *text, lines *out) {
    out->count = 0;
    while (*text) {
        size_t length = strcspn(text, "\n");
        assert_true(length < LINE_MAX_SIZE && out->count < LINES_MAX);
        snprintf(out->text[out->count++], LINE_MAX_SIZE, "%.*s", (int)length, text);
        text += length + (text[length] != '\0');
    }
}

static size_t indent_of(const char *line) {
    return strspn(line, " ");
}

static bool has_key(const char *line, const char *key, size_t length) {
    const char *at = line + indent_of(line);
    return strncmp(at, key, length) == 0 && at[length] == ':';
}

/* First line of a key below a line of less indentation; count when there is none. */
static size_t find_line(const lines *all, size_t from, size_t indent, const char *key,
                        size_t length) {
    for (size_t i = from; i < all->count; i++) {
        const char *line = all->text[i];
        if (line[indent_of(line)] == '\0' || line[indent_of(line)] == '#')
            continue;
        if (indent_of(line) < indent)
            break;
        if (has_key(line, key, length))
            return i;
    }
    return all->count;
}

static void put_at(lines *all, size_t at, size_t taken, const char *line) {
    assert_true(all->count < LINES_MAX);
    size_t moved = all->count - at - taken;
    memmove(all->text[at + 1], all->text[at + taken], moved * LINE_MAX_SIZE);
    snprintf(all->text[at], LINE_MAX_SIZE, "%s", line);
    all->count = all->count - taken + 1;
}

/* How many lines a key and all below it take. */
static size_t extent(const lines *all, size_t at) {
    size_t end = at + 1;
    while (end < all->count && all->text[end][0] != '\0' &&
           indent_of(all->text[end]) > indent_of(all->text[at]))
        end++;
    return end - at;
}

/* Pastes as a person would: under its section, in place of a line that begins with its key. */
static void paste(const char *text, const char *field, const char *new_line, char *out,
                  size_t size) {
    static lines all;
    const char *path = field;
    size_t key_length = strcspn(new_line + indent_of(new_line), ":");
    const char *key = new_line + indent_of(new_line);
    size_t from = 0, parent = SIZE_MAX;
    split(text, &all);
    assert_true(key_length < LINE_MAX_SIZE);
    if (strchr(new_line, '\n') != NULL) {
        /* a section that the sheet has not got */
        snprintf(out, size, "%s%s\n", text, new_line);
        return;
    }
    for (;;) {
        size_t length = strcspn(path, ".");
        size_t indent = parent == SIZE_MAX ? 0 : indent_of(all.text[parent]) + 1;
        size_t here = find_line(&all, from, indent, path, length);
        if (length == key_length && strncmp(path, key, length) == 0 &&
            indent_of(new_line) >= indent) {
            if (here < all.count)
                put_at(&all, here, extent(&all, here), new_line);
            else
                put_at(&all, parent == SIZE_MAX ? all.count : parent + 1, 0, new_line);
            break;
        }
        assert_true(here < all.count && path[length] == '.');
        parent = here;
        from = here + 1;
        path += length + 1;
    }
    size_t used = 0;
    for (size_t i = 0; i < all.count; i++)
        used += (size_t)snprintf(out + used, size - used, "%s\n", all.text[i]);
    assert_true(used < size);
}

static void check_paste(const char *text, const fr_sheet *sheet, const fr_assumed *one,
                        double tolerance) {
    static char pasted[65536];
    assert_true(strlen(one->paste) > 0);
    paste(text, one->field, one->paste, pasted, sizeof pasted);
    fr_sheet *again = open_sheet(pasted);
    fr_build expected = *fr_sheet_build(sheet);
    /* The one thing that saying it changes: the tank's temperature is known then. */
    if (strcmp(one->field, "site.tank_temperature") == 0)
        expected.site.tank_temperature_given = true;
    const char *where = builds_differ(&expected, fr_sheet_build(again), tolerance);
    if (where != NULL || find_assumed(again, one->field) != NULL) {
        print_error("%s pasted as\n%s\nchanges %s, or is still assumed\n%s\n", one->field,
                    one->paste, where ? where : "nothing", pasted);
        fail();
    }
    fr_sheet_close(again);
}

static void check_sheet(const char *text, double tolerance) {
    fr_sheet *sheet = open_sheet(text);
    size_t count;
    const fr_assumed *all = fr_sheet_assumed(sheet, &count);
    assert_true(count > 0);
    for (size_t i = 0; i < count; i++) {
        assert_true(strlen(all[i].why) > 0);
        check_paste(text, sheet, &all[i], tolerance);
    }
    fr_sheet_close(sheet);
}

static void every_line_pasted_leaves_the_build_as_it_was(void **state) {
    (void)state;
    for (size_t i = 0; i < SHEETS; i++)
        check_sheet(sheets[i], 1e-11);
}

static void so_it_does_in_a_us_sheet_to_six_digits(void **state) {
    (void)state;
    check_sheet(us_sheet, 2e-6);
}

static void values_are_in_the_units_of_the_sheet(void **state) {
    (void)state;
    fr_sheet *sheet = open_sheet(us_sheet);
    assert_string_equal(find_assumed(sheet, "site.feed_temperature")->value, "113 °F");
    assert_string_equal(find_assumed(sheet, "supply.feed_pressure")->value, "43.51132 psi");
    fr_sheet_close(sheet);
    sheet = open_sheet(sheets[0]);
    assert_string_equal(find_assumed(sheet, "site.feed_temperature")->value, "45 °C");
    assert_string_equal(find_assumed(sheet, "engine.bsfc")->paste, "  bsfc: 350 g/kWh");
    fr_sheet_close(sheet);
}

/* ---- factory ---- */

static const char factory_sheet[] =
    "engine:\n  cylinders: 4\n  displacement: 1.8 L\n  target_power: 172 kW\n  power_at: crank\n"
    "  factory_power: 127 kW\n  aspiration: turbo\nsupply:\n"
    "  lift_pump: {part: factory, condition: 90 %}\n"
    "  port_injection:\n    injector: {part: factory, max_duty: 91 %}\n"
    "  direct_injection: {injector: {part: factory, of_factory: 110 %}, high_pressure_pump: "
    "factory}\n";

static void factory_parts_come_first_and_their_lines_give_the_same_car(void **state) {
    (void)state;
    static char pasted[65536];
    fr_sheet *sheet = open_sheet(factory_sheet);
    size_t count;
    const fr_assumed *all = fr_sheet_assumed(sheet, &count);
    for (size_t i = 0; i < 4; i++) {
        assert_true(all[i].is_factory);
        assert_true(all[i].input < SIZE_MAX);
        paste(factory_sheet, all[i].field, all[i].paste, pasted, sizeof pasted);
        fr_sheet *again = open_sheet(pasted);
        /* written with five digits */
        const char *where = builds_differ(fr_sheet_build(sheet), fr_sheet_build(again), 3e-5);
        if (where != NULL)
            print_error("%s changes %s\n", all[i].paste, where);
        assert_null(where);
        fr_sheet_close(again);
    }
    assert_false(all[4].is_factory);
    fr_sheet_close(sheet);
}

static void a_worn_factory_pump_is_the_one_of_the_new_car_worn(void **state) {
    (void)state;
    fr_sheet *worn = open_sheet(factory_sheet);
    fr_sheet *as_new = open_sheet(with_text(factory_sheet, "condition: 90 %", "condition: 100 %"));
    const fr_pump *a = &fr_sheet_build(worn)->pumps.kinds[0];
    const fr_pump *b = &fr_sheet_build(as_new)->pumps.kinds[0];
    assert_close(a->curves[0].flow_m3_s.y[0], b->curves[0].flow_m3_s.y[0], 1e-12);
    assert_close(a->flow_factor, 0.90, 1e-12);
    assert_close(b->flow_factor, 1.0, 1e-12);
    fr_sheet_close(as_new);
    fr_sheet_close(worn);
}

static void what_factory_works_out_cannot_be_said_beside_it(void **state) {
    (void)state;
    fr_report report = FR_REPORT_EMPTY;
    assert_null(try_sheet(with_text(factory_sheet, "condition: 90 %", "size: 255 L/h"), NULL, NULL,
                          &report));
    assert_remark(&report, 9, 30, "size is what 'factory' works out");
    assert_null(try_sheet(with_text(factory_sheet, "{part: factory, condition: 90 %}",
                                    "{pumps: [{part: factory}, {part: 255 L/h}]}"),
                          NULL, NULL, &report));
    assert_remark(&report, 9, 22, "only a single kind of pump can be 'factory'");
    fr_report_close(&report);
}

static void a_factory_part_has_the_use_it_was_sized_for(void **state) {
    (void)state;
    /* at factory_power on E10: 0.75 of duty, 0.65 of the pump (common practice) */
    fr_sheet *sheet = open_sheet(
        "engine: {cylinders: 4, displacement: 1.8 L, target_power: 127 kW, power_at: crank, "
        "factory_power: 127 kW, aspiration: turbo}\nfuel: {blends: [E10]}\n"
        "supply: {lift_pump: factory, port_injection: {injector: factory}}\n");
    fr_check *check = fr_check_open();
    assert_non_null(check);
    const fr_check_result *result = fr_check_run(check, fr_sheet_build(sheet));
    double duty = 0.0, lift = 0.0;
    for (size_t i = 0; i < result->blends[0].stage_count; i++) {
        const fr_stage_result *stage = &result->blends[0].stages[i];
        duty = stage->stage == FR_STAGE_PORT_INJECTOR ? stage->use : duty;
        lift = stage->stage == FR_STAGE_LIFT_PUMP ? stage->use : lift;
    }
    assert_close(duty, 0.75, 1e-6);
    assert_close(lift, 0.65, 1e-6);
    fr_check_close(check);
    fr_sheet_close(sheet);
}

/* ---- words ---- */

static void every_assumed_word_can_be_tried_by_its_alternatives(void **state) {
    (void)state;
    size_t words = 0;
    for (size_t i = 0; i < SHEETS; i++) {
        fr_sheet *sheet = open_sheet(sheets[i]);
        size_t count;
        const fr_assumed *all = fr_sheet_assumed(sheet, &count);
        for (size_t k = 0; k < count; k++) {
            assert_true(all[k].is_word == (all[k].alternative_count > 0));
            for (size_t a = 0; a < all[k].alternative_count; a++) {
                static fr_build build;
                char set[256];
                snprintf(set, sizeof set, "%s=%s", all[k].field, all[k].alternatives[a]);
                assert_string_not_equal(all[k].alternatives[a], all[k].value);
                if (!fr_sheet_with(sheet, set, &build)) {
                    print_error("sheet %zu does not take %s\n", i, set);
                    fail();
                }
                assert_non_null(builds_differ(fr_sheet_build(sheet), &build, 1e-12));
                words++;
            }
        }
        fr_sheet_close(sheet);
    }
    assert_true(words > 20);
}

static void regulation_and_wiring_are_words_with_alternatives(void **state) {
    (void)state;
    fr_sheet *sheet = open_sheet(sheets[0]);
    const fr_assumed *regulation = find_assumed(sheet, "supply.regulation");
    const fr_assumed *wiring = find_assumed(sheet, "supply.pump_circuit.wiring");
    assert_string_equal(regulation->value, "return");
    assert_int_equal(regulation->alternative_count, 2);
    assert_string_equal(wiring->alternatives[0], "relay");
    assert_string_equal(wiring->paste, "  pump_circuit: {wiring: standard}");
    fr_sheet_close(sheet);
}

static void figures_with_a_tolerance_point_to_their_input(void **state) {
    (void)state;
    static const char *const pairs[][2] = {{"engine.bsfc", "bsfc"},
                                           {"engine.lambda", "lambda"},
                                           {"site.supply_voltage", "supply-voltage"},
                                           {"site.feed_temperature", "feed-temperature"}};
    fr_sheet *sheet = open_sheet(sheets[0]);
    size_t count;
    const fr_input *inputs = fr_sheet_inputs(sheet, &count);
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        const fr_assumed *one = find_assumed(sheet, pairs[i][0]);
        assert_non_null(one);
        assert_true(one->input < count);
        assert_string_equal(inputs[one->input].name, pairs[i][1]);
    }
    assert_true(find_assumed(sheet, "engine.idle_speed")->input == SIZE_MAX);
    fr_sheet_close(sheet);
}

static void what_the_sheet_says_is_not_listed(void **state) {
    (void)state;
    fr_sheet *sheet = open_sheet(sheets[3]);
    assert_null(find_assumed(sheet, "engine.boost"));
    assert_null(find_assumed(sheet, "fuel.blends"));
    assert_null(find_assumed(sheet, "supply.port_injection.count"));
    assert_null(find_assumed(sheet, "supply.return_line"));
    assert_non_null(find_assumed(sheet, "supply.lift_pump.arrangement"));
    fr_sheet_close(sheet);
}

static void a_line_for_any_field_can_be_asked_for(void **state) {
    (void)state;
    char line[512];
    fr_sheet *sheet = open_sheet(sheets[0]);
    assert_true(fr_sheet_paste(sheet, "engine.bsfc", "385 g/kWh", line, sizeof line));
    assert_string_equal(line, "  bsfc: 385 g/kWh");
    assert_true(fr_sheet_paste(sheet, "supply.lift_pump.condition", "90 %", line, sizeof line));
    assert_string_equal(line, "  lift_pump: {part: 255 L/h, condition: 90 %}");
    assert_true(fr_sheet_paste(sheet, "supply.port_injection.count", "8", line, sizeof line));
    assert_string_equal(line, "    count: 8");
    assert_true(fr_sheet_paste(sheet, "site.supply_voltage", "13.1 V", line, sizeof line));
    assert_string_equal(line, "site:\n  supply_voltage: 13.1 V");
    assert_false(fr_sheet_paste(sheet, "engine.bsfc", "385 g/kWh", line, 8));
    fr_sheet_close(sheet);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_line_pasted_leaves_the_build_as_it_was),
        cmocka_unit_test(so_it_does_in_a_us_sheet_to_six_digits),
        cmocka_unit_test(values_are_in_the_units_of_the_sheet),
        cmocka_unit_test(factory_parts_come_first_and_their_lines_give_the_same_car),
        cmocka_unit_test(a_worn_factory_pump_is_the_one_of_the_new_car_worn),
        cmocka_unit_test(what_factory_works_out_cannot_be_said_beside_it),
        cmocka_unit_test(a_factory_part_has_the_use_it_was_sized_for),
        cmocka_unit_test(every_assumed_word_can_be_tried_by_its_alternatives),
        cmocka_unit_test(regulation_and_wiring_are_words_with_alternatives),
        cmocka_unit_test(figures_with_a_tolerance_point_to_their_input),
        cmocka_unit_test(what_the_sheet_says_is_not_listed),
        cmocka_unit_test(a_line_for_any_field_can_be_asked_for),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
