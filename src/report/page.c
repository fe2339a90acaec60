/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/page_inside.h"

#include "report/document_words.h"
#include "report/stage_words.h"
#include "report/verdict.h"

void fr_page_element(FILE *out, const char *tag, const char *text) {
    fprintf(out, "<%s>", tag);
    fr_html_text(out, text);
    fprintf(out, "</%s>\n", tag);
}

static const char *title_of(const fr_check_document *check) {
    const char *name = fr_sheet_name(check->sheet);
    return *name != '\0' ? name : fr_sheet_file(check->sheet);
}

/* On paper the first side holds all of it, with smaller figures where there is much to say. */
static const char *paper_class(const fr_page_document *document) {
    enum { ROWS_MANY = 9, ROWS_VERY_MANY = 18, ROWS_A_MEND = 2 };
    const size_t rows =
        document->check->result->blend_count + ROWS_A_MEND * document->check->mends->stage_count;
    return rows > ROWS_VERY_MANY ? " class=\"packed\"" : rows > ROWS_MANY ? " class=\"full\"" : "";
}

void fr_page_head(FILE *out, const fr_page_document *document) {
    const fr_check_document *check = document->check;
    fr_words words;
    fputs("<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">"
          "<meta name=\"viewport\" content=\"width=device-width,initial-scale=1\">"
          "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
          "style-src 'unsafe-inline'\">\n<title>",
          out);
    fr_html_text(out, title_of(check));
    fputs(" - fuel supply check</title>\n<style>", out);
    for (size_t i = 0; fr_page_css[i] != NULL; i++) {
        fputs(fr_page_css[i], out);
    }
    fr_chart_write_css(out);
    fputs("</style></head>\n", out);
    fprintf(out, "<body%s>\n<header>\n", paper_class(document));
    fr_page_element(out, "h1", title_of(check));
    fr_words_clear(&words);
    fr_words_add(&words, "Asked: ");
    fr_show_target(&words, check, document->units, true);
    fr_page_element(out, "p", words.text);
    fr_words_clear(&words);
    fr_engine_line(&words, check->build, document->units);
    fputs("<p class=\"soft\">", out);
    fr_html_text(out, words.text);
    fputs("</p>\n</header>\n<main>\n", out);
}

void fr_page_verdict(FILE *out, const fr_page_document *document) {
    static const char *const WORDS[] = {
        [FR_CLEAR] = "HOLDS", [FR_TIGHT] = "TIGHT", [FR_SHORT] = "RUNS SHORT"};
    const fr_check_document *check = document->check;
    const fr_verdict verdict = check->result->verdict;
    fr_words words;
    fprintf(out, "<section class=\"verdict %s\" aria-label=\"Verdict\">\n<p><b class=\"%s\">%s</b>",
            fr_verdict_name(verdict), fr_verdict_name(verdict), WORDS[verdict]);
    fr_words_clear(&words);
    fr_verdict_rest(&words, check);
    fr_html_text(out, words.text);
    fputs("</p>\n", out);
    fr_words_clear(&words);
    fr_reach_sentence(&words, check, document->units);
    fr_page_element(out, "p", words.text);
    fr_words_clear(&words);
    fr_rests_on_sentence(&words, check);
    if (words.length > 0) {
        fputs("<p><a href=\"#assumed\">", out);
        fr_html_text(out, words.text);
        fputs("</a></p>\n", out);
    }
    fputs("</section>\n", out);
}

void fr_write_page(FILE *out, const fr_page_document *document) {
    fr_page_head(out, document);
    fr_page_verdict(out, document);
    fr_page_to_do(out, document);
    fr_page_blends(out, document);
    fr_page_figures(out, document);
    fr_page_log(out, document);
    fr_page_assumed(out, document);
    fr_page_cautions(out, document);
    fr_page_folded(out, document);
    fputs("</main>\n<footer><p>Made by fuelreach, free software under the GNU General Public "
          "License, version 3 or later. It checks fuel supply only and promises nothing: local "
          "codes and licensed practice come first.</p></footer>\n</body></html>\n",
          out);
}
