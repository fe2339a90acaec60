/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "chance/pump_walk.h"

#include <math.h>
#include <string.h>

#include "chance/lanes.h"
#include "chance/pump_kind.h"

/* A set that never falls to no flow is walked to here; nobody regulates a fuel rail higher. */
static const double RISE_END_PA = 40e5;

enum { RISE_STEPS = 12 };
enum { NODES_MAX = FR_PUMP_KINDS_MAX * FR_WALK_PIECES_MAX + 1 }; /* ends of all kinds' pieces */

/* ---- pieces of the set ---- */

static void add_piece(fr_pump_walk *walk, fr_walk_end from, fr_walk_end to) {
    if (walk->count < FR_WALK_PIECES_MAX) {
        to.flow_m3_s = fr_lesser(to.flow_m3_s, from.flow_m3_s);
        walk->pieces[walk->count++] = (fr_walk_piece){from, to};
    }
}

/* The flow falls from `flow` to `least` while the rise stays. */
static void add_drop(fr_pump_walk *walk, double rise_pa, double flow, double least) {
    add_piece(walk, (fr_walk_end){rise_pa, flow, 0.0, 0.0},
              (fr_walk_end){rise_pa, least, 0.0, 0.0});
}

/* What is left at the end of the walk drops at that rise, unless more was not wished. */
static void finish(fr_pump_walk *walk, const fr_walk_wish *wish, bool always_whole) {
    walk->end_flow_m3_s = 0.0;
    walk->cut_short = false;
    if (walk->count == 0) {
        return;
    }
    const fr_walk_end end = walk->pieces[walk->count - 1].to;
    walk->end_flow_m3_s = end.flow_m3_s;
    const bool whole = wish->whole || always_whole;
    if (!whole && wish->until_pa < wish->most_pa &&
        end.rise_pa >= wish->until_pa - fr_same_rise_pa) {
        walk->cut_short = end.flow_m3_s > fr_no_flow_m3_s;
    } else if (end.flow_m3_s > fr_no_flow_m3_s) {
        add_drop(walk, end.rise_pa, end.flow_m3_s, 0.0);
    }
}

/* ---- pumps of one kind ---- */

/* So many times the rise of one pump, and its flow. */
static fr_walk_end many(fr_walk_end one, double rises, double flows) {
    const double slope = one.rise_per_flow * rises / flows;
    return (fr_walk_end){one.rise_pa * rises, one.flow_m3_s * flows, slope,
                         one.rise_bend * rises / (flows * flows)};
}

static void walk_alike(const fr_pump *pump, bool series, const fr_walk_goal *of_set,
                       fr_pump_walk *walk) {
    const double n = (double)pump->count;
    const double rises = series ? n : 1.0, flows = series ? 1.0 : n;
    fr_kind_walk kind;
    fr_walk_goal goal = *of_set;
    goal.wish.careful_pa /= rises;
    goal.wish.until_pa /= rises;
    goal.wish.most_pa /= rises;
    fr_kind_walk_make(pump, &goal, &kind);
    for (size_t i = 0; i < kind.count; i++) {
        const fr_kind_piece *piece = &kind.pieces[i];
        add_piece(walk, many(fr_rise_over_flow_of(piece->rise_from_pa, &piece->from), rises, flows),
                  many(fr_rise_over_flow_of(piece->rise_to_pa, &piece->to), rises, flows));
    }
    walk->fuse_rise_pa = kind.fuse_rise_pa * rises;
    walk->fuse_flow_m3_s =
        isfinite(kind.fuse_rise_pa) ? fr_kind_flow(&kind, kind.fuse_rise_pa) * flows : 0.0;
}

/* ---- unlike pumps side by side ---- */

/* The form of each kind that holds around a rise; null beyond its end. */
static void forms_around(const fr_pumps *pumps, const fr_kind_walk *kinds, double inside_pa,
                         const fr_pump_form *forms[FR_PUMP_KINDS_MAX]) {
    for (size_t k = 0; k < pumps->kind_count; k++) {
        const fr_kind_walk *kind = &kinds[k];
        size_t i = 0;
        while (i < kind->count && inside_pa > kind->pieces[i].rise_to_pa) {
            i++;
        }
        forms[k] = i < kind->count ? kind->pieces[i].form : NULL;
    }
}

/* Sum over the kinds at a rise, by these forms. */
static fr_walk_end parallel_at(const fr_pumps *pumps, const fr_pump_form *const forms[],
                               double rise_pa) {
    double flow = 0.0, slope = 0.0, bend = 0.0;
    for (size_t k = 0; k < pumps->kind_count; k++) {
        if (forms[k] != NULL) {
            const fr_pump_value value = fr_pump_form_at(forms[k], rise_pa);
            const double count = (double)pumps->kinds[k].count;
            flow += count * fr_greater(value.flow_m3_s, 0.0);
            slope += count * value.flow_per_rise;
            bend += count * value.flow_bend;
        }
    }
    return fr_rise_over_flow(rise_pa, flow, slope, bend);
}

/* Where the walks begin. */
static double first_rise(const fr_pumps *pumps, const fr_kind_walk *kinds) {
    double first = INFINITY;
    for (size_t k = 0; k < pumps->kind_count; k++) {
        if (kinds[k].count > 0) {
            first = fr_lesser(first, kinds[k].pieces[0].rise_from_pa);
        }
    }
    return isfinite(first) ? first : 0.0;
}

static size_t rises_of(const fr_pumps *pumps, const fr_kind_walk *kinds, double rises[NODES_MAX]) {
    size_t count = 0;
    double most = 0.0;
    const double first = first_rise(pumps, kinds);
    for (size_t k = 0; k < pumps->kind_count; k++) {
        for (size_t i = 0; i < kinds[k].count; i++) {
            rises[count++] = kinds[k].pieces[i].rise_to_pa;
        }
        most = kinds[k].end_pa > most ? kinds[k].end_pa : most;
    }
    count = fr_sort_between(rises, count, first, fr_same_rise_pa, most);
    rises[count++] = most;
    return count;
}

static void walk_parallel(const fr_pumps *pumps, const fr_kind_walk *kinds, fr_pump_walk *walk) {
    double rises[NODES_MAX];
    const size_t count = rises_of(pumps, kinds, rises);
    double from = first_rise(pumps, kinds);
    const fr_pump_form *forms[FR_PUMP_KINDS_MAX] = {NULL}, *forms_before[FR_PUMP_KINDS_MAX];
    fr_walk_end end = {0.0, 0.0, 0.0, 0.0};
    for (size_t i = 0; i < count; i++) {
        memcpy(forms_before, forms, sizeof forms);
        forms_around(pumps, kinds, 0.5 * (from + rises[i]), forms);
        /* where nothing bends a piece begins as the one before ends */
        const bool same = i > 0 && memcmp(forms_before, forms, sizeof forms) == 0;
        const fr_walk_end start = same ? end : parallel_at(pumps, forms, from);
        if (walk->count > 0) {
            const double before = walk->pieces[walk->count - 1].to.flow_m3_s;
            if (before > start.flow_m3_s * (1.0 + 1e-9) + fr_no_flow_m3_s) {
                add_drop(walk, from, before, start.flow_m3_s); /* one kind's relief opens */
            }
        }
        end = parallel_at(pumps, forms, rises[i]);
        add_piece(walk, start, end);
        from = rises[i];
    }
    walk->fuse_rise_pa = INFINITY;
    for (size_t k = 0; k < pumps->kind_count; k++) {
        walk->fuse_rise_pa = fr_lesser(walk->fuse_rise_pa, kinds[k].fuse_rise_pa);
    }
    walk->fuse_flow_m3_s = 0.0;
    for (size_t k = 0; k < pumps->kind_count && isfinite(walk->fuse_rise_pa); k++) {
        walk->fuse_flow_m3_s +=
            (double)pumps->kinds[k].count * fr_kind_flow(&kinds[k], walk->fuse_rise_pa);
    }
}

/* ---- unlike pumps one behind the other ---- */

static fr_walk_end series_at(const fr_pumps *pumps, const fr_kind_walk *kinds, double inside,
                             double flow) {
    fr_walk_end sum = {0.0, flow, 0.0, 0.0};
    for (size_t k = 0; k < pumps->kind_count; k++) {
        const fr_walk_end end = fr_kind_rise(&kinds[k], inside, flow);
        sum.rise_pa += (double)pumps->kinds[k].count * end.rise_pa;
        sum.rise_per_flow += (double)pumps->kinds[k].count * end.rise_per_flow;
        sum.rise_bend += (double)pumps->kinds[k].count * end.rise_bend;
    }
    return sum;
}

/* Flows at which any kind's piece ends, from none to what the smallest gives at no rise. */
static size_t flows_of(const fr_pumps *pumps, const fr_kind_walk *kinds, double flows[NODES_MAX]) {
    double most = INFINITY;
    size_t count = 0;
    for (size_t k = 0; k < pumps->kind_count; k++) {
        most = fr_lesser(most, kinds[k].count > 0 ? kinds[k].pieces[0].from.flow_m3_s : 0.0);
        for (size_t i = 0; i < kinds[k].count; i++) {
            flows[count++] = kinds[k].pieces[i].to.flow_m3_s;
        }
    }
    count = fr_sort_between(flows, count, 0.0, 1e-9 * most, most);
    flows[count++] = most;
    return count;
}

/* Flow in the piece at which the set's rise is `most`. */
static double flow_at_rise(const fr_pumps *pumps, const fr_kind_walk *kinds, double inside,
                           double high, double low, double most_pa) {
    double flow = 0.5 * (high + low);
    for (int step = 0; step < RISE_STEPS; step++) {
        const fr_walk_end at = series_at(pumps, kinds, inside, flow);
        if (!(at.rise_per_flow < 0.0)) {
            break;
        }
        flow -= (at.rise_pa - most_pa) / at.rise_per_flow;
        flow = flow < low ? low : fr_lesser(flow, high);
    }
    return flow;
}

static double series_fuse_flow(const fr_pumps *pumps, const fr_kind_walk *kinds) {
    double flow = -1.0;
    for (size_t k = 0; k < pumps->kind_count; k++) {
        if (isfinite(kinds[k].fuse_rise_pa)) {
            const double there = fr_kind_flow(&kinds[k], kinds[k].fuse_rise_pa);
            flow = there > flow ? there : flow;
        }
    }
    return flow;
}

/* The least rise over the set at which a pump that still gives more than the smallest reaches the
 * fuse. */
static double fuse_rise_at_most(const fr_pumps *pumps, const fr_kind_walk *kinds, double flow) {
    double rise = INFINITY;
    for (size_t k = 0; k < pumps->kind_count; k++) {
        const double own = kinds[k].fuse_rise_pa;
        if (isfinite(own) && fr_kind_flow(&kinds[k], own) >= flow) {
            rise = fr_lesser(rise, own);
        }
    }
    return rise;
}

static void walk_series(const fr_pumps *pumps, const fr_kind_walk *kinds, double most_pa,
                        fr_pump_walk *walk) {
    double flows[NODES_MAX];
    size_t i = flows_of(pumps, kinds, flows);
    const double fuse_flow = series_fuse_flow(pumps, kinds);
    const double most_flow = flows[i - 1];
    walk->fuse_rise_pa = fuse_flow >= most_flow ? fuse_rise_at_most(pumps, kinds, most_flow)
                                                : INFINITY;
    walk->fuse_flow_m3_s = most_flow;
    /* at less rise than the others make at the smallest's free flow, that flow is all there is */
    const double all = series_at(pumps, kinds, most_flow * (1.0 - 1e-12), most_flow).rise_pa;
    add_piece(walk, (fr_walk_end){0.0, most_flow, 0.0, 0.0},
              (fr_walk_end){fr_lesser(all, most_pa), most_flow, 0.0, 0.0});
    if (all >= most_pa) {
        return;
    }
    bool below = true;
    for (; i-- > 0 && below;) {
        const double high = flows[i];
        double low = i > 0 ? flows[i - 1] : 0.0;
        const double inside = 0.5 * (high + low);
        const fr_walk_end from = series_at(pumps, kinds, inside, high);
        if (fuse_flow < high && fuse_flow >= low) {
            walk->fuse_rise_pa = series_at(pumps, kinds, inside, fuse_flow).rise_pa;
            walk->fuse_flow_m3_s = fuse_flow;
        }
        below = series_at(pumps, kinds, inside, low).rise_pa < most_pa;
        if (!below) {
            low = flow_at_rise(pumps, kinds, inside, high, low, most_pa);
        }
        add_piece(walk, from, series_at(pumps, kinds, inside, low));
    }
}

/* ---- the set ---- */

static double ohm_of(const fr_pumps *pumps) {
    double count = 0.0;
    for (size_t k = 0; k < pumps->kind_count; k++) {
        count += (double)pumps->kinds[k].count;
    }
    return pumps->wiring_ohm + count * pumps->shared_wiring_ohm;
}

void fr_pump_walk_make(const fr_pumps *pumps, double supply_v, const fr_walk_wish *wish,
                       fr_pump_walk *walk) {
    fr_walk_goal goal = {
        .supply_v = supply_v, .ohm = ohm_of(pumps), .fuse_a = pumps->fuse_a, .wish = *wish};
    goal.wish.most_pa = fr_lesser(wish->most_pa, RISE_END_PA);
    const double most = goal.wish.most_pa;
    walk->count = 0;
    if (pumps->kind_count == 1) {
        walk_alike(&pumps->kinds[0], pumps->series, &goal, walk);
    } else {
        fr_kind_walk kinds[FR_PUMP_KINDS_MAX];
        if (pumps->series) { /* any pump's part of the rise may be anything */
            goal.wish.careful_pa = 0.0;
            goal.wish.until_pa = goal.wish.most_pa = RISE_END_PA;
        }
        for (size_t k = 0; k < pumps->kind_count; k++) {
            fr_kind_walk_make(&pumps->kinds[k], &goal, &kinds[k]);
        }
        if (pumps->series) {
            walk_series(pumps, kinds, most, walk);
        } else {
            walk_parallel(pumps, kinds, walk);
        }
    }
    finish(walk, &goal.wish, pumps->series && pumps->kind_count > 1);
}
