/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Single parts of the supply, one at a time: for lists of parts and for tests. Pure, SI. */
#ifndef FUELREACH_SUPPLY_H
#define FUELREACH_SUPPLY_H

#include "fuelreach/build.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct fr_pump_state {
    double flow_m3_s;
    double voltage_v;
    double current_a;
} fr_pump_state;
/* One pump (count and wiring aside) at a gauge rise and a voltage at its terminals. */
fr_pump_state fr_pump_at_voltage(const fr_pump *pump, double rise_pa, double voltage_v);
/* One pump behind a resistance. */
fr_pump_state fr_pump_behind(const fr_pump *pump, double rise_pa, double supply_v, double ohm);
/* A typical lift pump of `flow_m3_s` at `rise_pa` and 13.5 V. */
fr_pump fr_pump_typical(double flow_m3_s, double rise_pa);
/* Static mass flow of an injector, kg/s, from its rating. 0 where drop_pa <= 0. */
double fr_injector_static(double rated_kg_s, double test_pressure_pa, double test_density_kg_m3,
                          double drop_pa, double density_kg_m3);
/* Resistance of a copper wire there and back, ohm (ASTM B258 diameters, IEC 60028 copper). */
double fr_wire_resistance(double area_m2, double run_m, double temperature_c);
/* Cross-section of an AWG number, m2 (00 = -1, 000 = -2, 0000 = -3). */
double fr_awg_area(double awg);
/* Darcy friction factor (Churchill 1977). */
double fr_friction_factor(double reynolds, double relative_roughness);
/* Loss from tank to rail at a flow, Pa: lines and filters. */
double fr_feed_loss(const fr_feed *feed, double flow_m3_s, double density_kg_m3,
                    double viscosity_pa_s);

#ifdef __cplusplus
}
#endif
#endif
