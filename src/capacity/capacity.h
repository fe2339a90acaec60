/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How many times its demand a stage carries at a place: one unknown a stage, no search over
 * power, since a capacity does not depend on the power asked. */
#ifndef FR_CAPACITY_CAPACITY_H
#define FR_CAPACITY_CAPACITY_H

#include "capacity/stages.h"

/* Beyond this many times the demand nobody asks. */
#define FR_TIMES_MAX 6.0
/* As good as no fuel drawn. Not nothing: with none at all an injector has nothing to do. */
#define FR_TIMES_NONE 1e-9

/* Where the pumps begin to sag at a place; found once, used by every stage behind the rail. */
typedef struct fr_sag_start {
    double times;   /* of the demand; up to here the set pressure is held */
    double rise_pa; /* over the pumps there */
} fr_sag_start;

fr_sag_start fr_sag_start_find(const fr_place *place);

/* Times the demand at which the stage's use reaches `bound`, the manifold pressure of a boosted
 * engine following the fuel. 0: it is beyond with no fuel drawn. INFINITY: not within
 * FR_TIMES_MAX. The crossing nearest the demand where there is more than one. `at_demand`: the
 * place operating at its demand. */
double fr_capacity_times(const fr_place *place, const fr_operating *at_demand,
                         const fr_sag_start *sag, fr_stage stage, double bound);

#endif
