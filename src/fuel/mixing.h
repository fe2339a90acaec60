/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Helpers that the property files share. */
#ifndef FUELREACH_FUEL_MIXING_H
#define FUELREACH_FUEL_MIXING_H

#include "fuel/constants.h"

static inline double fr_mix(double gasoline, double ethanol, double ethanol_part) {
    return (1.0 - ethanol_part) * gasoline + ethanol_part * ethanol;
}

static inline double fr_kelvin(double temperature_c) {
    return temperature_c + fr_kelvin_offset;
}

#endif
