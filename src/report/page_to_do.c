/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to do: each stage that is short or tight, what mends it, and the part that does. */
#include <math.h>

#include "report/advice.h"
#include "report/document_words.h"
#include "report/format.h"
#include "report/page_inside.h"
#include "report/stage_words.h"

/* `label` stands before it where the table is narrow and has no headings. */
static void write_cell(FILE *out, const fr_words *words, const char *class, const char *label,
                       size_t rows) {
    fprintf(out, "<td class=\"%s%s\"", class, words->length > 0 ? "" : " none");
    if (label != NULL) {
        fprintf(out, " data-label=\"%s\"", label);
    }
    if (rows > 1) {
        fprintf(out, " rowspan=\"%zu\"", rows);
    }
    fputs(">", out);
    fr_html_text(out, words->length > 0 ? words->text : "-");
    fputs("</td>", out);
}

/* ---- the part ---- */

static const fr_size_choice *choice_of(const fr_page_document *document) {
    const fr_size_document *size = document->size;
    return size != NULL && size->result->choice_count > 0 ? &size->result->choices[0] : NULL;
}

static void add_item(fr_words *words, const fr_size_item *item) {
    if (item->part == NULL) {
        return;
    }
    fr_words_add(words, "%s", words->length > 0 ? ", " : "");
    if (item->count > 1) {
        fr_words_add(words, "%u x ", item->count);
    }
    fr_words_add(words, "%s", item->part->name);
}

/* What of the cheapest set mends this stage. */
static void add_parts(fr_words *words, const fr_size_choice *choice, fr_stage stage) {
    for (int slot = 0; slot < FR_SLOT_COUNT; slot++) {
        if (choice->mends[slot] && choice->mended[slot] == stage) {
            add_item(words, &choice->items[slot]);
            if (slot == FR_SLOT_PORT_INJECTOR && stage != FR_STAGE_PORT_INJECTOR) {
                fr_words_add(words, " instead, injectors in the ports beside the direct ones");
            }
        }
    }
}

/* ---- a row ---- */

static void add_standing(fr_words *words, const fr_page_document *document,
                         const fr_blend_result *blend, const fr_stage_result *stage) {
    char name[FR_BLEND_NAME_MAX];
    fr_blend_name(blend->ethanol, name);
    fr_words_add(words, "%s on %s", fr_verdict_name(stage->verdict), name);
    if (isfinite(stage->first_short_rpm)) {
        fr_words_add(words, " from ");
        fr_show(words, FR_MEASURE_SPEED, document->units, stage->first_short_rpm, FR_DOWN);
    }
}

static void write_needs(FILE *out, const fr_page_document *document, const fr_mended_stage *mended,
                        size_t index, size_t count) {
    fr_words needs, has;
    fr_words_clear(&needs);
    fr_words_clear(&has);
    if (index > 0) {
        fr_words_add(&needs, "or ");
    }
    if (count > 0) {
        fr_advice_needs(document->check, mended, document->units, index, &needs, &has);
    } else {
        fr_advice_mends(&needs, document->check, mended, document->units);
    }
    write_cell(out, &needs, "words", NULL, 1);
    write_cell(out, &has, "words short-words", "now", 1);
}

static void write_mended(FILE *out, const fr_page_document *document,
                         const fr_mended_stage *mended) {
    const fr_check_document *check = document->check;
    const fr_blend_result *blend = &check->result->blends[mended->blend];
    const fr_stage_result *stage = fr_stage_on(blend, mended->stage);
    const fr_size_choice *choice = choice_of(document);
    fr_words words, unused;
    fr_words_clear(&unused);
    const size_t count =
        fr_advice_needs(check, mended, document->units, SIZE_MAX, &unused, &unused);
    const size_t rows = count > 1 ? count : 1;
    fr_words_clear(&words);
    fr_stage_label(&words, mended->stage, check->build);
    fprintf(out, "<tr><th scope=\"rowgroup\" rowspan=\"%zu\">", rows);
    fr_html_text(out, words.text);
    fprintf(out, "</th><td class=\"words short-words %s\" rowspan=\"%zu\">",
            fr_verdict_name(stage->verdict), rows);
    fr_words_clear(&words);
    add_standing(&words, document, blend, stage);
    fr_html_text(out, words.text);
    fputs("</td>", out);
    write_needs(out, document, mended, 0, count);
    if (choice != NULL) {
        fr_words_clear(&words);
        add_parts(&words, choice, mended->stage);
        write_cell(out, &words, "words short-words", "part:", rows);
    }
    fputs("</tr>\n", out);
    for (size_t i = 1; i < rows; i++) {
        fputs("<tr>", out);
        write_needs(out, document, mended, i, count);
        fputs("</tr>\n", out);
    }
}

/* ---- the whole ---- */

static void write_set(FILE *out, const fr_page_document *document) {
    const fr_size_choice *choice = choice_of(document);
    if (choice == NULL) {
        if (document->size != NULL) {
            fr_page_element(out, "p", "No set of the parts on the shelf makes every blend clear.");
        }
        return;
    }
    fr_words words, items;
    fr_words_clear(&words);
    fr_words_clear(&items);
    for (int slot = 0; slot < FR_SLOT_COUNT; slot++) {
        add_item(&items, &choice->items[slot]);
    }
    fr_words_add(&words, "The cheapest set of parts that is clear on every blend: %s; ",
                 items.length > 0 ? items.text : "what the car has");
    fr_words_add(&words, "together %.2f%s%s, fitting included.", choice->price,
                 *document->size->currency != '\0' ? " " : "", document->size->currency);
    fr_page_element(out, "p", words.text);
}

void fr_page_to_do(FILE *out, const fr_page_document *document) {
    const fr_mends *mends = document->check->mends;
    if (mends->stage_count == 0) {
        return;
    }
    fputs("<section><h2>What to do</h2>\n<div class=\"scroll\" tabindex=\"0\" role=\"region\" "
          "aria-label=\"What to do\"><table class=\"stacks\"><thead><tr><th "
          "scope=\"col\">Stage</th><th scope=\"col\" class=\"words\">Short from</th>"
          "<th scope=\"col\" class=\"words\">Needs</th>"
          "<th scope=\"col\" class=\"words\">Has</th>",
          out);
    if (choice_of(document) != NULL) {
        fputs("<th scope=\"col\" class=\"words\">Part</th>", out);
    }
    fputs("</tr></thead><tbody>\n", out);
    for (size_t i = 0; i < mends->stage_count; i++) {
        write_mended(out, document, &mends->stages[i]);
    }
    fputs("</tbody></table></div>\n", out);
    fr_words words;
    fr_words_clear(&words);
    fr_advice_together(&words, document->check, document->units);
    if (words.length > 0) {
        fr_page_element(out, "p", words.text);
    }
    write_set(out, document);
    fputs("</section>\n", out);
}
