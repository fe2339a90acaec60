/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a build predicts at the nodes of a pull, driven as the log says. */
#ifndef FR_REVIEW_PREDICT_H
#define FR_REVIEW_PREDICT_H

#include "capacity/place.h"
#include "fuelreach/review.h"
#include "review/nodes.h"

typedef struct fr_used_pull {
    size_t shown; /* index into the result's pulls */
    double ethanol;
    fr_log_columns columns;
    size_t node_count;
    fr_pull_node nodes[FR_REVIEW_NODES_MAX];
} fr_used_pull;

/* What sensors are off by, as shares of the value: measured = true * (1 + error). */
typedef struct fr_sensor_errors {
    double power;
    double rail_pressure;
} fr_sensor_errors;

typedef struct fr_node_figures {
    double predicted[FR_CHANNEL_COUNT]; /* answers only; NAN where not to be compared */
    double manifold_abs_pa;
    double rail_command_pa;
    /* Logarithms of what is needed over what there is: > 0 where the pump cannot hold. NAN where
     * the build has no such pump. */
    double lift_gap;       /* at set pressure */
    double high_gap;       /* at the rail pressure measured, else commanded */
    double high_gap_slope; /* change of high_gap with the logarithm of rail pressure */
} fr_node_figures;

/* A build driven through a pull: what is the same at all its nodes is worked out once, at the
 * pull's mean lambda, voltage and temperature. */
typedef struct fr_driven {
    const fr_build *moved;
    fr_build *work; /* moved, driven as the log says; side points to it */
    const fr_used_pull *pull;
    fr_side side;
    double lambda, supply_v; /* means; NAN: not logged */
    double greatest_pull;
} fr_driven;

/* `work` is room for a build. */
void fr_drive_pull(const fr_build *moved, fr_build *work, const fr_used_pull *pull,
                   fr_driven *driven);
void fr_node_predict(fr_driven *driven, const fr_pull_node *node, const fr_sensor_errors *errors,
                     fr_node_figures *figures);

/* What the sheet expected of a condition at a node (lambda, manifold pressure, power...); NAN for
 * answers. Not overridden by the log. */
void fr_node_expect(const fr_build *build, double ethanol, double rpm,
                    double expected[FR_CHANNEL_COUNT]);

/* Power that the log tells at a node (from power or torque), W; NAN: none. */
double fr_node_power(const fr_used_pull *pull, const fr_pull_node *node);

#endif
