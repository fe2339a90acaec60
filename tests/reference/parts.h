/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The pieces of the reference, one file each. */
#ifndef FUELREACH_TESTS_REFERENCE_PARTS_H
#define FUELREACH_TESTS_REFERENCE_PARTS_H

#include <stdbool.h>

#include "fuelreach/build.h"
#include "fuelreach/check.h"

/* ---- solve.c ---- */

typedef double ref_function(double x, const void *context);
/* Where f changes sign between lo and hi. With a jump, the place of the jump. */
double ref_root(ref_function *f, const void *context, double lo, double hi);
double ref_curve(const fr_curve *curve, double x);
double ref_line(const fr_pump_line *line, double x);

/* ---- fuel.c ---- */

typedef struct ref_fuel {
    double ethanol; /* volume */
    double ethanol_mass;
    double ethanol_mole;
    double stoich;
    double heating;
    fr_gasoline gasoline;
} ref_fuel;

ref_fuel ref_fuel_of(const fr_gasoline *gasoline, double ethanol);
double ref_density(const ref_fuel *fuel, double t);
double ref_density_under(const ref_fuel *fuel, double t, double pressure_pa);
double ref_viscosity(const ref_fuel *fuel, double t);
double ref_vapour_pressure(const ref_fuel *fuel, double t);

/* ---- engine.c ---- */

typedef struct ref_demand {
    ref_fuel fuel;
    double lambda;
    double power_w, crank_power_w, bsfc, fuel_kg_s, fuel_m3_s, air_kg_s, manifold_pa;
} ref_demand;

/* At k times the power. */
ref_demand ref_demand_of(const fr_build *build, double ethanol, double rpm, double k);
double ref_target(const fr_build *build, double ethanol);
/* The speed of most power. */
double ref_peak_speed(const fr_build *build);
double ref_swept_air(const fr_build *build, double rpm, double manifold_pa);

/* ---- pumps.c ---- */

/* One pump behind its share of the wiring: voltage, flow not cut at zero, current. */
typedef struct ref_pump_state {
    double voltage;
    double raw_flow;
    double flow;
    double current;
} ref_pump_state;

ref_pump_state ref_pump_at(const fr_build *build, size_t kind, double rise_pa);
/* Part of a common rise that one pump of this kind carries. */
double ref_pump_part(const fr_build *build, size_t kind, double rise_pa);
double ref_pumps_flow(const fr_build *build, double rise_pa);
/* The greatest rise, up to `most_pa`, at which the pumps still give `flow`; below 0: none. */
double ref_pumps_rise(const fr_build *build, double flow, double most_pa);

/* ---- lines.c ---- */

double ref_loss(const fr_build *build, const ref_fuel *fuel, double flow_m3_s);
/* Flow that the pumps deliver with the rail at the set pressure. */
double ref_available(const fr_build *build, const ref_fuel *fuel, double set_pa);

/* ---- injection.c ---- */

void ref_port(const fr_build *build, const ref_demand *demand, fr_point *point);
void ref_direct(const fr_build *build, const ref_demand *demand, fr_point *point);
/* Direct share by the build's rule. */
double ref_share(const fr_build *build, const ref_demand *demand, const fr_point *point);

#endif
