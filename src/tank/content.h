/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a volume of fuel is made of, as volumes at the temperature of measurement. On that scale
 * fillings simply add; blends are named on the scale of 15 degC. */
#ifndef FR_TANK_CONTENT_H
#define FR_TANK_CONTENT_H

#include "fuelreach/blend.h"

/* How much each component has grown from 15 degC to the temperature of measurement. */
typedef struct fr_tank_scale {
    double ethanol_growth;
    double gasoline_growth;
} fr_tank_scale;

typedef struct fr_tank_content {
    double ethanol_m3;
    double gasoline_m3;
} fr_tank_content;

fr_tank_scale fr_tank_scale_at(const fr_gasoline *gasoline, double temperature_c);
/* Ethanol fraction at the temperature of measurement from that at 15 degC, and back. */
double fr_tank_share(const fr_tank_scale *scale, double ethanol);
double fr_tank_ethanol(const fr_tank_scale *scale, double share);

fr_tank_content fr_tank_pour(const fr_tank_scale *scale, double volume_m3, double ethanol);
fr_tank_content fr_tank_join(fr_tank_content a, fr_tank_content b);
/* What is left after drawing off a volume, well mixed; never below nothing. */
fr_tank_content fr_tank_draw(fr_tank_content content, double volume_m3);
double fr_tank_volume(fr_tank_content content);
/* Ethanol fraction at 15 degC; NAN of nothing. */
double fr_tank_content_ethanol(const fr_tank_scale *scale, fr_tank_content content);

#endif
