/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Help, man page and completion, made from the table of commands. */
#ifndef FR_CLI_HELP_H
#define FR_CLI_HELP_H

#include <stdio.h>

#include "cli/command.h"

/* Help for the whole program and for one command, at most 80 columns. */
void fr_write_help(FILE *out);
void fr_write_command_help(FILE *out, const fr_command *command);
/* The man page, roff with the man macros. */
void fr_write_manual(FILE *out);
/* The bash completion. */
void fr_write_completion(FILE *out);

/* Exit codes, for help and man page alike; ends with a null text. */
typedef struct fr_exit_code {
    int code;
    const char *means;
} fr_exit_code;
extern const fr_exit_code fr_exit_codes[];
/* What the program is for, one paragraph. */
extern const char fr_program_about[];
/* The cautions that go with fuel work, one paragraph. */
extern const char fr_program_cautions[];

#endif
