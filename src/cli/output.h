/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Writing a file so that a failure leaves the old one as it was. */
#ifndef FR_CLI_OUTPUT_H
#define FR_CLI_OUTPUT_H

#include <stddef.h>
#include <stdio.h>

#include "cli/command.h"

/* A document on its way to a file. Write to `stream`; then fr_output_commit or fr_output_drop. */
typedef struct fr_output {
    FILE *stream; /* memory until it is committed, or the command's own output for "-" */
    const char *path;
    char *text;
    size_t length;
    bool is_standard; /* the path was "-" (or null) */
} fr_output;

/* Starts a document for `path`; "-" or null is the command's output. False when out of memory
 * (said). `path` must live as long. */
bool fr_output_open(fr_output *output, const fr_invocation *invocation, const char *path);
/* Writes it: to a temporary name in the same folder, fsync, then rename over `path`, so that the
 * old file stays on any failure; a device or a pipe is written in place. Returns 0, or 3 with
 * the failure said on standard error. Ends the document either way. */
int fr_output_commit(fr_output *output, const fr_invocation *invocation);
/* The same, but refuses (2) to write where a file already is. */
int fr_output_commit_new(fr_output *output, const fr_invocation *invocation);
/* Forgets the document. */
void fr_output_drop(fr_output *output);
/* True for a terminal, without NO_COLOR and with a TERM that is not "dumb". */
bool fr_colour_wanted(FILE *stream);
/* Flushes standard output. Returns `code`, or 3 when not all of it could be written: said, save
 * for a closed pipe, whose reader has gone. */
int fr_finish_output(FILE *out, int code);

#endif
