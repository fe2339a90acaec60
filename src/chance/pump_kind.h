/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The walk along one pump of a kind, over its rise: what walks of sets are made of. */
#ifndef FR_CHANCE_PUMP_KIND_H
#define FR_CHANCE_PUMP_KIND_H

#include "chance/pump_form.h"
#include "chance/pump_walk.h"

/* Rises that are nearer than this are one, and less flow is none. */
static const double fr_same_rise_pa = 1e-3;
static const double fr_no_flow_m3_s = 1e-15;

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

/* What a walk of one kind is after. */
typedef struct fr_walk_goal {
    double supply_v, ohm, fuse_a;
    fr_walk_wish wish;
    /* of the range that is walked */
    double near_m3_s;
    size_t begun; /* pieces before it */
    size_t cut_until;
} fr_walk_goal;

/* Walks one pump of the kind, as far as is wished, to its dead head, its relief or a regulator. */
void fr_kind_walk_make(const fr_pump *pump, const fr_walk_goal *of_set, fr_kind_walk *walk);
/* Flow of one pump at a rise. */
double fr_kind_flow(const fr_kind_walk *walk, double rise_pa);
/* Rise of one pump at a flow, by the piece that holds around the flow `inside`; a flow that its
 * relief lets by keeps the relief's rise. */
fr_walk_end fr_kind_rise(const fr_kind_walk *kind, double inside, double flow);

/* Rise over flow of a pump whose flow is known over rise. */
fr_walk_end fr_rise_over_flow(double rise_pa, double flow, double flow_per_rise, double flow_bend);
fr_walk_end fr_rise_over_flow_of(double rise_pa, const fr_pump_value *value);

/* Sorts, and keeps what lies between `least` and `most`, not within `same` of either or the one
 * before. How many are kept. */
size_t fr_sort_between(double *x, size_t count, double least, double same, double most);

#endif
