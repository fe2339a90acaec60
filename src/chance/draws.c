/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "chance/draws.h"

#include "chance/moves.h"
#include "engine/demand.h"
#include "fuel/constants.h"
#include "fuel/mixing.h"
#include "quantity/circle.h"
#include "supply/feed.h"

/* ---- what all draws share ---- */

static fr_curve bare(const fr_curve *curve) {
    fr_curve plain = *curve;
    plain.scale = 1.0;
    plain.shift = 0.0;
    return plain;
}

/* ---- which speed may end a reach ---- */

/* What the ports pass of a usual blend at a speed, kg/s, roughly: for an order of speeds only. */
static double ports_pass(const fr_draw_plan *plan, size_t i) {
    const fr_build *b = plan->base;
    const double dead = fr_curve_at(&b->port.dead_time_s, b->site.supply_voltage_v);
    const double open = b->port.max_duty - dead / plan->cycle_s[i];
    const double over = b->feed.manifold_referenced ? b->feed.pressure_gauge_pa
                                                    : b->feed.pressure_gauge_pa - plan->boost[i];
    return (double)b->port.count * b->port.flow_kg_s * fr_greater(open, 0.0) *
           sqrt(fr_greater(over, 0.0) / b->port.test_pressure_pa);
}

/* The same of direct injection: the lesser of what the window passes at the rail's limit and what
 * the pump delivers there. */
static double direct_passes(const fr_draw_plan *plan, size_t i) {
    const double CYLINDER_OVER_MANIFOLD = 1.5, DENSITY_KG_M3 = 770.0;
    const fr_build *b = plan->base;
    const fr_direct *d = &b->direct;
    const double limit = fr_lesser(d->injector_max_pa, d->pump_max_pa), rpm = plan->rpm[i];
    const double cylinder = CYLINDER_OVER_MANIFOLD * (b->site.air_pressure_pa + plan->boost[i]);
    const double time = plan->window[i] / (6.0 * rpm) - d->opening_delay_s;
    const double window = (double)d->count * rpm / 120.0 * d->flow_kg_s * fr_greater(time, 0.0) *
                          sqrt(fr_greater(limit - cylinder, 0.0) / d->test_pressure_pa);
    const double pump = (double)d->pump_count * d->displacement_m3 * rpm / 60.0 * d->drive_ratio *
                        plan->fill[i] * DENSITY_KG_M3;
    return fr_lesser(window, pump);
}

static double spare_at(const fr_draw_plan *plan, size_t i) {
    const fr_build *b = plan->base;
    const double need = plan->pull[i] * plan->bsfc[i], share = plan->share[i];
    const double ports = b->port.present ? ports_pass(plan, i) : 0.0;
    const double direct = b->direct.present ? direct_passes(plan, i) : 0.0;
    if (b->share == FR_SHARE_AUTO) {
        return (ports + direct) / need;
    }
    return fr_lesser(b->port.present ? ports / ((1.0 - share) * need) : INFINITY,
                     b->direct.present ? direct / (share * need) : INFINITY);
}

static void put_by_spare(fr_draw_plan *plan) {
    double spare[FR_SPEEDS_MAX];
    for (size_t i = 0; i < plan->speed_count; i++) {
        spare[i] = spare_at(plan, i);
        size_t k = i;
        for (; k > 0 && spare[plan->by_spare[k - 1]] > spare[i]; k--) {
            plan->by_spare[k] = plan->by_spare[k - 1];
        }
        plan->by_spare[k] = i;
    }
}

/* ---- how far the pumps' walk must go ---- */

/* How often the line passes the demand at full drive, roughly and at the most. */
static double flow_times(const fr_draw_plan *plan, double available_m3_s) {
    const double DENSITY_KG_M3 = 740.0, MOST = 4.0, LEAST = 1.2;
    const fr_engine *engine = &plan->base->engine;
    const size_t worst = plan->around[0];
    const double power_w = fr_curve_greatest(&engine->target_power_w);
    const double demand = power_w * plan->pull[worst] * plan->bsfc[worst] / DENSITY_KG_M3;
    return fr_greater(fr_lesser(available_m3_s / demand, MOST), LEAST);
}

/* Twice what the line of the sheet's own build takes of the thickest blend at full drive, and some;
 * where the set pressure follows a boost that is given, that goes on top. Draws that want more are
 * done again with whole walks. */
static double walk_above_set(const fr_draw_plan *plan) {
    const double DENSITY_KG_M3 = 780.0, VISCOSITY_PA_S = 1.0e-3; /* ethanol's, cold */
    const double TIMES = 2.0, MORE_PA = 0.15e5, MOST_PA = 2.5e5, MORE_FLOW = 1.25;
    const fr_build *base = plan->base;
    const double boost = fr_greater(fr_curve_greatest(&base->engine.boost_gauge_pa), 0.0);
    const bool follows = base->feed.manifold_referenced;
    const double set = base->feed.pressure_gauge_pa + (follows ? boost : 0.0);
    const fr_feed_side side = fr_feed_side_make(base, DENSITY_KG_M3, VISCOSITY_PA_S, false);
    const double available = fr_feed_available(&side, set);
    const double loss = fr_feed_side_loss(&side, available - base->feed.jet_pump_m3_s);
    const double line = fr_lesser(TIMES * fr_greater(loss, 0.0) + MORE_PA, MOST_PA);
    if (!follows) {
        return line;
    }
    const bool given = base->engine.boost_source != FR_BOOST_WORKED_OUT;
    const double air = base->site.air_pressure_pa;
    return given ? line + MORE_FLOW * flow_times(plan, available) * (air + boost) - air : INFINITY;
}

static bool lines_move(const fr_build *base, const fr_input *inputs, size_t count) {
    size_t i = 0;
    while (i < count && !fr_moves_line(base, &inputs[i])) {
        i++;
    }
    return i < count;
}

void fr_draw_plan_make(const fr_build *base, const fr_input *inputs, size_t count,
                       fr_draw_plan *plan) {
    fr_speed speeds[FR_SPEEDS_MAX];
    plan->base = base;
    plan->lines_move = lines_move(base, inputs, count);
    if (!plan->lines_move) {
        fr_loss_curve_make(&base->feed, &plan->loss);
    }
    plan->speed_count = fr_speeds_of_pull(base, speeds);
    const fr_curve bsfc = bare(&base->engine.bsfc_kg_j), boost = bare(&base->engine.boost_gauge_pa);
    const fr_curve command = bare(&base->direct.rail_command_pa);
    const fr_curve window = bare(&base->direct.window_deg), fill = bare(&base->direct.fill);
    const fr_curve share = bare(&base->direct_share);
    const bool direct = base->direct.present;
    for (size_t i = 0; i < plan->speed_count; i++) {
        const double rpm = speeds[i].rpm;
        plan->rpm[i] = rpm;
        plan->cycle_s[i] = speeds[i].cycle_s;
        plan->pull[i] = speeds[i].pull;
        plan->bsfc[i] = fr_curve_at(&bsfc, rpm);
        plan->boost[i] = fr_curve_at(&boost, rpm);
        plan->command[i] = direct ? fr_curve_at(&command, rpm) : 0.0;
        plan->window[i] = direct ? fr_curve_at(&window, rpm) : 0.0;
        plan->fill[i] = direct ? fr_curve_at(&fill, rpm * base->direct.drive_ratio) : 0.0;
        plan->share[i] = base->share == FR_SHARE_CURVE ? fr_curve_at(&share, rpm)
                         : base->share == FR_SHARE_DIRECT_ONLY ? 1.0
                                                               : 0.0;
    }
    size_t worst = 0;
    for (size_t i = 0; i < plan->speed_count; i++) {
        if (plan->pull[i] * plan->bsfc[i] > plan->pull[worst] * plan->bsfc[worst]) {
            worst = i;
        }
    }
    for (size_t i = 0; i < plan->speed_count; i++) {
        plan->around[i] = (worst + i) % plan->speed_count;
    }
    put_by_spare(plan);
    plan->walk_above_set_pa = walk_above_set(plan);
}

/* ---- one lane ---- */

static void put_curve(fr_moved_curve *rows, int l, const fr_curve *curve) {
    rows->scale[l] = curve->scale;
    rows->shift[l] = curve->shift;
}

static void put_site(fr_draws *d, int l, const fr_build *b) {
    const fr_site *site = &b->site;
    d->air[l] = site->air_pressure_pa;
    d->feed_c[l] = site->feed_temperature_c;
    d->rail_c[l] = site->rail_temperature_c;
    d->inlet_c[l] = site->hp_inlet_temperature_c;
    d->tank_c[l] = site->tank_temperature_c;
    d->vapour_c[l] = b->direct.present ? site->hp_inlet_temperature_c : site->feed_temperature_c;
    d->supply_v[l] = site->supply_voltage_v;
    d->density_15[l] = b->gasoline.density_15_kg_m3;
    d->dvpe[l] = b->gasoline.vapour_pressure_pa;
    d->stoich[l] = b->gasoline.stoich;
    d->heating[l] = b->gasoline.heating_value_j_kg;
    d->ethanol_shift[l] = b->ethanol_shift;
}

static void put_engine(fr_draws *d, int l, const fr_engine *e) {
    put_curve(&d->target, l, &e->target_power_w);
    put_curve(&d->bsfc, l, &e->bsfc_kg_j);
    put_curve(&d->lambda, l, &e->lambda);
    put_curve(&d->gain, l, &e->same_air_gain);
    put_curve(&d->boost, l, &e->boost_gauge_pa);
    d->kept_power[l] = e->at_wheels ? 1.0 - e->drivetrain_loss : 1.0;
    d->bsfc_lambda[l] = e->bsfc_lambda;
    d->manifold_shift[l] = e->manifold_shift_pa;
    d->manifold_per_air[l] = FR_GAS_CONSTANT_AIR * (e->charge_temperature_c + FR_KELVIN) /
                             e->displacement_m3 / FR_WORKED_OUT_EFFICIENCY;
}

static void put_feed(fr_draws *d, int l, const fr_feed *feed, bool lines_too) {
    d->pressure[l] = feed->pressure_gauge_pa;
    d->bypass[l] = fr_feed_bypass(feed);
    d->jet[l] = feed->jet_pump_m3_s;
    d->strainer[l] = feed->strainer_loss_pa;
    d->loss_factor[l] = feed->loss_factor;
    double filters = 0.0;
    for (size_t i = 0; i < feed->filter_count; i++) {
        const double rated = feed->filters[i].rated_flow_m3_s;
        filters += feed->filters[i].drop_pa / (rated * rated);
    }
    d->filters[l] = filters;
    for (size_t i = 0; i < feed->line_count && lines_too; i++) {
        fr_line_rows_put(&d->lines[i], l, &feed->lines[i]);
    }
}

/* Kilograms a second at a pascal and a kg/m3. */
static double static_of(double flow_kg_s, double test_pa, double test_density) {
    return flow_kg_s / sqrt(test_pa * test_density);
}

static void put_port(fr_draws *d, int l, const fr_build *b) {
    const fr_port *port = &b->port;
    d->port_static[l] =
        (double)port->count *
        static_of(port->flow_kg_s, port->test_pressure_pa, port->test_density_kg_m3);
    d->port_dead[l] = fr_curve_at(&port->dead_time_s, b->site.supply_voltage_v);
    d->port_dead_per_pa[l] = port->dead_time_s_per_pa;
    d->port_test_pa[l] = port->test_pressure_pa;
    d->port_duty[l] = port->max_duty;
}

static void put_direct(fr_draws *d, int l, const fr_build *b) {
    const fr_direct *direct = &b->direct;
    const double pumps = (double)direct->pump_count;
    put_curve(&d->command, l, &direct->rail_command_pa);
    put_curve(&d->window, l, &direct->window_deg);
    put_curve(&d->fill, l, &direct->fill);
    put_curve(&d->share, l, &b->direct_share);
    d->direct_static[l] =
        static_of(direct->flow_kg_s, direct->test_pressure_pa, direct->test_density_kg_m3);
    d->direct_delay[l] = direct->opening_delay_s;
    d->rail_limit[l] = fr_lesser(direct->injector_max_pa, direct->pump_max_pa);
    d->swept_per_rev[l] = pumps * direct->displacement_m3;
    d->dead_volume[l] = direct->dead_volume_ratio;
    d->leak[l] = pumps * direct->leakage_m3_s / direct->leakage_at_pa;
    d->least_inlet[l] = direct->minimum_inlet_gauge_pa;
    d->window_limit[l] = fr_build_limit(b, FR_STAGE_DIRECT_INJECTOR);
    d->pump_limit[l] = fr_build_limit(b, FR_STAGE_HIGH_PRESSURE_PUMP);
    d->pressure_limit[l] = fr_build_limit(b, FR_STAGE_DIRECT_PRESSURE);
}

/* Where on the walk the overall reach is decided: at the set pressure and what the line takes, or
 * above what it can be where it follows the manifold; with the regulator at the tank, at its rise
 * alone. */
static fr_walk_wish wish_of(const fr_draw_plan *plan, const fr_build *b, bool whole) {
    const double JUST_BELOW = 0.999;
    const double set = b->feed.pressure_gauge_pa;
    const bool at_tank = b->feed.regulation == FR_MECHANICAL_RETURNLESS;
    const bool moves = b->feed.manifold_referenced;
    const double least = at_tank ? JUST_BELOW * set : moves ? set - b->site.air_pressure_pa : set;
    return (fr_walk_wish){
        .careful_pa = fr_greater(least, 0.0),
        .until_pa = at_tank ? INFINITY : set + plan->walk_above_set_pa,
        .whole = whole,
        .most_pa = at_tank ? set : INFINITY,
        .jet_m3_s = b->feed.jet_pump_m3_s,
    };
}

/* Where the stretch begins and ends that is the same in whole walks and others. It ends a hair before its
 * last node, which in a whole walk begins the piece after. */
static void put_stretch(fr_walk_rows *rows, int l, const fr_pump_walk *walk,
                        const fr_walk_wish *wish) {
    const double SAME_PA = 1e-3, A_HAIR = 1e-12;
    double careful = walk->count > 0 ? walk->pieces[walk->count - 1].to.flow_m3_s : 0.0;
    double until = 0.0;
    for (size_t i = walk->count; i-- > 0;) {
        const fr_walk_piece *piece = &walk->pieces[i];
        if (piece->to.rise_pa > wish->careful_pa + SAME_PA ||
            piece->from.rise_pa >= wish->careful_pa - SAME_PA) {
            careful = piece->from.flow_m3_s;
        }
        if (piece->to.rise_pa >= wish->until_pa - SAME_PA) {
            until = piece->to.flow_m3_s;
        }
    }
    rows->careful_flow[l] = careful;
    rows->until_flow[l] = until * (1.0 + A_HAIR);
}

static void put_walk(fr_walk_rows *rows, int l, const fr_draw_plan *plan, const fr_build *b,
                     bool whole) {
    fr_pump_walk walk;
    const fr_walk_wish wish = wish_of(plan, b, whole);
    fr_pump_walk_make(&b->pumps, b->site.supply_voltage_v, &wish, &walk);
    rows->cut_short = (l > 0 && rows->cut_short) || walk.cut_short;
    fr_walk_end end = {0.0, 0.0, 0.0, 0.0};
    if (walk.count > 0) {
        end = walk.pieces[0].from;
    }
    rows->rise[0][l] = end.rise_pa;
    rows->flow[0][l] = end.flow_m3_s;
    for (size_t i = 0; i < FR_WALK_PIECES_MAX; i++) {
        const bool there = i < walk.count;
        if (!there && i >= rows->pieces && l > 0) {
            break; /* no lane so far goes this far */
        }
        rows->slope_from[i][l] = there ? walk.pieces[i].from.rise_per_flow : 0.0;
        rows->slope_to[i][l] = there ? walk.pieces[i].to.rise_per_flow : 0.0;
        rows->bend_from[i][l] = there ? walk.pieces[i].from.rise_bend : 0.0;
        rows->bend_to[i][l] = there ? walk.pieces[i].to.rise_bend : 0.0;
        end = there ? walk.pieces[i].to : end;
        rows->rise[i + 1][l] = end.rise_pa;
        rows->flow[i + 1][l] = fr_lesser(end.flow_m3_s, rows->flow[i][l]);
    }
    /* lanes before this one end where they ended */
    for (size_t i = rows->pieces; i < walk.count && l > 0; i++) {
        for (int k = 0; k < l; k++) {
            rows->slope_from[i][k] = rows->slope_to[i][k] = 0.0;
            rows->bend_from[i][k] = rows->bend_to[i][k] = 0.0;
            rows->rise[i + 1][k] = rows->rise[i][k];
            rows->flow[i + 1][k] = rows->flow[i][k];
        }
    }
    if (l == 0 || walk.count > rows->pieces) {
        rows->pieces = walk.count > 0 ? walk.count : 1;
    }
    rows->last_piece[l] = walk.count > 0 ? (int64_t)walk.count - 1 : 0;
    rows->end_flow[l] = walk.end_flow_m3_s;
    put_stretch(rows, l, &walk, &wish);
    rows->fuse_rise[l] = walk.fuse_rise_pa;
    rows->fuse_flow[l] = walk.fuse_flow_m3_s;
}

void fr_draws_begin(fr_draws *draws, bool whole) {
    draws->whole = whole;
}

void fr_draws_put_beside_walk(fr_draws *draws, const fr_draw_plan *plan, int lane,
                              const fr_build *moved) {
    put_site(draws, lane, moved);
    put_engine(draws, lane, &moved->engine);
    put_feed(draws, lane, &moved->feed, plan->lines_move);
    if (moved->port.present) {
        put_port(draws, lane, moved);
    }
    if (moved->direct.present) {
        put_direct(draws, lane, moved);
    }
}

void fr_draws_put(fr_draws *draws, const fr_draw_plan *plan, int lane, const fr_build *moved) {
    fr_draws_put_beside_walk(draws, plan, lane, moved);
    put_walk(&draws->walk, lane, plan, moved, draws->whole);
}

/* ---- what follows from a draw alone ---- */

/* Specific volumes, as src/fuel/density.c has them. */
FR_INLINE void fill_volumes(const fr_draws *d, const double *temperature_c, fr_warm_rows *volume) {
    FR_EACH_LANE(l) {
        const double warmer = temperature_c[l] - fr_reference_temperature_c;
        volume->ethanol[l] =
            1.0 / (fr_ethanol_density_15 -
                   warmer * (fr_ethanol_density_slope + fr_ethanol_density_curvature * warmer));
        const double expansion = (fr_gasoline_expansion_k0 / d->density_15[l] +
                                  fr_gasoline_expansion_k1) /
                                 d->density_15[l];
        const double grown = expansion * warmer;
        volume->gasoline[l] =
            fr_lane_exp(grown * (1.0 + fr_gasoline_expansion_curvature * grown)) / d->density_15[l];
    }
}

/* As src/fuel/viscosity.c; the logarithms of constants are the library's. */
FR_INLINE void fill_viscosity(fr_draws *d, double ln_ethanol, double ln_gasoline) {
    FR_EACH_LANE(l) {
        const double per_k = 1.0 / (d->feed_c[l] + fr_kelvin_offset);
        d->feed_ln_viscosity.ethanol[l] =
            ln_ethanol +
            fr_ethanol_viscosity_slope_k * (per_k - 1.0 / fr_ethanol_viscosity_at_k);
        d->feed_ln_viscosity.gasoline[l] =
            ln_gasoline +
            fr_gasoline_viscosity_slope_k * (per_k - 1.0 / fr_gasoline_viscosity_at_k);
    }
}

/* One over the bulk moduli, as src/fuel/compressibility.c. */
FR_INLINE void fill_bulk(fr_draws *d) {
    FR_EACH_LANE(l) {
        const double warmer = d->inlet_c[l] - fr_bulk_at_c;
        d->inlet_per_bulk.ethanol[l] =
            fr_lane_exp(fr_ethanol_bulk_slope_per_k * warmer) / fr_ethanol_bulk_pa;
        d->inlet_per_bulk.gasoline[l] =
            fr_lane_exp(fr_gasoline_bulk_slope_per_k * warmer) / fr_gasoline_bulk_pa;
    }
}

/* As src/fuel/vapour_pressure.c. */
FR_INLINE void fill_vapour(const fr_draws *d, const double *temperature_c, fr_warm_rows *pressure) {
    const double LN_10 = 2.302585092994046, PA_PER_BAR = 1e5;
    FR_EACH_LANE(l) {
        const double kelvin = temperature_c[l] + fr_kelvin_offset;
        pressure->ethanol[l] =
            PA_PER_BAR *
            fr_lane_exp(LN_10 * (fr_ethanol_antoine_a -
                                 fr_ethanol_antoine_b_k / (kelvin - fr_ethanol_antoine_c_k)));
        pressure->gasoline[l] =
            d->dvpe[l] * fr_lane_exp(-fr_gasoline_vapour_slope_k *
                                     (1.0 / kelvin - 1.0 / fr_gasoline_dvpe_at_k));
    }
}

FR_INLINE void fill_reference(fr_draws *d, double ethanol, double gain, double ethanol_stoich) {
    FR_EACH_LANE(l) {
        const double e = ethanol * fr_ethanol_density_15;
        const double mass = e / (e + (1.0 - ethanol) * d->density_15[l]);
        const double more = 1.0 + d->gain.scale[l] * gain + d->gain.shift[l];
        d->reference_air[l] =
            more * fr_mix(d->stoich[l], ethanol_stoich, mass) * d->bsfc_lambda[l];
        d->reference_heat[l] = more * fr_mix(d->heating[l], fr_ethanol_heating_j_kg, mass) *
                               fr_lesser(d->bsfc_lambda[l], 1.0);
    }
}

/* A polynomial through values, slopes and bends at both ends of each piece; an empty piece is flat. */
FR_INLINE void fill_rise(fr_walk_rows *walk, size_t i) {
    const double NO_WIDTH_M3_S = 1e-15;
    FR_EACH_LANE(l) {
        const double w = walk->flow[i][l] - walk->flow[i + 1][l];
        const double there = w > NO_WIDTH_M3_S ? 1.0 : 0.0;
        const double per = there / fr_greater(w, NO_WIDTH_M3_S);
        const double from = -there * walk->slope_from[i][l], to = -there * walk->slope_to[i][l];
        const double mean = (walk->rise[i + 1][l] - walk->rise[i][l]) * per;
        const double half_from = 0.5 * there * w * walk->bend_from[i][l];
        const double half_to = 0.5 * there * w * walk->bend_to[i][l];
        walk->width[i][l] = there * w;
        walk->d1[i][l] = from;
        walk->d2[i][l] = half_from * per;
        walk->d3[i][l] = (10.0 * mean - 6.0 * from - 4.0 * to - 3.0 * half_from + half_to) * per * per;
        walk->d4[i][l] = (8.0 * from + 7.0 * to - 15.0 * mean + 3.0 * half_from - 2.0 * half_to) *
                         (per * per * per);
        walk->d5[i][l] = (6.0 * mean - 3.0 * from - 3.0 * to - half_from + half_to) *
                         ((per * per) * (per * per));
    }
}

/* Not static: a function with clones has a name of its own for each. */
void fr_draws_fill(fr_draws *d, double ln_ethanol, double ln_gasoline, bool direct,
                   double reference, double gain, double ethanol_stoich);
FR_CLONES void fr_draws_fill(fr_draws *d, double ln_ethanol, double ln_gasoline, bool direct,
                             double reference, double gain, double ethanol_stoich) {
    fill_volumes(d, d->feed_c, &d->feed_volume);
    fill_viscosity(d, ln_ethanol, ln_gasoline);
    fill_vapour(d, d->tank_c, &d->tank_vapour);
    fill_vapour(d, d->vapour_c, &d->vapour);
    fill_reference(d, reference, gain, ethanol_stoich);
    if (direct) {
        fill_volumes(d, d->rail_c, &d->rail_volume);
        fill_volumes(d, d->inlet_c, &d->inlet_volume);
        fill_bulk(d);
    }
    fr_walk_rows *walk = &d->walk;
    for (size_t i = 0; i < walk->pieces; i++) {
        fill_rise(walk, i);
    }
    d->start_is_known = false;
}

void fr_draws_complete(fr_draws *draws, const fr_draw_plan *plan) {
    const fr_engine *engine = &plan->base->engine;
    const fr_curve gain = bare(&engine->same_air_gain);
    fr_draws_fill(draws, log(fr_ethanol_viscosity_pa_s), log(fr_gasoline_viscosity_pa_s),
                  plan->base->direct.present, engine->bsfc_ethanol,
                  fr_curve_at(&gain, engine->bsfc_ethanol),
                  fr_stoich_from_composition(2.0, 6.0, 1.0));
}
