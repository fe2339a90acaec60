/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Putting a part into its slot. */
#include "fuelreach/sizing.h"

static void fit_pump(fr_build *build, const fr_size_item *item) {
    fr_pumps *pumps = &build->pumps;
    pumps->kind_count = 1;
    pumps->kinds[0] = item->part->as.lift_pump;
    pumps->kinds[0].count = item->count;
    pumps->kinds[0].flow_factor = 1.0; /* a new one */
    pumps->series = item->series;
}

static void fit_wiring(fr_build *build, const fr_part *part) {
    build->pumps.wiring_ohm = part->as.wiring.ohm;
    if (part->as.wiring.fuse_a > 0.0) {
        build->pumps.fuse_a = part->as.wiring.fuse_a;
    }
}

static void fit_filter(fr_build *build, const fr_part *part) {
    for (size_t i = 0; i < build->feed.filter_count; i++) {
        build->feed.filters[i] = part->as.filter;
    }
}

/* Bore and roughness of every segment; lengths and fittings are the car's. */
static void fit_line(fr_build *build, const fr_part *part) {
    for (size_t i = 0; i < build->feed.line_count; i++) {
        build->feed.lines[i].bore_m = part->as.line.bore_m;
        build->feed.lines[i].roughness_m = part->as.line.roughness_m;
    }
}

/* Port injectors in a direct-only engine take what the direct ones leave. */
static void fit_port_injector(fr_build *build, const fr_size_item *item) {
    const bool added = !build->port.present;
    build->port = item->part->as.port_injector;
    build->port.present = true;
    build->port.count = item->count;
    if (added) {
        build->share = FR_SHARE_AUTO;
    }
}

static void fit_direct_injector(fr_build *build, const fr_part *part) {
    fr_direct *direct = &build->direct;
    const fr_direct *from = &part->as.direct_injector;
    direct->flow_kg_s = from->flow_kg_s;
    direct->test_pressure_pa = from->test_pressure_pa;
    direct->test_density_kg_m3 = from->test_density_kg_m3;
    direct->opening_delay_s = from->opening_delay_s;
    direct->injector_max_pa = from->injector_max_pa;
    direct->rated_in_lb_h = from->rated_in_lb_h;
}

static void fit_high_pressure_pump(fr_build *build, const fr_size_item *item) {
    fr_direct *direct = &build->direct;
    const fr_direct *from = &item->part->as.high_pressure_pump;
    direct->pump_count = item->count;
    direct->displacement_m3 = from->displacement_m3;
    direct->plunger_area_m2 = from->plunger_area_m2;
    direct->lobes = from->lobes;
    direct->drive_ratio = from->drive_ratio;
    direct->fill = from->fill;
    direct->dead_volume_ratio = from->dead_volume_ratio;
    direct->leakage_m3_s = from->leakage_m3_s;
    direct->leakage_at_pa = from->leakage_at_pa;
    direct->pump_max_pa = from->pump_max_pa;
    direct->minimum_inlet_gauge_pa = from->minimum_inlet_gauge_pa;
}

void fr_size_fit(fr_build *build, fr_slot slot, const fr_size_item *item) {
    if (item->part == NULL) {
        return;
    }
    switch (slot) {
    case FR_SLOT_LIFT_PUMP:
        fit_pump(build, item);
        break;
    case FR_SLOT_WIRING:
        fit_wiring(build, item->part);
        break;
    case FR_SLOT_FILTER:
        fit_filter(build, item->part);
        break;
    case FR_SLOT_LINE:
        fit_line(build, item->part);
        break;
    case FR_SLOT_PORT_INJECTOR:
        fit_port_injector(build, item);
        break;
    case FR_SLOT_DIRECT_INJECTOR:
        fit_direct_injector(build, item->part);
        break;
    case FR_SLOT_HIGH_PRESSURE_PUMP:
        fit_high_pressure_pump(build, item);
        break;
    case FR_SLOT_COUNT:
        break;
    }
}
