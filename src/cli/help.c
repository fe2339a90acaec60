/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/help.h"

#include <string.h>

#include "cli/version.h"

enum { COLUMNS = 79, HELP_INDENT = 6, SUMMARY_INDENT = 12, LONGEST_VALUE = 40, LONGEST_TEXT = 512 };

const fr_exit_code fr_exit_codes[] = {
    {0, "the build holds: clear or tight"},
    {1, "it runs short"},
    {2, "the input could not be used; every fault is said with its line"},
    {3, "a file, a device or the program failed; also a reader that went away (closed pipe), "
        "without a word"},
    {0, NULL},
};

const char fr_program_about[] =
    "Tells whether a car's fuel supply carries a power target on gasoline-ethanol blends: lift "
    "pump, lines, port and direct injection, over the whole pull; where not, what runs out first, "
    "at what power, and the least change that mends it.";

const char fr_program_cautions[] =
    "It checks fuel supply only and says nothing of knock, boost or the engine. Fuel lines hold "
    "pressure when the engine is off; fuel burns; a lean engine breaks. Test what a pump sells as "
    "E85: it may hold 51-83 % ethanol (ASTM D5798). Mind which materials stand ethanol, and the "
    "law on emissions and road use.";

/* Words of a text, wrapped, every line indented; the first begins at column `at`. */
static void write_wrapped(FILE *out, const char *text, size_t indent, size_t at) {
    bool fresh = true;

    while (*text != '\0') {
        size_t length = strcspn(text, " \n");
        if (!fresh && at + 1 + length > COLUMNS) {
            fputc('\n', out);
            at = 0;
            fresh = true;
        }
        if (at < indent) {
            fprintf(out, "%*s", (int)(indent - at), "");
            at = indent;
        } else if (!fresh) {
            fputc(' ', out);
            at++;
        }
        fwrite(text, 1, length, out);
        at += length;
        fresh = false;
        text += length;
        if (*text == '\n') {
            fputc('\n', out);
            at = 0;
            fresh = true;
        }
        text += *text != '\0';
    }
    fputc('\n', out);
}

/* A line of shell, cut before an option where it is too wide, as a shell would take it. */
static void write_shell_line(FILE *out, const char *line) {
    static const char more[] = " \\\n     ";
    const size_t room = COLUMNS - 4;

    fputs("  ", out);
    while (strlen(line) > room) {
        size_t cut = 0;
        for (const char *next = strstr(line, " --"); next; next = strstr(next + 1, " --"))
            if ((size_t)(next - line) <= room)
                cut = (size_t)(next - line);
        if (cut == 0)
            break;
        fwrite(line, 1, cut, out);
        fputs(more, out);
        line += cut;
    }
    fprintf(out, "%s\n", line);
}

/* "one of a, b, c" out of "a|b|c". */
static void write_choices(FILE *out, const char *words) {
    char text[LONGEST_TEXT] = "one of ";
    size_t length = strlen(text);

    for (; *words != '\0' && length + 3 < sizeof text; words++) {
        text[length++] = *words == '|' ? ',' : *words;
        if (*words == '|')
            text[length++] = ' ';
    }
    text[length] = '\0';
    write_wrapped(out, text, HELP_INDENT + 4, 0);
}

static void write_option(FILE *out, const fr_option *option) {
    bool many = option->kind == FR_VALUE_WORD && strlen(option->value) > LONGEST_VALUE;

    if (option->letter)
        fprintf(out, "  -%c, --%s", option->letter, option->name);
    else
        fprintf(out, "      --%s", option->name);
    if (option->kind != FR_VALUE_NONE)
        fprintf(out, " %s", many ? "WORD" : option->value);
    if (option->repeats)
        fputs("   (may be repeated)", out);
    fputc('\n', out);
    write_wrapped(out, option->help, HELP_INDENT + 4, 0);
    if (many)
        write_choices(out, option->value);
}

static void write_exit_codes(FILE *out) {
    fputs("\nExit codes\n", out);
    for (const fr_exit_code *code = fr_exit_codes; code->means != NULL; code++) {
        fprintf(out, "  %d   ", code->code);
        write_wrapped(out, code->means, HELP_INDENT, HELP_INDENT);
    }
}

void fr_write_command_help(FILE *out, const fr_command *command) {
    bool has_options = command->options->name != NULL;

    int at = fprintf(out, "fuelreach %s: ", command->name);
    write_wrapped(out, command->summary, HELP_INDENT, at > 0 ? (size_t)at : 0);
    fprintf(out, "\n  fuelreach %s %s%s\n\n", command->name, has_options ? "[OPTION...] " : "",
            command->arguments);
    write_wrapped(out, command->about, 0, 0);
    if (has_options)
        fputs("\nOptions\n", out);
    for (const fr_option *option = command->options; option->name != NULL; option++)
        write_option(out, option);
    fputs("\nExamples\n", out);
    for (const fr_example *example = command->examples; example->line != NULL; example++) {
        write_shell_line(out, example->line);
        write_wrapped(out, example->says, HELP_INDENT, 0);
    }
    write_exit_codes(out);
}

void fr_write_help(FILE *out) {
    fprintf(out, "fuelreach %s\n\n", FR_VERSION);
    write_wrapped(out, fr_program_about, 0, 0);
    fputs("\n  fuelreach COMMAND [OPTION...] [ARGUMENT...]\n\nCommands\n", out);
    for (const fr_command *command = fr_commands; command->name != NULL; command++) {
        fprintf(out, "  %-9s ", command->name);
        write_wrapped(out, command->summary, SUMMARY_INDENT, SUMMARY_INDENT);
    }
    fputs("\n  fuelreach COMMAND --help   options and examples of a command\n"
          "  fuelreach --version        which version this is\n\nTo begin\n"
          "  fuelreach draft mycar.yaml     write a sheet, every line explained\n"
          "  fuelreach check mycar.yaml     does it hold?\n",
          out);
    write_exit_codes(out);
    fputc('\n', out);
    write_wrapped(out, fr_program_cautions, 0, 0);
}
