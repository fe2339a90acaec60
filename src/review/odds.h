/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Draws from what is known after the log, and the chance that a blend holds. */
#ifndef FR_REVIEW_ODDS_H
#define FR_REVIEW_ODDS_H

#include "review/fit.h"

enum { FR_ODDS_REPLICATES = 8, FR_ODDS_DRAWS = 1024 };

/* A pump that held its pressure: it gives at least what was needed at this node. Linear about the
 * best values: gap + gradient . (z - best) <= 0. */
typedef struct fr_bound {
    bool any;
    double gap; /* logarithm of needed over available; below zero: so much to spare */
    double gradient[FR_REVIEW_PARAMETERS_MAX];
} fr_bound;

typedef struct fr_bounds {
    bool lift_all_held, high_all_held; /* at every node */
    fr_bound lift, high;               /* the tightest node */
} fr_bounds;

fr_bounds fr_bounds_find(const fr_problem *problem, const fr_fit *fit);

/* FR_ODDS_DRAWS rows of input_count deviations; the first `count` are good. A bound that the
 * normal distribution would cross cuts it. */
typedef struct fr_posterior {
    size_t input_count, count;
    double *draws;
    bool cut; /* a bound took more than one draw in a hundred */
} fr_posterior;

/* FR_NO_MEMORY, or FR_FAULT where the covariance is none. Close it in every case. */
fr_status fr_posterior_draw(const fr_parameters *parameters, const fr_fit *fit,
                            const fr_bounds *bounds, fr_posterior *posterior);
void fr_posterior_close(fr_posterior *posterior);

typedef struct fr_odds {
    double ethanol;
    double holds;                        /* chance that no stage is short at the target */
    double standard_error;               /* from independent shifts */
    double is_short[FR_STAGE_COUNT];     /* chance; NAN: the build has it not */
} fr_odds;

/* Fills odds[i] for odds[i].ethanol. */
fr_status fr_odds_find(const fr_build *build, const fr_parameters *parameters,
                       const fr_posterior *posterior, fr_odds *odds, size_t count);

#endif
