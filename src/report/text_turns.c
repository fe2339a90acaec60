/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the answer turns on: said before the tables, since it says how far to trust them. */
#include <math.h>
#include <string.h>

#include "report/document_words.h"
#include "report/prose.h"
#include "report/stage_words.h"
#include "report/text.h"
#include "report/turn_words.h"
#include "report/utf8.h"

enum { QUESTION_COLUMNS = 36, LINE_MAX_BYTES = 512 };

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

/* The line to paste: behind the section that it stands under, or as it is where it brings its
 * section along. */
static void write_paste(const fr_text *text, const fr_turn *turn) {
    const char *paste = turn->paste;
    bool under = paste[0] == ' ' && strchr(paste, '\n') == NULL;
    if (under) {
        fr_words words;
        size_t length = strcspn(turn->field, ".");
        fr_words_clear(&words);
        fr_words_add(&words, "under %.*s: %s", (int)length, turn->field,
                     paste + strspn(paste, " "));
        fr_prose(text->out, 6, 8, words.text);
    } else {
        fr_write_lines(text->out, 6, paste);
    }
}

void fr_text_turns(const fr_text *text) {
    const fr_turns *turns = text->document->turns;
    if (turns == NULL || turns->count == 0)
        return;
    fputs("\nThis answer turns on what the sheet does not say\n", text->out);
    for (size_t i = 0; i < turns->count; i++) {
        const fr_turn *turn = &turns->turns[i];
        fr_words words;
        fr_words_clear(&words);
        fr_words_add(&words, "%s", turn->question);
        size_t columns = fr_text_columns(turn->question);
        fr_words_add(&words, "%*s",
                     columns < QUESTION_COLUMNS ? (int)(QUESTION_COLUMNS - columns) : 1, "");
        char question[LINE_MAX_BYTES];
        fr_text_clean(words.text, question, sizeof question);
        fr_words_clear(&words);
        fr_turn_answer(&words, text->document, turn, text->style.units);
        fprintf(text->out, "  %s%s\n", question, words.text);
        write_paste(text, turn);
    }
    fputs("Look at these first; write them into the sheet; ask again.\n", text->out);
}
