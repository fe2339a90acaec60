/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Regular expressions for the schema: what a quantity of a field may look like. They hold in
 * JSON Schema's dialect (ECMA 262) and in Python's. */
#ifndef FR_SHEET_PATTERN_H
#define FR_SHEET_PATTERN_H

#include "sheet/fields.h"

enum { FR_PATTERN_MAX = 16384 };

/* A growing text of fixed room; what does not fit is cut (a test sees it). */
typedef struct fr_pattern {
    char text[FR_PATTERN_MAX];
    size_t used;
} fr_pattern;

void fr_pattern_add(fr_pattern *pattern, const char *text);
/* One quantity of the field: number, unit, perhaps ±. Sign and greatest value are those of the
 * field; its least value above zero is left to the reader. */
void fr_pattern_quantity(fr_pattern *pattern, const fr_field *field);
/* The key of a curve over an axis. */
void fr_pattern_axis(fr_pattern *pattern, fr_axis axis);
/* A word in any letter case. */
void fr_pattern_word(fr_pattern *pattern, const char *word);
void fr_pattern_blend(fr_pattern *pattern);
/* A rating: the field's quantity, then perhaps a pressure. */
void fr_pattern_rating(fr_pattern *pattern, const fr_field *flow, bool has_pressure);
/* True when the whole fitted. */
bool fr_pattern_fits(const fr_pattern *pattern);

#endif
