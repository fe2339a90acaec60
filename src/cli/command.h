/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a command is, and what it is handed when a person calls it.
 *
 * To add a command NAME:
 *   1. write src/cli/NAME.c, which includes this header and defines
 *      `int fr_command_NAME(fr_invocation *invocation)`; declare it below;
 *   2. add one row to the table in src/cli/commands.c: parsing, --help, the man page and the
 *      completion are all made from that row;
 *   3. run `make docs`, which writes docs/fuelreach.1 and docs/fuelreach.bash anew.
 * The Makefile finds the file by itself. A command writes to invocation->out, never to stdout
 * directly, says what is wrong on standard error, and returns the exit code: 0 the build holds,
 * 1 it runs short, 2 the input could not be used, 3 the system or the program failed. The caller
 * flushes `out` and turns a full disk or a closed pipe into 3. */
#ifndef FR_CLI_COMMAND_H
#define FR_CLI_COMMAND_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "fuelreach/document.h"
#include "fuelreach/quantity.h"
#include "fuelreach/sheet.h"
#include "fuelreach/status.h"

/* ---- the table ---- */

/* What stands behind an option; it decides what the parser takes and what the shell completes. */
typedef enum fr_value_kind {
    FR_VALUE_NONE,   /* nothing: a switch */
    FR_VALUE_WORD,   /* one word out of `value`, "text|json|csv" */
    FR_VALUE_COUNT,  /* a whole number, 0 or more */
    FR_VALUE_TEXT,   /* anything; the command reads it */
    FR_VALUE_FILE,   /* anything; the shell completes file names */
    FR_VALUE_FOLDER, /* anything; the shell completes folders */
    FR_VALUE_BLEND   /* "E0" ... "E100" */
} fr_value_kind;

typedef struct fr_option {
    const char *name; /* without the dashes; null ends a table */
    char letter;      /* short form, 0: none */
    bool repeats;     /* may stand more than once; else the last one counts */
    fr_value_kind kind;
    const char *value; /* how help names the value: "PATH=VALUE", "text|json|csv" */
    const char *help;  /* one plain sentence, no full stop; help and man page wrap it */
} fr_option;

typedef struct fr_example {
    const char *line; /* "fuelreach check tern.yaml"; null ends a table */
    const char *says; /* what it does, no full stop */
} fr_example;

typedef struct fr_invocation fr_invocation;

/* What the arguments (not the options) of a command are, for completion. */
typedef enum fr_argument_kind {
    FR_ARGUMENT_NONE,
    FR_ARGUMENT_FILE,
    FR_ARGUMENT_TEXT
} fr_argument_kind;

struct fr_checked_sheet;
struct fr_page_document;

/* What a study adds to the page of a sheet: `add` runs it and hangs its result into `page`;
 * what it owns meanwhile is handed to `remove`. `add` returns 0, or the exit code to end with. */
typedef struct fr_page_study {
    int (*add)(const fr_invocation *invocation, struct fr_checked_sheet *checked,
               struct fr_page_document *page, void **own);
    void (*remove)(void *own);
} fr_page_study;

typedef struct fr_command {
    const char *name;      /* null ends the table */
    const char *summary;   /* one line, no full stop */
    const char *arguments; /* as usage shows them: "SHEET..." */
    fr_argument_kind argument_kind;
    size_t least_arguments;
    size_t most_arguments; /* SIZE_MAX: any number */
    const char *about;     /* a few sentences; "\n" begins a new paragraph */
    const fr_option *options;
    const fr_example *examples;
    const fr_page_study *page; /* null: adds nothing to a page */
    int (*run)(fr_invocation *invocation);
} fr_command;

/* All commands, in the order in which help lists them; ends with a null name. */
extern const fr_command fr_commands[];

/* ---- one call ---- */

/* One option as it was given. `value` is null for a switch. */
typedef struct fr_given {
    const fr_option *option;
    const char *value;
} fr_given;

struct fr_invocation {
    const fr_command *command;
    size_t argument_count; /* within the command's least and most */
    const char **arguments;
    size_t given_count; /* all options in the order given, for commands where order tells */
    fr_given *given;
    const char **values; /* the values of given, grouped by option; see fr_invocation_values */
    FILE *out;           /* standard output */
    bool colour_out;     /* `out` is a terminal that wants colour */
    bool colour_err;     /* standard error likewise */
};

/* True when an option was given. `name` must be in the command's table. */
bool fr_invocation_has(const fr_invocation *invocation, const char *name);
/* The last value of an option, `otherwise` when it was not given. */
const char *fr_invocation_value(const fr_invocation *invocation, const char *name,
                                const char *otherwise);
/* All values of an option in the order given; `*count` says how many. Owned by the invocation. */
const char *const *fr_invocation_values(const fr_invocation *invocation, const char *name,
                                        size_t *count);
/* The last value of a FR_VALUE_COUNT option, `otherwise` when it was not given. */
size_t fr_invocation_count(const fr_invocation *invocation, const char *name, size_t otherwise);
/* True when the last value of an option is `word`. */
bool fr_invocation_is(const fr_invocation *invocation, const char *name, const char *word);
/* Reads the last value of an option as a quantity of the kinds wanted into `*quantity`, which is
 * left alone when the option was not given. On bad input says so and returns false: return 2. */
bool fr_invocation_quantity(const fr_invocation *invocation, const char *name, fr_kinds wanted,
                            fr_quantity *quantity);
/* The same for one text that came from option `name` (a repeated one). */
bool fr_option_quantity(const fr_invocation *invocation, const char *name, const char *text,
                        fr_kinds wanted, fr_quantity *quantity);
/* What --parts, --set and --blend say, where the command has them. */
fr_sheet_options fr_invocation_sheet_options(const fr_invocation *invocation);
/* Units asked for with --units, else `otherwise` (the sheet's own). */
fr_units fr_invocation_units(const fr_invocation *invocation, fr_units otherwise);

/* Says "fuelreach NAME: MESSAGE" and where help is to be had, on standard error; returns 2. */
int fr_usage_error(const fr_invocation *invocation, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* Writes the remarks of a report to standard error and returns the exit code of `status`. */
int fr_say_remarks(const fr_invocation *invocation, const fr_report *report, fr_status status);
/* Says "fuelreach NAME: MESSAGE" for a failure of the system; returns 3. */
int fr_system_error(const fr_invocation *invocation, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* 1 for FR_SHORT, else 0. */
int fr_verdict_exit_code(fr_verdict verdict);

/* ---- the commands, one file each ---- */

int fr_command_check(fr_invocation *invocation);
int fr_command_fuel(fr_invocation *invocation);
int fr_command_draft(fr_invocation *invocation);
int fr_command_parts(fr_invocation *invocation);
int fr_command_promise(fr_invocation *invocation);
int fr_command_size(fr_invocation *invocation);
int fr_command_review(fr_invocation *invocation);
int fr_command_tank(fr_invocation *invocation);
int fr_command_page(fr_invocation *invocation);
int fr_command_explain(fr_invocation *invocation);
int fr_command_chart(fr_invocation *invocation);

/* What the studies add to a page: src/cli/page_NAME.c. */
extern const fr_page_study fr_page_promise;
extern const fr_page_study fr_page_size;
extern const fr_page_study fr_page_review;

#endif
