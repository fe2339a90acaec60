/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the answer turns on: said before the tables, since it says how far to trust them. */
#include <math.h>
#include <string.h>

#include "report/assumed_words.h"
#include "report/document_words.h"
#include "report/prose.h"
#include "report/stage_words.h"
#include "report/text.h"
#include "report/turn_words.h"
#include "report/utf8.h"

enum { QUESTION_COLUMNS = 35, LINE_MAX_BYTES = 512, PASTE_COLUMNS_MAX = 100 };

static double target_on(const fr_check_result *result, double ethanol) {
    for (size_t i = 0; i < result->blend_count; i++)
        if (result->blends[i].ethanol == ethanol)
            return result->blends[i].target_power_w;
    return result->blends[0].target_power_w;
}

void fr_turn_answer(fr_words *words, const fr_check_document *document, const fr_turn *turn,
                    fr_units units) {
    static const char *const verdicts[] = {
        [FR_CLEAR] = "clear", [FR_TIGHT] = "tight", [FR_SHORT] = "SHORT"};
    char name[FR_BLEND_NAME_MAX];
    fr_blend_name(turn->ethanol, name);
    fr_words_add(words, "%s %s", name, verdicts[turn->verdict]);
    if (!isfinite(turn->reach_w)) {
        fr_words_add(words, ", no stage would run out");
        return;
    }
    if (turn->verdict == FR_SHORT)
        fr_words_add(words, ": %s, at ", fr_stage_words_of(turn->stage, document->build)->subject);
    else
        fr_words_add(words, ", runs out at ");
    fr_show_reach(words, document, units, turn->reach_w,
                  target_on(document->result, turn->ethanol));
}

/* The line to paste, behind the section that it stands under. One that writes a whole long parent
 * anew is told by its path instead. */
static void write_paste(const fr_text *text, const fr_turn *turn) {
    const char *paste = turn->paste;
    bool one_line = strchr(paste, '\n') == NULL;
    fr_words words;
    fr_words_clear(&words);
    if (one_line && fr_text_columns(paste) > PASTE_COLUMNS_MAX) {
        fr_words_add(&words, "as %s: %s (the whole line: --detail)", turn->field, turn->instead);
    } else if (one_line) {
        size_t length = fr_paste_section(turn->field, paste);
        if (length > 0)
            fr_words_add(&words, "under %.*s: ", (int)length, turn->field);
        fr_words_add(&words, "%s", paste + strspn(paste, " "));
    } else {
        fr_write_lines(text->out, 6, paste);
        return;
    }
    fr_prose(text->out, 6, 8, words.text);
}

static bool ends_in(const char *text, const char *end) {
    size_t length = strlen(text), end_length = strlen(end);
    return length >= end_length && strcmp(text + length - end_length, end) == 0;
}

void fr_turn_question(fr_words *words, const fr_turn *turn) {
    if (!ends_in(turn->field, ".condition")) {
        fr_words_add(words, "%s", turn->question);
        return;
    }
    const fr_assumed of = {.field = turn->field};
    fr_assumed_owner(words, &of);
    fr_words_add(words, " at %s of its flow?", turn->instead);
}

/* Question at the left, answer at the right; a question too long takes a line of its own. */
static void write_turn(const fr_text *text, const fr_turn *turn) {
    char question[LINE_MAX_BYTES];
    fr_words words;
    fr_words_clear(&words);
    fr_turn_question(&words, turn);
    fr_text_fit(words.text, FR_PAGE_COLUMNS - 2, question, sizeof question);
    size_t columns = fr_text_columns(question);
    bool fits = columns < QUESTION_COLUMNS;
    fprintf(text->out, "  %s%s%*s", question, fits ? "" : "\n  ",
            (int)(fits ? QUESTION_COLUMNS - columns : QUESTION_COLUMNS), "");
    fr_words_clear(&words);
    fr_turn_answer(&words, text->document, turn, text->style.units);
    fr_prose_after(text->out, 2 + QUESTION_COLUMNS, words.text);
    write_paste(text, turn);
}

void fr_text_turns(const fr_text *text) {
    const fr_turns *turns = text->document->turns;
    if (turns == NULL || turns->count == 0)
        return;
    fputs("\nThis answer turns on what the sheet does not say\n", text->out);
    for (size_t i = 0; i < turns->count; i++)
        write_turn(text, &turns->turns[i]);
    fputs("Look at these first; write them into the sheet; ask again.\n", text->out);
}
