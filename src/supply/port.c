/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "supply/port.h"

#include <math.h>

#include "fuelreach/supply.h"

fr_port_state fr_port_at(const fr_port *port, double supply_v, double density_kg_m3,
                         double rail_gauge_pa, double air_pa, double manifold_abs_pa,
                         double fuel_kg_s, double cycle_s) {
    fr_port_state state = {.drop_pa = rail_gauge_pa + air_pa - manifold_abs_pa};
    state.dead_time_s = fr_curve_at(&port->dead_time_s, supply_v) +
                        port->dead_time_s_per_pa * (state.drop_pa - port->test_pressure_pa);
    if (!(fuel_kg_s > 0.0)) {
        state.static_kg_s = NAN;
        return state;
    }
    if (!(state.drop_pa > 0.0)) {
        state.static_kg_s = state.pulse_s = state.duty = NAN;
        return state;
    }
    state.static_kg_s = fr_injector_static(port->flow_kg_s, port->test_pressure_pa,
                                           port->test_density_kg_m3, state.drop_pa, density_kg_m3);
    const double mass_kg = fuel_kg_s * cycle_s / (double)port->count;
    state.pulse_s = mass_kg / state.static_kg_s + state.dead_time_s;
    state.duty = state.pulse_s / cycle_s;
    return state;
}
