/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Branch and bound over the slots. */
#ifndef FR_SIZING_SEARCH_H
#define FR_SIZING_SEARCH_H

#include "sizing/holds.h"
#include "sizing/options.h"

typedef struct fr_search fr_search;

/* Null when out of memory. */
fr_search *fr_search_open(const fr_size_request *request,
                          const fr_options options[FR_SLOT_COUNT]);
void fr_search_close(fr_search *search);

/* The best sets that meet the goal for at most `price_most`: rising in price, then unmarked first,
 * then greater reach, then names; where the goal is a reach, marks decide nothing. Returns how many of `wanted` there are. */
size_t fr_search_best(fr_search *search, const fr_goal *goal, double price_most, size_t wanted,
                      fr_size_choice *choices);

/* Builds looked at so far, in part or whole. */
double fr_search_looked(const fr_search *search);
/* The build with a set fitted. */
void fr_search_fit(const fr_search *search, const fr_size_item items[FR_SLOT_COUNT],
                   fr_build *build);
/* Fills all of a choice but its items: price, reach, marks, what each item mends. */
void fr_search_describe(fr_search *search, const fr_goal *goal, fr_size_choice *choice);

#endif
