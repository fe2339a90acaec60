/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/predict.h"

#include <math.h>

#include "capacity/stages.h"
#include "supply/direct.h"
#include "supply/port.h"

static const double PI = 3.14159265358979323846;

static double logged(const fr_pull_node *node, fr_channel channel) {
    return node->value[channel].mean;
}

static bool has(const fr_pull_node *node, fr_channel channel) {
    return !isnan(logged(node, channel));
}

double fr_node_power(const fr_used_pull *pull, const fr_pull_node *node) {
    if (pull->columns.found[FR_CHANNEL_POWER] && has(node, FR_CHANNEL_POWER))
        return logged(node, FR_CHANNEL_POWER);
    if (pull->columns.found[FR_CHANNEL_TORQUE] && has(node, FR_CHANNEL_TORQUE))
        return logged(node, FR_CHANNEL_TORQUE) * node->rpm * PI / 30.0;
    return NAN;
}

/* ---- the engine driven as the log says ---- */

/* A curve that says one figure; what a tolerance did to it stays. */
static void set_flat(fr_curve *curve, double y) {
    curve->count = 1;
    curve->y[0] = y;
}

/* Mean of a channel over the nodes that have it; NAN: none has. */
static double mean_over(const fr_used_pull *pull, fr_channel channel) {
    double sum = 0.0;
    size_t used = 0;
    for (size_t i = 0; i < pull->node_count; i++) {
        if (!has(&pull->nodes[i], channel))
            continue;
        sum += logged(&pull->nodes[i], channel);
        used++;
    }
    return used > 0 ? sum / (double)used : NAN;
}

static void set_site(const fr_build *moved, fr_build *work, double supply_v, double fuel_c) {
    if (!isnan(supply_v))
        work->site.supply_voltage_v = supply_v;
    if (!isnan(fuel_c)) {
        const double warmer = fuel_c - moved->site.feed_temperature_c;
        work->site.feed_temperature_c += warmer;
        work->site.rail_temperature_c += warmer;
        work->site.hp_inlet_temperature_c += warmer;
        work->site.tank_temperature_c += warmer;
    }
}

void fr_drive_pull(const fr_build *moved, fr_build *work, const fr_used_pull *pull,
                   fr_driven *driven) {
    *driven = (fr_driven){.moved = moved, .work = work, .pull = pull};
    driven->lambda = mean_over(pull, FR_CHANNEL_LAMBDA);
    driven->supply_v = mean_over(pull, FR_CHANNEL_SUPPLY_VOLTAGE);
    driven->greatest_pull = fr_greatest_pull_power(moved);
    *work = *moved;
    set_site(moved, work, driven->supply_v, mean_over(pull, FR_CHANNEL_FUEL_TEMPERATURE));
    if (!isnan(driven->lambda))
        set_flat(&work->engine.lambda, driven->lambda);
    /* One watt; each node asks for so many of it. */
    set_flat(&work->engine.target_power_w, 1.0);
    work->engine.target_power_w.scale = 1.0;
    work->engine.target_power_w.shift = 0.0;
    driven->side = fr_side_make(work, pull->ethanol);
}

/* Power at this node, where the target is stated. A boosted or throttled engine that did not
 * reach its manifold pressure had so much less air, and made so much less power. */
static double power_made(const fr_driven *driven, const fr_pull_node *node, const fr_speed *speed,
                         double power_error) {
    const fr_engine *engine = &driven->moved->engine;
    const double told = fr_node_power(driven->pull, node);
    if (!isnan(told))
        return told / (1.0 + power_error);
    const double target =
        fr_curve_at(&engine->target_power_w, driven->pull->ethanol) * speed->pull;
    if (has(node, FR_CHANNEL_MANIFOLD_PRESSURE) && engine->boost_source != FR_BOOST_WORKED_OUT)
        return target * logged(node, FR_CHANNEL_MANIFOLD_PRESSURE) / speed->manifold_abs_pa;
    return target;
}

static fr_speed drive_node(fr_driven *driven, const fr_pull_node *node, double power_error) {
    fr_speed speed = fr_speed_at(driven->moved, node->rpm, driven->greatest_pull);
    speed.pull = power_made(driven, node, &speed, power_error);
    /* The same air burns more fuel as lambda falls. */
    if (!isnan(driven->lambda) && has(node, FR_CHANNEL_LAMBDA))
        speed.bsfc_kg_j *= driven->lambda / logged(node, FR_CHANNEL_LAMBDA);
    driven->work->engine.boost_source = driven->moved->engine.boost_source;
    if (has(node, FR_CHANNEL_MANIFOLD_PRESSURE)) {
        driven->work->engine.boost_source = FR_BOOST_CURVE;
        speed.manifold_abs_pa = logged(node, FR_CHANNEL_MANIFOLD_PRESSURE);
    }
    if (has(node, FR_CHANNEL_RAIL_COMMAND))
        speed.rail_command_pa = logged(node, FR_CHANNEL_RAIL_COMMAND);
    driven->work->share = driven->moved->share;
    return speed;
}

/* Voltage at a node: logged, else the build's. */
static double supply_at(const fr_build *build, const fr_pull_node *node) {
    return has(node, FR_CHANNEL_SUPPLY_VOLTAGE) ? logged(node, FR_CHANNEL_SUPPLY_VOLTAGE)
                                                : build->site.supply_voltage_v;
}

static fr_port_state port_at(const fr_place *place, const fr_operating *op,
                             const fr_pull_node *node, double fuel_kg_s) {
    const fr_build *build = place->build;
    return fr_port_at(&build->port, supply_at(build, node), place->side->feed.density_kg_m3,
                      op->rail_gauge_pa, build->site.air_pressure_pa, op->manifold_abs_pa,
                      fuel_kg_s, place->speed->cycle_s);
}

/* ---- what the direct side was driven at ---- */

/* Rail pressure at a node: measured, else what the build holds. */
static double rail_at(const fr_pull_node *node, double rail_error, double held_pa) {
    return has(node, FR_CHANNEL_RAIL_PRESSURE)
               ? logged(node, FR_CHANNEL_RAIL_PRESSURE) / (1.0 + rail_error)
               : held_pa;
}

static double held_pressure(const fr_place *place, const fr_operating *op) {
    const double available = fr_direct_available(place, op);
    const double most = isnan(available) ? op->rail_abs_pa : available;
    return most < place->rail_command_pa ? most : place->rail_command_pa;
}

/* With automatic share nothing says who carried what; both pulses together do. */
static bool share_from_log(const fr_place *place, const fr_operating *op, const fr_pull_node *node,
                           double rail_pa, double *share) {
    const fr_build *build = place->build;
    if (!has(node, FR_CHANNEL_PORT_PULSE) || !has(node, FR_CHANNEL_DIRECT_PULSE))
        return false;
    const fr_port_state port = port_at(place, op, node, op->fuel_kg_s);
    const double port_time = logged(node, FR_CHANNEL_PORT_PULSE) - port.dead_time_s;
    const double direct_time =
        logged(node, FR_CHANNEL_DIRECT_PULSE) - build->direct.opening_delay_s;
    const double by_port = port_time > 0.0 ? port.static_kg_s * port_time * build->port.count : 0.0;
    const double by_direct =
        direct_time > 0.0 ? fr_spray_static(&build->direct, &place->spray, op->cylinder_abs_pa,
                                            rail_pa) *
                                direct_time * build->direct.count
                          : 0.0;
    *share = by_direct / (by_port + by_direct);
    return by_port + by_direct > 0.0;
}

static double log_ratio(double needed, double there) {
    static const double FURTHEST = 3.0; /* beyond a factor of twenty nothing more is told */
    if (!(there > 0.0))
        return FURTHEST;
    const double gap = log(needed / there);
    return gap > FURTHEST ? FURTHEST : gap < -FURTHEST ? -FURTHEST : gap;
}

static void predict_direct(const fr_place *place, const fr_operating *op, const fr_pull_node *node,
                           double rail_error, fr_node_figures *figures) {
    static const double STEP = 0.01; /* of rail pressure, for the slope */
    const fr_direct *direct = &place->build->direct;
    const double held = held_pressure(place, op);
    const double rail = rail_at(node, rail_error, held);
    const double mass = op->direct_fuel_kg_s / place->spray.injections_per_s;
    const double passed = fr_spray_static(direct, &place->spray, op->cylinder_abs_pa, rail);
    const double at_rail = fr_high_pressure_delivery(&place->high_pressure, rail, op->rail_abs_pa);
    const double above =
        fr_high_pressure_delivery(&place->high_pressure, rail * (1.0 + STEP), op->rail_abs_pa);
    figures->rail_command_pa = place->rail_command_pa;
    figures->predicted[FR_CHANNEL_RAIL_PRESSURE] = held;
    if (mass > 0.0 && passed > 0.0)
        figures->predicted[FR_CHANNEL_DIRECT_PULSE] = mass / passed + direct->opening_delay_s;
    if (mass > 0.0) {
        figures->high_gap = log_ratio(op->direct_fuel_kg_s, at_rail);
        figures->high_gap_slope = (log_ratio(op->direct_fuel_kg_s, above) - figures->high_gap) / STEP;
    }
}

/* ---- the low-pressure side ---- */

static void predict_feed(const fr_place *place, const fr_operating *op, const fr_pull_node *node,
                         fr_node_figures *figures) {
    const fr_feed *feed = &place->build->feed;
    const double needed = op->fuel_m3_s + fr_feed_bypass(feed) + feed->jet_pump_m3_s;
    figures->lift_gap = log_ratio(needed, op->available_m3_s);
    figures->predicted[FR_CHANNEL_FEED_PRESSURE] = op->rail_gauge_pa;
    /* With its speed held by a sensor the pump does not run at full drive, and its voltage and
     * current tell nothing. */
    if (feed->regulation == FR_ELECTRONIC_RETURNLESS ||
        (!has(node, FR_CHANNEL_PUMP_VOLTAGE) && !has(node, FR_CHANNEL_PUMP_CURRENT)))
        return;
    fr_pump_state first;
    fr_circuit_current(place, op, &first);
    const double off_mean = supply_at(place->build, node) - place->build->site.supply_voltage_v;
    figures->predicted[FR_CHANNEL_PUMP_VOLTAGE] = first.voltage_v + off_mean;
    figures->predicted[FR_CHANNEL_PUMP_CURRENT] = first.current_a;
}

static void predict_port(const fr_place *place, const fr_operating *op, const fr_pull_node *node,
                         fr_node_figures *figures) {
    if (op->port_fuel_kg_s > 0.0)
        figures->predicted[FR_CHANNEL_PORT_PULSE] =
            port_at(place, op, node, op->port_fuel_kg_s).pulse_s;
}

static void clear_figures(fr_node_figures *figures) {
    for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++)
        figures->predicted[channel] = NAN;
    figures->lift_gap = figures->high_gap = figures->high_gap_slope = NAN;
    figures->rail_command_pa = NAN;
}

void fr_node_predict(fr_driven *driven, const fr_pull_node *node, const fr_sensor_errors *errors,
                     fr_node_figures *figures) {
    fr_speed speed = drive_node(driven, node, errors->power);
    const fr_place place = fr_place_make(&driven->side, &speed);
    fr_operating op = fr_operate(&place, 1.0);
    bool share_known = true;
    clear_figures(figures);
    if (driven->work->share == FR_SHARE_AUTO) {
        const double held = held_pressure(&place, &op);
        const double rail = rail_at(node, errors->rail_pressure, held);
        share_known = share_from_log(&place, &op, node, rail, &speed.direct_share);
        if (share_known) {
            driven->work->share = FR_SHARE_CURVE;
            op = fr_operate(&place, 1.0);
        }
    }
    figures->manifold_abs_pa = op.manifold_abs_pa;
    figures->predicted[FR_CHANNEL_FUEL_FLOW] =
        driven->pull->columns.flow_is_mass ? op.fuel_kg_s : op.fuel_m3_s;
    predict_feed(&place, &op, node, figures);
    if (share_known && place.build->direct.present)
        predict_direct(&place, &op, node, errors->rail_pressure, figures);
    if (share_known && place.build->port.present)
        predict_port(&place, &op, node, figures);
}

void fr_node_expect(const fr_build *build, double ethanol, double rpm,
                    double expected[FR_CHANNEL_COUNT]) {
    const fr_need need = fr_need_on_blend(build, ethanol);
    const fr_speed speed = fr_speed_at(build, rpm, fr_greatest_pull_power(build));
    const fr_demand demand = fr_demand_at(build, &need, &speed);
    for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++)
        expected[channel] = NAN;
    expected[FR_CHANNEL_LAMBDA] = need.lambda;
    expected[FR_CHANNEL_MANIFOLD_PRESSURE] = fr_manifold_at(build, &demand, 1.0);
    expected[FR_CHANNEL_SUPPLY_VOLTAGE] = build->site.supply_voltage_v;
    expected[FR_CHANNEL_FUEL_TEMPERATURE] = build->site.feed_temperature_c;
    expected[FR_CHANNEL_POWER] = need.stated_power_w * speed.pull;
    expected[FR_CHANNEL_TORQUE] = expected[FR_CHANNEL_POWER] / (rpm * PI / 30.0);
    if (build->direct.present)
        expected[FR_CHANNEL_RAIL_COMMAND] = speed.rail_command_pa;
}
