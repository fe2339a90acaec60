/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Dynamic viscosity at 1 atm: Andrade's form for each part, logarithms mixed by volume. */
#include <math.h>

#include "fuelreach/blend.h"

#include "fuel/constants.h"
#include "fuel/mixing.h"

double fr_blend_viscosity(const fr_blend *blend, double temperature_c) {
    const double per_k = 1.0 / fr_kelvin(temperature_c);
    const double ln_gasoline =
        log(fr_gasoline_viscosity_pa_s) +
        fr_gasoline_viscosity_slope_k * (per_k - 1.0 / fr_gasoline_viscosity_at_k);
    const double ln_ethanol =
        log(fr_ethanol_viscosity_pa_s) +
        fr_ethanol_viscosity_slope_k * (per_k - 1.0 / fr_ethanol_viscosity_at_k);
    return exp(fr_mix(ln_gasoline, ln_ethanol, blend->ethanol));
}
