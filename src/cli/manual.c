/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The man page, out of the table of commands. */
#include <string.h>

#include "cli/help.h"
#include "cli/version.h"

/* A text in roff: dashes that stay dashes, no line taken for a request. */
static void write_roff(FILE *out, const char *text) {
    bool line_begins = true;

    for (; *text != '\0'; text++) {
        if (line_begins && (*text == '.' || *text == '\''))
            fputs("\\&", out);
        line_begins = *text == '\n';
        if (*text == '\n')
            fputs("\n.PP\n", out);
        else if (*text == '-' || *text == '\\')
            fputs(*text == '-' ? "\\-" : "\\e", out);
        else
            fputc(*text, out);
    }
}

static void write_option(FILE *out, const fr_option *option) {
    fputs(".TP\n.B ", out);
    if (option->letter)
        fprintf(out, "\\-%c\\fR, \\fB", option->letter);
    fputs("\\-\\-", out);
    write_roff(out, option->name);
    if (option->kind != FR_VALUE_NONE) {
        fputs(" \\fI", out);
        write_roff(out, option->value);
        fputs("\\fR", out);
    }
    fputc('\n', out);
    write_roff(out, option->help);
    if (option->repeats)
        fputs("; may be repeated", out);
    fputs(option->help[strlen(option->help) - 1] == '?' ? "\n" : ".\n", out);
}

static void write_command(FILE *out, const fr_command *command) {
    fprintf(out, ".SS fuelreach %s ", command->name);
    if (command->options->name != NULL)
        fputs("[OPTION...] ", out);
    write_roff(out, command->arguments);
    fputc('\n', out);
    write_roff(out, command->about);
    fputc('\n', out);
    for (const fr_option *option = command->options; option->name != NULL; option++)
        write_option(out, option);
}

static void write_examples(FILE *out, const fr_command *command) {
    for (const fr_example *example = command->examples; example->line != NULL; example++) {
        fputs(".TP\n.B ", out);
        write_roff(out, example->line);
        fputc('\n', out);
        write_roff(out, example->says);
        fputs(".\n", out);
    }
}

static void write_paragraph(FILE *out, const char *text) {
    write_roff(out, text);
    fputc('\n', out);
}

static void write_environment(FILE *out) {
    fputs(".SH ENVIRONMENT\n"
          ".TP\n.B NO_COLOR\nset to anything: no colour, also on a terminal.\n"
          ".TP\n.B FUELREACH_PARTS\nfolder of the shipped parts, in place of the installed one.\n",
          out);
}

void fr_write_manual(FILE *out) {
    fprintf(out, ".TH FUELREACH 1 \"\" \"fuelreach %s\" \"User Commands\"\n", FR_VERSION);
    fputs(".SH NAME\nfuelreach \\- can the fuel supply carry this power on that blend?\n"
          ".SH SYNOPSIS\n.B fuelreach\n.I COMMAND\n[\\fIOPTION\\fR...] [\\fIARGUMENT\\fR...]\n"
          ".SH DESCRIPTION\n",
          out);
    write_paragraph(out, fr_program_about);
    fputs(
        ".PP\nEvery option may be written \\fB\\-\\-name value\\fR or \\fB\\-\\-name=value\\fR; "
        "\\fB\\-\\-\\fR ends the options.\nAnswers go to standard output, faults and their places "
        "to standard error.\n.SH COMMANDS\n",
        out);
    for (const fr_command *command = fr_commands; command->name != NULL; command++)
        write_command(out, command);
    fputs(".SH EXIT STATUS\n", out);
    for (const fr_exit_code *code = fr_exit_codes; code->means != NULL; code++) {
        fprintf(out, ".TP\n.B %d\n", code->code);
        write_paragraph(out, code->means);
    }
    write_environment(out);
    fputs(".SH EXAMPLES\n", out);
    for (const fr_command *command = fr_commands; command->name != NULL; command++)
        write_examples(out, command);
    fputs(".SH CAUTIONS\n", out);
    write_paragraph(out, fr_program_cautions);
}
