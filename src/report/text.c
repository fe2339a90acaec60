/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The text report on a check: its frame. */
#include "report/text.h"

#include <string.h>

#include "report/document_words.h"
#include "report/prose.h"
#include "report/stage_words.h"
#include "report/utf8.h"

enum { NAME_BYTES_MAX = 1024 };

/* The build's name at the left, the file at the right; a long name takes a line of its own. */
static void write_title(const fr_text *text) {
    const char *given = fr_sheet_name(text->document->sheet);
    char file[NAME_BYTES_MAX], name[NAME_BYTES_MAX];
    const char *path = fr_sheet_file(text->document->sheet);
    fr_text_fit(strcmp(path, "-") == 0 ? "standard input" : path, FR_PAGE_COLUMNS, file,
                sizeof file);
    fr_text_fit(given[0] == '\0' ? "A build without a name" : given, FR_PAGE_COLUMNS, name,
                sizeof name);
    size_t columns = fr_text_columns(name) + fr_text_columns(file);
    bool beside = columns + 2 <= FR_PAGE_COLUMNS;
    fprintf(text->out, "%s%s%s%s%*s%s\n", fr_colour_on(text->style.colour, FR_STRONG), name,
            fr_colour_off(text->style.colour, FR_STRONG), beside ? "" : "\n",
            beside ? (int)(FR_PAGE_COLUMNS - columns) : 0, "", file);
}

static void write_asked(const fr_text *text) {
    const fr_blend_result *blend = &text->document->result->blends[0];
    fr_words words;
    fr_words_clear(&words);
    fr_words_add(&words, "Asked: ");
    fr_show_target(&words, text->document, text->style.units, true);
    if (blend->point_count > 0)
        fr_words_add(&words, ", %.0f-%.0f rpm", blend->points[0].speed_rpm,
                     blend->points[blend->point_count - 1].speed_rpm);
    fr_prose(text->out, 0, 2, words.text);
}

static void write_header(const fr_text *text) {
    fr_words words;
    write_title(text);
    fr_words_clear(&words);
    fr_engine_line(&words, text->document->build, text->style.units);
    fr_prose(text->out, 0, 2, words.text);
    write_asked(text);
}

void fr_write_check_text(FILE *out, const fr_check_document *document, const fr_text_style *style) {
    const fr_text text = {out, document, *style};
    write_header(&text);
    if (document->result->blend_count == 0)
        return;
    fr_text_verdict(&text);
    fr_text_turns(&text);
    fr_text_grid(&text);
    fr_text_blends(&text);
    fr_text_advice(&text);
    fr_text_assumed(&text);
    fr_text_cautions(&text);
    if (style->detail)
        fr_text_detail(&text);
}
