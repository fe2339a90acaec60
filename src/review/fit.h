/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Robust weighted least squares with priors: the parameters that the log makes likeliest. */
#ifndef FR_REVIEW_FIT_H
#define FR_REVIEW_FIT_H

#include "review/problem.h"

typedef struct fr_fit {
    size_t count;       /* parameters */
    double *deviations; /* best values */
    double *covariance; /* count x count, row by row; priors alone would be the identity */
    double *weights;    /* Huber weight of each datum */
    double *residuals;  /* of each datum, at the best values, over noise and scale */
    double scale;       /* what the noise was multiplied by: 1 where it explains what is left */
    size_t outliers;    /* data with less than half their weight */
} fr_fit;

/* Minimises the sum over data of Huber's rho of (residual/scale) and over parameters of
 * deviation^2/2, by iteratively reweighted trust-region least squares (GSL multifit_nlinear).
 * `scale` is found from the median of the residuals and never below 1. FR_NO_MEMORY, FR_FAULT
 * where the solver breaks down. Close it in every case. */
fr_status fr_fit_run(const fr_problem *problem, fr_fit *fit);
void fr_fit_close(fr_fit *fit);

/* Beyond so many standard deviations a residual counts by its size, not its square. */
double fr_fit_huber(void);

#endif
