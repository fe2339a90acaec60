/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bash completion, out of the table of commands: a script of plain cases that calls nothing
 * but bash itself. */
#include <string.h>

#include "cli/help.h"

/* "text|json" as the shell wants it: "text json". */
static void write_words(FILE *out, const char *words) {
    for (; *words != '\0'; words++)
        fputc(*words == '|' ? ' ' : *words, out);
}

/* What may follow an option: a case of "COMMAND --name". */
static void write_value_case(FILE *out, const fr_command *command, const fr_option *option) {
    if (option->kind == FR_VALUE_NONE)
        return;
    fprintf(out, "        \"%s --%s\"", command->name, option->name);
    if (option->letter)
        fprintf(out, "|\"%s -%c\"", command->name, option->letter);
    fputs(") ", out);
    switch (option->kind) {
    case FR_VALUE_WORD:
        fputs("COMPREPLY=($(compgen -W \"", out);
        write_words(out, option->value);
        fputs("\" -- \"$word\"))", out);
        break;
    case FR_VALUE_FILE:
        fputs("COMPREPLY=($(compgen -f -- \"$word\"))", out);
        break;
    case FR_VALUE_FOLDER:
        fputs("COMPREPLY=($(compgen -d -- \"$word\"))", out);
        break;
    case FR_VALUE_BLEND:
        fputs("COMPREPLY=($(compgen -W \"E0 E10 E30 E50 E70 E85 E100\" -- \"$word\"))", out);
        break;
    default:
        fputs("COMPREPLY=()", out);
    }
    fputs("; return ;;\n", out);
}

/* The options of one command, and whether it works on files. */
static void write_command_case(FILE *out, const fr_command *command) {
    fprintf(out, "        %s) options=\"", command->name);
    for (const fr_option *option = command->options; option->name != NULL; option++)
        fprintf(out, "--%s ", option->name);
    fprintf(out, "--help\"; files=%d ;;\n", command->argument_kind == FR_ARGUMENT_FILE);
}

void fr_write_completion(FILE *out) {
    fputs("# SPDX-License-Identifier: GPL-3.0-or-later\n"
          "# Completion of fuelreach for bash, made from its table of commands: do not edit.\n"
          "_fuelreach() {\n"
          "    local word=$2 before=$3 command=${COMP_WORDS[1]} options= files=0\n"
          "    COMPREPLY=()\n"
          "    if [ \"$COMP_CWORD\" -eq 1 ]; then\n"
          "        COMPREPLY=($(compgen -W \"",
          out);
    for (const fr_command *command = fr_commands; command->name != NULL; command++)
        fprintf(out, "%s ", command->name);
    fputs("--help --version\" -- \"$word\"))\n"
          "        return\n"
          "    fi\n"
          "    case \"$command $before\" in\n",
          out);
    for (const fr_command *command = fr_commands; command->name != NULL; command++)
        for (const fr_option *option = command->options; option->name != NULL; option++)
            write_value_case(out, command, option);
    fputs("    esac\n    case $command in\n", out);
    for (const fr_command *command = fr_commands; command->name != NULL; command++)
        write_command_case(out, command);
    fputs("    esac\n"
          "    if [[ $word == -* ]]; then\n"
          "        COMPREPLY=($(compgen -W \"$options\" -- \"$word\"))\n"
          "    elif [ \"$files\" = 1 ]; then\n"
          "        COMPREPLY=($(compgen -f -- \"$word\"))\n"
          "    fi\n"
          "}\n"
          "complete -o filenames -F _fuelreach fuelreach\n",
          out);
}
