/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Checks against the outside, kept as the rows of docs/published-checks.md: what, whose figure,
 * the figure, ours, the difference. A row is written whether the check holds or not. */
#ifndef FUELREACH_TESTS_PUBLISHED_TABLE_H
#define FUELREACH_TESTS_PUBLISHED_TABLE_H

#include <stdbool.h>

/* How a figure came to us; part of each source. */
#define AS_QUOTED ", as quoted, not seen in print"
#define FROM_MEMORY ", from memory"

/* Rows from here on stand under this title. */
void published_section(const char *title);

/* Holds our figure against a published one; the difference allowed is a part of the published one,
 * or in its unit. */
#define published_close(source, what, unit, published, ours, allowed)                              \
    published_check((source), (what), (unit), (published), (ours), (allowed), true, __FILE__,      \
                    __LINE__)
#define published_within(source, what, unit, published, ours, allowed)                             \
    published_check((source), (what), (unit), (published), (ours), (allowed), false, __FILE__,     \
                    __LINE__)
void published_check(const char *source, const char *what, const char *unit, double published,
                     double ours, double allowed, bool relative, const char *file, int line);

/* A tool that is not there: says so loudly and skips the test. */
void published_skip(const char *why);

/* Runs a command of the shell and reads its first line; false when it fails. */
bool published_ask(const char *command, char *answer, int size);

/* Writes the table to `path`; false when the file cannot be written. */
bool published_write(const char *path);
/* True when nothing was skipped, so that the table is whole. */
bool published_is_whole(void);

#endif
