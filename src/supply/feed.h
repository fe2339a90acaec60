/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The low-pressure side from tank to rail: what the pumps can deliver, and the pressure held.
 * Three arrangements: return (all pump flow passes the line), mechanical-returnless (the regulator
 * sits at the tank, the line carries the demand), electronic-returnless (no bypass). */
#ifndef FR_SUPPLY_FEED_H
#define FR_SUPPLY_FEED_H

#include "fuelreach/build.h"

/* The feed with one fuel in it. */
typedef struct fr_feed_side {
    const fr_build *build;
    double density_kg_m3;  /* at feed temperature */
    double viscosity_pa_s; /* at feed temperature */
} fr_feed_side;

/* Regulated pressure, gauge, at a manifold pressure. */
double fr_feed_set_pressure(const fr_build *build, double manifold_abs_pa);

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
