/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sentences set into 80 columns. */
#ifndef FR_REPORT_PROSE_H
#define FR_REPORT_PROSE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "report/colour.h"

enum { FR_PAGE_COLUMNS = 80 };

/* Writes `text` broken between words, its first line indented by `first`, the others by `rest`.
 * A number stays with the unit behind it. A word longer than a line stands alone. Characters
 * that would change a terminal are replaced. Ends the last line. */
void fr_prose(FILE *out, size_t first, size_t rest, const char *text);

/* Writes the lines of `text` as they are, each indented, made fit for showing. */
void fr_write_lines(FILE *out, size_t indent, const char *text);
/* The same as fr_prose behind something of `indent` columns that stands on the line already. */
void fr_prose_after(FILE *out, size_t indent, const char *text);

/* The same as fr_prose with the first `lead` bytes in a colour. */
void fr_prose_led(FILE *out, size_t first, size_t rest, const char *text, size_t lead, bool colours,
                  fr_colour colour);

#endif
