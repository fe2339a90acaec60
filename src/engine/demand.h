/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From target power to fuel: what the engine needs on one blend at one speed. */
#ifndef FR_ENGINE_DEMAND_H
#define FR_ENGINE_DEMAND_H

#include <stdbool.h>
#include <stddef.h>

#include "fuelreach/build.h"

#define FR_GAS_CONSTANT_AIR 287.05            /* J/(kg K), dry air */
#define FR_KELVIN 273.15                      /* 0 degC in K */
#define FR_WORKED_OUT_EFFICIENCY 0.95         /* volumetric; common practice, no source */

/* What of the demand depends on the blend alone. */
typedef struct fr_need {
    double ethanol;  /* as named */
    fr_blend blend;  /* with the content's shift */
    double stated_power_w;  /* target, where it is stated */
    double crank_power_w;   /* target at the crank */
    double lambda;
    double same_air_gain;
    double bsfc_factor;       /* bsfc here over bsfc as given */
    double bsfc_factor_other; /* under the other scaling */
    double air_per_fuel;      /* stoich * lambda */
} fr_need;

fr_need fr_need_on_blend(const fr_build *build, double ethanol);

/* What of the demand, and of direct injection's settings, depends on speed alone. */
typedef struct fr_speed {
    double rpm;
    double cycle_s;            /* two turns */
    double pull;               /* share of the greatest power of the pull */
    double bsfc_kg_j;          /* as given */
    double manifold_abs_pa;    /* at the target; unused where worked out */
    double manifold_per_air;   /* Pa a kg/s of air, at a volumetric efficiency of 1 */
    bool judge_airflow;
    double direct_share;       /* FR_SHARE_CURVE only */
    double window_deg;
    double rail_command_pa;
    double fill;
} fr_speed;

/* Fills at most FR_SPEEDS_MAX, rising; returns how many. */
size_t fr_speeds_of_pull(const fr_build *build, fr_speed speeds[FR_SPEEDS_MAX]);
/* One speed; `greatest_pull`: fr_greatest_pull_power(build). */
fr_speed fr_speed_at(const fr_build *build, double rpm, double greatest_pull);
double fr_greatest_pull_power(const fr_build *build);

/* Demand of a point, at the target. */
typedef struct fr_demand {
    double fuel_kg_s;
    double air_kg_s;
    double manifold_need_pa; /* absolute, at the target: worked out, or as given */
} fr_demand;

fr_demand fr_demand_at(const fr_build *build, const fr_need *need, const fr_speed *speed);

/* Manifold pressure (absolute) when `times` the target is asked for: a boosted engine needs so
 * many times the air, a natural one keeps its pressure; worked-out boost is never below the air. */
double fr_manifold_at(const fr_build *build, const fr_demand *demand, double times);

#endif
