/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the answer turns on: every assumed word tried with its alternatives, every assumed figure
 * at the bad end of its tolerance, one at a time. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "assumptions/turn_text.h"

static const double EFFECT_WORTH_SAYING = 0.05;
/* More alternatives than a sheet can have. */
enum { CANDIDATES_MAX = 128 };

typedef struct fr_candidate {
    const fr_assumed *assumed;
    const char *word;      /* null: a figure */
    const fr_input *input; /* of a figure */
    double deviation;
    fr_verdict verdict;
    double effect;
    bool changes_verdict;
} fr_candidate;

typedef struct fr_trial {
    fr_sheet *sheet;
    const fr_check_result *nominal;
    fr_check *scratch;
    size_t weakest; /* blend of the sheet with the least reach over target */
    fr_build build;
} fr_trial;

/* The build that a candidate stands for, into trial->build. */
static bool build_of(fr_trial *trial, const fr_candidate *candidate) {
    if (candidate->word != NULL) {
        char set[160];
        const int length =
            snprintf(set, sizeof set, "%s=%s", candidate->assumed->field, candidate->word);
        return length > 0 && (size_t)length < sizeof set &&
               fr_sheet_with(trial->sheet, set, &trial->build);
    }
    if (candidate->input == NULL) {
        return false;
    }
    const double towards = candidate->input->bad_is_high ? 1.96 : -1.96;
    fr_build_move(fr_sheet_build(trial->sheet), candidate->input, 1, &towards, &trial->build);
    return true;
}

static bool try_candidate(fr_trial *trial, fr_candidate *candidate) {
    if (!build_of(trial, candidate)) {
        return false;
    }
    /* The bad end of a figure makes nothing better: what is short already stays so, and only the
     * weakest blend need be asked. */
    size_t weakest = trial->weakest;
    const bool stays_short = candidate->word == NULL && trial->nominal->verdict == FR_SHORT;
    if (stays_short) {
        trial->build.blends[0] = trial->build.blends[weakest];
        trial->build.blend_count = 1;
        weakest = 0;
    }
    const fr_check_result *result = fr_check_outline_at(trial->scratch, &trial->build, weakest);
    candidate->verdict = stays_short ? FR_SHORT : result->verdict;
    candidate->changes_verdict = candidate->verdict != trial->nominal->verdict;
    candidate->effect = fr_blend_reach_times(&result->blends[weakest]) /
                            fr_blend_reach_times(&trial->nominal->blends[trial->weakest]) -
                        1.0;
    return candidate->changes_verdict || fabs(candidate->effect) > EFFECT_WORTH_SAYING;
}

/* ---- which to say ---- */

static bool says_more(const fr_candidate *a, const fr_candidate *b) {
    if (a->changes_verdict != b->changes_verdict) {
        return a->changes_verdict;
    }
    return fabs(a->effect) > fabs(b->effect);
}

static void keep_effect(fr_turns *turns, size_t assumed, const fr_candidate *candidate) {
    if (assumed < FR_ASSUMED_MAX && fabs(candidate->effect) > fabs(turns->effects[assumed])) {
        turns->effects[assumed] = candidate->effect;
    }
}

/* Keeps one candidate a field, the one that says most. */
static size_t keep(fr_candidate *list, size_t count, const fr_candidate *candidate) {
    for (size_t i = 0; i < count; i++) {
        if (list[i].assumed == candidate->assumed) {
            if (says_more(candidate, &list[i])) {
                list[i] = *candidate;
            }
            return count;
        }
    }
    if (count < CANDIDATES_MAX) {
        list[count++] = *candidate;
    }
    return count;
}

static int by_weight(const void *left, const void *right) {
    const fr_candidate *a = left, *b = right;
    return says_more(a, b) ? -1 : says_more(b, a) ? 1 : strcmp(a->assumed->field, b->assumed->field);
}

static size_t try_all(fr_trial *trial, fr_turns *turns, fr_candidate list[CANDIDATES_MAX]) {
    size_t assumed_count, input_count, count = 0;
    const fr_assumed *assumed = fr_sheet_assumed(trial->sheet, &assumed_count);
    const fr_input *inputs = fr_sheet_inputs(trial->sheet, &input_count);
    for (size_t i = 0; i < assumed_count; i++) {
        fr_candidate candidate = {.assumed = &assumed[i]};
        if (assumed[i].input < input_count) {
            candidate.input = &inputs[assumed[i].input];
            candidate.deviation = candidate.input->half_width *
                                  (candidate.input->bad_is_high ? 1.0 : -1.0);
            turns->tried++;
            count = try_candidate(trial, &candidate) ? keep(list, count, &candidate) : count;
            keep_effect(turns, i, &candidate);
        }
        for (size_t n = 0; assumed[i].is_word && n < assumed[i].alternative_count; n++) {
            candidate = (fr_candidate){.assumed = &assumed[i],
                                       .word = assumed[i].alternatives[n]};
            turns->tried++;
            count = try_candidate(trial, &candidate) ? keep(list, count, &candidate) : count;
            keep_effect(turns, i, &candidate);
        }
    }
    return count;
}

void fr_turns_find(fr_sheet *sheet, const fr_check_result *result, fr_check *scratch,
                   fr_turns *turns) {
    fr_trial trial = {sheet, result, scratch, fr_weakest_blend(result), *fr_sheet_build(sheet)};
    fr_candidate list[CANDIDATES_MAX];
    fr_text_store store = {turns->text, sizeof turns->text};
    turns->count = turns->tried = 0;
    memset(turns->effects, 0, sizeof turns->effects);
    const size_t count = try_all(&trial, turns, list);
    qsort(list, count, sizeof *list, by_weight);
    for (size_t i = 0; i < count && turns->count < FR_TURNS_MAX; i++) {
        fr_turn *turn = &turns->turns[turns->count];
        if (!build_of(&trial, &list[i])) {
            continue;
        }
        const fr_check_result *then = fr_check_outline(scratch, &trial.build);
        const fr_blend_result *weakest = &then->blends[fr_weakest_blend(then)];
        *turn = (fr_turn){.verdict = then->verdict,
                          .ethanol = weakest->ethanol,
                          .stage = weakest->weakest,
                          .reach_w = weakest->reach_w,
                          .effect = list[i].effect};
        if (list[i].word != NULL) {
            fr_turn_of_word(&store, list[i].assumed, list[i].word, turn);
        } else {
            fr_turn_of_figure(&store, list[i].assumed, list[i].input, list[i].deviation, turn);
        }
        turns->count++;
    }
}
