/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Changes one value in a sheet's text and leaves everything else as a person wrote it: comments,
 * order, blank lines, indentation. */
#ifndef FR_SHEET_REWRITE_H
#define FR_SHEET_REWRITE_H

#include <stddef.h>

#include "fuelreach/status.h"

/* Puts `value`, spelled as it would stand in a sheet, at a dotted path ("engine.boost",
 * "supply.lift_pump.count"). Null takes the field out, and with it a section that it leaves empty.
 * `*out` is the whole new text, the caller's to free.
 * FR_BAD_INPUT: the text is no tree, or what stands at the path is written elsewhere by an alias;
 * FR_NO_MEMORY. `*out` then is null. */
fr_status fr_sheet_rewrite(const char *text, const char *path, const char *value, char **out);

#endif
