/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sizing as it is read at a counter: what is needed, what to buy, what it comes to, what would be
 * cheaper, what is weakest then. */
#include <math.h>
#include <string.h>

#include "fuelreach/supply.h"
#include "report/advice.h"
#include "report/document_words.h"
#include "report/format.h"
#include "report/prose.h"
#include "report/size_document.h"
#include "report/stage_words.h"
#include "report/text.h"
#include "report/utf8.h"

enum { NAME_COLUMNS = 46, PRICE_COLUMNS = 12 };

typedef struct size_view {
    FILE *out;
    const fr_size_document *document;
    const fr_text_style *style;
} size_view;

static const char *const SLOT_WORDS[FR_SLOT_COUNT] = {
    [FR_SLOT_LIFT_PUMP] = "Lift pump",
    [FR_SLOT_WIRING] = "Pump wiring",
    [FR_SLOT_FILTER] = "Filter",
    [FR_SLOT_LINE] = "Feed line",
    [FR_SLOT_PORT_INJECTOR] = "Port injectors",
    [FR_SLOT_DIRECT_INJECTOR] = "Direct injectors",
    [FR_SLOT_HIGH_PRESSURE_PUMP] = "High-pressure pump",
};

static void add_price(fr_words *words, const size_view *view, double price) {
    fr_words_add(words, price == floor(price) ? "%.0f" : "%.2f", price);
    if (*view->document->currency != '\0') {
        fr_words_add(words, " %s", view->document->currency);
    }
}

static void add_power(fr_words *words, const size_view *view, double power_w) {
    const fr_check_document *check = view->document->check;
    fr_show(words, FR_MEASURE_POWER, view->style->units, power_w, FR_DOWN);
    if (check->build->engine.at_wheels) {
        fr_words_add(words, " at the wheels");
    }
}

/* ---- head ---- */

static void write_head(const size_view *view) {
    const fr_check_document *check = view->document->check;
    fr_words words;
    char name[FR_WORDS_MAX];
    fr_text_clean(fr_sheet_name(check->sheet), name, sizeof name);
    fprintf(view->out, "%s\n", *name != '\0' ? name : fr_sheet_file(check->sheet));
    fr_words_clear(&words);
    fr_words_add(&words, "Asked: ");
    fr_show_target(&words, check, view->style->units, true);
    fr_words_add(&words, " on ");
    bool all[FR_BLENDS_MAX];
    for (size_t i = 0; i < check->build->blend_count; i++) {
        all[i] = true;
    }
    fr_blend_list(&words, check->build->blends, all, check->build->blend_count);
    if (!isnan(view->document->confidence)) {
        fr_words_add(&words, ", with a chance of %.3g %%", 100.0 * view->document->confidence);
    }
    fr_prose(view->out, 0, 7, words.text);
    fputs("\n", view->out);
}

static void write_verdict(const size_view *view) {
    const fr_size_result *result = view->document->result;
    const bool sure = !isnan(view->document->confidence);
    fr_words words;
    fr_words_clear(&words);
    if (result->holds) {
        fr_words_add(&words, sure ? "HOLDS AS IT IS, with that chance: nothing need be bought."
                                  : "CLEAR AS IT IS: nothing need be bought.");
    } else if (result->choice_count > 0) {
        fr_words_add(&words, "NEEDS PARTS for ");
        add_price(&words, view, result->choices[0].price);
        fr_words_add(&words, ".");
    } else {
        fr_words_add(&words, isfinite(view->document->request->budget)
                                 ? "NOT FOR THIS MONEY: no set within the budget does it."
                                 : "NO SET OF THESE PARTS does it.");
    }
    fr_prose(view->out, 0, 0, words.text);
}

/* ---- needs ---- */

/* The gauge that a resistance asks for, over the usual run; odd gauges are not sold. */
static void add_gauge(fr_words *words, double ohm) {
    static const double RUN_M = 4.5, CONTACTS_OHM = 0.010, TEMPERATURE_C = 40.0;
    for (int gauge = 18; gauge >= 0; gauge -= 2) {
        const double wire = fr_wire_resistance(fr_awg_area(gauge), RUN_M, TEMPERATURE_C);
        if (wire + CONTACTS_OHM <= ohm) {
            fr_words_add(words, " Wire of %d AWG gives that over %.1f m with good contacts.", gauge,
                         RUN_M);
            return;
        }
    }
}

/* What port injectors would have to carry on a direct-only engine, on the blend that asks most. */
static void write_port_share(const size_view *view) {
    const fr_size_document *document = view->document;
    const fr_size_need *most = NULL;
    for (size_t i = 0; i < document->need_count; i++) {
        const fr_size_need *need = &document->needs[i];
        if (need->mend.lever == FR_LEVER_DIRECT_SHARE && !document->check->build->port.present &&
            (most == NULL || need->mend.needs < most->mend.needs)) {
            most = need;
        }
    }
    if (most != NULL) {
        fr_words words;
        char name[FR_BLEND_NAME_MAX];
        fr_blend_name(most->ethanol, name);
        fr_words_clear(&words);
        fr_words_add(&words, "Or port injectors beside the direct ones, to carry at least ");
        fr_show(&words, FR_MEASURE_PERCENT, view->style->units, 1.0 - most->mend.needs, FR_UP);
        fr_words_add(&words, " of the fuel on %s.", name);
        fr_prose(view->out, 2, 4, words.text);
    }
}

static void write_needs(const size_view *view) {
    const fr_check_document *check = view->document->check;
    const fr_mends *mends = check->mends;
    if (mends->stage_count == 0) {
        return;
    }
    fputs("\nWhat is needed, whatever the parts\n", view->out);
    for (size_t i = 0; i < mends->stage_count; i++) {
        const fr_mended_stage *mended = &mends->stages[i];
        fr_words words;
        fr_words_clear(&words);
        fr_stage_label(&words, mended->stage, check->build);
        fr_words_add(&words, ": ");
        fr_advice_mends(&words, check, mended, view->style->units);
        for (size_t m = 0; m < mended->mend_count; m++) {
            if (mended->mends[m].lever == FR_LEVER_WIRING) {
                add_gauge(&words, mended->mends[m].needs);
            }
        }
        fr_prose(view->out, 2, 4, words.text);
    }
    fr_words together;
    fr_words_clear(&together);
    fr_advice_together(&together, check, view->style->units);
    fr_prose(view->out, 2, 4, together.text);
    write_port_share(view);
}

/* ---- a set ---- */

static double price_of_item(const size_view *view, const fr_size_choice *choice, int slot) {
    if (slot != FR_SLOT_WIRING) {
        return choice->items[slot].price;
    }
    double others = 0.0; /* what wiring costs follows the number of pumps */
    for (int i = 0; i < FR_SLOT_COUNT; i++) {
        others += i == FR_SLOT_WIRING ? 0.0 : choice->items[i].price;
    }
    (void)view;
    return choice->price - others;
}

static void write_price_line(const size_view *view, const char *what, double price) {
    fr_words words;
    char shown[FR_WORDS_MAX];
    fr_words_clear(&words);
    add_price(&words, view, price);
    fr_text_clean(what, shown, sizeof shown);
    const size_t columns = fr_text_columns(shown);
    fprintf(view->out, "  %s%*s%*s\n", shown,
            columns < NAME_COLUMNS ? (int)(NAME_COLUMNS - columns) : 1, "", PRICE_COLUMNS,
            words.text);
}

static void add_item(fr_words *words, const fr_size_item *item, int slot) {
    fr_words_add(words, "%s", SLOT_WORDS[slot]);
    fr_words_add(words, ": ");
    if (item->part == NULL) {
        fr_words_add(words, "one more set of the car's");
        return;
    }
    if (item->count > 1) {
        fr_words_add(words, "%u x ", item->count);
    }
    fr_words_add(words, "%s", item->part->name);
    if (slot == FR_SLOT_LIFT_PUMP && item->count > 1) {
        fr_words_add(words, item->series ? ", in series" : ", in parallel");
    }
}

static void write_set(const size_view *view, const fr_size_choice *choice) {
    const fr_build *build = view->document->check->build;
    for (int slot = 0; slot < FR_SLOT_COUNT; slot++) {
        const fr_size_item *item = &choice->items[slot];
        const double price = price_of_item(view, choice, slot);
        if (item->part == NULL && !(price > 0.0)) {
            continue;
        }
        fr_words words;
        fr_words_clear(&words);
        add_item(&words, item, slot);
        write_price_line(view, words.text, price);
        if (choice->mends[slot]) {
            fprintf(view->out, "      mends %s\n",
                    fr_stage_words_of(choice->mended[slot], build)->subject);
        }
    }
    write_price_line(view, "Together, fitting included", choice->price);
}

static void write_after(const size_view *view, const fr_size_choice *choice) {
    const fr_build *build = view->document->check->build;
    fr_words words;
    char name[FR_BLEND_NAME_MAX];
    fr_words_clear(&words);
    fr_words_add(&words, "It is then clear to ");
    add_power(&words, view, choice->clear_to_w);
    fr_words_add(&words, " and carries ");
    add_power(&words, view, choice->reach_w);
    if (!isnan(choice->weakest_ethanol)) {
        fr_blend_name(choice->weakest_ethanol, name);
        fr_words_add(&words, "; the weakest stage is then %s, on %s",
                     fr_stage_words_of(choice->weakest, build)->subject, name);
    }
    fr_words_add(&words, ".");
    if (choice->marks.return_overrun) {
        fr_words_add(&words, " Mark: at idle its return line holds the rail above set pressure.");
    }
    if (choice->marks.beyond_curve) {
        fr_words_add(&words, " Mark: the pump works beyond its published curve.");
    }
    fr_prose(view->out, 2, 2, words.text);
}

/* ---- the sections ---- */

/* The parts of a set on one line: "2 x lift-340 in parallel, hose-10"; of one that meets the goal, which of
 * them could be left out. */
static void add_parts(fr_words *words, const fr_size_choice *choice, bool meets_goal) {
    size_t shown = 0;
    for (int slot = 0; slot < FR_SLOT_COUNT; slot++) {
        const fr_size_item *item = &choice->items[slot];
        if (item->part == NULL) {
            continue;
        }
        fr_words_add(words, "%s", shown++ > 0 ? ", " : "");
        if (item->count > 1) {
            fr_words_add(words, "%u x ", item->count);
        }
        fr_words_add(words, "%s", item->part->name);
        if (slot == FR_SLOT_LIFT_PUMP && item->count > 1) {
            fr_words_add(words, item->series ? " in series" : " in parallel");
        }
        if (meets_goal && !choice->mends[slot]) {
            fr_words_add(words, " (not needed)");
        }
    }
    if (shown == 0) {
        fr_words_add(words, "as it is");
    }
}

static void write_line_of_set(const size_view *view, const fr_size_choice *choice,
                              bool meets_goal) {
    fr_words words;
    fr_words_clear(&words);
    add_price(&words, view, choice->price);
    fr_words_add(&words, ", carries ");
    add_power(&words, view, choice->reach_w);
    fr_words_add(&words, ": ");
    add_parts(&words, choice, meets_goal);
    fr_prose(view->out, 2, 6, words.text);
}

static void write_choices(const size_view *view) {
    const fr_size_result *result = view->document->result;
    if (result->choice_count == 0 || result->choices[0].price <= 0.0) {
        return;
    }
    fputs("\nThe cheapest set that does it\n", view->out);
    write_set(view, &result->choices[0]);
    write_after(view, &result->choices[0]);
    if (result->choice_count > 1) {
        fputs("\nThe next best\n", view->out);
        for (size_t i = 1; i < result->choice_count; i++) {
            write_line_of_set(view, &result->choices[i], true);
        }
    }
}

static void write_compromise(const size_view *view) {
    const fr_size_result *result = view->document->result;
    const double asked =
        fr_curve_least(&view->document->check->build->engine.target_power_w);
    if (!result->has_compromise) {
        return;
    }
    const fr_size_choice *choice = &result->compromise;
    fr_words words;
    fr_words_clear(&words);
    add_price(&words, view, choice->price);
    fr_words_add(&words, " carries ");
    add_power(&words, view, choice->reach_w);
    if (choice->reach_w < asked) {
        fr_words_add(&words, ", ");
        fr_show(&words, FR_MEASURE_POWER, view->style->units, asked - choice->reach_w, FR_UP);
        fr_words_add(&words, " less than asked");
    } else {
        fr_words_add(&words, ", but with stages over their limit");
    }
    fr_words_add(&words, ": ");
    add_parts(&words, choice, false);
    fr_words_add(&words, ".");
    fputs("\nThe cheaper compromise\n", view->out);
    fr_prose(view->out, 2, 6, words.text);
}

static void write_best(const size_view *view) {
    const fr_size_result *result = view->document->result;
    if (!result->has_best) {
        return;
    }
    fputs(isfinite(view->document->request->budget) ? "\nThe most power for the money\n"
                                                    : "\nHow far the best set gets\n",
          view->out);
    write_set(view, &result->best);
    write_after(view, &result->best);
}

static void write_front(const size_view *view) {
    const fr_size_result *result = view->document->result;
    if (!view->document->front) {
        return;
    }
    fputs("\nPower against price: the least money for each step\n", view->out);
    for (size_t i = 0; i < result->front_count; i++) {
        write_line_of_set(view, &result->front[i], false);
    }
    if (!result->front_whole) {
        fputs("  There are more steps beyond.\n", view->out);
    }
}

static void write_unmendable(const size_view *view) {
    const fr_size_result *result = view->document->result;
    for (size_t i = 0; i < result->unmendable_count; i++) {
        const fr_size_unmendable *at = &result->unmendable[i];
        fr_words words;
        char name[FR_BLEND_NAME_MAX];
        fr_blend_name(at->ethanol, name);
        fr_words_clear(&words);
        fr_words_add(&words, "With the best of every part %s is still at %.0f %% on %s.",
                     fr_stage_words_of(at->stage, view->document->check->build)->subject,
                     fr_use_percent(at->best_use), name);
        if (i == 0) {
            fputs("\nWhat no part here mends\n", view->out);
        }
        fr_prose(view->out, 2, 4, words.text);
    }
}

static void write_refused(const size_view *view) {
    const fr_size_result *result = view->document->result;
    if (result->refused_count == 0) {
        return;
    }
    fr_words words;
    fr_words_clear(&words);
    fr_words_add(&words, "Not offered, too large to idle well: ");
    for (size_t i = 0; i < result->refused_count; i++) {
        fr_words_add(&words, "%s%s (open ", i > 0 ? ", " : "", result->refused[i].part->name);
        fr_show(&words, FR_MEASURE_TIME, view->style->units, result->refused[i].open_s, FR_DOWN);
        fr_words_add(&words, ")");
    }
    fr_words_add(&words, "; an injector should be open ");
    fr_show(&words, FR_MEASURE_TIME, view->style->units, result->refused[0].least_s, FR_NEAREST);
    fr_words_add(&words, " at idle.");
    fputs("\n", view->out);
    fr_prose(view->out, 0, 2, words.text);
}

/* "4746", "29 million". */
static void add_count(fr_words *words, double count) {
    static const struct {
        double least;
        const char *word;
    } large[] = {{1e12, "trillion"}, {1e9, "billion"}, {1e6, "million"}};
    for (size_t i = 0; i < sizeof large / sizeof large[0]; i++) {
        if (count >= large[i].least) {
            fr_words_add(words, "%.3g %s", count / large[i].least, large[i].word);
            return;
        }
    }
    fr_words_add(words, "%.0f", count);
}

static void write_count(const size_view *view) {
    const fr_size_result *result = view->document->result;
    fr_words words;
    fr_words_clear(&words);
    fr_words_add(&words, "Of ");
    add_count(&words, result->combinations);
    fr_words_add(&words, " sets that could be put together, ");
    add_count(&words, result->evaluated);
    fr_words_add(&words, " were looked at, whole or in part; %s.",
                 result->proven ? "the others cannot be cheaper or cannot do it (proven)"
                                : "the search was ended before it was through");
    fputs("\n", view->out);
    fr_prose(view->out, 0, 2, words.text);
}

void fr_write_size_text(FILE *out, const fr_size_document *document, const fr_text_style *style) {
    const size_view view = {out, document, style};
    const fr_text text = {.out = out, .document = document->check, .style = *style};
    write_head(&view);
    write_verdict(&view);
    write_needs(&view);
    write_choices(&view);
    write_compromise(&view);
    write_best(&view);
    write_front(&view);
    write_unmendable(&view);
    write_refused(&view);
    write_count(&view);
    fr_text_cautions(&text);
}
