/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sheets, true cars and fits for the tests of the review. */
#ifndef FUELREACH_TESTS_REVIEW_CASES_H
#define FUELREACH_TESTS_REVIEW_CASES_H

#include "review/fit.h"
#include "review/odds.h"
#include "review/synthetic.h"

/* Two sheets that stand in the tests: a port-injected car with a return line, and a
 * direct-injected one; invented. */
extern const char CASE_PORT_SHEET[];
extern const char CASE_DIRECT_SHEET[];

/* Opens one; fails the test where it cannot. */
fr_sheet *case_open(const char *text);

/* Parameters of the fit for a log with these channels. */
fr_parameters case_parameters(const fr_sheet *sheet, const bool channels[FR_CHANNEL_COUNT]);

/* A true car and true sensors: deviations of all parameters put into a pull. `truth` is filled. */
void case_true_pull(const fr_sheet *sheet, const fr_parameters *parameters,
                    const double *deviations, double ethanol, fr_build *truth, synthetic *pull);

/* Rows of a pull made into nodes. */
void case_used_pull(const synthetic *pull, fr_used_pull *used);

/* Fit, bounds and draws of some pulls. */
typedef struct case_learnt {
    fr_problem problem;
    fr_fit fit;
    fr_bounds bounds;
    fr_posterior posterior;
    double fitted[FR_REVIEW_PARAMETERS_MAX]; /* best values, bounds aside */
} case_learnt;
void case_learn(const fr_sheet *sheet, const fr_parameters *parameters, const fr_used_pull *pulls,
                size_t pull_count, case_learnt *learnt);
void case_forget(case_learnt *learnt);

/* Deviation of a factor's parameter: found, and its standard deviation. */
double case_found(const case_learnt *learnt, const fr_parameters *parameters, fr_factor factor);
double case_sigma(const case_learnt *learnt, const fr_parameters *parameters, fr_factor factor);

#endif
