/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The low-pressure side from tank to rail: what the pumps can deliver, and the pressure held.
 * Three arrangements: return (all pump flow passes the line), mechanical-returnless (the regulator
 * sits at the tank, the line carries the demand), electronic-returnless (no bypass). */
#ifndef FR_SUPPLY_FEED_H
#define FR_SUPPLY_FEED_H

#include "fuelreach/build.h"

/* What the pumps deliver over the set pressure, walked along the rise over the pumps, where it is
 * known without a solve: a rise tells flow and loss, and so the set pressure they belong to. A first
 * answer for set pressures that follow the engine. */
enum { FR_FEED_WALK_STEPS = 16 };
typedef struct fr_feed_walk {
    double set_pa[FR_FEED_WALK_STEPS];  /* rising */
    double flow_m3_s[FR_FEED_WALK_STEPS];
    double loss_pa[FR_FEED_WALK_STEPS];
    double rise_pa[FR_FEED_WALK_STEPS];
} fr_feed_walk;

/* The feed with one fuel in it. */
typedef struct fr_feed_side {
    const fr_build *build;
    double density_kg_m3;  /* at feed temperature */
    double viscosity_pa_s; /* at feed temperature */
    bool walked;
    fr_feed_walk walk;
} fr_feed_side;

/* `walk` where many set pressures will be asked for. */
fr_feed_side fr_feed_side_make(const fr_build *build, double density_kg_m3, double viscosity_pa_s,
                               bool walk);

/* Regulated pressure, gauge, at a manifold pressure. */
double fr_feed_set_pressure(const fr_build *build, double manifold_abs_pa);

/* Flow that must pass the regulator over the demand; none where a sensor at the rail holds the
 * pumps' speed. */
double fr_feed_bypass(const fr_feed *feed);

/* What the pumps deliver, m3/s, with the rail at `set_gauge_pa`: A = pumps(set + Loss(A - jet)),
 * or pumps(set) where the regulator sits at the tank. */
double fr_feed_available(const fr_feed_side *side, double set_gauge_pa);

/* Rail pressure held, gauge, at a demand: min(set, what the pumps have at that flow less the
 * loss), never below zero. `available_m3_s`: fr_feed_available at this set pressure. */
double fr_feed_held(const fr_feed_side *side, double set_gauge_pa, double available_m3_s,
                    double demand_m3_s);

/* Where the pumps no longer hold the set pressure, a rise over the pumps decides both the demand
 * that the line passes and the rail pressure: demand = pumps(rise) - jet, rail = rise - Loss. */
typedef struct fr_sag {
    double demand_m3_s;
    double rail_gauge_pa; /* may be below zero */
} fr_sag;
fr_sag fr_feed_sag(const fr_feed_side *side, double rise_pa);

/* Rise over the pumps when they deliver `available` with the rail at set pressure. */
double fr_feed_full_rise(const fr_feed_side *side, double set_gauge_pa, double available_m3_s);
/* Rise over the pumps at full drive at a demand, as the circuit sees it. */
double fr_feed_working_rise(const fr_feed_side *side, double set_gauge_pa, double available_m3_s,
                            double demand_m3_s);
/* Loss from tank to rail at a flow, Pa. */
double fr_feed_side_loss(const fr_feed_side *side, double flow_m3_s);

#endif
