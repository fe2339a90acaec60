/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Copper wire. */
#include <math.h>

#include "fuelreach/supply.h"
#include "quantity/circle.h"

/* IEC 60028 annealed copper at 20 degC. */
static const double COPPER_OHM_M = 1.724e-8;
static const double COPPER_PER_K = 0.00393;
static const double COPPER_REFERENCE_C = 20.0;

double fr_wire_resistance(double area_m2, double run_m, double temperature_c) {
    const double there_and_back = 2.0 * run_m;
    return COPPER_OHM_M * (1.0 + COPPER_PER_K * (temperature_c - COPPER_REFERENCE_C)) *
           there_and_back / area_m2;
}

double fr_awg_area(double awg) {
    /* ASTM B258: 0.005 in at 36 AWG, 0.46 in at 0000, 39 equal steps of ratio between them. */
    const double diameter_m = 0.127e-3 * pow(92.0, (36.0 - awg) / 39.0);
    return fr_circle_area(diameter_m);
}
