/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One lift pump behind its wiring, between two kinks: a closed form. */
#ifndef FR_CHANCE_PUMP_FORM_H
#define FR_CHANCE_PUMP_FORM_H

#include <stdbool.h>

#include "fuelreach/build.h"

/* y = at_zero + slope * x */
typedef struct fr_segment {
    double at_zero, slope;
} fr_segment;

typedef struct fr_pump_form {
    bool between;            /* two curves; else one, scaled */
    bool turbine;            /* how the one is scaled */
    fr_segment flow, current; /* of the one, or the lower curve; over rise at its voltage */
    fr_segment flow_high, current_high;
    double voltage_v, voltage_high_v;
    double free_flow_m3_s;   /* of the one, at no rise */
    double supply_v, ohm;
    double square_v; /* turbine: ohm * current at no rise over the curve's voltage squared, 1/V */
    double flow_factor;
} fr_pump_form;

typedef struct fr_pump_value {
    double flow_m3_s, flow_per_rise;
    double flow_bend; /* how flow_per_rise changes over the rise */
    double current_a, current_per_rise;
} fr_pump_value;

/* The form that holds around `rise_pa`. */
fr_pump_form fr_pump_form_around(const fr_pump *pump, double supply_v, double ohm, double rise_pa);
fr_pump_value fr_pump_form_at(const fr_pump_form *form, double rise_pa);

enum { FR_KINKS_MAX = 64 };
/* Rises in (least, most) at which the form may change; not in order, some may be no kinks. */
size_t fr_pump_kinks(const fr_pump *pump, double supply_v, double ohm, double least_pa,
                     double most_pa, double kinks_pa[FR_KINKS_MAX]);

#endif
