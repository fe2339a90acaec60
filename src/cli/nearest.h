/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The known name that a mistyped one was meant to be. */
#ifndef FR_CLI_NEAREST_H
#define FR_CLI_NEAREST_H

#include <stddef.h>

/* Keeps the best of the names it is shown. Start from {text, NULL, 0}. */
typedef struct fr_nearest {
    const char *text;
    const char *best; /* null while none is near enough */
    size_t distance;
} fr_nearest;

/* Shows it one more known name. Near enough: within fr_edit_allowance, or the text begins it. The
 * first of two equally near wins. */
void fr_nearest_try(fr_nearest *nearest, const char *name);

#endif
