/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "report/format.h"
#include "report/prose.h"
#include "report/review_document.h"
#include "report/review_words.h"
#include "report/stage_words.h"
#include "report/utf8.h"

static const double PERCENT = 100.0;
static const double WIDENED = 2.0; /* worth a word from here on */

typedef struct page {
    FILE *out;
    const fr_review_document *document;
    const fr_review_result *result;
    const fr_build *build;
    fr_units units;
    bool colour;
} page;

static void blend_name(double ethanol, char name[FR_BLEND_NAME_MAX]) {
    fr_blend_name_down(ethanol, name);
}

static void heading(const page *on, const char *text) {
    fprintf(on->out, "\n%s\n", text);
}

/* A chance for people: never 100 % and never nothing unless no draw said otherwise. */
static void add_chance(fr_words *words, double chance) {
    if (chance > 0.995 && chance < 1.0)
        fr_words_add(words, "over 99 %%");
    else if (chance > 0.0 && chance < 0.005)
        fr_words_add(words, "under 1 %%");
    else
        fr_words_add(words, "%.0f %%", floor(PERCENT * chance + 1e-9));
}

/* Fills up to a column, at least one blank. */
static void pad_to(FILE *out, size_t used, size_t column) {
    fprintf(out, "%*s", used < column ? (int)(column - used) : 1, "");
}

/* ---- head and verdict ---- */

static void write_head(const page *on) {
    const fr_review_result *result = on->result;
    fr_words words;
    char name[FR_PAGE_COLUMNS * FR_UTF8_BYTES_MAX];
    fr_text_fit(fr_sheet_name(on->document->sheet), FR_PAGE_COLUMNS, name, sizeof name);
    if (name[0] != '\0')
        fprintf(on->out, "%s\n", name);
    fr_words_clear(&words);
    fr_words_add(&words, "%zu pull%s in %zu log%s", result->pulls_used,
                 result->pulls_used == 1 ? "" : "s", on->document->log_count,
                 on->document->log_count == 1 ? "" : "s");
    fr_words_add(&words, ", E%.0f", PERCENT * result->least_ethanol_seen);
    if (result->most_ethanol_seen - result->least_ethanol_seen > 0.005)
        fr_words_add(&words, " to E%.0f", PERCENT * result->most_ethanol_seen);
    fr_words_add(&words, "; %zu of %zu rows used, %zu left out as bad.", result->rows_used,
                 result->rows_read, result->rows_left_out);
    fr_prose(on->out, 0, 2, words.text);
}

static void add_next(const page *on, fr_words *words, const fr_review_next *next) {
    char name[FR_BLEND_NAME_MAX];
    fr_blend_name(next->ethanol, name);
    const bool clear = next->chance_holds >= on->result->confidence;
    fr_words_add(words, "%s for %s: it holds with ", clear ? "CLEAR" : "NOT CLEAR", name);
    add_chance(words, next->chance_holds);
    if (!clear && next->has_weakest)
        fr_words_add(words, "; %s would end it first",
                     fr_stage_words_of(next->weakest, on->build)->subject);
    fr_words_add(words, ".");
}

static void add_clear_to(const page *on, fr_words *words) {
    const fr_review_result *result = on->result;
    char name[FR_BLEND_NAME_MAX];
    if (isnan(result->clear_to_ethanol)) {
        fr_words_add(words, " No blend holds with %.0f %%.", PERCENT * result->confidence);
        return;
    }
    blend_name(result->clear_to_ethanol, name);
    fr_words_add(words, " With %.0f %% it holds up to %s.", PERCENT * result->confidence, name);
}

/* Even with what was learnt the log is another car's, or the sheet is. */
static void add_misfit(const page *on, fr_words *words) {
    const fr_channel channel = on->result->misfit_channel;
    fr_words_add(words, "NOT CLEAR: the log does not fit the sheet; %s still differs by ",
                 fr_channel_subject(channel));
    for (size_t i = 0; i < on->result->channel_count; i++)
        if (on->result->channels[i].channel == channel) {
            if (on->result->channels[i].relative)
                fr_words_add(words, "%.0f %%", PERCENT * on->result->misfit);
            else
                fr_show_channel(words, channel, on->units, on->result->misfit, true);
        }
    fr_words_add(words, " with all that was learnt. Find out why first. Were it right: ");
}

static void write_verdict(const page *on) {
    const fr_review_result *result = on->result;
    fr_words words;
    fr_words_clear(&words);
    if (result->misfits)
        add_misfit(on, &words);
    if (!result->seen_holds) {
        char name[FR_BLEND_NAME_MAX];
        blend_name(result->most_ethanol_seen, name);
        fr_words_add(&words, "STOP: %s, which was driven, does not hold with %.0f %%. ", name,
                     PERCENT * result->confidence);
    }
    if (result->next_count > 0)
        add_next(on, &words, &result->next[0]);
    else if (result->seen_holds)
        fr_words_add(&words, "CLEAR: no later blend was asked; what was driven holds.");
    add_clear_to(on, &words);
    fputc('\n', on->out);
    fr_prose_led(on->out, 0, 0, words.text, strcspn(words.text, ":") + 1, on->colour,
                 fr_review_is_clear(result) ? FR_GOOD : FR_BAD);
}

/* ---- pulls ---- */

static void write_pulls(const page *on) {
    heading(on, "Pulls");
    for (size_t i = 0; i < on->result->pull_count; i++) {
        const fr_review_pull *pull = &on->result->pulls[i];
        fr_words words;
        fr_words_clear(&words);
        fr_words_add(&words, "%s, lines %zu-%zu: ", pull->log, pull->first_line, pull->last_line);
        if (!isnan(pull->ethanol))
            fr_words_add(&words, "E%.0f, ", PERCENT * pull->ethanol);
        fr_words_add(&words, "%.0f-%.0f rpm", pull->first_rpm, pull->last_rpm);
        if (pull->fate != FR_PULL_USED)
            fr_words_add(&words, "; SET ASIDE: %s", fr_pull_fate_words(pull->fate));
        else if (pull->load_on_trust)
            fr_words_add(&words, "; full load taken on trust, the log does not tell");
        fr_prose(on->out, 2, 4, words.text);
    }
}

/* ---- measured against the sheet ---- */

static void add_difference(const page *on, fr_words *words, const fr_review_channel *channel,
                           double figure, const char *sign) {
    fr_words_add(words, "%s", sign);
    if (channel->relative)
        fr_words_add(words, "%.1f %%", PERCENT * figure);
    else
        fr_show_channel(words, channel->channel, on->units, figure, true);
}

static void write_cell(const page *on, const fr_review_channel *channel, double figure,
                       const char *sign, size_t columns) {
    fr_words words;
    fr_words_clear(&words);
    add_difference(on, &words, channel, figure, sign);
    const size_t wide = fr_text_columns(words.text);
    pad_to(on->out, 0, wide < columns ? columns - wide : 1);
    fputs(words.text, on->out);
}

static void write_channel(const page *on, const fr_review_channel *channel) {
    const char *sign = channel->mean_residual > 0.0 ? "+" : channel->mean_residual < 0.0 ? "-" : "";
    fprintf(on->out, "  %-20s", fr_channel_label(channel->channel));
    write_cell(on, channel, fabs(channel->mean_residual), sign, 12);
    write_cell(on, channel, channel->uncertainty, "± ", 13);
    if (channel->fitted)
        write_cell(on, channel, channel->learnt_rms, "", 13);
    else
        fprintf(on->out, "%13s", "-");
    fputs(channel->parts ? "  parts\n" : "\n", on->out);
    if (channel->suggests[0] != '\0')
        fr_prose(on->out, 6, 6, channel->suggests);
}

static void write_channels(const page *on) {
    heading(on, "Measured against the sheet");
    fputs("                              mean   both unsure  rms, learnt\n", on->out);
    for (size_t i = 0; i < on->result->channel_count; i++)
        write_channel(on, &on->result->channels[i]);
    fr_prose(on->out, 2, 2,
             "mean: measured less predicted. both unsure: what sheet and sensors leave open, 95 %. "
             "rms, learnt: what is left with the factors below.");
}

/* ---- what was learnt ---- */

static void write_factor(const page *on, fr_factor factor, const fr_review_factor *learnt) {
    fr_words words;
    fr_words_clear(&words);
    fprintf(on->out, "  %-20s %6.1f %%   %5.1f to %.1f %%", fr_factor_label(factor),
            PERCENT * learnt->value, PERCENT * learnt->low, PERCENT * learnt->high);
    if (learnt->told)
        fr_words_add(&words, "told by the log");
    else if (learnt->lower_bound)
        fr_words_add(&words, "held: at least %.0f %%", floor(PERCENT * learnt->at_least));
    else
        fr_words_add(&words, "not told by the log");
    fprintf(on->out, "   %s\n", words.text);
}

static void write_factors(const page *on) {
    fr_words words;
    heading(on, "Learnt: what multiplies the sheet, with 95 %");
    for (int factor = 0; factor < FR_FACTOR_COUNT; factor++)
        if (on->result->factors[factor].present)
            write_factor(on, (fr_factor)factor, &on->result->factors[factor]);
    fr_words_clear(&words);
    if (!on->result->power_logged)
        fr_words_add(&words, "No power in the log: BSFC stands for fuel over the target%s. ",
                     on->result->manifold_logged ? ", scaled by manifold pressure" : "");
    if (on->result->fit_scale > WIDENED)
        fr_words_add(&words, "What is left is %.0f times the log's noise: the intervals were "
                             "widened so much. ", on->result->fit_scale);
    if (words.length > 0)
        fr_prose(on->out, 2, 2, words.text);
}

/* ---- what comes next ---- */

static void write_next(const page *on) {
    if (on->result->next_count == 0)
        return;
    heading(on, "Later blends at the target");
    fputs("              holds  verdict   first to end it       beyond what was seen\n", on->out);
    for (size_t i = 0; i < on->result->next_count; i++) {
        const fr_review_next *next = &on->result->next[i];
        char name[FR_BLEND_NAME_MAX];
        fr_words words;
        fr_blend_name(next->ethanol, name);
        fr_words_clear(&words);
        add_chance(&words, next->chance_holds);
        fprintf(on->out, "  %-6s %11s  %-8s  %-20s  ", name, words.text,
                fr_verdict_name(next->verdict),
                next->has_weakest ? fr_stage_words_of(next->weakest, on->build)->short_name : "-");
        if (next->distance > 0.0)
            fprintf(on->out, "%.0f points\n", PERCENT * next->distance);
        else
            fputs("within\n", on->out);
    }
}

static void write_step(const page *on, size_t number, const fr_review_step *step) {
    char name[FR_BLEND_NAME_MAX];
    fr_words words;
    fr_blend_name(step->ethanol, name);
    fr_words_clear(&words);
    fr_words_add(&words, "%zu. %s, which holds with ", number, name);
    add_chance(&words, step->chance_holds);
    fr_words_add(&words, ". Watch %s at %.0f rpm: ", fr_channel_subject(step->watch),
                 step->speed_rpm);
    fr_show_channel(&words, step->watch, on->units, step->expected, false);
    fr_words_add(&words, " is expected; lift %s ", step->lift_above ? "above" : "below");
    fr_show_channel(&words, step->watch, on->units, step->lift_at, false);
    fr_words_add(&words, ".%s", step->logged ? "" : " Log it: this log does not.");
    fr_prose(on->out, 2, 5, words.text);
}

static void write_plan(const page *on) {
    heading(on, "The next steps");
    for (size_t i = 0; i < on->result->step_count; i++)
        write_step(on, i + 1, &on->result->steps[i]);
    if (on->result->step_count > 0)
        fr_prose(on->out, 2, 2, "One step at a time: log it, review it, then the next.");
    else if (on->result->next_count > 0)
        fr_prose(on->out, 2, 2, "None from here: mend what would end it, or ask for less power.");
    else
        fr_prose(on->out, 2, 2, "No later blend in the sheet; ask for one with --next.");
}

static void write_cautions(const page *on) {
    heading(on, "Cautions");
    fr_prose(on->out, 2, 4, "Lift at once when lambda goes lean or pressure falls, whatever stands "
                            "here. A log shows one day, one tank, one temperature.");
    fr_prose(on->out, 2, 4, "This looks at fuel supply only. It says nothing of knock, boost or the "
                            "engine.");
}

void fr_write_review_text(FILE *out, const fr_review_document *document,
                          const fr_text_style *style) {
    const page on = {out, document, document->result, fr_sheet_build(document->sheet),
                     style->units, style->colour};
    write_head(&on);
    write_verdict(&on);
    write_pulls(&on);
    write_channels(&on);
    write_factors(&on);
    write_next(&on);
    write_plan(&on);
    write_cautions(&on);
}
