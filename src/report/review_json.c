/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "report/json.h"
#include "report/review_document.h"

static const double PERCENT = 100.0;

enum { BLEND_NAME = FR_BLEND_NAME_SIZE };

bool fr_review_is_clear(const fr_review_result *result) {
    if (result->misfits)
        return false;
    if (result->next_count == 0)
        return result->seen_holds;
    return result->next[0].chance_holds >= result->confidence;
}

const char *fr_pull_fate_words(fr_pull_fate fate) {
    static const char *const WORDS[] = {
        [FR_PULL_USED] = "",
        [FR_PULL_ETHANOL_MOVED] = "ethanol moved by more than 3 points, the line was being refilled",
        [FR_PULL_NO_ETHANOL] = "nothing tells what was in the tank",
        [FR_PULL_NOT_LOADED] = "not at full load",
        [FR_PULL_OUTSIDE] = "mostly outside the sheet's pull",
        [FR_PULL_TOO_MANY] = "one pull too many",
    };
    return WORDS[fate];
}

static void write_pull(fr_json *json, const fr_review_pull *pull) {
    fr_json_object(json, NULL);
    fr_json_text(json, "log", pull->log);
    fr_json_count(json, "first_row", pull->first_line);
    fr_json_count(json, "last_row", pull->last_line);
    fr_json_number(json, "ethanol_percent", PERCENT * pull->ethanol);
    fr_json_number(json, "ethanol_moved_points", PERCENT * pull->ethanol_moved);
    fr_json_number(json, "first_rpm", pull->first_rpm);
    fr_json_number(json, "last_rpm", pull->last_rpm);
    if (pull->fate != FR_PULL_USED)
        fr_json_text(json, "why", fr_pull_fate_words(pull->fate));
    fr_json_object_end(json);
}

static void write_pulls(fr_json *json, const fr_review_result *result, const char *key,
                        bool used) {
    fr_json_list(json, key);
    for (size_t i = 0; i < result->pull_count; i++)
        if ((result->pulls[i].fate == FR_PULL_USED) == used)
            write_pull(json, &result->pulls[i]);
    fr_json_list_end(json);
}

/* In per cent, or the channel's usual unit. */
static double shown(const fr_review_channel *channel, double figure) {
    return channel->relative ? PERCENT * figure
                             : fr_in_unit(figure, fr_channel_unit(channel->channel));
}

static void write_channel(fr_json *json, const fr_review_channel *channel) {
    fr_json_object(json, NULL);
    fr_json_text(json, "channel", fr_channel_name(channel->channel));
    fr_json_text(json, "unit", channel->relative ? "%" : fr_channel_unit(channel->channel));
    fr_json_number(json, "mean_residual", shown(channel, channel->mean_residual));
    fr_json_number(json, "rms_residual", shown(channel, channel->rms_residual));
    fr_json_number(json, "uncertainty", shown(channel, channel->uncertainty));
    fr_json_number(json, "learnt_rms_residual", shown(channel, channel->learnt_rms));
    fr_json_number(json, "worst_residual", shown(channel, channel->worst_residual));
    fr_json_number(json, "worst_rpm", channel->worst_rpm);
    fr_json_text(json, "suggests", channel->suggests[0] != '\0' ? channel->suggests : NULL);
    fr_json_object_end(json);
}

static void write_factor(fr_json *json, fr_factor factor, const fr_review_factor *learnt) {
    fr_json_object(json, NULL);
    fr_json_text(json, "factor", fr_factor_name(factor));
    fr_json_number(json, "value", learnt->value);
    fr_json_number(json, "low", learnt->low);
    fr_json_number(json, "high", learnt->high);
    fr_json_bool(json, "told_by_log", learnt->told);
    fr_json_number(json, "at_least", learnt->lower_bound ? learnt->at_least : NAN);
    fr_json_object_end(json);
}

static void write_next(fr_json *json, const fr_review_next *next) {
    char name[BLEND_NAME];
    fr_blend_spell(next->ethanol, name);
    fr_json_object(json, NULL);
    fr_json_text(json, "blend", name);
    fr_json_number(json, "ethanol_percent", PERCENT * next->ethanol);
    fr_json_number(json, "chance_holds", next->chance_holds);
    fr_json_number(json, "chance_holds_se", next->chance_se);
    fr_json_text(json, "verdict", fr_verdict_name(next->verdict));
    fr_json_list(json, "stages");
    for (int stage = 0; stage < FR_STAGE_COUNT; stage++) {
        if (isnan(next->chance_short[stage]))
            continue;
        fr_json_object(json, NULL);
        fr_json_text(json, "stage", fr_stage_name((fr_stage)stage));
        fr_json_number(json, "chance_short", next->chance_short[stage]);
        fr_json_object_end(json);
    }
    fr_json_list_end(json);
    fr_json_number(json, "distance_percent", PERCENT * next->distance);
    fr_json_object_end(json);
}

static void write_step(fr_json *json, const fr_review_step *step) {
    char name[BLEND_NAME];
    const char *unit = fr_channel_unit(step->watch);
    fr_blend_spell(step->ethanol, name);
    fr_json_object(json, NULL);
    fr_json_text(json, "blend", name);
    fr_json_text(json, "watch", fr_channel_name(step->watch));
    fr_json_number(json, "rpm", step->speed_rpm);
    fr_json_number(json, "chance_holds", step->chance_holds);
    fr_json_text(json, "stage", fr_stage_name(step->stage));
    fr_json_text(json, "unit", unit);
    fr_json_number(json, "expected", fr_in_unit(step->expected, unit));
    fr_json_text(json, "lift", step->lift_above ? "above" : "below");
    fr_json_number(json, "lift_at", fr_in_unit(step->lift_at, unit));
    fr_json_bool(json, "logged", step->logged);
    fr_json_object_end(json);
}

static void write_lists(fr_json *json, const fr_review_result *result) {
    fr_json_list(json, "channels");
    for (size_t i = 0; i < result->channel_count; i++)
        write_channel(json, &result->channels[i]);
    fr_json_list_end(json);
    fr_json_list(json, "factors");
    for (int factor = 0; factor < FR_FACTOR_COUNT; factor++)
        if (result->factors[factor].present)
            write_factor(json, (fr_factor)factor, &result->factors[factor]);
    fr_json_list_end(json);
    fr_json_list(json, "next");
    for (size_t i = 0; i < result->next_count; i++)
        write_next(json, &result->next[i]);
    fr_json_list_end(json);
}

void fr_write_review_json(FILE *out, const fr_review_document *document) {
    const fr_review_result *result = document->result;
    fr_json json = fr_json_to(out);
    fr_json_object(&json, NULL);
    fr_json_count(&json, "fuelreach", 1);
    fr_json_text(&json, "sheet", fr_sheet_file(document->sheet));
    fr_json_text(&json, "name", fr_sheet_name(document->sheet));
    fr_json_count(&json, "rows_read", result->rows_read);
    fr_json_count(&json, "rows_used", result->rows_used);
    fr_json_count(&json, "rows_left_out", result->rows_left_out);
    write_pulls(&json, result, "pulls", true);
    write_pulls(&json, result, "set_aside", false);
    write_lists(&json, result);
    fr_json_bool(&json, "log_fits", !result->misfits);
    fr_json_object(&json, "clear_to");
    fr_json_number(&json, "ethanol_percent", PERCENT * result->clear_to_ethanol);
    fr_json_number(&json, "confidence_percent", PERCENT * result->confidence);
    fr_json_object_end(&json);
    fr_json_list(&json, "plan");
    for (size_t i = 0; i < result->step_count; i++)
        write_step(&json, &result->steps[i]);
    fr_json_list_end(&json);
    fr_json_object_end(&json);
    fr_json_line_end(&json);
}
