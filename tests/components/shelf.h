/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shipped parts on a shelf, for the tests of this folder. The parts are invented, so nothing
 * but physics and common practice can say whether they are right. */
#ifndef FR_TESTS_COMPONENTS_SHELF_H
#define FR_TESTS_COMPONENTS_SHELF_H

#include "support.h"

#include "fuelreach/quantity.h"
#include "fuelreach/sheet.h"

/* Group set-up and tear-down. */
int shelf_open(void **state);
int shelf_close(void **state);
/* All parts, in order of kind, then name. */
const fr_part *shelf_parts(size_t *count);
/* The next part of a kind from *at on, or null. */
const fr_part *next_part(fr_part_kind kind, size_t *at);
/* A part that must be there. */
const fr_part *find_part(const char *name);
/* Fails with the part's name unless `holds`. */
void check_part(const fr_part *part, bool holds, const char *what);
/* The first number in a name: 340 of "lift-340". */
double number_in(const char *name);

#endif
