/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The house is in order: who may include whom, and a study can be taken out. */
#include "cli/program.h"

enum { LINE_SIZE = 2048, PATH_SIZE = 256 };

static const char without_make[] = "unset MAKEFLAGS MAKELEVEL MAKEOVERRIDES; set -e; ";

static void every_include_goes_with_the_order_of_the_folders(void **state) {
    (void)state;
    program_run run = program_run_shell(
        "awk -f tests/house/layers.awk include/fuelreach/*.h src/*/*.[ch] src/cli/*/*.c");
    assert_code(&run, 0);
    program_forget(&run);
}

/* The judge of the layers is itself judged: a wrong include must not pass. */
static void an_include_against_the_order_is_found(void **state) {
    (void)state;
    static const struct {
        const char *folder, *include, *says;
    } wrong[] = {
        {"fuel", "capacity/stages.h", "fuel includes 'capacity/stages.h': capacity stands above"},
        {"supply", "fuelreach/check.h", "supply includes 'fuelreach/check.h': capacity stands"},
        {"tank", "sizing/search.h", "the two do not know one another"},
        {"sheet", "cli/command.h", "cli stands above it"},
        {"sheet", "cellar/wine.h", "is of no known folder"},
    };

    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        char *folder = program_folder(), line[LINE_SIZE];
        snprintf(line, sizeof line,
                 "layers=$PWD/tests/house/layers.awk; cd %s && mkdir -p src/%s && "
                 "echo '#include \"%s\"' >src/%s/a.c && awk -f $layers src/%s/a.c",
                 folder, wrong[i].folder, wrong[i].include, wrong[i].folder, wrong[i].folder);
        program_run run = program_run_shell(line);
        assert_code(&run, 1);
        assert_contains(run.out, wrong[i].says);
        program_forget(&run);
        program_folder_remove(folder);
    }
}

static void every_public_header_compiles_alone(void **state) {
    (void)state;
    char line[LINE_SIZE];
    snprintf(line, sizeof line, "%s command -v g++ >/dev/null || exit 99; make -s headers",
             without_make);
    program_run run = program_run_shell(line);

    if (run.code == 99) {
        program_forget(&run);
        print_message("SKIPPED: g++ is not installed\n");
        skip();
    }
    assert_code(&run, 0);
    program_forget(&run);
}

/* Takes the folder of a study and its row in the table of commands out of a copy of the tree. */
static const char take_out[] =
    "cd %s && rm -r src/%s && "
    "awk '/^    \\{$/ { row = $0; getline; drop = /\"%s\"/; if (!drop) print row } "
    "drop { if (/^    \\},$/) drop = 0; next } { print }' "
    "src/cli/commands.c >rows && mv rows src/cli/commands.c && "
    "unset MAKEFLAGS MAKELEVEL MAKEOVERRIDES && make -s build/fuelreach && "
    "build/fuelreach --help";

/* One after another, so that in the end there is none of them. The copy takes the objects along,
 * so that little is compiled. Not for tools that look at memory. */
static void every_study_can_be_taken_out(void **state) {
    (void)state;
    if (support_cases(1, 0) == 0)
        return;
    static const char *const studies[][2] = {
        {"promise", "promise"}, {"sizing", "size"}, {"review", "review"}, {"tank", "tank"}};
    char *folder = program_folder(), line[LINE_SIZE];

    snprintf(line, sizeof line,
             "cp -a Makefile src include components %s && cd \"$BUILD\" && "
             "mkdir %s/build && cp -a src settings sources prefix %s/build",
             folder, folder, folder);
    program_run copied = program_run_shell(line);
    assert_code(&copied, 0);
    program_forget(&copied);
    for (size_t i = 0; i < sizeof studies / sizeof studies[0]; i++) {
        snprintf(line, sizeof line, take_out, folder, studies[i][0], studies[i][1]);
        program_run run = program_run_shell(line);
        assert_code(&run, 0);
        snprintf(line, sizeof line, "\n  %s ", studies[i][1]);
        assert_null(strstr(run.out, line));
        assert_contains(run.out, "\n  check ");
        program_forget(&run);
    }
    program_folder_remove(folder);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_include_goes_with_the_order_of_the_folders),
        cmocka_unit_test(an_include_against_the_order_is_found),
        cmocka_unit_test(every_public_header_compiles_alone),
        cmocka_unit_test(every_study_can_be_taken_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
