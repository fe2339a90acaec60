/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FR_QUANTITY_CIRCLE_H
#define FR_QUANTITY_CIRCLE_H

/* Area of a circle, in the square of the diameter's unit. (ISO C has no pi.) */
static inline double fr_circle_area(double diameter) {
    return 0.785398163397448309616 * diameter * diameter;
}

#endif
