/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From the words of a command line to an invocation. */
#ifndef FR_CLI_INVOCATION_H
#define FR_CLI_INVOCATION_H

#include "cli/command.h"

typedef enum fr_parse_outcome {
    FR_PARSED,      /* the invocation may be run */
    FR_PARSED_HELP, /* --help or -h stood among the options */
    FR_PARSE_BAD,   /* said on standard error: exit 2 */
    FR_PARSE_NO_MEMORY
} fr_parse_outcome;

/* Reads `words` (what follows the command's name) into `invocation`, which must hold command and
 * out. `--name value` and `--name=value`, `-o value` and `-ovalue`; "--" ends the options; "-" is
 * an argument. Close it in every case. */
fr_parse_outcome fr_invocation_parse(fr_invocation *invocation, int word_count, char *const *words);
void fr_invocation_close(fr_invocation *invocation);

#endif
