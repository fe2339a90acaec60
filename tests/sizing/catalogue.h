/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Random catalogues, invented, the same for the same seed. */
#ifndef FUELREACH_TESTS_SIZING_CATALOGUE_H
#define FUELREACH_TESTS_SIZING_CATALOGUE_H

#include <stddef.h>
#include <stdint.h>

#include "fuelreach/sheet.h"

enum { CATALOGUE_MAX = 512, CATALOGUE_NAME_MAX = 32 };

typedef struct catalogue {
    size_t count;
    fr_part parts[CATALOGUE_MAX];
    char names[CATALOGUE_MAX][CATALOGUE_NAME_MAX];
} catalogue;

/* `per_kind` of each kind at most (each kind 0 to that many, or just that many when `full`);
 * prices are multiples of `price_step`, so that ties are common when it is large. */
void catalogue_make(catalogue *made, const fr_build *build, uint64_t seed, size_t per_kind,
                    bool full, double price_step);

#endif
