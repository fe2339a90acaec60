/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cautions that carry a figure: they pass no verdict. All bounds are common practice, no source,
 * unless said otherwise. */
#include <math.h>

#include "capacity/mend.h"
#include "capacity/plausible.h"
#include "supply/line.h"
#include "supply/port.h"
#include "supply/pumps.h"

const char *fr_caution_name(fr_caution_code code) {
    static const char *const NAMES[FR_CAUTION_COUNT] = {
#define FR_CAUTION_TEXT(name, text) text,
        FR_CAUTION_TABLE(FR_CAUTION_TEXT)
#undef FR_CAUTION_TEXT
    };
    return NAMES[code];
}

typedef struct fr_caution_list {
    const fr_build *build;
    const fr_check_result *result;
    fr_check *scratch;
    fr_caution *cautions;
    size_t count;
} fr_caution_list;

static void add(fr_caution_list *list, fr_caution caution) {
    if (list->count < FR_CAUTIONS_MAX) {
        list->cautions[list->count++] = caution;
    }
}

/* ---- plausibility of the sheet ---- */

/* How far outside a band, as a ratio; 1 or less: inside. */
static double outside_by(double value, const fr_band *band) {
    return value > band->most ? value / band->most : band->least / value;
}

/* Keeps the figure that is furthest outside its band. */
static void keep_furthest(fr_caution *caution, double *furthest, double value, const fr_band *band,
                          double ethanol, double speed_rpm) {
    const double by = outside_by(value, band);
    if (by > *furthest) {
        *furthest = by;
        *caution = (fr_caution){caution->code, value, value > band->most ? band->most : band->least,
                                ethanol, speed_rpm, NAN};
    }
}

static void plausibility(fr_caution_list *list) {
    fr_caution airflow = {.code = FR_CAUTION_IMPLIED_AIRFLOW};
    fr_caution air = {.code = FR_CAUTION_AIR_PER_POWER};
    double furthest_airflow = 1.0, furthest_air = 1.0;
    for (size_t i = 0; i < list->result->blend_count; i++) {
        const fr_blend_result *blend = &list->result->blends[i];
        for (size_t n = 0; n < blend->point_count; n++) {
            const fr_point *point = &blend->points[n];
            if (point->airflow_doubtful) {
                keep_furthest(&airflow, &furthest_airflow, point->volumetric_efficiency,
                              &FR_PLAUSIBLE_EFFICIENCY, blend->ethanol, point->speed_rpm);
            }
            keep_furthest(&air, &furthest_air, point->air_per_power_kg_j, &FR_PLAUSIBLE_AIR_KG_J,
                          blend->ethanol, point->speed_rpm);
        }
    }
    if (furthest_airflow > 1.0) {
        add(list, airflow);
    }
    if (furthest_air > 1.0) {
        add(list, air);
    }
}

static void blend_figures(fr_caution_list *list) {
    static const double SCALING_DIFFERS = 0.02;
    static const double GAIN_MOST = 0.08;
    static const double COLD_START_ETHANOL = 0.70;
    fr_caution scaling = {.code = FR_CAUTION_BSFC_SCALING, .bound = SCALING_DIFFERS};
    fr_caution gain = {.code = FR_CAUTION_SAME_AIR_GAIN, .bound = GAIN_MOST};
    fr_caution cold = {.code = FR_CAUTION_COLD_START, .bound = COLD_START_ETHANOL};
    scaling.speed_rpm = gain.speed_rpm = cold.speed_rpm = NAN;
    for (size_t i = 0; i < list->result->blend_count; i++) {
        const fr_blend_result *blend = &list->result->blends[i];
        const double differs = blend->bsfc_factor_other / blend->bsfc_factor - 1.0;
        if (fabs(differs) > fabs(scaling.value)) {
            scaling.value = differs;
            scaling.ethanol = blend->ethanol;
        }
        if (blend->same_air_gain > gain.value) {
            gain.value = blend->same_air_gain;
            gain.ethanol = blend->ethanol;
        }
        if (blend->ethanol > cold.value) {
            cold.value = cold.ethanol = blend->ethanol;
        }
    }
    if (fabs(scaling.value) > SCALING_DIFFERS) {
        add(list, scaling);
    }
    if (gain.value > GAIN_MOST && fr_build_boosted(list->build)) {
        add(list, gain);
    }
    if (cold.value >= COLD_START_ETHANOL) {
        add(list, cold);
    }
}

/* ---- the pump on its curve ---- */

static double last_curve_point(const fr_pump *pump) {
    double last = 0.0;
    for (size_t i = 0; i < pump->curve_count; i++) {
        const fr_pump_line *flow = &pump->curves[i].flow_m3_s;
        const double rise = flow->rise_pa[flow->count - 1];
        last = rise > last ? rise : last;
    }
    return last;
}

static double curve_bound(const fr_pump *pump) {
    static const double RELIEF_PART = 0.90;
    const double last = last_curve_point(pump);
    const double relief = RELIEF_PART * pump->relief_pa;
    return pump->relief_pa > 0.0 && relief < last ? relief : last;
}

static void beyond_curve(fr_caution_list *list) {
    const fr_build *build = list->build;
    fr_caution worst = {.code = FR_CAUTION_BEYOND_CURVE};
    double furthest = 1.0;
    for (size_t i = 0; i < list->result->blend_count; i++) {
        const fr_blend_result *blend = &list->result->blends[i];
        for (size_t n = 0; n < blend->point_count; n++) {
            fr_pump_share shares[FR_PUMP_KINDS_MAX];
            const fr_point *point = &blend->points[n];
            fr_pumps_states(&build->pumps, build->site.supply_voltage_v, point->pump_rise_pa,
                            shares);
            for (size_t k = 0; k < build->pumps.kind_count; k++) {
                const double bound = curve_bound(&build->pumps.kinds[k]);
                if (bound > 0.0 && shares[k].rise_pa / bound > furthest) {
                    furthest = shares[k].rise_pa / bound;
                    worst = (fr_caution){FR_CAUTION_BEYOND_CURVE, shares[k].rise_pa, bound,
                                         blend->ethanol, point->speed_rpm, (double)k};
                }
            }
        }
    }
    if (furthest > 1.0) {
        add(list, worst);
    }
}

/* ---- idle ---- */

static const double IDLE_MANIFOLD_PA = 35e3;
static const double IDLE_FUEL_KG_S_M3 = 0.35 / 3600.0 * 1e3; /* 0.35 kg/h a litre at 800 rpm */
static const double IDLE_FUEL_AT_RPM = 800.0;

static double lowest_blend(const fr_build *build) {
    double lowest = 1.0;
    for (size_t i = 0; i < build->blend_count; i++) {
        lowest = build->blends[i] < lowest ? build->blends[i] : lowest;
    }
    return lowest;
}

/* Part of the idle fuel that the port injectors carry; automatic share leaves it to the direct. */
static double idle_port_share(const fr_build *build) {
    switch (build->share) {
    case FR_SHARE_PORT_ONLY:
        return 1.0;
    case FR_SHARE_CURVE:
        return 1.0 - fr_curve_at(&build->direct_share, build->engine.idle_speed_rpm);
    case FR_SHARE_AUTO:
    case FR_SHARE_DIRECT_ONLY:
        break;
    }
    return 0.0;
}

static double idle_set_pressure(const fr_build *build) {
    return fr_feed_set_pressure(build, IDLE_MANIFOLD_PA);
}

bool fr_idle_pulse(const fr_build *build, double *open_s, double *least_s) {
    static const double MINIMUM_OPEN_LIMIT = 0.80;
    const double share = build->port.present ? idle_port_share(build) : 0.0;
    if (!(share > 0.0)) {
        return false;
    }
    const fr_engine *engine = &build->engine;
    const fr_blend blend = fr_blend_make(&build->gasoline, lowest_blend(build));
    const double fuel_kg_s = IDLE_FUEL_KG_S_M3 * engine->displacement_m3 *
                             engine->idle_speed_rpm / IDLE_FUEL_AT_RPM * build->gasoline.stoich /
                             blend.stoich;
    const fr_port_state state =
        fr_port_at(&build->port, build->site.supply_voltage_v,
                   fr_blend_density(&blend, build->site.feed_temperature_c),
                   idle_set_pressure(build), build->site.air_pressure_pa, IDLE_MANIFOLD_PA,
                   share * fuel_kg_s, 120.0 / engine->idle_speed_rpm);
    *open_s = state.pulse_s - state.dead_time_s;
    *least_s = build->port.minimum_open_s / MINIMUM_OPEN_LIMIT;
    return *open_s < *least_s;
}

static void idle_pulse(fr_caution_list *list) {
    double open_s, least_s;
    if (fr_idle_pulse(list->build, &open_s, &least_s)) {
        add(list, (fr_caution){FR_CAUTION_IDLE_PULSE, open_s, least_s, lowest_blend(list->build),
                               list->build->engine.idle_speed_rpm, 0.0});
    }
}

static void idle_pressure(fr_caution_list *list) {
    static const double MOST_PA = 6e5;
    const fr_build *build = list->build;
    const double drop =
        idle_set_pressure(build) + build->site.air_pressure_pa - IDLE_MANIFOLD_PA;
    if (build->port.present && drop > MOST_PA) {
        add(list, (fr_caution){FR_CAUTION_IDLE_PRESSURE, drop, MOST_PA, NAN,
                               build->engine.idle_speed_rpm, NAN});
    }
}

bool fr_return_overrun(const fr_build *build, double ethanol, double *pressure_pa, double *set_pa,
                       double *flow_m3_s) {
    static const double REGULATOR_DROP_PA = 0.6e5;
    static const double REGULATOR_FLOW_M3_S = 400e-3 / 3600.0;
    static const double OF_SET = 0.9;
    if (build->feed.regulation != FR_RETURN) {
        return false;
    }
    const fr_side side = fr_side_make(build, ethanol);
    *set_pa = idle_set_pressure(build);
    const double returned =
        fr_feed_available(&side.feed, *set_pa) - build->feed.jet_pump_m3_s;
    *flow_m3_s = returned > 0.0 ? returned : 0.0;
    const double through = *flow_m3_s / REGULATOR_FLOW_M3_S;
    *pressure_pa = fr_line_loss(&build->feed.return_line, *flow_m3_s, side.feed.density_kg_m3,
                                side.feed.viscosity_pa_s) +
                   REGULATOR_DROP_PA * through * through;
    return *pressure_pa > OF_SET * *set_pa;
}

static void return_overrun(fr_caution_list *list) {
    fr_caution worst = {.code = FR_CAUTION_RETURN_OVERRUN, .value = 0.0};
    for (size_t i = 0; i < list->build->blend_count; i++) {
        double pressure, set, flow;
        const double ethanol = list->build->blends[i];
        if (fr_return_overrun(list->build, ethanol, &pressure, &set, &flow) &&
            pressure > worst.value) {
            worst = (fr_caution){FR_CAUTION_RETURN_OVERRUN, pressure, set, ethanol,
                                 list->build->engine.idle_speed_rpm, flow};
        }
    }
    if (worst.value > 0.0) {
        add(list, worst);
    }
}

/* ---- a filter that has seen some miles ---- */

static void loaded_filter(fr_caution_list *list) {
    static const double LOADED = 3.0;
    fr_build loaded = *list->build;
    double drop = 0.0;
    for (size_t i = 0; i < loaded.feed.filter_count; i++) {
        loaded.feed.filters[i].drop_pa *= LOADED;
        drop += loaded.feed.filters[i].drop_pa;
    }
    if (!(drop > 0.0)) {
        return;
    }
    fr_caution worst = {.code = FR_CAUTION_LOADED_FILTER, .speed_rpm = NAN, .value = 0.0};
    for (size_t i = 0; i < loaded.blend_count; i++) {
        const double ethanol = loaded.blends[i];
        const double use = fr_worst_use(list->scratch, &loaded, ethanol, FR_STAGE_LIFT_PUMP);
        if (use <= 1.0 || 1.0 - use >= worst.value) {
            continue;
        }
        const double as_is =
            fr_worst_use(list->scratch, list->build, ethanol, FR_STAGE_LIFT_PUMP);
        if (as_is <= 1.0) {
            worst.value = 1.0 - use;
            worst.detail = 1.0 - as_is;
            worst.ethanol = ethanol;
        }
    }
    if (worst.value < 0.0) {
        add(list, worst);
    }
}

/* ---- direct injection ---- */

static void plunger_load(fr_caution_list *list) {
    static const double MOST_N = 2000.0;
    const fr_direct *direct = &list->build->direct;
    const double limit = direct->injector_max_pa < direct->pump_max_pa ? direct->injector_max_pa
                                                                       : direct->pump_max_pa;
    const double load = limit * direct->plunger_area_m2;
    if (direct->present && load > MOST_N) {
        add(list, (fr_caution){FR_CAUTION_PLUNGER_LOAD, load, MOST_N, NAN, NAN, limit});
    }
}

static void rail_droop(fr_caution_list *list) {
    static const double OF_COMMAND = 0.10;
    const fr_build *build = list->build;
    if (!build->direct.present || !(build->direct.rail_volume_m3 > 0.0)) {
        return;
    }
    fr_caution worst = {.code = FR_CAUTION_RAIL_DROOP};
    double furthest = OF_COMMAND;
    for (size_t i = 0; i < list->result->blend_count; i++) {
        const fr_blend_result *blend = &list->result->blends[i];
        const double bulk = fr_blend_bulk_modulus(&blend->blend, build->site.rail_temperature_c);
        const double density = fr_blend_density(&blend->blend, build->site.rail_temperature_c);
        for (size_t n = 0; n < blend->point_count; n++) {
            const fr_point *point = &blend->points[n];
            const double droop =
                bulk * point->direct_mass_kg / density / build->direct.rail_volume_m3;
            if (droop / point->direct_command_pa > furthest) {
                furthest = droop / point->direct_command_pa;
                worst = (fr_caution){FR_CAUTION_RAIL_DROOP, droop,
                                     OF_COMMAND * point->direct_command_pa, blend->ethanol,
                                     point->speed_rpm, point->direct_mass_kg};
            }
        }
    }
    if (furthest > OF_COMMAND) {
        add(list, worst);
    }
}

static void rating_by_mass(fr_caution_list *list) {
    /* cc/min / 10.5 as lb/h, over what n-heptane of 683.8 kg/m3 weighs */
    static const double CC_MIN_A_LB_H = 10.5;
    const double heptane = 0.45359237 / 60.0 / 683.8 * 1e6; /* cc/min a lb/h */
    const fr_build *build = list->build;
    if ((build->port.present && build->port.rated_in_lb_h) ||
        (build->direct.present && build->direct.rated_in_lb_h)) {
        add(list, (fr_caution){FR_CAUTION_RATING_BY_MASS, heptane / CC_MIN_A_LB_H - 1.0, 0.0, NAN,
                               NAN, build->port.rated_in_lb_h ? 0.0 : 1.0});
    }
}

size_t fr_cautions(const fr_build *build, const fr_check_result *result, fr_check *scratch,
                   fr_caution cautions[FR_CAUTIONS_MAX]) {
    fr_caution_list list = {build, result, scratch, cautions, 0};
    plausibility(&list);
    blend_figures(&list);
    beyond_curve(&list);
    idle_pulse(&list);
    idle_pressure(&list);
    return_overrun(&list);
    loaded_filter(&list);
    plunger_load(&list);
    rail_droop(&list);
    rating_by_mass(&list);
    return list.count;
}
