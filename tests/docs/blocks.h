/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts of a Markdown document that the program itself writes:
 *
 *   <!-- output of: fuelreach check examples/x.yaml -->   and the fenced block below it: what the
 *       command prints. The line is given to the shell with the program built here.
 *   <!-- fields -->     to <!-- /fields -->: the field reference of the build sheet
 *   <!-- constants -->  to <!-- /constants -->: the constants of the fuel properties
 */
#ifndef FR_TESTS_DOCS_BLOCKS_H
#define FR_TESTS_DOCS_BLOCKS_H

#include <stddef.h>

/* The document with all such parts written anew; the caller frees it. Null when out of memory or
 * when a mark is not closed. `*blocks` counts them. */
char *docs_written_anew(const char *text, size_t *blocks);

#endif
