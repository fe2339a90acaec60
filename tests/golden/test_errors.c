/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What people really write, and the line each should get: every sheet of tests/golden/errors gives
 * exactly what stands in the .txt beside it. After a change that is meant to change them, run with
 * FR_GOLDEN=write and read the difference. */
#include <glob.h>

#include "fuelreach/document.h"
#include "fuelreach/sheet.h"
#include "support.h"

enum { SHEETS_LEAST = 70, PATH_SIZE = 256 };

static const char folder[] = "tests/golden/errors/";

/* What the reader says of a sheet, as the program prints it. The caller frees it. */
static char *say(const char *file, const char *text, size_t length) {
    static const fr_sheet_options options = {0};
    fr_report report = FR_REPORT_EMPTY;
    fr_sheet *sheet = NULL;
    char *said = NULL;
    size_t said_length = 0;
    fr_status status = fr_sheet_open_text(file, text, length, &options, &report, &sheet);
    assert_int_equal(status, fr_report_errors(&report) == 0 ? FR_OK : FR_BAD_INPUT);
    assert_int_equal(sheet != NULL, status == FR_OK);
    FILE *out = open_memstream(&said, &said_length);
    assert_non_null(out);
    fr_write_remarks(out, &report, false);
    fclose(out);
    fr_sheet_close(sheet);
    fr_report_close(&report);
    return said;
}

static void write_file(const char *path, const char *text) {
    FILE *out = fopen(path, "wb");
    assert_non_null(out);
    fputs(text, out);
    fclose(out);
}

static void compare(const char *sheet_path) {
    size_t length = 0;
    char text_path[PATH_SIZE];
    char *sheet = support_read_file(sheet_path, &length);
    assert_non_null(sheet);
    char *said = say(sheet_path + strlen(folder), sheet, length);
    snprintf(text_path, sizeof text_path, "%.*s.txt", (int)(strlen(sheet_path) - 5), sheet_path);
    const char *mode = getenv("FR_GOLDEN");
    if (mode != NULL && strcmp(mode, "write") == 0) {
        write_file(text_path, said);
    }
    char *wanted = support_read_file(text_path, NULL);
    assert_non_null(wanted);
    if (strcmp(said, wanted) != 0) {
        print_error("%s says:\n%s\ninstead of:\n%s\n", sheet_path, said, wanted);
        fail();
    }
    free(wanted);
    free(said);
    free(sheet);
}

static void every_sheet_says_what_stands_beside_it(void **state) {
    (void)state;
    glob_t found;
    assert_int_equal(glob("tests/golden/errors/*.yaml", 0, NULL, &found), 0);
    assert_true(found.gl_pathc >= SHEETS_LEAST);
    for (size_t i = 0; i < found.gl_pathc; i++) {
        compare(found.gl_pathv[i]);
    }
    globfree(&found);
}

/* What people write, and what each has to be told, written by hand: the files beside the sheets
 * may be written anew by the program, these may not. Null: nothing is wrong. */
static const struct {
    const char *sheet;
    const char *told;
} agreed[] = {
    {"power-at-wheels-in-one-word", "6:17: whp says where as well as how much; "
                                    "write 'target_power: 380 hp' and 'power_at: wheels'"},
    {"second-colon", "2:11: a second ': ' in one line; "
                     "put the text in quotes: name: \"Tern: stage 3\"; nothing below was read"},
    {"decimal-comma", "9:10: '1,6 bar' has a decimal comma; write '1.6 bar'"},
    {"decimal-comma-in-braces", "12:46: a comma inside { } begins a new entry; write '4.5 m'"},
    {"curve-without-units", "9:17: power_curve has no units (first at '3000: 250'); "
                            "write '{3000 rpm: 250 kW, …}'"},
    {"bsfc-without-unit", "9:9: bsfc has no unit; write '0.60 lb/hp/h' or '365 g/kWh'"},
    {"rating-at-pressure", NULL},
    {"rating-without-minute", "11:30: cc is a volume; injectors are rated a minute; '1200 cc/min'"},
    {"returnless-of-two-kinds",
     "12:15: returnless is of two kinds: 'mechanical-returnless' (regulator in the tank) or "
     "'electronic-returnless' (pump speed held by a pressure sensor)"},
    {"same-air-gain-beyond-usual",
     "9:24: caution: 12 % more work from the same air is beyond what is usual (0-6 % boosted); "
     "power from more boost belongs in target_power"},
    {"stock-part", "10:14: no part 'stock'; for the pump the car was built with write 'factory' "
                   "and give engine.factory_power"},
    {"octane-for-blend", "10:12: '93' is an octane number, not an ethanol content; "
                         "write E10 for common pump gasoline"},
    {"redline", "9:3: no field 'redline' in engine; write 'rev_limit: 6800 rpm'"},
    {"hose-size-for-bore", "12:18: -8 is a hose's outside-size number; "
                           "write 'part: hose-8' or its inside bore, '11.1 mm'"},
    {"us-spellings", NULL},
    {"metric-wire", NULL},
    {"thousands-comma-in-braces", "9:17: a comma inside { } begins a new entry; write '2000 rpm'"},
    {"wear", "10:30: no field 'wear'; "
             "write 'condition: 90 %' for a pump that gives 90 % of its flow when new"},
    {"number-sign-in-name", "2:7: caution: ' #' begins a comment; the name is 'Tern hatch'; "
                            "to keep what follows write name: \"Tern hatch #4417\""},
    {"lines-not-a-list", "12:10: lines is a list; write 'lines: [{bore: 3/8 in, length: 14 ft}]'"},
    {"filter-by-micron", "12:3: no field 'filter' in supply; write 'filters: [filter-10]'; "
                         "'fuelreach parts filter' lists them"},
    {"limit-as-fraction", "12:25: port-injector has no unit; write '90 %'"},
    {"tab", "13:1: a tab; indent with spaces. Nothing below this line was read."},
    {"aspiration-na", "8:15: 'NA' is not one of natural, turbo, supercharged; 'natural' is meant?"},
    {"aspiration-na-slash",
     "8:15: 'N/A' is not one of natural, turbo, supercharged; 'natural' is meant?"},
    {"aspiration-blower",
     "8:15: 'blower' is not one of natural, turbo, supercharged; 'supercharged' is meant?"},
    {"aspiration-twin-turbo",
     "8:15: 'twin-turbo' is not one of natural, turbo, supercharged; 'turbo' is meant?"},
    {"price-with-currency-sign",
     "12:46: prices are bare numbers; write '120'; the currency stands in sizing.currency"},
    {"colon-without-space",
     "4:3: no space after ':'; write 'cylinders: 4'; nothing below was read"},
    {"colon-without-space-later",
     "5:3: no space after ':'; write 'displacement: 2.0 L'; nothing below was read"},
    {"colon-without-space-alone", "10:3: no space after ':'; write 'blends: [E85]'"},
    {"title-without-name", "1:1: this line has no 'name: value'; "
                           "for a title write 'name: My car'; nothing below was read"},
    {"equals-sign", "2:1: '=' is not used here; write 'lift_pump: factory' under 'supply:'; "
                    "nothing below was read"},
    {"capital-section", "3:1: no field 'Engine'; write 'engine'"},
    {"power-for-target-power", "8:3: no field 'power' in engine; write 'target_power: 300 hp'"},
    {"blend-with-space", "10:17: 'E 85' is not a blend; write 'E85'"},
    {"number-of-injectors-in-rating", "11:30: '4 x 1000cc' says how many, too; "
                                      "write 'injector: 1000 cc/min'; "
                                      "the count follows from cylinders"},
    {"turbo-yes", "8:3: no field 'turbo'; write 'aspiration: turbo'"},
    {"pump-at-top", "12:1: lift_pump belongs under 'supply:'"},
    {"old-code-page",
     "10:24: byte 0xB0 is not UTF-8: the file was saved in an old Windows code page; "
     "save it as UTF-8, or write '45 C'"},
    {"utf-16", "1:1: this is UTF-16 text; save it as plain text, UTF-8"},
    {"zip", "1:1: this is a ZIP file (a word processor's?); save it as plain text, UTF-8"},
    {"look-alikes", NULL},
    {"curly-quotes", "6:17: '\u201C300 kW\u201D' has curly quotes; write straight quotes"},
    {"en-dash", "10:21: '\u20135 °C' has a dash where a minus is due; write '-'"},
};

/* The first line, and no other where one fault was made. */
static void each_slip_gets_the_line_agreed_on(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof agreed / sizeof agreed[0]; i++) {
        char path[PATH_SIZE];
        char wanted[1024] = "";
        size_t length = 0;
        snprintf(path, sizeof path, "%s%s.yaml", folder, agreed[i].sheet);
        if (agreed[i].told != NULL) {
            snprintf(wanted, sizeof wanted, "%s.yaml:%s", agreed[i].sheet, agreed[i].told);
        }
        char *sheet = support_read_file(path, &length);
        assert_non_null(sheet);
        char *said = say(path + strlen(folder), sheet, length);
        said[strcspn(said, "\n")] = '\0';
        assert_string_equal(said, wanted);
        free(said);
        free(sheet);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_sheet_says_what_stands_beside_it),
        cmocka_unit_test(each_slip_gets_the_line_agreed_on),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
