/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The threads of a promise, each with a chance, a tally and rows of its own. */
#ifndef FR_PROMISE_CREW_H
#define FR_PROMISE_CREW_H

#include "chance/chance.h"
#include "chance/points.h"
#include "promise/tally.h"

typedef struct fr_hand {
    fr_chance *chance;
    fr_tally *tally;
    fr_row *z, *other; /* deviations */
    bool failed;       /* ran out of memory, or could not take the build */
} fr_hand;

typedef struct fr_crew {
    const fr_build *build;
    const fr_input *inputs; /* those that move the reach most come first */
    size_t input_count;
    const fr_promise_options *options;
    fr_promise_result *result;
    size_t hand_count;
    fr_hand *hands;
    fr_tally *tally; /* of all */
    /* of the sheet's own figures, by blend */
    double reach_w[FR_BLENDS_MAX];
    /* progress, in blocks on all blends */
    double work_done, work_all;
} fr_crew;

fr_status fr_crew_open(fr_crew *crew);
void fr_crew_close(fr_crew *crew);
/* Adds to the work done and tells the caller. */
void fr_crew_progress(fr_crew *crew, double work);
bool fr_crew_cancelled(const fr_crew *crew);
/* Index of the calling thread, below hand_count. */
size_t fr_crew_hand(void);

/* Draws, chances and powers (promise.c); what the scatter is made of (sensitivity.c). */
fr_status fr_sensitivity_run(fr_crew *crew);

#endif
