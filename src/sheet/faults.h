/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is said of a text that is not the quantity, word or blend that its field wants. */
#ifndef FR_SHEET_FAULTS_H
#define FR_SHEET_FAULTS_H

#include "sheet/bind.h"

/* Says why a scalar is not a quantity of the field. */
void fr_tell_fault(const fr_scope *scope, const fr_field *field, const fr_node *node,
                   fr_quantity_fault fault, const fr_quantity *found);
/* The same of a curve's first pair without units. */
void fr_tell_curve_units(const fr_scope *scope, const fr_field *field, const fr_pair *first,
                         const char *path);
/* Says that a text is none of the field's words. */
void fr_tell_word(const fr_scope *scope, const fr_field *field, const fr_node *node);
/* Says that a text is no blend. */
void fr_tell_blend(const fr_scope *scope, const char *path, const fr_node *node);
/* Says that a value cannot be, or (as a caution) that it is unlikely. */
void fr_tell_bounds(const fr_scope *scope, const fr_field *field, const fr_node *node,
                    const char *path, bool unlikely);
/* Says that a node is a list or mapping where one value is due, or the other way round. */
void fr_tell_shape(const fr_scope *scope, const fr_field *field, const fr_node *node,
                   const char *path);
/* Says that a needed field is missing. */
void fr_tell_missing(const fr_scope *scope, const fr_field *field);
/* A bare number with the unit that its field most likely means: "90 %", "0.60 lb/hp/h". */
void fr_with_unit(const fr_field *field, const char *number, char *out, size_t size);

#endif
