/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The engine-driven high-pressure pump: what it delivers at a rail pressure. */
#ifndef FR_SUPPLY_HIGH_PRESSURE_H
#define FR_SUPPLY_HIGH_PRESSURE_H

#include "fuelreach/build.h"

/* The pumps at one speed with one fuel. */
typedef struct fr_high_pressure {
    double swept_m3_s;      /* all pumps */
    double fill;
    double dead_volume_ratio;
    double leak_m3_s_pa;    /* all pumps, a pascal of rise */
    double density_kg_m3;   /* 1 atm, at the inlet's temperature */
    double bulk_modulus_pa; /* likewise */
} fr_high_pressure;

fr_high_pressure fr_high_pressure_at(const fr_direct *direct, double speed_rpm, double fill,
                                     double density_kg_m3, double bulk_modulus_pa);

/* Mass delivered at rail pressure p from inlet pressure p_in, kg/s, never below zero:
 * rho_in [V (fill - d (rho(p)/rho_in - 1)) - leak (p - p_in)]. What stays in the dead volume expands
 * on the intake stroke and takes the place of fresh fuel. */
double fr_high_pressure_delivery(const fr_high_pressure *pump, double rail_abs_pa,
                                 double inlet_abs_pa);

/* Greatest rail pressure in [inlet, limit] at which the delivery is at least `fuel_kg_s`; NAN when
 * there is none. */
double fr_high_pressure_available(const fr_high_pressure *pump, double fuel_kg_s,
                                  double inlet_abs_pa, double limit_abs_pa);

#endif
