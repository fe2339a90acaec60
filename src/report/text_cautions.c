/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cautions: of this build, of this sheet, and of every fuel system. */
#include "report/caution_words.h"
#include "report/prose.h"
#include "report/text.h"

static void write_remarks(const fr_text *text) {
    const fr_report *remarks = text->document->remarks;
    for (size_t i = 0; remarks != NULL && i < remarks->count; i++) {
        const fr_remark *remark = &remarks->remarks[i];
        fr_words words;
        if (remark->severity == FR_ERROR)
            continue;
        fr_words_clear(&words);
        fr_remark_sentence(&words, remark);
        fr_prose(text->out, 2, 4, words.text);
    }
}

/* Those of every fuel system: they run on, so that they are read and not skipped. */
static void write_standing(const fr_text *text) {
    fr_words run;
    fr_words_clear(&run);
    for (const fr_standing_caution *at = fr_standing_cautions; at->code != NULL; at++) {
        if (!fr_standing_caution_applies(at, text->document))
            continue;
        if (!at->stands_alone) {
            fr_words_add(&run, "%s ", at->text);
            continue;
        }
        if (run.length > 0)
            fr_prose(text->out, 2, 4, run.text);
        fr_words_clear(&run);
        fr_prose(text->out, 2, 4, at->text);
    }
}

void fr_text_cautions(const fr_text *text) {
    const fr_check_document *document = text->document;
    fputs("\nCautions\n", text->out);
    for (size_t i = 0; i < document->caution_count; i++) {
        fr_words words;
        fr_words_clear(&words);
        fr_caution_sentence(&words, document, &document->cautions[i], text->style.units);
        fr_prose(text->out, 2, 4, words.text);
    }
    write_remarks(text);
    write_standing(text);
}
