/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sizing/catalogue.h"

#include <stdio.h>

#include "fuelreach/supply.h"

/* splitmix64: any seed will do. */
static double uniform(uint64_t *state, double from, double to) {
    uint64_t z = (*state += 0x9e3779b97f4a7c15u);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    z ^= z >> 31;
    return from + (to - from) * (double)(z >> 11) * 0x1p-53;
}

static void fill(fr_part *part, const fr_build *build, uint64_t *state) {
    static const double LITRE_H = 1e-3 / 3600.0;
    switch (part->kind) {
    case FR_PART_LIFT_PUMP:
        part->as.lift_pump = fr_pump_typical(uniform(state, 120.0, 420.0) * LITRE_H, 3e5);
        break;
    case FR_PART_PORT_INJECTOR:
        part->as.port_injector = build->port;
        if (!build->port.present) {
            part->as.port_injector = (fr_port){.test_pressure_pa = 3e5,
                                               .test_density_kg_m3 = 683.8,
                                               .flow_kg_s = 600e-6 / 60.0 * 683.8,
                                               .dead_time_s = fr_curve_constant(0.93e-3),
                                               .max_duty = 0.95,
                                               .minimum_open_s = 0.40e-3};
        }
        part->as.port_injector.flow_kg_s *= uniform(state, 0.6, 2.2);
        break;
    case FR_PART_DIRECT_INJECTOR:
        part->as.direct_injector = build->direct;
        part->as.direct_injector.flow_kg_s *= uniform(state, 0.7, 1.8);
        part->as.direct_injector.injector_max_pa *= uniform(state, 0.8, 1.3);
        break;
    case FR_PART_HIGH_PRESSURE_PUMP:
        part->as.high_pressure_pump = build->direct;
        part->as.high_pressure_pump.displacement_m3 *= uniform(state, 0.7, 2.0);
        part->as.high_pressure_pump.pump_max_pa *= uniform(state, 0.8, 1.3);
        part->as.high_pressure_pump.minimum_inlet_gauge_pa *= uniform(state, 0.6, 1.3);
        break;
    case FR_PART_FILTER:
        part->as.filter = (fr_filter){uniform(state, 0.03e5, 0.3e5), 200.0 * LITRE_H};
        break;
    case FR_PART_LINE:
        part->as.line = (fr_line){uniform(state, 6.5e-3, 11e-3), 0.0, 1.5e-6, 0.0};
        break;
    case FR_PART_WIRING:
        part->as.wiring.ohm = uniform(state, 0.02, 0.12);
        part->as.wiring.fuse_a = uniform(state, 0.0, 1.0) < 0.5 ? 0.0 : uniform(state, 12.0, 40.0);
        break;
    case FR_PART_GASOLINE:
    case FR_PART_KIND_COUNT:
        break;
    }
}

void catalogue_make(catalogue *made, const fr_build *build, uint64_t seed, size_t per_kind,
                    bool full, double price_step) {
    uint64_t state = seed;
    made->count = 0;
    for (int kind = 0; kind < FR_PART_GASOLINE; kind++) {
        const size_t count =
            full ? per_kind : (size_t)uniform(&state, 0.0, (double)per_kind + 0.999);
        for (size_t i = 0; i < count; i++) {
            fr_part *part = &made->parts[made->count];
            char *name = made->names[made->count++];
            *part = (fr_part){.kind = (fr_part_kind)kind, .name = name, .title = name};
            snprintf(name, CATALOGUE_NAME_MAX, "part-%zu", i);
            part->price = price_step * (double)(1 + (int)uniform(&state, 0.0, 12.0));
            fill(part, build, &state);
        }
    }
}
