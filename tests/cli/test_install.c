/* SPDX-License-Identifier: GPL-3.0-or-later */
/* make install into an empty folder: the program finds its parts there, a program of someone
 * else's builds against the library, and uninstall takes everything away. */
#include "cli/program.h"

enum { LINE_SIZE = 2048 };

static char *folder;

/* A line of shell with $ROOT the folder; make's own variables must not leak in. */
static program_run in_root(const char *line) {
    char whole[LINE_SIZE];

    snprintf(whole, sizeof whole,
             "unset MAKEFLAGS MAKELEVEL MAKEOVERRIDES FUELREACH_PARTS; ROOT=%s; set -e; %s", folder,
             line);
    return program_run_shell(whole);
}

static void assert_works(const char *line) {
    program_run run = in_root(line);
    assert_code(&run, 0);
    program_forget(&run);
}

/* Built apart, so that the tree under test keeps its own PREFIX; from a copy of its objects, so
 * that only what knows of PREFIX is compiled. Nothing here is for tools that look at memory. */
static int install(void **state) {
    (void)state;
    folder = program_folder();
    assert_works("mkdir $ROOT/build; cp -a $BUILD/src $BUILD/settings $BUILD/sources $ROOT/build;"
                 "make -s BUILD=$ROOT/build PREFIX=$ROOT/usr install");
    return 0;
}

static int clear_away(void **state) {
    (void)state;
    program_folder_remove(folder);
    return 0;
}

static void everything_is_in_its_place(void **state) {
    (void)state;
    assert_works("cd $ROOT/usr; test -x bin/fuelreach; test -s lib/libfuelreach.a;"
                 "test -s include/fuelreach/check.h; test -s share/man/man1/fuelreach.1;"
                 "test -s share/bash-completion/completions/fuelreach;"
                 "test -s share/fuelreach/components/lift-pump/lift-340.yaml");
}

static void the_installed_program_finds_its_parts(void **state) {
    (void)state;
    program_run run = in_root("cd /; $ROOT/usr/bin/fuelreach parts lift-340");

    assert_code(&run, 0);
    assert_contains(run.out, "usr/share/fuelreach/components");
    program_forget(&run);
}

static void someone_elses_program_builds_against_the_library(void **state) {
    (void)state;
    char path[LINE_SIZE];

    program_write_file(program_path(path, sizeof path, folder, "theirs.c"),
                       "#include <fuelreach/blend.h>\n"
                       "#include <stdio.h>\n"
                       "int main(void) {\n"
                       "    fr_gasoline gasoline = fr_gasoline_default();\n"
                       "    fr_blend blend = fr_blend_make(&gasoline, 1.0);\n"
                       "    printf(\"%.1f\\n\", fr_blend_density(&blend, 15.0));\n"
                       "    return 0;\n"
                       "}\n");
    program_run run = in_root("export PKG_CONFIG_PATH=$ROOT/usr/lib/pkgconfig; cd $ROOT;"
                              "gcc -o theirs theirs.c $(pkg-config --static --cflags --libs "
                              "fuelreach); ./theirs; pkg-config --modversion fuelreach");
    assert_code(&run, 0);
    assert_contains(run.out, "793.7\n");
    program_forget(&run);
}

static void a_staging_folder_is_not_written_into_the_files(void **state) {
    (void)state;
    assert_works("make -s BUILD=$ROOT/build PREFIX=/opt/fuel DESTDIR=$ROOT/stage install;"
                 "cd $ROOT/stage/opt/fuel; grep -q '^prefix=/opt/fuel$' lib/pkgconfig/fuelreach.pc;"
                 "! grep -rq \"$ROOT/stage\" bin lib share");
}

static void uninstall_leaves_no_file(void **state) {
    (void)state;
    program_run run = in_root("make -s BUILD=$ROOT/build PREFIX=$ROOT/usr uninstall;"
                              "find $ROOT/usr -type f");

    assert_code(&run, 0);
    assert_string_equal(run.out, "");
    program_forget(&run);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(everything_is_in_its_place),
        cmocka_unit_test(the_installed_program_finds_its_parts),
        cmocka_unit_test(someone_elses_program_builds_against_the_library),
        cmocka_unit_test(a_staging_folder_is_not_written_into_the_files),
        cmocka_unit_test(uninstall_leaves_no_file),
    };
    return support_cases(1, 0) == 0 ? 0 : cmocka_run_group_tests(tests, install, clear_away);
}
