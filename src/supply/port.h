/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Port injectors: duty at a flow, and the flow at a duty. */
#ifndef FR_SUPPLY_PORT_H
#define FR_SUPPLY_PORT_H

#include "fuelreach/build.h"

typedef struct fr_port_state {
    double drop_pa;       /* rail less manifold */
    double static_kg_s;   /* each; NAN where nothing flows */
    double dead_time_s;   /* at this voltage and drop */
    double pulse_s;       /* NAN where drop_pa <= 0 */
    double duty;          /* NAN where drop_pa <= 0 */
} fr_port_state;

/* `fuel_kg_s`: of all port injectors together; one injection a cycle each. */
fr_port_state fr_port_at(const fr_port *port, double supply_v, double density_kg_m3,
                         double rail_gauge_pa, double air_pa, double manifold_abs_pa,
                         double fuel_kg_s, double cycle_s);

#endif
