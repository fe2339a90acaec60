/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every set there is, one after another: the judge of the search. */
#ifndef FUELREACH_TESTS_SIZING_BRUTE_H
#define FUELREACH_TESTS_SIZING_BRUTE_H

#include "fuelreach/sizing.h"

typedef struct brute_set {
    fr_size_item items[FR_SLOT_COUNT];
    double price;
    bool marked;
    double reach_times;
} brute_set;

/* The `wanted` best sets that are clear on every blend; returns how many there are of them. */
size_t brute_best(const fr_size_request *request, size_t wanted, brute_set *best);

#endif
