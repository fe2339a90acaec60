/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FR_TANK_READING_H
#define FR_TANK_READING_H

#include "fuelreach/tank.h"
#include "tank/content.h"

/* The last filling before the sensor was read. */
typedef struct fr_tank_filling {
    bool any;
    fr_tank_content before;
    double added_m3;
    double added_ethanol;
} fr_tank_filling;

/* Judges ask->reading against `now`; fills the finding of `result`. */
void fr_tank_judge(const fr_tank_ask *ask, const fr_tank_scale *scale, fr_tank_content now,
                   const fr_tank_filling *last, fr_tank_result *result);

#endif
