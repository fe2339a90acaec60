/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bulk modulus, and how much denser pressure makes the fuel. */
#include <math.h>

#include "fuelreach/blend.h"

#include "fuel/constants.h"
#include "fuel/mixing.h"

/* Compressibilities (1/K) mix by volume. */
double fr_blend_bulk_modulus(const fr_blend *blend, double temperature_c) {
    const double warmer_k = temperature_c - fr_bulk_at_c;
    const double gasoline = fr_gasoline_bulk_pa * exp(-fr_gasoline_bulk_slope_per_k * warmer_k);
    const double ethanol = fr_ethanol_bulk_pa * exp(-fr_ethanol_bulk_slope_per_k * warmer_k);
    return 1.0 / fr_mix(1.0 / gasoline, 1.0 / ethanol, blend->ethanol);
}

/* Murnaghan: the bulk modulus rises in proportion to pressure. */
double fr_compression_ratio(double pressure_abs_pa, double bulk_modulus_pa) {
    const double over_pa = pressure_abs_pa - fr_standard_atmosphere_pa;
    return pow(1.0 + fr_murnaghan_exponent * over_pa / bulk_modulus_pa,
               1.0 / fr_murnaghan_exponent);
}
