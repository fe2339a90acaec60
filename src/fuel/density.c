/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Density over temperature and pressure. */
#include <math.h>

#include "fuelreach/blend.h"

#include "fuel/constants.h"
#include "fuel/mixing.h"

/* Fit to the equation of state of Schroeder, Penoncello and Schroeder (2014), 1 atm, 15-60 degC. */
static double ethanol_density(double temperature_c) {
    const double warmer_k = temperature_c - fr_reference_temperature_c;
    return fr_ethanol_density_15 -
           warmer_k * (fr_ethanol_density_slope + fr_ethanol_density_curvature * warmer_k);
}

/* API MPMS 11.1 / ASTM D1250, gasolines. */
static double gasoline_density(double density_15, double temperature_c) {
    const double warmer_k = temperature_c - fr_reference_temperature_c;
    const double expansion =
        (fr_gasoline_expansion_k0 / density_15 + fr_gasoline_expansion_k1) / density_15;
    const double grown = expansion * warmer_k;
    return density_15 * exp(-grown * (1.0 + fr_gasoline_expansion_curvature * grown));
}

/* Masses stay, volumes add. */
double fr_blend_density(const fr_blend *blend, double temperature_c) {
    const double gasoline = gasoline_density(blend->gasoline.density_15_kg_m3, temperature_c);
    const double ethanol = ethanol_density(temperature_c);
    return 1.0 / fr_mix(1.0 / gasoline, 1.0 / ethanol, blend->mass_fraction);
}

double fr_blend_density_at_pressure(const fr_blend *blend, double temperature_c,
                                    double pressure_abs_pa) {
    return fr_blend_density(blend, temperature_c) *
           fr_compression_ratio(pressure_abs_pa, fr_blend_bulk_modulus(blend, temperature_c));
}
