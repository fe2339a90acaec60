/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "supply/pumps.h"

#include <math.h>

#include "quantity/root.h"

static const double RISE_TOLERANCE_PA = 1e-5; /* some 1e-15 m3/s of flow */
static const double FLOW_TOLERANCE_M3_S = 1e-17;

static unsigned pump_count(const fr_pumps *pumps) {
    unsigned count = 0;
    for (size_t i = 0; i < pumps->kind_count; i++) {
        count += pumps->kinds[i].count;
    }
    return count;
}

double fr_pumps_ohm(const fr_pumps *pumps) {
    return pumps->wiring_ohm + (double)pump_count(pumps) * pumps->shared_wiring_ohm;
}

/* One pump of a kind, behind the wiring. */
static fr_pump_state one_of(const fr_pumps *pumps, size_t kind, double supply_v, double rise_pa) {
    return fr_pump_behind(&pumps->kinds[kind], rise_pa, supply_v, fr_pumps_ohm(pumps));
}

/* ---- rise of a falling flow ---- */

typedef struct fr_rise_search {
    const fr_pumps *pumps;
    size_t kind;
    double supply_v;
    double flow_m3_s;
} fr_rise_search;

static double flow_over(double rise_pa, const void *context) {
    const fr_rise_search *search = context;
    return one_of(search->pumps, search->kind, search->supply_v, rise_pa).flow_m3_s -
           search->flow_m3_s;
}

static double set_flow_over(double rise_pa, const void *context) {
    const fr_rise_search *search = context;
    return fr_pumps_flow(search->pumps, search->supply_v, rise_pa) - search->flow_m3_s;
}

/* Greatest rise in [0, rise_max] at which `over` is not below zero; 0 when it is so at no rise. */
static double rise_where(fr_function *over, const fr_rise_search *search, double rise_max_pa) {
    const double at_none = over(0.0, search);
    if (at_none <= 0.0) {
        return 0.0;
    }
    const double at_most = over(rise_max_pa, search);
    return at_most >= 0.0
               ? rise_max_pa
               : fr_root(over, search, 0.0, at_none, rise_max_pa, at_most, RISE_TOLERANCE_PA);
}

double fr_pumps_rise(const fr_pumps *pumps, double supply_v, double flow_m3_s, double rise_max_pa) {
    const fr_rise_search search = {pumps, 0, supply_v, flow_m3_s};
    return rise_where(set_flow_over, &search, rise_max_pa);
}

/* ---- series ---- */

/* Rise of one pump of a kind at a flow, never more than the rise over the whole set. */
static double kind_rise(const fr_pumps *pumps, size_t kind, double supply_v, double flow_m3_s,
                        double rise_max_pa) {
    const fr_rise_search search = {pumps, kind, supply_v, flow_m3_s};
    return rise_where(flow_over, &search, rise_max_pa);
}

typedef struct fr_series_search {
    const fr_pumps *pumps;
    double supply_v;
    double rise_pa;
} fr_series_search;

static double series_rise_over(double flow_m3_s, const void *context) {
    const fr_series_search *search = context;
    double rise = -search->rise_pa;
    for (size_t i = 0; i < search->pumps->kind_count; i++) {
        rise += (double)search->pumps->kinds[i].count *
                kind_rise(search->pumps, i, search->supply_v, flow_m3_s, search->rise_pa);
    }
    return rise;
}

/* Two kinds in series need one unknown only: the first kind's rise decides the second's. */
static double two_kinds_over(double first_rise_pa, const void *context) {
    const fr_series_search *search = context;
    const fr_pump *kinds = search->pumps->kinds;
    const double second_rise =
        (search->rise_pa - first_rise_pa * (double)kinds[0].count) / (double)kinds[1].count;
    return one_of(search->pumps, 0, search->supply_v, first_rise_pa).flow_m3_s -
           one_of(search->pumps, 1, search->supply_v, second_rise).flow_m3_s;
}

/* `free_flow`: what either gives at no rise. */
static double two_kinds_flow(const fr_series_search *search, const double free_flow[2]) {
    const fr_pump *kinds = search->pumps->kinds;
    const double most = search->rise_pa / (double)kinds[0].count;
    const double second_most = search->rise_pa / (double)kinds[1].count;
    const double at_none =
        free_flow[0] - one_of(search->pumps, 1, search->supply_v, second_most).flow_m3_s;
    const double at_most = one_of(search->pumps, 0, search->supply_v, most).flow_m3_s - free_flow[1];
    double first_rise;
    if (at_none <= 0.0) {
        first_rise = 0.0; /* the first gives no more than this even at no rise */
    } else if (at_most >= 0.0) {
        return free_flow[1];
    } else {
        first_rise =
            fr_root(two_kinds_over, search, 0.0, at_none, most, at_most, RISE_TOLERANCE_PA);
    }
    /* Both give the same there; where a relief valve opens, the one without it tells the flow. */
    const double below = first_rise - 2.0 * RISE_TOLERANCE_PA;
    const double above = first_rise + 2.0 * RISE_TOLERANCE_PA;
    const double second_rise =
        (search->rise_pa - above * (double)kinds[0].count) / (double)kinds[1].count;
    const double first = one_of(search->pumps, 0, search->supply_v, below).flow_m3_s;
    const double second = one_of(search->pumps, 1, search->supply_v, second_rise).flow_m3_s;
    return first < second ? first : second;
}

static double series_flow(const fr_pumps *pumps, double supply_v, double rise_pa) {
    if (pumps->kind_count == 1) {
        const double rise = rise_pa / (double)pumps->kinds[0].count;
        return one_of(pumps, 0, supply_v, rise > 0.0 ? rise : 0.0).flow_m3_s;
    }
    /* no series passes more than one pump of its smallest kind does at no rise */
    double free_flow[FR_PUMP_KINDS_MAX], greatest = INFINITY;
    for (size_t i = 0; i < pumps->kind_count; i++) {
        free_flow[i] = one_of(pumps, i, supply_v, 0.0).flow_m3_s;
        greatest = free_flow[i] < greatest ? free_flow[i] : greatest;
    }
    if (rise_pa <= 0.0 || greatest <= 0.0) {
        return greatest;
    }
    const fr_series_search search = {pumps, supply_v, rise_pa};
    if (pumps->kind_count == 2) {
        const double flow = two_kinds_flow(&search, free_flow);
        return flow < greatest ? flow : greatest;
    }
    const double over_none = series_rise_over(0.0, &search);
    const double over_most = series_rise_over(greatest, &search);
    if (over_most >= 0.0) {
        return greatest;
    }
    return over_none <= 0.0 ? 0.0
                            : fr_root(series_rise_over, &search, 0.0, over_none, greatest,
                                      over_most, FLOW_TOLERANCE_M3_S);
}

/* ---- the set ---- */

double fr_pumps_flow(const fr_pumps *pumps, double supply_v, double rise_pa) {
    if (pumps->series) {
        return series_flow(pumps, supply_v, rise_pa);
    }
    double flow = 0.0;
    for (size_t i = 0; i < pumps->kind_count; i++) {
        flow += (double)pumps->kinds[i].count * one_of(pumps, i, supply_v, rise_pa).flow_m3_s;
    }
    return flow;
}

void fr_pumps_states(const fr_pumps *pumps, double supply_v, double rise_pa,
                     fr_pump_share states[FR_PUMP_KINDS_MAX]) {
    const bool shared = pumps->series;
    const double flow =
        shared && pumps->kind_count > 1 ? series_flow(pumps, supply_v, rise_pa) : 0.0;
    for (size_t i = 0; i < pumps->kind_count; i++) {
        double rise = rise_pa;
        if (shared) {
            rise = pumps->kind_count == 1 ? rise_pa / (double)pumps->kinds[0].count
                                          : kind_rise(pumps, i, supply_v, flow, rise_pa);
        }
        states[i] = (fr_pump_share){rise, one_of(pumps, i, supply_v, rise)};
    }
}
