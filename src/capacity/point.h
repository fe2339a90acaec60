/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One (blend, speed) with every figure kept. */
#ifndef FR_CAPACITY_POINT_H
#define FR_CAPACITY_POINT_H

#include "capacity/capacity.h"
#include "fuelreach/check.h"

/* Uses of the stages that the build has, not capped; NAN for the others. */
void fr_point_uses(const fr_place *place, const fr_operating *op, double use[FR_STAGE_COUNT]);

/* All figures of a point; `use` as fr_point_uses gave it. Capacities are NAN until
 * fr_point_capacities fills them. */
void fr_point_fill(const fr_place *place, const fr_operating *op,
                   const double use[FR_STAGE_COUNT], fr_point *point);

/* Times the demand that each stage carries, to its end and to its limit. INFINITY: beyond
 * FR_TIMES_MAX, or no flow changes it. NAN: the build has not got it, or it is ruled by share. */
typedef struct fr_point_times {
    double end[FR_STAGE_COUNT];
    double limit[FR_STAGE_COUNT];
} fr_point_times;
void fr_point_capacities(const fr_place *place, const fr_operating *op, fr_point_times *times);
/* The same where the flows of stages that no speed changes are known: those of `at_other`, found at
 * `other`, the place of the greatest demand. */
void fr_point_capacities_from(const fr_place *place, const fr_operating *op, const fr_place *other,
                              const fr_point_times *at_other, fr_point_times *times);
/* Puts them into the point, as flows. */
void fr_point_put_capacities(const fr_place *place, const fr_point_times *times, fr_point *point);

#endif
