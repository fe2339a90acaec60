/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was assumed, in the words of the trade rather than in those of the sheet. */
#ifndef FR_REPORT_ASSUMED_WORDS_H
#define FR_REPORT_ASSUMED_WORDS_H

#include "fuelreach/sheet.h"
#include "report/words.h"

/* Where it is listed: "supply", "engine", "site", "fuel", "parts", "other". */
const char *fr_assumed_group(const fr_assumed *assumed);
/* The groups in the order in which they are told; ends with null. */
extern const char *const fr_assumed_groups[];
/* The thing that it belongs to, "lift pump", "" where the field says it itself. */
void fr_assumed_owner(fr_words *words, const fr_assumed *assumed);
/* "feed pressure 3 bar"; a long curve or list gives its reason instead. */
void fr_assumed_item(fr_words *words, const fr_assumed *assumed);
/* The value as a person reads it: no braces, no more than four digits. */
void fr_assumed_value(fr_words *words, const char *value);
/* A part as the car was built, with its caution. */
void fr_factory_sentence(fr_words *words, const fr_assumed *assumed);

/* The section of a sheet that a line to paste stands under, and whether the line brings it along:
 * "supply.lift_pump" of "    pumps: ..." for supply.lift_pump.pumps.0.condition. Returns the
 * length of that part of `field`. */
size_t fr_paste_section(const char *field, const char *paste);

#endif
