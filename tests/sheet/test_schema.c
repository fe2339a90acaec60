/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The JSON Schemas made from the field table: every shipped sheet and part passes, and what the
 * reader refuses for its keys, kinds, words and ranges they refuse too. Judged by
 * python3-jsonschema (Debian); skipped loudly without it. */
#include <sys/wait.h>
#include <unistd.h>

#include "sheet/fields.h"
#include "sheet/pattern.h"
#include "sheet_support.h"

enum { PYTHON_LACKS_MODULE = 77 };

static void write_schema(char *path, void (*write)(FILE *out)) {
    int file = mkstemp(path);
    assert_true(file >= 0);
    FILE *out = fdopen(file, "wb");
    assert_non_null(out);
    write(out);
    assert_int_equal(fclose(out), 0);
}

static void the_schemas_take_and_refuse_what_the_reader_does(void **state) {
    (void)state;
    char sheet[] = "/tmp/fr-sheet-schema-XXXXXX", part[] = "/tmp/fr-part-schema-XXXXXX";
    char command[512];
    write_schema(sheet, fr_sheet_write_schema);
    write_schema(part, fr_part_write_schema);
    snprintf(command, sizeof command, "/usr/bin/python3 tests/sheet/schema_check.py %s %s", sheet,
             part);
    int status = system(command);
    unlink(sheet);
    unlink(part);
    assert_true(WIFEXITED(status));
    if (WEXITSTATUS(status) == PYTHON_LACKS_MODULE || WEXITSTATUS(status) == 127) {
        print_message("SKIPPED: python3-jsonschema or python3-yaml is missing; the schemas are not "
                      "held against anything\n");
        skip();
    }
    assert_int_equal(WEXITSTATUS(status), 0);
}

static void every_pattern_fits_its_room(void **state) {
    (void)state;
    static fr_pattern pattern;
    for (int id = 0; id < FR_SECTION_COUNT; id++) {
        const fr_section *section = fr_section_of((fr_section_id)id);
        for (size_t i = 0; i < fr_section_field_count(section); i++) {
            pattern.used = 0;
            fr_pattern_quantity(&pattern, fr_section_field(section, i));
            assert_true(fr_pattern_fits(&pattern));
        }
    }
    pattern.used = 0;
    for (int i = 0; i < FR_PATTERN_MAX; i++)
        fr_pattern_add(&pattern, "x");
    assert_false(fr_pattern_fits(&pattern));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_schemas_take_and_refuse_what_the_reader_does),
        cmocka_unit_test(every_pattern_fits_its_room),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
