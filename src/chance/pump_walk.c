/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "chance/pump_walk.h"

#include <math.h>
#include <string.h>

#include "chance/lanes.h"
#include "chance/pump_form.h"

/* Stretches between kinks are cut so that a polynomial through values, slopes and bends at both ends is this
 * near in the middle, as a part of the flow at no rise. */
static const double EQUAL_PARTS_MAX = 4.0;
static const double RISE_NEAR = 3e-9, RISE_LOOSE = 5e-8;
static const double STEP_PA = 2e5;
/* A set that never falls to no flow is walked to here; nobody regulates a fuel rail higher. */
static const double RISE_END_PA = 40e5;
static const double SAME_RISE_PA = 1e-3;
static const double NO_FLOW_M3_S = 1e-15;

enum { SOLVE_STEPS = 6, DEPTH_MAX = 8 };
enum { NODES_MAX = FR_PUMP_KINDS_MAX * FR_WALK_PIECES_MAX + 1 }; /* ends of all kinds' pieces */

/* Beyond so many pieces a range is not cut any more than its kinks want. */
enum { CUT_UNTIL_CAREFUL = 72, CUT_UNTIL_LOOSE = 40 };

/* ---- one kind ---- */

typedef struct fr_kind_piece {
    const fr_pump_form *form; /* of the stretch that it is part of */
    double rise_from_pa, rise_to_pa;
    fr_pump_value from, to;
} fr_kind_piece;

typedef struct fr_kind_walk {
    size_t form_count;
    fr_pump_form forms[FR_WALK_PIECES_MAX];
    size_t count;
    fr_kind_piece pieces[FR_WALK_PIECES_MAX];
    double end_pa;       /* the flow ends here, or drops */
    double fuse_rise_pa; /* INFINITY: nowhere */
} fr_kind_walk;

static void sort_up(double *x, size_t count) {
    for (size_t i = 1; i < count; i++) {
        const double value = x[i];
        size_t k = i;
        for (; k > 0 && x[k - 1] > value; k--) {
            x[k] = x[k - 1];
        }
        x[k] = value;
    }
}

/* Keeps what lies between `least` and `most`, not within `same` of either or the one before. */
static size_t distinct(double *x, size_t count, double least, double same, double most) {
    size_t kept = 0;
    double last = least;
    for (size_t i = 0; i < count; i++) {
        if (x[i] > last + same && x[i] < most - same) {
            x[kept++] = last = x[i];
        }
    }
    return kept;
}

/* Flow or current, and its slope over the rise. */
typedef struct fr_walk_figure {
    double value, slope;
} fr_walk_figure;

static fr_walk_figure figure_of(const fr_pump_value *value, bool current) {
    return current ? (fr_walk_figure){value->current_a, value->current_per_rise}
                   : (fr_walk_figure){value->flow_m3_s, value->flow_per_rise};
}

/* Rise in the piece at which flow or current is `goal`; both ends bracket it. */
static double place_of(const fr_kind_piece *piece, bool current, double goal) {
    const double width = piece->rise_to_pa - piece->rise_from_pa;
    const double from = figure_of(&piece->from, current).value;
    const double change = figure_of(&piece->to, current).value - from;
    double rise = piece->rise_from_pa + (change != 0.0 ? width * (goal - from) / change : 0.0);
    for (int step = 0; step < SOLVE_STEPS; step++) {
        const fr_pump_value at = fr_pump_form_at(piece->form, rise);
        const fr_walk_figure there = figure_of(&at, current);
        if (!(there.slope * change > 0.0)) {
            break;
        }
        rise -= (there.value - goal) / there.slope;
        rise = fr_lesser(fr_greater(rise, piece->rise_from_pa), piece->rise_to_pa);
    }
    return rise;
}

static void note_fuse(fr_kind_walk *walk, const fr_kind_piece *piece, double fuse_a) {
    if (!(fuse_a > 0.0) || isfinite(walk->fuse_rise_pa)) {
        return;
    }
    if (piece->from.current_a >= fuse_a) {
        walk->fuse_rise_pa = piece->rise_from_pa;
    } else if (piece->to.current_a >= fuse_a) {
        walk->fuse_rise_pa = place_of(piece, true, fuse_a);
    }
}

/* Rise over flow of a pump whose flow is known over rise. */
static fr_walk_end inverse(double rise_pa, double flow, double flow_per_rise, double flow_bend) {
    const double FLAT = -1e-22; /* m3/s a pascal: a pump that does not mind the rise */
    if (!(flow_per_rise < FLAT)) {
        return (fr_walk_end){rise_pa, flow, 1.0 / FLAT, 0.0};
    }
    const double slope = 1.0 / flow_per_rise;
    return (fr_walk_end){rise_pa, flow, slope, -flow_bend * slope * slope * slope};
}

static fr_walk_end inverse_of(double rise_pa, const fr_pump_value *value) {
    return inverse(rise_pa, value->flow_m3_s, value->flow_per_rise, value->flow_bend);
}

/* How far the polynomial (rise over flow, through both ends) is off in the middle, in flow. */
static double rise_error(const fr_kind_piece *piece) {
    const double width = piece->from.flow_m3_s - piece->to.flow_m3_s;
    if (!(width > NO_FLOW_M3_S)) {
        return 0.0;
    }
    const fr_walk_end from = inverse_of(piece->rise_from_pa, &piece->from);
    const fr_walk_end to = inverse_of(piece->rise_to_pa, &piece->to);
    const double rise = 0.5 * (from.rise_pa + to.rise_pa) +
                        width * (5.0 / 32.0) * (to.rise_per_flow - from.rise_per_flow) +
                        width * width * (1.0 / 64.0) * (from.rise_bend + to.rise_bend);
    return fabs(fr_pump_form_at(piece->form, rise).flow_m3_s -
                0.5 * (piece->from.flow_m3_s + piece->to.flow_m3_s));
}

/* What a walk of one kind is after. */
typedef struct fr_walk_goal {
    double supply_v, ohm, fuse_a;
    fr_walk_wish wish;
    /* of the range that is walked */
    double near_m3_s;
    size_t begun; /* pieces before it */
    size_t cut_until;
} fr_walk_goal;

/* A piece between two rises of a form; the values at its ends are known. */
static void add_kind_piece(const fr_pump_form *form, double from_pa, const fr_pump_value *from,
                           double to_pa, const fr_pump_value *to, const fr_walk_goal *goal,
                           fr_kind_walk *walk) {
    fr_kind_piece *piece = &walk->pieces[walk->count++];
    piece->form = form;
    piece->rise_from_pa = from_pa;
    piece->rise_to_pa = to_pa;
    piece->from = *from;
    piece->to = *to;
    note_fuse(walk, piece, goal->fuse_a);
}

/* How many equal pieces a stretch needs: the error goes with the sixth power of their width. */
static double parts_of(const fr_kind_piece *whole, const fr_walk_goal *goal, size_t count) {
    const double parts = ceil(cbrt(sqrt(rise_error(whole) / goal->near_m3_s)));
    return count - goal->begun >= goal->cut_until || !(parts > 1.0) ? 1.0 : parts;
}

static void add_parts(const fr_kind_piece *whole, double parts, const fr_walk_goal *goal,
                      fr_kind_walk *walk) {
    const double width = (whole->rise_to_pa - whole->rise_from_pa) / parts;
    double rise = whole->rise_from_pa;
    fr_pump_value at = whole->from;
    for (double part = 1.0; part <= parts && walk->count < FR_WALK_PIECES_MAX; part += 1.0) {
        const bool last = part == parts;
        const double to = last ? whole->rise_to_pa : whole->rise_from_pa + width * part;
        const fr_pump_value there = last ? whole->to : fr_pump_form_at(whole->form, to);
        add_kind_piece(whole->form, rise, &at, to, &there, goal, walk);
        at = there;
        rise = to;
    }
}

/* Cuts a stretch as finely as it needs: into equal parts where a few will do; halves first where
 * not, since then the stretch bends more at one end than at the other. */
static void add_cut(const fr_kind_piece *whole, const fr_walk_goal *goal, int depth,
                    fr_kind_walk *walk) {
    const double parts = parts_of(whole, goal, walk->count);
    if (parts <= EQUAL_PARTS_MAX || depth == DEPTH_MAX) {
        add_parts(whole, fr_lesser(parts, EQUAL_PARTS_MAX), goal, walk);
        return;
    }
    const double middle = 0.5 * (whole->rise_from_pa + whole->rise_to_pa);
    fr_kind_piece half = *whole;
    half.rise_to_pa = middle;
    half.to = fr_pump_form_at(whole->form, middle);
    add_cut(&half, goal, depth + 1, walk);
    half.rise_from_pa = middle;
    half.from = half.to;
    half.rise_to_pa = whole->rise_to_pa;
    half.to = whole->to;
    add_cut(&half, goal, depth + 1, walk);
}

/* Adds a stretch without a kink; `at` is the pump at its start, and then at its end. False when the
 * flow ended in it. */
static bool add_stretch(const fr_pump_form *form, double from_pa, double to_pa, fr_pump_value *at,
                        const fr_walk_goal *goal, fr_kind_walk *walk) {
    fr_kind_piece whole;
    whole.form = form;
    whole.rise_from_pa = from_pa;
    whole.rise_to_pa = to_pa;
    whole.from = *at;
    whole.to = fr_pump_form_at(form, to_pa);
    if (!(whole.from.flow_m3_s > NO_FLOW_M3_S) || walk->count == FR_WALK_PIECES_MAX) {
        return false;
    }
    const bool ended = !(whole.to.flow_m3_s > NO_FLOW_M3_S);
    if (ended) {
        whole.rise_to_pa = place_of(&whole, false, 0.0);
        whole.to = fr_pump_form_at(form, whole.rise_to_pa);
    }
    add_cut(&whole, goal, 0, walk);
    *at = whole.to;
    if (ended) {
        walk->pieces[walk->count - 1].to.flow_m3_s = 0.0;
    }
    return !ended;
}

/* Walks from one rise to another, stretch by stretch. False when the flow ended. */
static bool walk_range(const fr_pump *pump, const fr_walk_goal *goal, double from_pa, double to_pa,
                       fr_kind_walk *walk) {
    double kinks[FR_KINKS_MAX + 1];
    size_t count = fr_pump_kinks(pump, goal->supply_v, goal->ohm, from_pa, to_pa, kinks);
    sort_up(kinks, count);
    count = distinct(kinks, count, from_pa, SAME_RISE_PA, to_pa);
    kinks[count++] = to_pa;
    double from = from_pa;
    bool flows = goal->supply_v > 0.0;
    for (size_t i = 0; i < count && flows && walk->form_count < FR_WALK_PIECES_MAX; i++) {
        const double start = from, gap = kinks[i] - from;
        const double parts = ceil(gap / STEP_PA - 1e-9);
        fr_pump_form *form = &walk->forms[walk->form_count++];
        *form = fr_pump_form_around(pump, goal->supply_v, goal->ohm, 0.5 * (start + kinks[i]));
        fr_pump_value at = fr_pump_form_at(form, start);
        for (double part = 1.0; part <= parts && flows; part += 1.0) {
            const double to = part < parts ? start + gap * part / parts : kinks[i];
            flows = add_stretch(form, from, to, &at, goal, walk);
            from = to;
        }
    }
    return flows;
}

static double flow_of_pump(const fr_pump *pump, const fr_walk_goal *goal, double rise_pa) {
    const fr_pump_form form = fr_pump_form_around(pump, goal->supply_v, goal->ohm, rise_pa);
    return fr_greater(fr_pump_form_at(&form, rise_pa).flow_m3_s, 0.0);
}

/* What is left of a flow beyond a jet's, which errors are parts of; a little at least. */
static double beyond_jet(double flow, double jet) {
    const double LEAST = 0.02;
    return flow - jet > LEAST * flow ? flow - jet : LEAST * flow;
}

/* Walks one pump of the kind, as far as is wished, to its dead head, its relief or a regulator. */
static void walk_kind(const fr_pump *pump, const fr_walk_goal *of_set, fr_kind_walk *walk) {
    fr_walk_goal goal = *of_set;
    const fr_walk_wish *wish = &goal.wish;
    const bool relieved = pump->relief_pa > 0.0 && pump->relief_pa < wish->most_pa;
    const double end = relieved ? pump->relief_pa : wish->most_pa;
    const double careful = fr_lesser(wish->careful_pa, end), until = fr_lesser(wish->until_pa, end);
    walk->count = walk->form_count = 0;
    walk->fuse_rise_pa = INFINITY;
    const double flow = flow_of_pump(pump, &goal, careful);
    bool flows = true;
    if (wish->whole && careful > 0.0) {
        goal.cut_until = CUT_UNTIL_LOOSE;
        goal.near_m3_s = RISE_LOOSE * beyond_jet(flow_of_pump(pump, &goal, 0.0), wish->jet_m3_s);
        flows = walk_range(pump, &goal, 0.0, careful, walk);
    }
    goal.near_m3_s = RISE_NEAR * beyond_jet(flow, wish->jet_m3_s);
    goal.begun = walk->count;
    goal.cut_until = CUT_UNTIL_CAREFUL;
    if (flows && until > careful) {
        flows = walk_range(pump, &goal, careful, until, walk);
    }
    goal.begun = walk->count;
    goal.cut_until = CUT_UNTIL_LOOSE;
    if (flows && wish->whole && end > until) {
        walk_range(pump, &goal, until, end, walk);
    }
    walk->end_pa = walk->count > 0 ? walk->pieces[walk->count - 1].rise_to_pa : 0.0;
}

static double flow_of_kind(const fr_kind_walk *walk, double rise_pa) {
    if (rise_pa > walk->end_pa) {
        return 0.0;
    }
    size_t i = 0;
    while (i + 1 < walk->count && rise_pa > walk->pieces[i].rise_to_pa) {
        i++;
    }
    return walk->count > 0 ? fr_greater(fr_pump_form_at(walk->pieces[i].form, rise_pa).flow_m3_s, 0.0)
                           : 0.0;
}

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
        end.rise_pa >= wish->until_pa - SAME_RISE_PA) {
        walk->cut_short = end.flow_m3_s > NO_FLOW_M3_S;
    } else if (end.flow_m3_s > NO_FLOW_M3_S) {
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
    walk_kind(pump, &goal, &kind);
    for (size_t i = 0; i < kind.count; i++) {
        const fr_kind_piece *piece = &kind.pieces[i];
        add_piece(walk, many(inverse_of(piece->rise_from_pa, &piece->from), rises, flows),
                  many(inverse_of(piece->rise_to_pa, &piece->to), rises, flows));
    }
    walk->fuse_rise_pa = kind.fuse_rise_pa * rises;
    walk->fuse_flow_m3_s =
        isfinite(kind.fuse_rise_pa) ? flow_of_kind(&kind, kind.fuse_rise_pa) * flows : 0.0;
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
    return inverse(rise_pa, flow, slope, bend);
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
    sort_up(rises, count);
    count = distinct(rises, count, first, SAME_RISE_PA, most);
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
            if (before > start.flow_m3_s * (1.0 + 1e-9) + NO_FLOW_M3_S) {
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
            (double)pumps->kinds[k].count * flow_of_kind(&kinds[k], walk->fuse_rise_pa);
    }
}

/* ---- unlike pumps one behind the other ---- */

/* Rise of one pump of the kind at a flow, by the piece that holds around `inside`; a flow that its
 * relief lets by keeps the relief's rise. */
static fr_walk_end rise_of_kind(const fr_kind_walk *kind, double inside, double flow) {
    size_t i = 0;
    while (i < kind->count && inside < kind->pieces[i].to.flow_m3_s) {
        i++;
    }
    if (i == kind->count) {
        return (fr_walk_end){kind->end_pa, flow, 0.0, 0.0};
    }
    const double rise = place_of(&kind->pieces[i], false, flow);
    const fr_pump_value value = fr_pump_form_at(kind->pieces[i].form, rise);
    return inverse(rise, flow, value.flow_per_rise, value.flow_bend);
}

static fr_walk_end series_at(const fr_pumps *pumps, const fr_kind_walk *kinds, double inside,
                             double flow) {
    fr_walk_end sum = {0.0, flow, 0.0, 0.0};
    for (size_t k = 0; k < pumps->kind_count; k++) {
        const fr_walk_end end = rise_of_kind(&kinds[k], inside, flow);
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
    sort_up(flows, count);
    count = distinct(flows, count, 0.0, 1e-9 * most, most);
    flows[count++] = most;
    return count;
}

/* Flow in the piece at which the set's rise is `most`. */
static double flow_at_rise(const fr_pumps *pumps, const fr_kind_walk *kinds, double inside,
                           double high, double low, double most_pa) {
    double flow = 0.5 * (high + low);
    for (int step = 0; step < 2 * SOLVE_STEPS; step++) {
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
            const double there = flow_of_kind(&kinds[k], kinds[k].fuse_rise_pa);
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
        if (isfinite(own) && flow_of_kind(&kinds[k], own) >= flow) {
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
            walk_kind(&pumps->kinds[k], &goal, &kinds[k]);
        }
        if (pumps->series) {
            walk_series(pumps, kinds, most, walk);
        } else {
            walk_parallel(pumps, kinds, walk);
        }
    }
    finish(walk, &goal.wish, pumps->series && pumps->kind_count > 1);
}
