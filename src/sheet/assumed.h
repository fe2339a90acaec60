/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the program filled in, and how a value is written so that it reads back the same. */
#ifndef FR_SHEET_ASSUMED_H
#define FR_SHEET_ASSUMED_H

#include "sheet/bind.h"

enum { FR_VALUE_MAX = 640 };

typedef struct fr_assumptions {
    bool us; /* write values in US units */
    size_t count, capacity;
    fr_assumed *list;
} fr_assumptions;

/* A quantity of a field as it would be written, "1013.25 mbar", in a unit of the sheet's. */
void fr_spell(const fr_field *field, bool us, double si, char *out, size_t size);
/* Rounded to five digits, for what no person would write out further. */
void fr_spell_rounded(const fr_field *field, double si, char *out, size_t size);
/* The same as fr_spell in a unit given. */
void fr_spell_in(const char *unit, double si, char *out, size_t size);
/* A curve, "{1000 rpm: 95 %, 3500 rpm: 86 %}", a constant as one quantity. */
void fr_spell_curve(const fr_field *field, bool us, const fr_curve *curve, char *out, size_t size);
/* Reads a curve of the field table, written in one line as fr_spell_curve writes it. */
bool fr_curve_of_text(const fr_field *field, const char *text, fr_curve *out);

/* Adds one; its `paste` is made later. Null when out of memory or nobody listens. */
fr_assumed *fr_assumed_add(fr_binder *binder, const char *path, const char *value, const char *why);
/* Puts the list in the order of the sheet, factory parts first, with lines to paste and links to
 * the inputs. */
void fr_assumed_finish(fr_binder *binder, const fr_node *root);
void fr_assumptions_close(fr_assumptions *assumed);

#endif
