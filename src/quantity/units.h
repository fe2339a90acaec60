/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Inside of the quantity reader: the one table of units, numbers, and the look-alike characters
 * that people's keyboards make of them. */
#ifndef FR_QUANTITY_UNITS_H
#define FR_QUANTITY_UNITS_H

#include <stdbool.h>
#include <stddef.h>

#include "fuelreach/quantity.h"

/* value_SI = factor * number + offset */
typedef struct fr_unit {
    const char *spelling;
    fr_kind kind;
    double factor;
    double offset;
} fr_unit;

/* Finds the unit spelled by the first `length` bytes, blanks, hyphens and points inside it aside;
 * null when there is none. */
const fr_unit *fr_unit_lookup(const char *spelling, size_t length);

enum { FR_PLAIN_MAX = 127 };

/* A text with surrounding blanks cut off and look-alikes in plain characters. */
typedef struct fr_plain {
    char text[FR_PLAIN_MAX + 1];
    const char *from[FR_PLAIN_MAX + 1]; /* where in the text it was made from each byte stood */
    size_t length;
    bool cut; /* it did not fit */
} fr_plain;

void fr_plain_make(const char *text, fr_plain *plain);
bool fr_blank_char(char c);

/* Reads a number: decimal point, exponent, or a fraction such as 3/8, 1 1/2. Returns how many
 * bytes it takes, 0 with a fault when it is none. Hexadecimal, nan and inf are no numbers here,
 * whatever the locale says. */
size_t fr_number_scan(const char *text, double *value, fr_quantity_fault *fault);

/* Length in bytes of the look-alike at `text` and its plain twin; 0 when there is none there. */
size_t fr_look_alike(const char *text, const char **plain);
/* Length in bytes of the curly quote, or the en or em dash, at `text`; 0 when there is none. */
size_t fr_curly_quote(const char *text);
size_t fr_long_dash(const char *text);

#endif
