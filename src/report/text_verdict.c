/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The verdict in a sentence; how far it holds; what it rests on. */
#include <math.h>

#include "report/document_words.h"
#include "report/prose.h"
#include "report/stage_words.h"
#include "report/text.h"
#include "report/verdict.h"

void fr_text_verdict(const fr_text *text) {
    static const char *const heads[] = {
        [FR_CLEAR] = "HOLDS", [FR_TIGHT] = "TIGHT", [FR_SHORT] = "RUNS SHORT"};
    const fr_check_document *document = text->document;
    fr_verdict verdict = document->result->verdict;
    fr_words words;
    fr_words_clear(&words);
    fr_words_add(&words, "%s", heads[verdict]);
    size_t lead = words.length;
    fr_verdict_rest(&words, document);
    fputc('\n', text->out);
    fr_prose_led(text->out, 0, 0, words.text, lead, text->style.colour, fr_verdict_colour(verdict));
    fr_words_clear(&words);
    fr_reach_sentence(&words, document, text->style.units);
    fr_prose(text->out, 0, 0, words.text);
    fr_words_clear(&words);
    fr_rests_on_sentence(&words, document);
    if (words.length > 0)
        fr_prose(text->out, 0, 0, words.text);
}
