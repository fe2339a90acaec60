/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "fuelreach/supply.h"

/* The orifice law: mass flow goes with the root of pressure difference times density. */
double fr_injector_static(double rated_kg_s, double test_pressure_pa, double test_density_kg_m3,
                          double drop_pa, double density_kg_m3) {
    return drop_pa > 0.0 ? rated_kg_s * sqrt(drop_pa * density_kg_m3 /
                                             (test_pressure_pa * test_density_kg_m3))
                         : 0.0;
}
