/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "chance/pump_kind.h"

#include <math.h>

#include "chance/lanes.h"

/* Stretches between kinks are cut so that a polynomial through values, slopes and bends at both ends is this
 * near in the middle, as a part of the flow at no rise. */
static const double EQUAL_PARTS_MAX = 4.0;
static const double RISE_NEAR = 3e-9, RISE_LOOSE = 5e-8;
static const double STEP_PA = 2e5;

enum { SOLVE_STEPS = 6, DEPTH_MAX = 8 };

/* Beyond so many pieces a range is not cut any more than its kinks want. */
enum { CUT_UNTIL_CAREFUL = 72, CUT_UNTIL_LOOSE = 40 };

size_t fr_sort_between(double *x, size_t count, double least, double same, double most) {
    for (size_t i = 1; i < count; i++) {
        const double value = x[i];
        size_t k = i;
        for (; k > 0 && x[k - 1] > value; k--) {
            x[k] = x[k - 1];
        }
        x[k] = value;
    }
    size_t kept = 0;
    double last = least;
    for (size_t i = 0; i < count; i++) {
        if (x[i] > last + same && x[i] < most - same) {
            x[kept++] = last = x[i];
        }
    }
    return kept;
}

/* ---- flow and current of a piece ---- */

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

fr_walk_end fr_rise_over_flow(double rise_pa, double flow, double flow_per_rise, double flow_bend) {
    const double FLAT = -1e-22; /* m3/s a pascal: a pump that does not mind the rise */
    if (!(flow_per_rise < FLAT)) {
        return (fr_walk_end){rise_pa, flow, 1.0 / FLAT, 0.0};
    }
    const double slope = 1.0 / flow_per_rise;
    return (fr_walk_end){rise_pa, flow, slope, -flow_bend * slope * slope * slope};
}

fr_walk_end fr_rise_over_flow_of(double rise_pa, const fr_pump_value *value) {
    return fr_rise_over_flow(rise_pa, value->flow_m3_s, value->flow_per_rise, value->flow_bend);
}

/* How far the polynomial (rise over flow, through both ends) is off in the middle, in flow. */
static double rise_error(const fr_kind_piece *piece) {
    const double width = piece->from.flow_m3_s - piece->to.flow_m3_s;
    if (!(width > fr_no_flow_m3_s)) {
        return 0.0;
    }
    const fr_walk_end from = fr_rise_over_flow_of(piece->rise_from_pa, &piece->from);
    const fr_walk_end to = fr_rise_over_flow_of(piece->rise_to_pa, &piece->to);
    const double rise = 0.5 * (from.rise_pa + to.rise_pa) +
                        width * (5.0 / 32.0) * (to.rise_per_flow - from.rise_per_flow) +
                        width * width * (1.0 / 64.0) * (from.rise_bend + to.rise_bend);
    return fabs(fr_pump_form_at(piece->form, rise).flow_m3_s -
                0.5 * (piece->from.flow_m3_s + piece->to.flow_m3_s));
}

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
    if (!(whole.from.flow_m3_s > fr_no_flow_m3_s) || walk->count == FR_WALK_PIECES_MAX) {
        return false;
    }
    const bool ended = !(whole.to.flow_m3_s > fr_no_flow_m3_s);
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
    count = fr_sort_between(kinks, count, from_pa, fr_same_rise_pa, to_pa);
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

void fr_kind_walk_make(const fr_pump *pump, const fr_walk_goal *of_set, fr_kind_walk *walk) {
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

double fr_kind_flow(const fr_kind_walk *walk, double rise_pa) {
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

fr_walk_end fr_kind_rise(const fr_kind_walk *kind, double inside, double flow) {
    size_t i = 0;
    while (i < kind->count && inside < kind->pieces[i].to.flow_m3_s) {
        i++;
    }
    if (i == kind->count) {
        return (fr_walk_end){kind->end_pa, flow, 0.0, 0.0};
    }
    const double rise = place_of(&kind->pieces[i], false, flow);
    const fr_pump_value value = fr_pump_form_at(kind->pieces[i].form, rise);
    return fr_rise_over_flow(rise, flow, value.flow_per_rise, value.flow_bend);
}
