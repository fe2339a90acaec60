/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Direct injectors in their window: the rail pressure that a mass needs, the angle that it needs
 * at a pressure. Pressures absolute. */
#ifndef FR_SUPPLY_DIRECT_H
#define FR_SUPPLY_DIRECT_H

#include "fuelreach/build.h"

/* The injectors at one speed with one fuel and one cylinder pressure. */
typedef struct fr_spray {
    double injections_per_s; /* of all injectors */
    double window_deg;
    double deg_per_s;
    double flow_time_s;    /* window less opening delay; may be <= 0: none left */
    double density_kg_m3;  /* 1 atm, at rail temperature */
} fr_spray;

/* Cylinder pressure while injecting, absolute: 1.5 times manifold (common practice, no source). */
double fr_cylinder_pressure(double manifold_abs_pa);

fr_spray fr_spray_at(const fr_direct *direct, double speed_rpm, double window_deg,
                     double density_kg_m3);

/* Rail pressure that passes `fuel_kg_s` (all injectors) in the window; NAN: no time is left. */
double fr_spray_required(const fr_direct *direct, const fr_spray *spray, double cylinder_pa,
                         double fuel_kg_s);
/* Fuel that passes in the whole flow time at a rail pressure, kg/s, all injectors; 0 without time
 * or pressure. The inverse of fr_spray_required. */
double fr_spray_passed(const fr_direct *direct, const fr_spray *spray, double cylinder_pa,
                       double rail_pa, double window_share);
/* Crank angle that `fuel_kg_s` needs at a rail pressure; NAN where it does not exceed the
 * cylinder's. */
double fr_spray_angle(const fr_direct *direct, const fr_spray *spray, double cylinder_pa,
                      double rail_pa, double fuel_kg_s);
/* Static flow of one injector at a rail pressure, kg/s. */
double fr_spray_static(const fr_direct *direct, const fr_spray *spray, double cylinder_pa,
                       double rail_pa);

#endif
