/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One command line: finds the command, runs it, sees its output onto the paper. */
#include "cli/run.h"

#include <string.h>

#include "cli/help.h"
#include "cli/invocation.h"
#include "cli/nearest.h"
#include "cli/output.h"
#include "cli/version.h"

enum { BAD_INPUT = 2 };

static const fr_command *find_command(const char *name) {
    for (const fr_command *command = fr_commands; command->name != NULL; command++)
        if (strcmp(command->name, name) == 0)
            return command;
    return NULL;
}

/* Says that there is no such command or option, and which may be meant. */
static int no_such_word(const char *word) {
    fr_nearest nearest = {word, NULL, 0};
    bool is_option = word[0] == '-';

    for (const fr_command *command = fr_commands; !is_option && command->name != NULL; command++)
        fr_nearest_try(&nearest, command->name);
    fr_nearest_try(&nearest, is_option ? "--version" : "help");
    if (is_option)
        fr_nearest_try(&nearest, "--help");
    fprintf(stderr, "fuelreach: no %s '%s'", is_option ? "option" : "command", word);
    if (nearest.best != NULL)
        fprintf(stderr, "; '%s' is meant?", nearest.best);
    fputs("\n'fuelreach --help' lists the commands.\n", stderr);
    return BAD_INPUT;
}

static int run(const fr_command *command, int word_count, char *const *words) {
    fr_invocation invocation = {.command = command,
                                .out = stdout,
                                .colour_out = fr_colour_wanted(stdout),
                                .colour_err = fr_colour_wanted(stderr)};
    int code = BAD_INPUT;

    switch (fr_invocation_parse(&invocation, word_count, words)) {
    case FR_PARSED:
        code = command->run(&invocation);
        break;
    case FR_PARSED_HELP:
        fr_write_command_help(stdout, command);
        code = 0;
        break;
    case FR_PARSE_BAD:
        break;
    case FR_PARSE_NO_MEMORY:
        code = fr_system_error(&invocation, "out of memory");
        break;
    }
    fr_invocation_close(&invocation);
    return code;
}

static bool is_one_of(const char *word, const char *a, const char *b) {
    return strcmp(word, a) == 0 || strcmp(word, b) == 0;
}

/* `fuelreach help [COMMAND]`, for those who try it. */
static int help(int word_count, char *const *words) {
    const fr_command *command = word_count > 0 ? find_command(words[0]) : NULL;

    if (word_count > 0 && command == NULL)
        return no_such_word(words[0]);
    if (command != NULL)
        fr_write_command_help(stdout, command);
    else
        fr_write_help(stdout);
    return 0;
}

static int dispatch(int count, char **words) {
    if (count < 2) {
        fr_write_help(stderr);
        return BAD_INPUT;
    }
    if (is_one_of(words[1], "--help", "-h") || strcmp(words[1], "help") == 0)
        return help(count - 2, words + 2);
    if (is_one_of(words[1], "--version", "-V")) {
        printf("fuelreach %s\n", FR_VERSION);
        return 0;
    }
    const fr_command *command = find_command(words[1]);
    return command != NULL ? run(command, count - 2, words + 2) : no_such_word(words[1]);
}

int fr_program_run(int count, char **words) {
    return fr_finish_output(stdout, dispatch(count, words));
}
