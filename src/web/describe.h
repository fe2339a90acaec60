/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the page in a browser has to know of the program, as JSON, so that it holds no copy. */
#ifndef FR_WEB_DESCRIBE_H
#define FR_WEB_DESCRIBE_H

#include <stdio.h>

#include "fuelreach/status.h"

/* One object: version, questions of the form with what the table of fields says of their values,
 * sections with their fields, words and kinds of part, and the options of the tank command. */
void fr_describe_program(FILE *out);

/* The values of a sheet: {"good": true, "sheet": {…}} with every word as text; good is false, and
 * the sheet null, where the text is no tree. */
void fr_describe_sheet(FILE *out, const char *text);

#endif
