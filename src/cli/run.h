/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FR_CLI_RUN_H
#define FR_CLI_RUN_H

/* Runs one command line, words[0] the program's name; sees its output onto the paper and returns
 * the exit code. */
int fr_program_run(int count, char **words);

#endif
