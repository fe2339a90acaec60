/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Help, man page, completion, version: all from the table of commands, all fit to read. */
#include "cli/command.h"
#include "cli/program.h"
#include "cli/version.h"

enum { WIDEST = 80, LINE_SIZE = 512 };

/* Columns of the longest line; a byte that continues a character takes none. */
static size_t widest_line(const char *text) {
    size_t widest = 0, columns = 0;

    for (; *text != '\0'; text++) {
        if (*text == '\n')
            columns = 0;
        else if (((unsigned char)*text & 0xC0) != 0x80)
            columns++;
        widest = columns > widest ? columns : widest;
    }
    return widest;
}

static void help_of_the_program_names_every_command(void **state) {
    (void)state;
    program_run run = run_fuelreach("--help");

    assert_code(&run, 0);
    for (const fr_command *command = fr_commands; command->name != NULL; command++) {
        char row[LINE_SIZE];
        /* The summary may go on in the next line. */
        snprintf(row, sizeof row, "\n  %-9s %.20s", command->name, command->summary);
        assert_contains(run.out, row);
    }
    assert_in_range(widest_line(run.out), 40, WIDEST);
    assert_string_equal(run.err, "");
    program_forget(&run);
}

static void help_of_a_command_has_every_option_and_an_example(void **state) {
    (void)state;
    for (const fr_command *command = fr_commands; command->name != NULL; command++) {
        program_run run = run_fuelreach(command->name, "--help");
        assert_code(&run, 0);
        assert_non_null(command->examples[0].line);
        for (const fr_example *example = command->examples; example->line != NULL; example++)
            assert_contains(run.out, example->says);
        for (const fr_option *option = command->options; option->name != NULL; option++) {
            char spelled[LINE_SIZE];
            snprintf(spelled, sizeof spelled, "--%s", option->name);
            assert_contains(run.out, spelled);
        }
        assert_in_range(widest_line(run.out), 40, WIDEST);
        program_forget(&run);
    }
}

static void help_can_be_asked_for_in_other_words(void **state) {
    (void)state;
    program_run plain = run_fuelreach("check", "--help");
    program_run other = run_fuelreach("help", "check");
    program_run letter = run_fuelreach("check", "-h");

    assert_string_equal(plain.out, other.out);
    assert_string_equal(plain.out, letter.out);
    program_forget(&plain);
    program_forget(&other);
    program_forget(&letter);
}

static void no_command_at_all_is_bad_input_with_help(void **state) {
    (void)state;
    program_run run = program_run_words((const char *const[]){PROGRAM, NULL}, NULL);

    assert_code(&run, 2);
    assert_contains(run.err, "Commands");
    assert_string_equal(run.out, "");
    program_forget(&run);
}

static void the_version_is_the_headers_one(void **state) {
    (void)state;
    program_run run = run_fuelreach("--version");

    assert_code(&run, 0);
    assert_string_equal(run.out, "fuelreach " FR_VERSION "\n");
    program_forget(&run);
}

static void an_unknown_name_gets_the_nearest_known_one(void **state) {
    (void)state;
    static const struct {
        const char *words[3];
        const char *says;
    } slips[] = {
        {{"chekc"}, "no command 'chekc'; 'check' is meant?"},
        {{"--verison"}, "no option '--verison'; '--version' is meant?"},
        {{"check", "--formt", "json"}, "no option '--formt'; '--format' is meant?"},
        {{"check", "--detial"}, "no option '--detial'; '--detail' is meant?"},
        {{"fuel", "--temp=30 C"}, "no option '--temp'; '--temperature' is meant?"},
        {{"check", "-units", "us"}, "no option '-units'; '--units' is meant?"},
        {{"check", "--format", "yaml"}, "--format takes one of text|json|csv, not 'yaml'"},
        {{"check"}, "what to work on is missing: fuelreach check SHEET..."},
        {{"draft", "a", "b"}, "'b' is one argument too many"},
        {{"frobnicate"}, "no command 'frobnicate'\n"},
    };

    for (size_t i = 0; i < sizeof slips / sizeof slips[0]; i++) {
        const char *const *words = slips[i].words;
        program_run run = run_fuelreach(words[0], words[1], words[2]);
        assert_code(&run, 2);
        assert_contains(run.err, slips[i].says);
        assert_string_equal(run.out, "");
        program_forget(&run);
    }
}

/* What lies in docs/ is what the tables say now; `make docs` mends it. */
static void generated_documents_are_up_to_date(void **state) {
    (void)state;
    program_run names = program_run_shell("\"$BUILD\"/generate 2>&1");
    char *rest = names.out, *line;

    assert_code(&names, 2);
    strtok_r(names.out, "\n", &rest);
    while ((line = strtok_r(NULL, "\n", &rest)) != NULL) {
        char compare[LINE_SIZE];
        snprintf(compare, sizeof compare, "\"$BUILD\"/generate %s | cmp - docs/%s", line, line + 2);
        program_run run = program_run_shell(compare);
        assert_code(&run, 0);
        program_forget(&run);
    }
    program_forget(&names);
}

static void the_man_page_has_no_faults(void **state) {
    (void)state;
    program_run run = program_run_shell("command -v man >/dev/null || exit 99; "
                                        "LC_ALL=C.UTF-8 MANWIDTH=80 MANROFFOPT= man -P cat "
                                        "--warnings=all -E UTF-8 -l docs/fuelreach.1");
    if (run.code == 99) {
        program_forget(&run);
        print_message("SKIPPED: man is not installed\n");
        skip();
    }
    assert_code(&run, 0);
    assert_string_equal(run.err, "");
    assert_contains(run.out, "EXIT STATUS");
    assert_contains(run.out, "--format");
    program_forget(&run);
}

/* The completion, asked as the shell asks it. */
static void assert_completes(const char *words, int at, const char *expected) {
    char line[2 * LINE_SIZE];
    snprintf(line, sizeof line,
             "source docs/fuelreach.bash; COMP_WORDS=(%s); COMP_CWORD=%d; "
             "_fuelreach fuelreach \"${COMP_WORDS[COMP_CWORD]}\" \"${COMP_WORDS[COMP_CWORD-1]}\"; "
             "echo \"${COMPREPLY[*]}\"",
             words, at);
    program_run run = program_run_shell(line);

    assert_code(&run, 0);
    assert_string_equal(run.out, expected);
    program_forget(&run);
}

static void the_completion_completes(void **state) {
    (void)state;
    assert_completes("fuelreach chec", 1, "check\n");
    assert_completes("fuelreach check --deta", 2, "--detail\n");
    assert_completes("fuelreach check --format j", 3, "json\n");
    assert_completes("fuelreach check --units ''", 3, "metric us\n");
    assert_completes("fuelreach check LICEN", 2, "LICENSE\n");
    assert_completes("fuelreach check --parts compo", 3, "components\n");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(help_of_the_program_names_every_command),
        cmocka_unit_test(help_of_a_command_has_every_option_and_an_example),
        cmocka_unit_test(help_can_be_asked_for_in_other_words),
        cmocka_unit_test(no_command_at_all_is_bad_input_with_help),
        cmocka_unit_test(the_version_is_the_headers_one),
        cmocka_unit_test(an_unknown_name_gets_the_nearest_known_one),
        cmocka_unit_test(generated_documents_are_up_to_date),
        cmocka_unit_test(the_man_page_has_no_faults),
        cmocka_unit_test(the_completion_completes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
