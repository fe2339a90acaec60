/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The residuals: measured less predicted over noise, one after another, as a function of the
 * parameters. Pure: the fit, its reference in the tests and the report all ask here. */
#ifndef FR_REVIEW_PROBLEM_H
#define FR_REVIEW_PROBLEM_H

#include "review/parameters.h"
#include "review/predict.h"

/* How a datum is compared. */
typedef enum fr_datum_kind {
    FR_DATUM_VALUE,     /* measured less predicted */
    FR_DATUM_RAIL_SHORT /* rail pressure was not held: at it the pump gives just the fuel */
} fr_datum_kind;

/* What a node says of the high-pressure pump. Held or gone it is no datum but a bound: censored. */
typedef enum fr_rail_state {
    FR_RAIL_UNKNOWN,
    FR_RAIL_HELD,  /* the pump gives at least the fuel */
    FR_RAIL_SHORT, /* just the fuel, at that pressure */
    FR_RAIL_GONE   /* pressure broke down: less than the fuel */
} fr_rail_state;

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
    /* Rail pressure over command where it is held, a pull each: what its sensor is off by. */
    double rail_reference[FR_REVIEW_PULLS_MAX];
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

/* Standard deviation of a node's fuel against what a pump gives, as a logarithm. */
double fr_balance_sigma(const fr_pull_node *node);

fr_rail_state fr_rail_state_of(const fr_problem *problem, size_t pull, size_t node,
                               const fr_node_figures *figures);

#endif
