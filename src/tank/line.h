/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FR_TANK_LINE_H
#define FR_TANK_LINE_H

#include "fuelreach/tank.h"
#include "tank/content.h"

/* When the engine sees `now`, the line being full of `before` (an ethanol fraction). */
fr_tank_transit fr_tank_follow(const fr_tank_ask *ask, const fr_tank_scale *scale,
                               fr_tank_content now, double before);

#endif
