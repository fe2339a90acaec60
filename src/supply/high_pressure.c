/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "supply/high_pressure.h"

#include <math.h>

#include "quantity/root.h"

static const double PRESSURE_TOLERANCE_PA = 1e-3;

fr_high_pressure fr_high_pressure_at(const fr_direct *direct, double speed_rpm, double fill,
                                     double density_kg_m3, double bulk_modulus_pa) {
    const double count = (double)direct->pump_count;
    return (fr_high_pressure){
        .swept_m3_s = count * direct->displacement_m3 * speed_rpm / 60.0 * direct->drive_ratio,
        .fill = fill,
        .dead_volume_ratio = direct->dead_volume_ratio,
        .leak_m3_s_pa = count * direct->leakage_m3_s / direct->leakage_at_pa,
        .density_kg_m3 = density_kg_m3,
        .bulk_modulus_pa = bulk_modulus_pa,
    };
}

double fr_high_pressure_delivery(const fr_high_pressure *pump, double rail_abs_pa,
                                 double inlet_abs_pa) {
    const double inlet = fr_compression_ratio(inlet_abs_pa, pump->bulk_modulus_pa);
    const double rail = fr_compression_ratio(rail_abs_pa, pump->bulk_modulus_pa);
    const double drawn =
        pump->swept_m3_s * (pump->fill - pump->dead_volume_ratio * (rail / inlet - 1.0));
    const double leaked = pump->leak_m3_s_pa * (rail_abs_pa - inlet_abs_pa);
    const double delivered = pump->density_kg_m3 * inlet * (drawn - leaked);
    return delivered > 0.0 ? delivered : 0.0;
}

typedef struct fr_available_search {
    const fr_high_pressure *pump;
    double fuel_kg_s;
    double inlet_abs_pa;
} fr_available_search;

static double delivered_over(double rail_abs_pa, const void *context) {
    const fr_available_search *search = context;
    return fr_high_pressure_delivery(search->pump, rail_abs_pa, search->inlet_abs_pa) -
           search->fuel_kg_s;
}

double fr_high_pressure_available(const fr_high_pressure *pump, double fuel_kg_s,
                                  double inlet_abs_pa, double limit_abs_pa) {
    const fr_available_search search = {pump, fuel_kg_s, inlet_abs_pa};
    const double at_limit = delivered_over(limit_abs_pa, &search);
    if (at_limit >= 0.0) {
        return limit_abs_pa;
    }
    const double at_inlet = delivered_over(inlet_abs_pa, &search);
    if (at_inlet < 0.0) {
        return NAN;
    }
    return fr_root(delivered_over, &search, inlet_abs_pa, at_inlet, limit_abs_pa, at_limit,
                   PRESSURE_TOLERANCE_PA);
}
