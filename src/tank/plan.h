/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which way a fuel moves a blend, and how much of it reaches a target. Volumes and contents on
 * one scale (of the temperature of measurement, or of 15 degC). */
#ifndef FR_TANK_PLAN_H
#define FR_TANK_PLAN_H

#include "fuelreach/tank.h"

/* Can pouring `with` on `from` reach `target` (draining as much as it takes)? */
fr_tank_obstacle fr_tank_way(double from, double with, double target);
/* How much of `with` brings `holds_m3` of `ethanol` to `target`. */
double fr_tank_topping(double size_m3, double holds_m3, double ethanol, double with,
                       double target);

#endif
