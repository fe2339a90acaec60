/* SPDX-License-Identifier: GPL-3.0-or-later */
/* For each stage that is tight or short: what runs out, and the least that mends it. */
#include <math.h>

#include "report/advice.h"
#include "report/document_words.h"
#include "report/prose.h"
#include "report/stage_words.h"
#include "report/text.h"

static const fr_stage_result *result_of(const fr_text *text, const fr_mended_stage *mended) {
    return fr_stage_on(&text->document->result->blends[mended->blend], mended->stage);
}

/* Short before tight, then the fullest for its limit; the injection pressure after the pump and
 * the injectors that make it. */
static bool comes_before(const fr_stage_result *a, const fr_stage_result *b) {
    if (a->verdict != b->verdict)
        return a->verdict > b->verdict;
    if (b->stage == FR_STAGE_DIRECT_PRESSURE || a->stage == FR_STAGE_DIRECT_PRESSURE)
        return b->stage == FR_STAGE_DIRECT_PRESSURE &&
               (a->stage == FR_STAGE_DIRECT_INJECTOR || a->stage == FR_STAGE_HIGH_PRESSURE_PUMP);
    return a->use / a->limit > b->use / b->limit;
}

static size_t put_in_order(const fr_text *text, const fr_mended_stage *order[FR_STAGE_COUNT]) {
    const fr_mends *mends = text->document->mends;
    size_t count = 0;
    for (size_t i = 0; mends != NULL && i < mends->stage_count; i++) {
        const fr_mended_stage *mended = &mends->stages[i];
        const fr_stage_result *result = result_of(text, mended);
        size_t at = count;
        if (result == NULL || result->verdict == FR_CLEAR)
            continue;
        for (; at > 0 && comes_before(result, result_of(text, order[at - 1])); at--)
            order[at] = order[at - 1];
        order[at] = mended;
        count++;
    }
    return count;
}

static void write_stage(const fr_text *text, const fr_mended_stage *mended) {
    const fr_blend_result *blend = &text->document->result->blends[mended->blend];
    const fr_stage_result *result = result_of(text, mended);
    char name[FR_BLEND_NAME_MAX];
    fr_words words;
    fr_words_clear(&words);
    fr_blend_name(blend->ethanol, name);
    fr_stage_label(&words, mended->stage, text->document->build);
    fr_words_add(&words, ", %s: ", name);
    size_t lead = words.length;
    fr_advice_what(&words, text->document, blend, result, text->style.units);
    fr_words_add(&words, " ");
    fr_advice_mends(&words, text->document, mended, text->style.units);
    fr_prose_led(text->out, 2, 4, words.text, lead, text->style.colour,
                 fr_verdict_colour(result->verdict));
}

void fr_text_advice(const fr_text *text) {
    const fr_mended_stage *order[FR_STAGE_COUNT];
    size_t count = put_in_order(text, order);
    fr_words words;
    fr_words_clear(&words);
    fputc('\n', text->out);
    if (count == 0) {
        fr_words_add(&words, "What runs out: nothing at ");
        fr_show_asked(&words, text->document, text->style.units);
        fr_words_add(&words, ".");
        fr_prose(text->out, 0, 2, words.text);
        return;
    }
    fprintf(text->out, "What %s, and the least that mends it\n",
            result_of(text, order[0])->verdict == FR_SHORT ? "runs out" : "is tight");
    for (size_t i = 0; i < count; i++)
        write_stage(text, order[i]);
    fr_advice_together(&words, text->document, text->style.units);
    if (words.length > 0)
        fr_prose(text->out, 2, 4, words.text);
}
