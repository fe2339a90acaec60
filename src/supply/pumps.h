/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lift pumps behind their wiring: one, several in parallel, several in series. Pressures here are
 * gauge rises over the tank; flows are volumes. */
#ifndef FR_SUPPLY_PUMPS_H
#define FR_SUPPLY_PUMPS_H

#include "fuelreach/build.h"
#include "fuelreach/supply.h"

/* The whole set: flow, m3/s, at a rise over the set. Falls with rise; never below zero. */
double fr_pumps_flow(const fr_pumps *pumps, double supply_v, double rise_pa);

/* The rise over the set at a flow: the inverse of fr_pumps_flow, searched from 0 to `rise_max_pa`
 * (at which the flow must not be greater). 0 when the pumps do not give that flow at no rise. */
double fr_pumps_rise(const fr_pumps *pumps, double supply_v, double flow_m3_s, double rise_max_pa);

/* Every kind's part of a rise over the set, with its voltage and current. Fills kind_count. */
typedef struct fr_pump_share {
    double rise_pa;
    fr_pump_state state;
} fr_pump_share;
void fr_pumps_states(const fr_pumps *pumps, double supply_v, double rise_pa,
                     fr_pump_share states[FR_PUMP_KINDS_MAX]);

/* Resistance that one pump of the set sees: its own, and its share of the common part. */
double fr_pumps_ohm(const fr_pumps *pumps);

#endif
