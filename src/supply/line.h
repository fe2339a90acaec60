/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FR_SUPPLY_LINE_H
#define FR_SUPPLY_LINE_H

#include "fuelreach/build.h"

/* Loss of one line segment at a flow, Pa: (f L/D + K) rho v^2 / 2. */
double fr_line_loss(const fr_line *line, double flow_m3_s, double density_kg_m3,
                    double viscosity_pa_s);

#endif
