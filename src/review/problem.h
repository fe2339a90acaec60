/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The residuals: measured less predicted over noise, one after another, as a function of the
 * parameters. Pure: the fit, its reference in the tests and the report all ask here. */
#ifndef FR_REVIEW_PROBLEM_H
#define FR_REVIEW_PROBLEM_H

#include "review/parameters.h"
#include "review/predict.h"

/* How a datum is compared. */
typedef enum fr_datum_kind {
    FR_DATUM_VALUE,    /* measured less predicted */
    FR_DATUM_RAIL_HELD,  /* rail pressure was held: the high-pressure pump gives at least the fuel;
                            censored, no residual where it does */
    FR_DATUM_RAIL_SHORT  /* it was not held: the pump gives, at that pressure, just the fuel */
} fr_datum_kind;

typedef struct fr_datum {
    unsigned pull, node;
    fr_channel channel;
    fr_datum_kind kind;
    double sigma; /* of the node's noise: SI, or of a logarithm for the rail kinds */
} fr_datum;

typedef struct fr_problem {
    const fr_build *build;
    const fr_parameters *parameters;
    const fr_used_pull *pulls;
    size_t pull_count;
    fr_datum *data; /* in order of pull, node */
    size_t data_count;
    fr_build *moved, *work; /* room */
} fr_problem;

/* False when out of memory. Close it in every case. */
bool fr_problem_open(fr_problem *problem, const fr_build *build, const fr_parameters *parameters,
                     const fr_used_pull *pulls, size_t pull_count);
void fr_problem_close(fr_problem *problem);

/* data_count residuals at fr_parameter_count deviations. */
void fr_problem_residuals(const fr_problem *problem, const double *deviations, double *residuals);

/* Measured less predicted in the channel's own terms (a share where it is relative), NAN where
 * there is nothing to compare; also the figures behind it. */
void fr_problem_figures(const fr_problem *problem, const double *deviations, size_t pull,
                        fr_node_figures figures[FR_REVIEW_NODES_MAX]);

/* Was rail pressure below its command by more than a controller lets it? */
bool fr_rail_not_held(double rail_pa, double command_pa);

#endif
