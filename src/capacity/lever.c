/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a mend may change, and how it is set. */
#include <math.h>

#include "capacity/mend.h"

typedef struct fr_lever_row {
    const char *path; /* in the sheet */
    double (*get)(const fr_build *build);
    void (*scale)(fr_build *build, double factor);
} fr_lever_row;

static double get_none(const fr_build *build) {
    (void)build;
    return NAN;
}
static void scale_none(fr_build *build, double factor) {
    (void)build;
    (void)factor;
}
static double get_lift_flow(const fr_build *build) {
    return build->pumps.kinds[0].flow_factor;
}
static void scale_lift_flow(fr_build *build, double factor) {
    for (size_t i = 0; i < build->pumps.kind_count; i++) {
        build->pumps.kinds[i].flow_factor *= factor;
    }
}
static double get_wiring(const fr_build *build) {
    return build->pumps.wiring_ohm;
}
static void scale_wiring(fr_build *build, double factor) {
    build->pumps.wiring_ohm *= factor;
}
static double get_fuse(const fr_build *build) {
    return build->pumps.fuse_a;
}
static void scale_fuse(fr_build *build, double factor) {
    build->pumps.fuse_a *= factor;
}
static double get_tank_temperature(const fr_build *build) {
    return build->site.tank_temperature_c;
}
static void scale_tank_temperature(fr_build *build, double factor) {
    build->site.tank_temperature_c *= factor;
}
static double get_line_bore(const fr_build *build) {
    return build->feed.line_count > 0 ? build->feed.lines[0].bore_m : NAN;
}
static void scale_line_bore(fr_build *build, double factor) {
    for (size_t i = 0; i < build->feed.line_count; i++) {
        build->feed.lines[i].bore_m *= factor;
    }
}
static double get_feed_pressure(const fr_build *build) {
    return build->feed.pressure_gauge_pa;
}
static void scale_feed_pressure(fr_build *build, double factor) {
    build->feed.pressure_gauge_pa *= factor;
}
static double get_port_flow(const fr_build *build) {
    return build->port.flow_kg_s;
}
static void scale_port_flow(fr_build *build, double factor) {
    build->port.flow_kg_s *= factor;
}
static double get_direct_flow(const fr_build *build) {
    return build->direct.flow_kg_s;
}
static void scale_direct_flow(fr_build *build, double factor) {
    build->direct.flow_kg_s *= factor;
}
static double get_rail_command(const fr_build *build) {
    return build->direct.present ? fr_curve_greatest(&build->direct.rail_command_pa) : NAN;
}
static void scale_curve(fr_curve *curve, double factor) {
    for (size_t i = 0; i < curve->count; i++) {
        curve->y[i] *= factor;
    }
}
static void scale_rail_command(fr_build *build, double factor) {
    scale_curve(&build->direct.rail_command_pa, factor);
}
static double get_displacement(const fr_build *build) {
    return build->direct.displacement_m3;
}
static void scale_displacement(fr_build *build, double factor) {
    build->direct.displacement_m3 *= factor;
}
static double get_direct_share(const fr_build *build) {
    return build->share == FR_SHARE_CURVE ? fr_curve_greatest(&build->direct_share) : NAN;
}
static void scale_direct_share(fr_build *build, double factor) {
    scale_curve(&build->direct_share, factor);
}

static const fr_lever_row LEVERS[FR_LEVER_COUNT] = {
    [FR_LEVER_NONE] = {"", get_none, scale_none},
    [FR_LEVER_LIFT_FLOW] = {"supply.lift_pump.condition", get_lift_flow, scale_lift_flow},
    [FR_LEVER_WIRING] = {"supply.pump_circuit.wiring", get_wiring, scale_wiring},
    [FR_LEVER_FUSE] = {"supply.pump_circuit.fuse", get_fuse, scale_fuse},
    [FR_LEVER_TANK_TEMPERATURE] = {"site.tank_temperature", get_tank_temperature,
                                   scale_tank_temperature},
    [FR_LEVER_LINE_BORE] = {"supply.lines.0.bore", get_line_bore, scale_line_bore},
    [FR_LEVER_FEED_PRESSURE] = {"supply.feed_pressure", get_feed_pressure, scale_feed_pressure},
    [FR_LEVER_PORT_FLOW] = {"supply.port_injection.injector.flow", get_port_flow, scale_port_flow},
    [FR_LEVER_DIRECT_FLOW] = {"supply.direct_injection.injector.flow", get_direct_flow,
                              scale_direct_flow},
    [FR_LEVER_RAIL_COMMAND] = {"supply.direct_injection.rail_pressure", get_rail_command,
                               scale_rail_command},
    [FR_LEVER_HP_DISPLACEMENT] = {"supply.direct_injection.high_pressure_pump.displacement",
                                  get_displacement, scale_displacement},
    [FR_LEVER_DIRECT_SHARE] = {"supply.direct_share", get_direct_share, scale_direct_share},
};

const char *fr_lever_path(fr_lever lever) {
    return LEVERS[lever].path;
}

double fr_lever_get(const fr_build *build, fr_lever lever) {
    return LEVERS[lever].get(build);
}

void fr_lever_scale(fr_build *build, fr_lever lever, double factor) {
    LEVERS[lever].scale(build, factor);
}

void fr_lever_set(fr_build *build, fr_lever lever, double needs, double has) {
    if (lever == FR_LEVER_TANK_TEMPERATURE) {
        build->site.tank_temperature_c = needs;
    } else {
        fr_lever_scale(build, lever, needs / has);
    }
}
