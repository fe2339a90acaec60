/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether two builds are the same, member by member. */
#include "sheet_support.h"

static bool same(double a, double b, double tolerance) {
    return a == b || (isnan(a) && isnan(b)) || fabs(a - b) <= tolerance * fmax(fabs(a), fabs(b));
}

static bool same_curve(const fr_curve *a, const fr_curve *b, double t) {
    if (a->count != b->count || !same(a->scale, b->scale, t) || !same(a->shift, b->shift, t))
        return false;
    for (size_t i = 0; i < a->count; i++)
        if (!same(a->x[i], b->x[i], t) || !same(a->y[i], b->y[i], t))
            return false;
    return true;
}

static bool same_line(const fr_pump_line *a, const fr_pump_line *b, double t) {
    if (a->count != b->count)
        return false;
    for (size_t i = 0; i < a->count; i++)
        if (!same(a->rise_pa[i], b->rise_pa[i], t) || !same(a->y[i], b->y[i], t))
            return false;
    return true;
}

static bool same_pump(const fr_pump *a, const fr_pump *b, double t) {
    bool alike = a->type == b->type && a->count == b->count &&
                 same(a->flow_factor, b->flow_factor, t) && same(a->relief_pa, b->relief_pa, t) &&
                 a->curve_count == b->curve_count;
    for (size_t i = 0; alike && i < a->curve_count; i++)
        alike = same(a->curves[i].voltage_v, b->curves[i].voltage_v, t) &&
                same_line(&a->curves[i].flow_m3_s, &b->curves[i].flow_m3_s, t) &&
                same_line(&a->curves[i].current_a, &b->curves[i].current_a, t);
    return alike;
}

static bool same_pipe(const fr_line *a, const fr_line *b, double t) {
    return same(a->bore_m, b->bore_m, t) && same(a->length_m, b->length_m, t) &&
           same(a->roughness_m, b->roughness_m, t) && same(a->fittings, b->fittings, t);
}

#define NUMBER(member)                                                                             \
    if (!same((double)a->member, (double)b->member, t))                                            \
    return #member
#define CURVE(member)                                                                              \
    if (!same_curve(&a->member, &b->member, t))                                                    \
    return #member

static const char *engines_differ(const fr_build *a, const fr_build *b, double t) {
    NUMBER(engine.cylinders);
    NUMBER(engine.displacement_m3);
    CURVE(engine.target_power_w);
    NUMBER(engine.at_wheels);
    NUMBER(engine.drivetrain_loss);
    NUMBER(engine.factory_power_w);
    NUMBER(engine.aspiration);
    CURVE(engine.pull);
    NUMBER(engine.pull_is_torque);
    CURVE(engine.bsfc_kg_j);
    NUMBER(engine.bsfc_ethanol);
    NUMBER(engine.bsfc_lambda);
    NUMBER(engine.bsfc_scaling);
    CURVE(engine.lambda);
    CURVE(engine.same_air_gain);
    NUMBER(engine.boost_source);
    CURVE(engine.boost_gauge_pa);
    NUMBER(engine.manifold_shift_pa);
    NUMBER(engine.charge_temperature_c);
    NUMBER(engine.idle_speed_rpm);
    return NULL;
}

static const char *sites_differ(const fr_build *a, const fr_build *b, double t) {
    NUMBER(site.air_pressure_pa);
    NUMBER(site.tank_temperature_c);
    NUMBER(site.tank_temperature_given);
    NUMBER(site.feed_temperature_c);
    NUMBER(site.rail_temperature_c);
    NUMBER(site.hp_inlet_temperature_c);
    NUMBER(site.supply_voltage_v);
    NUMBER(gasoline.density_15_kg_m3);
    NUMBER(gasoline.vapour_pressure_pa);
    NUMBER(gasoline.stoich);
    NUMBER(gasoline.heating_value_j_kg);
    NUMBER(ethanol_shift);
    NUMBER(blend_count);
    for (size_t i = 0; i < a->blend_count; i++)
        NUMBER(blends[i]);
    for (size_t i = 0; i < FR_STAGE_COUNT; i++)
        NUMBER(limits[i]);
    return NULL;
}

static const char *supplies_differ(const fr_build *a, const fr_build *b, double t) {
    NUMBER(pumps.series);
    NUMBER(pumps.kind_count);
    for (size_t i = 0; i < a->pumps.kind_count; i++)
        if (!same_pump(&a->pumps.kinds[i], &b->pumps.kinds[i], t))
            return "pumps.kinds";
    NUMBER(pumps.wiring_ohm);
    NUMBER(pumps.shared_wiring_ohm);
    NUMBER(pumps.fuse_a);
    NUMBER(feed.regulation);
    NUMBER(feed.manifold_referenced);
    NUMBER(feed.pressure_gauge_pa);
    NUMBER(feed.minimum_bypass_m3_s);
    NUMBER(feed.jet_pump_m3_s);
    NUMBER(feed.strainer_loss_pa);
    NUMBER(feed.loss_factor);
    NUMBER(feed.filter_count);
    for (size_t i = 0; i < a->feed.filter_count; i++) {
        NUMBER(feed.filters[i].drop_pa);
        NUMBER(feed.filters[i].rated_flow_m3_s);
    }
    NUMBER(feed.line_count);
    for (size_t i = 0; i < a->feed.line_count; i++)
        if (!same_pipe(&a->feed.lines[i], &b->feed.lines[i], t))
            return "feed.lines";
    if (!same_pipe(&a->feed.return_line, &b->feed.return_line, t))
        return "feed.return_line";
    return NULL;
}

static const char *injections_differ(const fr_build *a, const fr_build *b, double t) {
    NUMBER(port.present);
    NUMBER(port.count);
    NUMBER(port.flow_kg_s);
    NUMBER(port.test_pressure_pa);
    NUMBER(port.test_density_kg_m3);
    CURVE(port.dead_time_s);
    NUMBER(port.dead_time_s_per_pa);
    NUMBER(port.max_duty);
    NUMBER(port.minimum_open_s);
    NUMBER(port.rated_in_lb_h);
    NUMBER(direct.present);
    NUMBER(direct.count);
    NUMBER(direct.flow_kg_s);
    NUMBER(direct.test_pressure_pa);
    NUMBER(direct.test_density_kg_m3);
    NUMBER(direct.opening_delay_s);
    NUMBER(direct.injector_max_pa);
    CURVE(direct.rail_command_pa);
    CURVE(direct.window_deg);
    NUMBER(direct.rail_volume_m3);
    NUMBER(direct.pump_count);
    NUMBER(direct.displacement_m3);
    NUMBER(direct.plunger_area_m2);
    NUMBER(direct.lobes);
    NUMBER(direct.drive_ratio);
    CURVE(direct.fill);
    NUMBER(direct.dead_volume_ratio);
    NUMBER(direct.leakage_m3_s);
    NUMBER(direct.leakage_at_pa);
    NUMBER(direct.pump_max_pa);
    NUMBER(direct.minimum_inlet_gauge_pa);
    NUMBER(direct.rated_in_lb_h);
    NUMBER(share);
    CURVE(direct_share);
    return NULL;
}

const char *builds_differ(const fr_build *a, const fr_build *b, double tolerance) {
    const char *where = engines_differ(a, b, tolerance);
    where = where != NULL ? where : sites_differ(a, b, tolerance);
    where = where != NULL ? where : supplies_differ(a, b, tolerance);
    return where != NULL ? where : injections_differ(a, b, tolerance);
}
