/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What may stand in each slot. */
#ifndef FR_SIZING_OPTIONS_H
#define FR_SIZING_OPTIONS_H

#include "fuelreach/sizing.h"

typedef struct fr_options {
    size_t count;
    fr_size_item *items; /* rising in price, then name, count, parallel before series; the owned
                            one has no part */
} fr_options;

/* Fills one list a slot; refused injectors go into the result. */
fr_status fr_options_make(const fr_size_request *request, fr_options options[FR_SLOT_COUNT],
                          fr_size_result *result);
void fr_options_close(fr_options options[FR_SLOT_COUNT]);

/* Name of an item, "" for what is owned without a name. */
const char *fr_item_name(const fr_size_request *request, fr_slot slot, const fr_size_item *item);
/* Order among items of one slot: price, name, count, series. */
int fr_item_compare(const fr_size_request *request, fr_slot slot, const fr_size_item *a,
                    const fr_size_item *b);

/* Price of a set: its items, and a set of wiring for every pump. */
double fr_set_price(const fr_size_request *request, const fr_size_item items[FR_SLOT_COUNT]);

/* Better than any set of the options can be in every respect that `fr_size_fit` sets: the most
 * favourable figure of each kind, gathered from all options of the slots in `open`. */
void fr_options_ideal(const fr_options options[FR_SLOT_COUNT], const bool open[FR_SLOT_COUNT],
                      fr_build *build);

#endif
