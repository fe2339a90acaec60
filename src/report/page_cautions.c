/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cautions. */
#include "report/caution_words.h"
#include "report/page_inside.h"

void fr_page_cautions(FILE *out, const fr_page_document *document) {
    const fr_check_document *check = document->check;
    fputs("<section><h2>Cautions</h2>\n<ul class=\"cautions\">\n", out);
    for (size_t i = 0; i < check->caution_count; i++) {
        fr_words words;
        fr_words_clear(&words);
        fr_caution_sentence(&words, check, &check->cautions[i], document->units);
        fr_page_element(out, "li", words.text);
    }
    for (size_t i = 0; check->remarks != NULL && i < check->remarks->count; i++) {
        if (check->remarks->remarks[i].severity != FR_ERROR) {
            fr_words words;
            fr_words_clear(&words);
            fr_remark_sentence(&words, &check->remarks->remarks[i]);
            fr_page_element(out, "li", words.text);
        }
    }
    for (const fr_standing_caution *at = fr_standing_cautions; at->code != NULL; at++) {
        if (fr_standing_caution_applies(at, check)) {
            fr_page_element(out, "li", at->text);
        }
    }
    fputs("</ul></section>\n", out);
}
