/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/verdict.h"

#include <math.h>
#include <string.h>

#include "report/document_words.h"
#include "report/format.h"
#include "report/stage_words.h"

/* Stages named as the reason of a verdict. */
typedef struct causes {
    bool named[FR_STAGE_COUNT];
    size_t count;
} causes;

static void name_cause(causes *found, fr_stage stage) {
    found->count += !found->named[stage];
    found->named[stage] = true;
}

static bool has_verdict(const fr_blend_result *blend, fr_stage stage, fr_verdict verdict) {
    const fr_stage_result *result = fr_stage_on(blend, stage);
    return result != NULL && result->verdict == verdict;
}

/* The injection pressure falls short because a pump or injectors do: those are named where they
 * are short themselves. */
static void name_injection(causes *found, const fr_blend_result *blend, fr_verdict verdict) {
    bool pump = has_verdict(blend, FR_STAGE_HIGH_PRESSURE_PUMP, verdict);
    bool injectors = has_verdict(blend, FR_STAGE_DIRECT_INJECTOR, verdict);
    if (pump)
        name_cause(found, FR_STAGE_HIGH_PRESSURE_PUMP);
    if (injectors)
        name_cause(found, FR_STAGE_DIRECT_INJECTOR);
    if (!pump && !injectors)
        name_cause(found, FR_STAGE_DIRECT_PRESSURE);
}

/* A sagging feed takes these along: where the lift pump is short they are not the reason. */
static bool follows_lift_pump(const fr_blend_result *blend, fr_stage stage) {
    return (stage == FR_STAGE_FEED_PRESSURE || stage == FR_STAGE_VAPOUR ||
            stage == FR_STAGE_PORT_INJECTOR) &&
           stage != blend->weakest && has_verdict(blend, FR_STAGE_LIFT_PUMP, FR_SHORT);
}

static void name_short_stage(causes *found, const fr_blend_result *blend, fr_stage stage) {
    if (stage == FR_STAGE_DIRECT_PRESSURE)
        name_injection(found, blend, FR_SHORT);
    else if (follows_lift_pump(blend, stage))
        name_cause(found, FR_STAGE_LIFT_PUMP);
    else
        name_cause(found, stage);
}

/* What makes a blend short: the stage that ends its reach, and any that no power mends. */
static void name_short(causes *found, const fr_blend_result *blend) {
    size_t before = found->count;
    if (has_verdict(blend, blend->weakest, FR_SHORT))
        name_short_stage(found, blend, blend->weakest);
    for (size_t i = 0; i < blend->stage_count; i++)
        if (blend->stages[i].verdict == FR_SHORT && blend->stages[i].no_power_mends)
            name_short_stage(found, blend, blend->stages[i].stage);
    for (size_t i = 0; found->count == before && i < blend->stage_count; i++)
        if (blend->stages[i].verdict == FR_SHORT)
            name_short_stage(found, blend, blend->stages[i].stage);
}

static void name_tight(causes *found, const fr_blend_result *blend) {
    for (size_t i = 0; i < blend->stage_count; i++)
        if (blend->stages[i].verdict == FR_TIGHT)
            name_cause(found, blend->stages[i].stage);
}

static causes find_causes(const fr_check_result *result) {
    causes found = {.count = 0};
    for (size_t i = 0; i < result->blend_count; i++) {
        if (result->blends[i].verdict != result->verdict)
            continue;
        if (result->verdict == FR_SHORT)
            name_short(&found, &result->blends[i]);
        else
            name_tight(&found, &result->blends[i]);
    }
    return found;
}

/* How many of the causes fail in the same way as `stage`, itself included. */
static size_t fail_alike(const fr_build *build, const causes *found, int stage,
                         bool alike[FR_STAGE_COUNT]) {
    const char *fail = fr_stage_words_of((fr_stage)stage, build)->fail;
    size_t count = 0;
    for (int other = 0; other < FR_STAGE_COUNT; other++) {
        alike[other] = found->named[other] && other >= stage &&
                       strcmp(fr_stage_words_of((fr_stage)other, build)->fail, fail) == 0;
        count += alike[other];
    }
    return count;
}

/* Says the causes that fail like `stage`, "the direct injectors and the high-pressure pump are too
 * small", and takes them off the list. */
static void say_alike(fr_words *words, const fr_build *build, causes *left, int stage) {
    bool alike[FR_STAGE_COUNT];
    size_t said = 0, count = fail_alike(build, left, stage, alike);
    const fr_stage_words *of = fr_stage_words_of((fr_stage)stage, build);
    for (int other = 0; other < FR_STAGE_COUNT; other++)
        if (alike[other]) {
            left->named[other] = false;
            left->count--;
            fr_words_add(words, "%s%s", fr_words_between(said++, count, " and "),
                         fr_stage_words_of((fr_stage)other, build)->actor);
        }
    fr_words_add(words, " %s", count > 1 ? of->fail : of->fails);
}

static void say_short(fr_words *words, const fr_build *build, const causes *found) {
    causes left = *found;
    bool first = true;
    for (int stage = 0; stage < FR_STAGE_COUNT; stage++) {
        if (!left.named[stage])
            continue;
        fr_words clause;
        fr_words_clear(&clause);
        say_alike(&clause, build, &left, stage);
        fr_words_add(words, "%s%s", first ? "" : left.count > 0 ? ", " : ", and ", clause.text);
        first = false;
    }
    fr_words_add(words, ".");
}

static void say_tight(fr_words *words, const fr_build *build, const causes *found) {
    size_t said = 0;
    bool plural = found->count > 1;
    for (int stage = 0; stage < FR_STAGE_COUNT; stage++) {
        const fr_stage_words *of = fr_stage_words_of((fr_stage)stage, build);
        if (!found->named[stage])
            continue;
        fr_words_add(words, "%s%s", fr_words_between(said++, found->count, " and "), of->subject);
        plural = plural || of->plural;
    }
    fr_words_add(words,
                 plural ? " hold, but are over their limit%s." : " holds, but is over its limit%s.",
                 found->count > 1 ? "s" : "");
}

static void say_which(fr_words *words, const fr_check_result *result) {
    double ethanol[FR_BLENDS_MAX];
    bool chosen[FR_BLENDS_MAX];
    size_t count = 0;
    for (size_t i = 0; i < result->blend_count; i++) {
        ethanol[i] = result->blends[i].ethanol;
        chosen[i] = result->blends[i].verdict == result->verdict;
        count += chosen[i];
    }
    bool all = count == result->blend_count && count > 1;
    fr_words_add(words, all ? " on every blend asked, " : " on ");
    fr_blend_list(words, ethanol, chosen, result->blend_count);
}

static bool any_doubtful(const fr_check_result *result) {
    for (size_t i = 0; i < result->blend_count; i++)
        if (result->blends[i].doubtful)
            return true;
    return false;
}

void fr_verdict_rest(fr_words *words, const fr_check_document *document) {
    const fr_check_result *result = document->result;
    const causes found = find_causes(result);
    say_which(words, result);
    if (any_doubtful(result))
        fr_words_add(words, " (input doubtful, see Cautions)");
    if (result->verdict == FR_CLEAR) {
        fr_words_add(words, ". Every stage is within its limit.");
        return;
    }
    fr_words_add(words, ": ");
    if (result->verdict == FR_SHORT)
        say_short(words, document->build, &found);
    else
        say_tight(words, document->build, &found);
}

const fr_blend_result *fr_worst_blend(const fr_check_result *result) {
    const fr_blend_result *worst = &result->blends[fr_weakest_blend(result)];
    return isnan(worst->reach_w) ? NULL : worst;
}

/* "clear up to E33 and holds up to E64" */
static void say_highest(fr_words *words, const fr_highest_blend *highest) {
    char name[FR_BLEND_NAME_MAX];
    if (!isfinite(highest->ethanol)) {
        fr_words_add(words, "runs short on any blend, E0 (pure gasoline) too");
        return;
    }
    bool clear_throughout = isfinite(highest->clear_to) && highest->clear_to >= 1.0;
    if (clear_throughout && highest->whole_range) {
        fr_words_add(words, "is clear on every blend to E100");
        return;
    }
    if (isfinite(highest->clear_to)) {
        fr_blend_name_down(highest->clear_to, name);
        fr_words_add(words, "is clear up to %s and ", name);
    } else {
        fr_words_add(words, "is not clear even on E0, but ");
    }
    fr_blend_name_down(highest->ethanol, name);
    if (highest->whole_range)
        fr_words_add(words, "holds on every blend to E100");
    else
        fr_words_add(words, "holds up to %s", name);
}

/* What would end it beyond the highest blend, where the verdict has not said so already. */
static void say_limited_by(fr_words *words, const fr_check_document *document) {
    const fr_check_result *result = document->result;
    const fr_highest_blend *highest = &result->highest;
    if (result->verdict == FR_SHORT || highest->whole_range || !highest->has_limit)
        return;
    const fr_stage_words *of = fr_stage_words_of(highest->limited_by, document->build);
    fr_words_add(words, "; beyond that %s %s", of->actor, of->fails);
}

static bool no_power_mends(const fr_blend_result *blend) {
    for (size_t i = 0; i < blend->stage_count; i++)
        if (blend->stages[i].verdict == FR_SHORT && blend->stages[i].no_power_mends)
            return true;
    return false;
}

static void say_worst_blend(fr_words *words, const fr_check_document *document, fr_units units) {
    const fr_check_result *result = document->result;
    const fr_blend_result *worst = fr_worst_blend(result);
    char name[FR_BLEND_NAME_MAX];
    if (worst == NULL) {
        if (result->verdict != FR_SHORT)
            fr_words_add(words, " No stage would run out within four times that power.");
        return;
    }
    fr_blend_name(worst->ethanol, name);
    if (result->verdict == FR_SHORT && no_power_mends(worst))
        fr_words_add(words, " No power mends that; all else would hold on %s up to ", name);
    else if (result->verdict == FR_SHORT)
        fr_words_add(words, " On %s it holds ", name);
    else
        fr_words_add(words, " On %s %s would run out first, at ", name,
                     fr_stage_words_of(worst->weakest, document->build)->subject);
    fr_show_reach(words, document, units, worst->reach_w, worst->target_power_w);
    fr_words_add(words, ".");
}

void fr_reach_sentence(fr_words *words, const fr_check_document *document, fr_units units) {
    fr_words_add(words, "At ");
    fr_show_asked(words, document, units);
    fr_words_add(words, " it ");
    say_highest(words, &document->result->highest);
    say_limited_by(words, document);
    fr_words_add(words, ".");
    say_worst_blend(words, document, units);
}

/* What trying the assumptions one by one has shown; nothing when none was tried. */
static void say_turns(fr_words *words, const fr_turns *turns, fr_verdict verdict) {
    static const char *const names[] = {"clear", "tight", "short"};
    size_t worse = 0, better = 0;
    fr_verdict worst = verdict;
    if (turns == NULL || turns->tried == 0)
        return;
    for (size_t i = 0; i < turns->count; i++) {
        worse += turns->turns[i].verdict > verdict;
        better += turns->turns[i].verdict < verdict;
        worst = turns->turns[i].verdict > worst ? turns->turns[i].verdict : worst;
    }
    size_t said = worse > 0 ? worse : better > 0 ? better : turns->count;
    fr_words_add(words, "; ");
    fr_words_count(words, said);
    if (worse > 0)
        fr_words_add(words, " of them could make it %s", names[worst]);
    else if (better > 0)
        fr_words_add(words, " of them could make it better");
    else if (said > 0)
        fr_words_add(words, " of them could move its powers");
    else
        fr_words_add(words, " of them alone would change it");
}

void fr_rests_on_sentence(fr_words *words, const fr_check_document *document) {
    size_t count;
    fr_sheet_assumed(document->sheet, &count);
    if (count == 0)
        return;
    fr_words_add(words, "It rests on %zu assumed value%s", count, count == 1 ? "" : "s");
    say_turns(words, document->turns, document->result->verdict);
    fr_words_add(words, ".");
}
