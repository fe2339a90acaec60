/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "supply/direct.h"

#include <math.h>

#include "fuelreach/supply.h"

double fr_cylinder_pressure(double manifold_abs_pa) {
    static const double OVER_MANIFOLD = 1.5; /* common practice, no source */
    return OVER_MANIFOLD * manifold_abs_pa;
}

fr_spray fr_spray_at(const fr_direct *direct, double speed_rpm, double window_deg,
                     double density_kg_m3) {
    fr_spray spray;
    spray.injections_per_s = (double)direct->count * speed_rpm / 120.0;
    spray.window_deg = window_deg;
    spray.deg_per_s = 6.0 * speed_rpm;
    spray.flow_time_s = window_deg / spray.deg_per_s - direct->opening_delay_s;
    spray.density_kg_m3 = density_kg_m3;
    return spray;
}

double fr_spray_static(const fr_direct *direct, const fr_spray *spray, double cylinder_pa,
                       double rail_pa) {
    return fr_injector_static(direct->flow_kg_s, direct->test_pressure_pa,
                              direct->test_density_kg_m3, rail_pa - cylinder_pa,
                              spray->density_kg_m3);
}

double fr_spray_required(const fr_direct *direct, const fr_spray *spray, double cylinder_pa,
                         double fuel_kg_s) {
    if (!(spray->flow_time_s > 0.0)) {
        return NAN;
    }
    const double mass_kg = fuel_kg_s / spray->injections_per_s;
    const double times_rated = mass_kg / (spray->flow_time_s * direct->flow_kg_s);
    return cylinder_pa + direct->test_pressure_pa * times_rated * times_rated *
                             direct->test_density_kg_m3 / spray->density_kg_m3;
}

double fr_spray_passed(const fr_direct *direct, const fr_spray *spray, double cylinder_pa,
                       double rail_pa, double window_share) {
    const double time_s =
        window_share * spray->window_deg / spray->deg_per_s - direct->opening_delay_s;
    return time_s > 0.0 ? fr_spray_static(direct, spray, cylinder_pa, rail_pa) * time_s *
                              spray->injections_per_s
                        : 0.0;
}

double fr_spray_angle(const fr_direct *direct, const fr_spray *spray, double cylinder_pa,
                      double rail_pa, double fuel_kg_s) {
    const double flow_kg_s = fr_spray_static(direct, spray, cylinder_pa, rail_pa);
    if (!(flow_kg_s > 0.0)) {
        return NAN;
    }
    const double mass_kg = fuel_kg_s / spray->injections_per_s;
    return (mass_kg / flow_kg_s + direct->opening_delay_s) * spray->deg_per_s;
}
