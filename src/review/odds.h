/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Draws from what is known after the log, and the chance that a blend holds. */
#ifndef FR_REVIEW_ODDS_H
#define FR_REVIEW_ODDS_H

#include "review/fit.h"

enum { FR_ODDS_REPLICATES = 8, FR_ODDS_DRAWS = 1024 };

/* What a pump that held its pressure, or lost it, says: a half-space, linear about the fit's best
 * values: offset + gradient . (z - best) <= 0. */
typedef struct fr_bound {
    bool any;
    double offset;
    double gradient[FR_REVIEW_PARAMETERS_MAX];
} fr_bound;

typedef enum fr_bound_id {
    FR_BOUND_LIFT_HELD, /* the lift pump gives at least what was needed where it was tightest */
    FR_BOUND_HIGH_HELD, /* the high-pressure pump likewise */
    FR_BOUND_HIGH_GONE, /* and less than was needed where its pressure broke down */
    FR_BOUND_COUNT
} fr_bound_id;

typedef struct fr_bounds {
    bool lift_all_held, high_all_held; /* at every node that tells */
    fr_bound of[FR_BOUND_COUNT];
} fr_bounds;

fr_bounds fr_bounds_find(const fr_problem *problem, const fr_fit *fit);

/* FR_ODDS_DRAWS rows of `parameters` deviations; the first `count` are good. */
typedef struct fr_posterior {
    size_t parameters, count;
    double *draws;
    bool cut; /* a bound took more than one in a hundred off the normal distribution */
} fr_posterior;

/* Draws of the normal distribution about the fit, cut by the bounds: exactly by one bound a pump,
 * closely by two of one pump. Where they cut, the fit's values and covariance become those of the
 * draws. FR_NO_MEMORY, or FR_FAULT where the covariance is none. Close it in every case. */
fr_status fr_posterior_draw(const fr_bounds *bounds, fr_fit *fit, fr_posterior *posterior);
void fr_posterior_close(fr_posterior *posterior);
/* 95 % interval of a parameter: normal, or where a bound cut it that of the draws. False when out
 * of memory. */
bool fr_posterior_interval(const fr_posterior *posterior, const fr_fit *fit, size_t parameter,
                           double *low, double *high);

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
