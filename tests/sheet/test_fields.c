/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The field table, held against itself and against the reader: what it promises is taken, what it
 * excludes is refused, and the starter sheet made from it opens. */
#include "sheet/assumed.h"
#include "sheet/fields.h"
#include "sheet_support.h"

enum { TEXT_SIZE = 65536 };

/* Calls `see` for every field of every section. */
static void each_field(void (*see)(const fr_section *section, const fr_field *field)) {
    for (int id = 0; id < FR_SECTION_COUNT; id++) {
        const fr_section *section = fr_section_of((fr_section_id)id);
        for (size_t i = 0; i < fr_section_field_count(section); i++)
            see(section, fr_section_field(section, i));
    }
}

static bool is_single(const fr_field *field) {
    return field->shape == FR_SHAPE_QUANTITY || field->shape == FR_SHAPE_CURVE ||
           field->shape == FR_SHAPE_NUMBER || field->shape == FR_SHAPE_WHOLE;
}

static void check_text(const fr_section *section, const fr_field *field, const char *text) {
    fr_quantity quantity;
    fr_curve curve;
    bool taken = true;
    if (field->words != NULL && fr_word_find(field->words, text) < field->words->count)
        return;
    if (is_single(field) && text[0] != '{')
        taken = fr_quantity_parse(text, field->kinds, &quantity) == FR_QUANTITY_FINE;
    else if (field->shape == FR_SHAPE_CURVE && field->axis != FR_AXIS_BLEND)
        taken = fr_curve_of_text(field, text, &curve);
    else if (field->shape == FR_SHAPE_WORD)
        taken = false;
    if (!taken)
        print_error("%s.%s does not take its own '%s'\n", section->place, field->key, text);
    assert_true(taken);
}

static void check_row(const fr_section *section, const fr_field *field) {
    assert_true(field->help != NULL && field->help[strlen(field->help) - 1] == '.');
    assert_ptr_equal(fr_field_find(section, field->key), field);
    if (field->default_text != NULL)
        check_text(section, field, field->default_text);
    if (field->example != NULL)
        check_text(section, field, field->example);
    assert_true(field->least <= field->most);
    assert_true(field->usual_least <= field->usual_most);
    /* a caution says the likely slip */
    assert_true((field->usual_most == 0.0 && field->usual_least == 0.0) || field->slip != NULL);
    assert_true(!field->needed || field->example != NULL || field->shape == FR_SHAPE_SECTION);
    if (field->unit != NULL) {
        fr_kind kind;
        double factor, offset;
        assert_true(fr_unit_find(field->unit, field->kinds, &kind, &factor, &offset));
        assert_true(field->unit_us == NULL ||
                    fr_unit_find(field->unit_us, field->kinds, &kind, &factor, &offset));
    }
}

static void every_row_takes_its_own_default_and_example(void **state) {
    (void)state;
    each_field(check_row);
}

/* Another name must not be a name of another field of the same section, nor a field itself. */
static void check_synonyms(const fr_section *section, const fr_field *field) {
    char word[64];
    for (const char *at = field->synonyms; at != NULL && *at;) {
        size_t length = strcspn(at, " ");
        snprintf(word, sizeof word, "%.*s", (int)length, at);
        if (fr_field_called(section, word) != field)
            print_error("'%s' in %s means %s and another\n", word, section->name, field->key);
        assert_ptr_equal(fr_field_called(section, word), field);
        assert_null(fr_field_find(section, word));
        at += length;
        at += strspn(at, " ");
    }
}

static void another_name_means_one_field(void **state) {
    (void)state;
    each_field(check_synonyms);
}

/* ---- what the reader makes of each field ---- */

static const char base[] =
    "engine: {cylinders: 4, displacement: 1.9 L, target_power: 163 kW, power_at: crank, "
    "aspiration: "
    "turbo}\n"
    "site: {feed_temperature: 44 °C}\nfuel: {blends: [E10]}\n"
    "supply:\n  lift_pump: {curves: [{voltage: 13.5 V, flow: 255 L/h, current: 8 A}]}\n"
    "  pump_circuit: {fuse: 20 A}\n  filters: [{drop: 0.1 bar}]\n  lines: [{bore: 8 mm}]\n"
    "  return_line: {bore: 8 mm}\n  regulation: return\n"
    "  port_injection: {injector: {flow: 730 cc/min}}\n"
    "  direct_injection: {injector: {flow: 15 cc/s}, high_pressure_pump: {displacement: 0.9 cc}}\n"
    "limits: {vapour: 90 %}\nlearnt: {bsfc: 101 %}\nsizing: {fitting: {line: 30}}\n"
    "log: {time: Time, feed_pressure: {column: Fuel}}\n";

/* Where each section stands in the sheet above; null: it cannot (a part's own file). */
static const char *const places[FR_SECTION_COUNT] = {
    [FR_SECTION_TOP] = "",
    [FR_SECTION_ENGINE] = "engine.",
    [FR_SECTION_SITE] = "site.",
    [FR_SECTION_FUEL] = "fuel.",
    [FR_SECTION_SUPPLY] = "supply.",
    [FR_SECTION_PUMP_CIRCUIT] = "supply.pump_circuit.",
    [FR_SECTION_PORT] = "supply.port_injection.",
    [FR_SECTION_DIRECT] = "supply.direct_injection.",
    [FR_SECTION_LIMITS] = "limits.",
    [FR_SECTION_LEARNT] = "learnt.",
    [FR_SECTION_SIZING] = "sizing.",
    [FR_SECTION_FITTING] = "sizing.fitting.",
    [FR_SECTION_LOG] = "log.",
    [FR_SECTION_CHANNEL] = "log.feed_pressure.",
    [FR_SECTION_PUMP_CURVE] = "supply.lift_pump.curves.0.",
    [FR_SECTION_LIFT_PUMP] = "supply.lift_pump.",
    [FR_SECTION_PORT_INJECTOR] = "supply.port_injection.injector.",
    [FR_SECTION_DIRECT_INJECTOR] = "supply.direct_injection.injector.",
    [FR_SECTION_HIGH_PRESSURE_PUMP] = "supply.direct_injection.high_pressure_pump.",
    [FR_SECTION_FILTER] = "supply.filters.0.",
    [FR_SECTION_LINE] = "supply.lines.0.",
    [FR_SECTION_WIRING] = "supply.pump_circuit.wiring.",
    [FR_SECTION_GASOLINE] = "fuel.gasoline.",
};

static size_t errors_with(const char *path, const char *key, const char *value) {
    fr_report report = FR_REPORT_EMPTY;
    char set[2048];
    snprintf(set, sizeof set, "%s%s=%s", path, key, value);
    const char *sets[] = {set, NULL, NULL};
    /* A wiring needs a wire or a resistance. */
    if (strstr(path, "wiring.") != NULL && strcmp(key, "resistance") != 0)
        sets[1] = "supply.pump_circuit.wiring.wire=12 AWG";
    const char *in_order[] = {sets[1] != NULL ? sets[1] : set, sets[1] != NULL ? set : NULL, NULL};
    fr_sheet *sheet = try_sheet(base, in_order, NULL, &report);
    size_t errors = fr_report_errors(&report);
    fr_sheet_close(sheet);
    fr_report_close(&report);
    return errors;
}

/* What every field refuses, whatever it is: a list in a list, and a word that none knows. */
static bool refuses_nonsense(const char *path, const fr_field *field) {
    const char *nonsense =
        field->shape == FR_SHAPE_TEXT || field->shape == FR_SHAPE_CHANNEL ? "[[1]]" : "@quux 7";
    char quoted[32];
    snprintf(quoted, sizeof quoted, nonsense[0] == '@' ? "'%s'" : "%s", nonsense);
    return errors_with(path, field->key, quoted) > 0;
}

static void every_field_refuses_nonsense(void **state) {
    (void)state;
    size_t seen = 0;
    for (int id = 0; id < FR_SECTION_COUNT; id++) {
        const fr_section *section = fr_section_of((fr_section_id)id);
        for (size_t i = 0; i < section->count; i++) {
            const fr_field *field = &section->fields[i];
            if (!refuses_nonsense(places[id], field)) {
                print_error("%s%s takes nonsense\n", places[id], field->key);
                fail();
            }
            seen++;
        }
    }
    assert_true(seen > 150);
}

static void check_bounds(const char *path, const fr_field *field) {
    char value[64];
    if (!is_single(field) || field->most == 0.0 || field->unit == NULL)
        return;
    double span = field->most - field->least;
    snprintf(value, sizeof value, "%.6g %s", field->most + 0.01 * span, field->unit);
    size_t above = errors_with(path, field->key, value);
    snprintf(value, sizeof value, "%.6g %s", field->least - 0.01 * span, field->unit);
    size_t below = errors_with(path, field->key, value);
    snprintf(value, sizeof value, "%.6g %s", field->most, field->unit);
    if (above == 0 || below == 0) {
        print_error("%s%s takes what is beyond %g to %g %s\n", path, field->key, field->least,
                    field->most, field->unit);
        fail();
    }
}

static void every_bound_is_held(void **state) {
    (void)state;
    for (int id = 0; id < FR_SECTION_COUNT; id++) {
        const fr_section *section = fr_section_of((fr_section_id)id);
        for (size_t i = 0; i < section->count; i++)
            check_bounds(places[id], &section->fields[i]);
    }
}

/* An example beside what it does not go with is told apart from one that is not taken. */
static bool goes_with_base(const fr_field *field) {
    static const char *const apart[] = {"part",    "pumps", "of_factory", "reference",
                                        "plunger", "lift",  "lobes"};
    for (size_t i = 0; i < sizeof apart / sizeof apart[0]; i++)
        if (strcmp(field->key, apart[i]) == 0)
            return false;
    return true;
}

static void every_example_is_taken(void **state) {
    (void)state;
    for (int id = 0; id < FR_SECTION_COUNT; id++) {
        const fr_section *section = fr_section_of((fr_section_id)id);
        for (size_t i = 0; i < section->count; i++) {
            const fr_field *field = &section->fields[i];
            const char *example = field->example != NULL ? field->example : field->default_text;
            if (example == NULL || !goes_with_base(field))
                continue;
            if (errors_with(places[id], field->key, example) > 0) {
                print_error("%s%s does not take %s\n", places[id], field->key, example);
                fail();
            }
        }
    }
}

/* ---- the starter sheet ---- */

/* What a writer writes, in static storage. */
static char *made_by(void (*write)(FILE *out)) {
    static char text[TEXT_SIZE];
    FILE *out = tmpfile();
    assert_non_null(out);
    write(out);
    rewind(out);
    size_t length = fread(text, 1, sizeof text - 1, out);
    fclose(out);
    assert_true(length > 0 && length < sizeof text - 1);
    text[length] = '\0';
    return text;
}

static void the_starter_sheet_opens_without_a_word(void **state) {
    (void)state;
    fr_report report = FR_REPORT_EMPTY;
    char *text = made_by(fr_sheet_write_draft);
    fr_sheet *sheet = try_sheet(text, NULL, NULL, &report);
    support_print_report(&report);
    assert_non_null(sheet);
    assert_int_equal(report.count, 0);
    fr_sheet_close(sheet);
    fr_report_close(&report);
}

/* Takes the sign off the line at `at` ("  # key: value"). */
static void uncomment(char *at) {
    char *sign = strstr(at, "# ");
    memmove(sign, sign + 2, strlen(sign + 2) + 1);
}

static bool is_commented_field(const char *line, char *key, size_t size) {
    size_t indent = strspn(line, " ");
    if (strncmp(line + indent, "# ", 2) != 0)
        return false;
    const char *name = line + indent + 2;
    size_t length = strspn(name, "abcdefghijklmnopqrstuvwxyz_-");
    if (length == 0 || length >= size || name[length] != ':' || name[length + 1] != ' ')
        return false;
    snprintf(key, size, "%.*s", (int)length, name);
    return true;
}

static void each_commented_line_of_the_starter_sheet_may_be_taken_up(void **state) {
    (void)state;
    char *draft = made_by(fr_sheet_write_draft);
    size_t taken = 0;
    for (char *at = draft; at != NULL && *at; at = strchr(at, '\n') ? strchr(at, '\n') + 1 : NULL) {
        static char text[TEXT_SIZE];
        char key[64];
        fr_report report = FR_REPORT_EMPTY;
        if (!is_commented_field(at, key, sizeof key))
            continue;
        /* An injector of direct injection needs its pump beside it, and the pump its injector. */
        bool direct =
            strstr(draft, "direct_injection:\n") < at && at < strstr(draft, "# direct_share");
        snprintf(text, sizeof text, "%s", draft);
        uncomment(text + (at - draft));
        fr_sheet *sheet = try_sheet(text, NULL, NULL, &report);
        if (sheet == NULL && !direct) {
            print_error("%s cannot be taken up\n", key);
            support_print_report(&report);
            fail();
        }
        fr_sheet_close(sheet);
        fr_report_close(&report);
        taken++;
    }
    assert_true(taken > 50);
}

static void the_field_reference_names_every_field(void **state) {
    (void)state;
    char *docs = made_by(fr_sheet_write_docs);
    for (int id = 0; id < FR_SECTION_COUNT; id++) {
        const fr_section *section = fr_section_of((fr_section_id)id);
        for (size_t i = 0; i < section->count; i++) {
            char cell[80];
            snprintf(cell, sizeof cell, "| `%s` |", section->fields[i].key);
            assert_contains(docs, cell);
        }
    }
}

static void a_path_finds_its_field(void **state) {
    (void)state;
    assert_string_equal(fr_field_at("engine.boost")->key, "boost");
    assert_string_equal(fr_field_at("supply.filters.1.drop")->key, "drop");
    assert_string_equal(fr_field_at("supply.lift_pump.curves.0.flow")->key, "flow");
    assert_string_equal(fr_field_at("supply.lift_pump.pumps.0.curves.1.voltage")->key, "voltage");
    assert_null(fr_field_at("engine.bosst"));
    assert_null(fr_field_at("engine.boost.x"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_row_takes_its_own_default_and_example),
        cmocka_unit_test(another_name_means_one_field),
        cmocka_unit_test(every_field_refuses_nonsense),
        cmocka_unit_test(every_bound_is_held),
        cmocka_unit_test(every_example_is_taken),
        cmocka_unit_test(the_starter_sheet_opens_without_a_word),
        cmocka_unit_test(each_commented_line_of_the_starter_sheet_may_be_taken_up),
        cmocka_unit_test(the_field_reference_names_every_field),
        cmocka_unit_test(a_path_finds_its_field),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
