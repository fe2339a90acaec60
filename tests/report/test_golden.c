/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What `fuelreach check` prints of every example, as a person read and approved it. With
 * FR_WRITE_GOLDEN=1 in the environment the files are written anew instead of compared: read the
 * difference before you commit it. Runs in the project's folder. */
#include <glob.h>

#include "cli/program.h"
#include "report/fixture.h"
#include "report/schema.h"
#include "support.h"

static void golden_path(const char *example, const char *suffix, char *path, size_t size) {
    const char *name = strrchr(example, '/') + 1;
    snprintf(path, size, "tests/golden/report/%.*s%s", (int)strcspn(name, "."), name, suffix);
}

static void hold(const char *path, const char *text) {
    if (getenv("FR_WRITE_GOLDEN") != NULL) {
        program_write_file(path, text);
        return;
    }
    char *golden = support_read_file(path, NULL);
    if (golden == NULL)
        fail_msg("%s is missing: FR_WRITE_GOLDEN=1 writes it", path);
    if (strcmp(golden, text) != 0) {
        program_write_file(FR_BUILD_DIR "/golden.out", text);
        fail_msg("%s is not what the program prints now: compare it with %s/golden.out", path,
                 FR_BUILD_DIR);
    }
    free(golden);
}

static void every_example_prints_what_was_approved(void **state) {
    (void)state;
    glob_t found;
    assert_int_equal(glob("examples/*.yaml", 0, NULL, &found), 0);
    for (size_t i = 0; i < found.gl_pathc; i++) {
        char path[256];
        program_run run = run_fuelreach("check", found.gl_pathv[i]);
        assert_true(run.code == 0 || run.code == 1);
        fixture_assert_page(run.out);
        golden_path(found.gl_pathv[i], ".txt", path, sizeof path);
        hold(path, run.out);
        program_forget(&run);
    }
    globfree(&found);
}

static void the_detail_of_two_examples_prints_what_was_approved(void **state) {
    (void)state;
    static const char *const examples[] = {"examples/tern-both.yaml", "examples/tern-first.yaml"};
    for (size_t i = 0; i < 2; i++) {
        char path[256];
        program_run run = run_fuelreach("check", "--detail", examples[i]);
        golden_path(examples[i], "-detail.txt", path, sizeof path);
        hold(path, run.out);
        program_forget(&run);
    }
}

static void every_example_fits_the_page_in_the_other_units_and_in_detail(void **state) {
    (void)state;
    glob_t found;
    assert_int_equal(glob("examples/*.yaml", 0, NULL, &found), 0);
    for (size_t i = 0; i < found.gl_pathc; i++) {
        static const char *const units[] = {"metric", "us"};
        for (size_t u = 0; u < 2; u++) {
            program_run run = run_fuelreach("check", "--units", units[u], found.gl_pathv[i]);
            fixture_assert_page(run.out);
            program_forget(&run);
        }
    }
    globfree(&found);
}

static void every_example_is_valid_by_the_schema(void **state) {
    (void)state;
    program_run run = program_run_shell("$BUILD/fuelreach check --format json examples/*.yaml");
    schema_assert_valid(run.out);
    program_forget(&run);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_example_prints_what_was_approved),
        cmocka_unit_test(the_detail_of_two_examples_prints_what_was_approved),
        cmocka_unit_test(every_example_fits_the_page_in_the_other_units_and_in_detail),
        cmocka_unit_test(every_example_is_valid_by_the_schema),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
