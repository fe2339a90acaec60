/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tank/plan.h"

#include <math.h>

/* Contents closer than this are the same: far below what any sensor or label tells. */
static const double SAME = 1e-9;

fr_tank_obstacle fr_tank_way(double from, double with, double target) {
    if (fabs(target - from) <= SAME)
        return FR_TANK_FREE;
    if (fabs(with - from) <= SAME || (target - from) * (with - from) < 0.0)
        return FR_TANK_WRONG_WAY;
    return fabs(target - from) > fabs(with - from) + SAME ? FR_TANK_TOO_WEAK : FR_TANK_FREE;
}

double fr_tank_plan_drain(double size_m3, double holds_m3, double ethanol, double with,
                          const double *targets, size_t count) {
    double from = ethanol;
    for (size_t i = 0; i < count; i++) {
        if (fr_tank_way(from, with, targets[i]) != FR_TANK_FREE)
            return NAN;
        from = targets[i];
    }
    if (fabs(from - ethanol) <= SAME)
        return 0.0;
    const double most = size_m3 * fabs(with - from) / fabs(with - ethanol);
    return holds_m3 > most ? holds_m3 - most : 0.0;
}

double fr_tank_topping(double size_m3, double holds_m3, double ethanol, double with,
                       double target) {
    if (fabs(target - ethanol) <= SAME)
        return 0.0;
    if (fabs(with - target) <= SAME) /* only into an empty tank: fill it */
        return size_m3 - holds_m3;
    return holds_m3 * (target - ethanol) / (with - target);
}
