/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The stages: one table, a row a stage. To add one: a row here and a file in src/supply. */
#ifndef FR_CAPACITY_STAGES_H
#define FR_CAPACITY_STAGES_H

#include "capacity/place.h"
#include "fuelreach/check.h"

typedef struct fr_stage_row {
    const char *name;
    double default_limit; /* common practice, no source */
    bool counts_for_reach;   /* false: direct-pressure speaks for it */
    bool looks_at_rail;      /* its use depends on the rail pressure held, and so on sag */
    bool same_at_all_speeds; /* its capacity is one flow where the set pressure is constant */
    bool ruled_by_share;     /* sits at its limit by rule under automatic share */
    bool (*has)(const fr_build *build);
    /* What is needed over what is there; not capped, may be infinite. */
    double (*use)(const fr_place *place, const fr_operating *op);
    /* Beyond `bound` (> 0) or within; rising with the fuel drawn. Null: use - bound. */
    double (*excess)(const fr_place *place, const fr_operating *op, double bound);
} fr_stage_row;

extern const fr_stage_row fr_stage_table[FR_STAGE_COUNT];

double fr_stage_use(const fr_place *place, const fr_operating *op, fr_stage stage);
double fr_stage_excess(const fr_place *place, const fr_operating *op, fr_stage stage, double bound);

/* False for a stage that the build has not got, that no flow changes (pump-inlet), or that sits at
 * its limit by rule (a direct stage under automatic share). */
bool fr_stage_has_capacity(const fr_build *build, fr_stage stage);

/* Rail pressure available to the direct injectors; NAN: none passes the fuel. */
double fr_direct_available(const fr_place *place, const fr_operating *op);
/* Greatest current of the unlike pumps, each, at the working rise; `first` gets the first pump. */
double fr_circuit_current(const fr_place *place, const fr_operating *op, fr_pump_state *first);

#endif
