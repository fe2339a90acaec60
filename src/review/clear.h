/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How far up the blends the build holds with a wanted confidence. */
#ifndef FR_REVIEW_CLEAR_H
#define FR_REVIEW_CLEAR_H

#include "review/odds.h"

typedef struct fr_clear_to {
    double ethanol;  /* NAN: not even E0 holds so surely */
    bool seen_holds; /* the blend that was seen does */
} fr_clear_to;

/* From `seen` upward to where the chance of holding first falls below `confidence`; downward where
 * it is below at `seen` already. To a fifth of a per cent. */
fr_status fr_clear_find(const fr_build *build, const fr_parameters *parameters,
                        const fr_posterior *posterior, double seen, double confidence,
                        fr_clear_to *clear);

#endif
