/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "promise/crew.h"

#include <stdlib.h>

#ifdef _OPENMP
#include <omp.h>
#endif

static size_t threads_of(const fr_promise_options *options) {
#ifdef _OPENMP
    return options->threads > 0 ? options->threads : (size_t)omp_get_max_threads();
#else
    (void)options;
    return 1;
#endif
}

size_t fr_crew_hand(void) {
#ifdef _OPENMP
    return (size_t)omp_get_thread_num();
#else
    return 0;
#endif
}

static fr_row *rows_open(size_t count) {
    void *rows = NULL;
    return posix_memalign(&rows, 64, sizeof(fr_row) * (count + 1)) == 0 ? rows : NULL;
}

/* The sheet's own figures, by a block whose deviations are all zero. */
static double most_reach(fr_crew *crew) {
    const fr_hand *hand = &crew->hands[0];
    const double SCATTER = 6.0; /* four times the target, and room for the target's tolerance */
    double most = 0.0;
    for (size_t i = 0; i < crew->input_count; i++) {
        FR_EACH_LANE(l) {
            hand->z[i][l] = 0.0;
        }
    }
    fr_chance_draw(hand->chance, (const fr_row *)hand->z);
    for (size_t i = 0; i < crew->build->blend_count; i++) {
        const fr_block_result *block =
            fr_chance_blend(hand->chance, crew->build->blends[i], FR_WANT_REACH);
        fr_promise_blend *blend = &crew->result->blends[i];
        blend->ethanol = crew->build->blends[i];
        blend->target_w = block->target_w[0];
        blend->reach_w = isfinite(block->times[0]) ? block->times[0] * blend->target_w : NAN;
        crew->reach_w[i] = fr_reach_counted(block->times[0], blend->target_w);
        most = fr_greater(most, SCATTER * blend->target_w);
    }
    return most;
}

static bool hand_open(fr_hand *hand, const fr_crew *crew) {
    hand->chance = fr_chance_open();
    hand->z = rows_open(crew->input_count);
    hand->other = rows_open(crew->input_count);
    return hand->chance != NULL && hand->z != NULL && hand->other != NULL &&
           fr_chance_set(hand->chance, crew->build, crew->inputs, crew->input_count);
}

fr_status fr_crew_open(fr_crew *crew) {
    crew->hand_count = threads_of(crew->options);
    crew->hands = calloc(crew->hand_count, sizeof *crew->hands);
    if (crew->hands == NULL) {
        return FR_NO_MEMORY;
    }
    for (size_t i = 0; i < crew->hand_count; i++) {
        if (!hand_open(&crew->hands[i], crew)) {
            return FR_NO_MEMORY;
        }
    }
    const double most = most_reach(crew);
    crew->tally = fr_tally_open(crew->build->blend_count, most);
    bool there = crew->tally != NULL;
    for (size_t i = 0; i < crew->hand_count; i++) {
        crew->hands[i].tally = fr_tally_open(crew->build->blend_count, most);
        there = there && crew->hands[i].tally != NULL;
    }
    return there ? FR_OK : FR_NO_MEMORY;
}

void fr_crew_close(fr_crew *crew) {
    for (size_t i = 0; crew->hands != NULL && i < crew->hand_count; i++) {
        fr_chance_close(crew->hands[i].chance);
        fr_tally_close(crew->hands[i].tally);
        free(crew->hands[i].z);
        free(crew->hands[i].other);
    }
    free(crew->hands);
    fr_tally_close(crew->tally);
}

void fr_crew_progress(fr_crew *crew, double work) {
    crew->work_done += work;
    if (crew->options->progress != NULL && crew->work_all > 0.0) {
        crew->options->progress(crew->options->context,
                                fr_lesser(crew->work_done / crew->work_all, 1.0));
    }
}

bool fr_crew_cancelled(const fr_crew *crew) {
    return crew->options->cancelled != NULL && *crew->options->cancelled != 0;
}
