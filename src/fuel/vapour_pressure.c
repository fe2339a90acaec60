/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Vapour pressure of a blend: ethanol in a gasoline that is taken for one substance. The two
 * repel each other, so a little ethanol raises the pressure (it peaks near E10). */
#include <math.h>

#include "fuelreach/blend.h"

#include "fuel/constants.h"
#include "fuel/mixing.h"

static const double pa_per_bar = 1.0e5;

/* Antoine equation, Ambrose et al. */
static double ethanol_pressure(double temperature_k) {
    return pa_per_bar *
           pow(10.0, fr_ethanol_antoine_a -
                         fr_ethanol_antoine_b_k / (temperature_k - fr_ethanol_antoine_c_k));
}

/* Clausius-Clapeyron from the DVPE. */
static double gasoline_pressure(double dvpe_pa, double temperature_k) {
    return dvpe_pa *
           exp(-fr_gasoline_vapour_slope_k * (1.0 / temperature_k - 1.0 / fr_gasoline_dvpe_at_k));
}

/* Margules with two constants: ln of the activity coefficient at mole fraction `own`, where
 * `own_limit` is its value when nearly alone in the other, `other_limit` the other's. */
static double margules(double own, double own_limit, double other_limit) {
    const double other = 1.0 - own;
    return (own_limit + 2.0 * (other_limit - own_limit) * own) * other * other;
}

double fr_blend_vapour_pressure(const fr_blend *blend, double temperature_c) {
    const double temperature_k = fr_kelvin(temperature_c);
    const double ethanol = blend->mole_fraction;
    const double gasoline = 1.0 - ethanol;
    const double ethanol_activity =
        ethanol * exp(margules(ethanol, fr_margules_ethanol, fr_margules_gasoline));
    const double gasoline_activity =
        gasoline * exp(margules(gasoline, fr_margules_gasoline, fr_margules_ethanol));
    return ethanol_activity * ethanol_pressure(temperature_k) +
           gasoline_activity * gasoline_pressure(blend->gasoline.vapour_pressure_pa, temperature_k);
}
