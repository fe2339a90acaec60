/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A build with one blend in it, at one speed, carrying some multiple of its demand. */
#ifndef FR_CAPACITY_PLACE_H
#define FR_CAPACITY_PLACE_H

#include <stdbool.h>

#include "engine/demand.h"
#include "fuelreach/build.h"
#include "supply/direct.h"
#include "supply/feed.h"
#include "supply/high_pressure.h"

/* A build with one blend in its tank. */
typedef struct fr_side {
    const fr_build *build;
    fr_need need;
    fr_feed_side feed;
    double rail_density_kg_m3;      /* 1 atm, at rail temperature */
    double hp_density_kg_m3;        /* 1 atm, at the high-pressure pump's inlet */
    double hp_bulk_modulus_pa;      /* likewise */
    double tank_vapour_pa;          /* absolute, at tank temperature */
    double vapour_pa;               /* absolute, at the temperature of the vapour stage */
    /* Where the set pressure does not follow the engine, what the pumps deliver is one figure. */
    bool set_is_constant;
    double constant_available_m3_s;
    double constant_rise_pa; /* over the pumps then */
} fr_side;

fr_side fr_side_make(const fr_build *build, double ethanol);

/* The same at one speed of the pull, asked for the target. */
typedef struct fr_place {
    const fr_side *side;
    const fr_build *build;
    const fr_speed *speed;
    fr_demand demand;
    fr_spray spray;
    fr_high_pressure high_pressure;
    double rail_limit_pa;   /* least of pump and injector maximum */
    double rail_command_pa; /* cut at the limit */
} fr_place;

fr_place fr_place_make(const fr_side *side, const fr_speed *speed);

/* The supply at `times` the demand of a place. */
typedef struct fr_operating {
    double times;
    double fuel_kg_s;
    double fuel_m3_s; /* at feed temperature */
    double manifold_abs_pa;
    double cylinder_abs_pa;
    double set_gauge_pa;
    double available_m3_s; /* NAN where it was not asked for (fr_operate_at_rail) */
    double rail_gauge_pa;  /* held; never below zero */
    double rail_abs_pa;
    double direct_fuel_kg_s;
    double port_fuel_kg_s;
} fr_operating;

fr_operating fr_operate(const fr_place *place, double times);
/* With the rail pressure known (below zero counts as zero); does not ask the pumps. */
fr_operating fr_operate_at_rail(const fr_place *place, double times, double rail_gauge_pa);

/* Demand flow in the line at `times` the demand, m3/s. */
double fr_place_flow(const fr_place *place, double times);
/* Set pressure (gauge) at `times` the demand. */
double fr_place_set_pressure(const fr_place *place, double times);
/* What the pumps deliver with the rail at set pressure, at `times` the demand. */
double fr_place_available(const fr_place *place, double times);

/* Greatest direct fuel, kg/s, at which direct pressure alone is within `bound` of what the
 * high-pressure pump holds, at this manifold and inlet pressure. */
double fr_direct_pressure_passes(const fr_place *place, double cylinder_pa, double inlet_pa,
                                 double bound, double fuel_max_kg_s);
/* How far direct fuel goes beyond what `bound` allows; > 0: beyond. Continuous, rising in fuel. */
double fr_direct_pressure_excess(const fr_place *place, double cylinder_pa, double inlet_pa,
                                 double bound, double fuel_kg_s);

#endif
