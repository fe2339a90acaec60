/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The check for programs, as docs/results.md says. */
#include <math.h>

#include "fuelreach/document.h"
#include "report/advice.h"
#include "report/caution_words.h"
#include "report/format.h"
#include "report/json.h"
#include "report/point_figures.h"

/* Version of the format of results. */
enum { RESULTS_VERSION = 1 };

static void write_power(fr_json *json, const char *key, double power_w) {
    fr_json_number(json, key, power_w / FR_W_A_KW);
}

static double percent_or_nan(double fraction) {
    return isfinite(fraction) ? fr_ethanol_percent(fraction) : NAN;
}

static void write_highest(fr_json *json, const fr_highest_blend *highest) {
    fr_json_object(json, "highest_blend");
    fr_json_number(json, "ethanol_percent", percent_or_nan(highest->ethanol));
    fr_json_text(json, "limited_by",
                 highest->has_limit ? fr_stage_name(highest->limited_by) : NULL);
    fr_json_bool(json, "whole_range", highest->whole_range);
    fr_json_number(json, "clear_to_percent", percent_or_nan(highest->clear_to));
    fr_json_object_end(json);
}

static void write_assumed(fr_json *json, const fr_sheet *sheet) {
    size_t count;
    const fr_assumed *assumed = fr_sheet_assumed(sheet, &count);
    fr_json_list(json, "assumed");
    for (size_t i = 0; i < count; i++) {
        fr_json_object(json, NULL);
        fr_json_text(json, "field", assumed[i].field);
        fr_json_text(json, "value", assumed[i].value);
        fr_json_text(json, "why", assumed[i].why);
        fr_json_text(json, "paste", assumed[i].paste);
        fr_json_object_end(json);
    }
    fr_json_list_end(json);
}

static void write_turns(fr_json *json, const fr_turns *turns) {
    fr_json_list(json, "turns_on");
    for (size_t i = 0; turns != NULL && i < turns->count; i++) {
        const fr_turn *turn = &turns->turns[i];
        char blend[FR_BLEND_NAME_MAX];
        fr_blend_name(turn->ethanol, blend);
        fr_json_object(json, NULL);
        fr_json_text(json, "field", turn->field);
        fr_json_text(json, "instead", turn->instead);
        fr_json_text(json, "verdict", fr_verdict_name(turn->verdict));
        fr_json_text(json, "blend", blend);
        write_power(json, "reach_kw", turn->reach_w);
        fr_json_text(json, "paste", turn->paste);
        fr_json_object_end(json);
    }
    fr_json_list_end(json);
}

static void write_caution(fr_json *json, const char *code, const char *text) {
    fr_json_object(json, NULL);
    fr_json_text(json, "code", code);
    fr_json_text(json, "text", text);
    fr_json_object_end(json);
}

static void write_remarks(fr_json *json, const fr_report *remarks) {
    for (size_t i = 0; remarks != NULL && i < remarks->count; i++) {
        const fr_remark *remark = &remarks->remarks[i];
        fr_words words;
        if (remark->severity == FR_ERROR)
            continue;
        fr_words_clear(&words);
        fr_remark_sentence(&words, remark);
        write_caution(json, fr_remark_code, words.text);
    }
}

static void write_cautions(fr_json *json, const fr_check_document *document) {
    fr_units units = fr_sheet_units(document->sheet);
    fr_json_list(json, "cautions");
    for (size_t i = 0; i < document->caution_count; i++) {
        fr_words words;
        fr_words_clear(&words);
        fr_caution_sentence(&words, document, &document->cautions[i], units);
        write_caution(json, fr_caution_name(document->cautions[i].code), words.text);
    }
    write_remarks(json, document->remarks);
    for (const fr_standing_caution *at = fr_standing_cautions; at->code != NULL; at++)
        if (fr_standing_caution_applies(at, document))
            write_caution(json, at->code, at->text);
    fr_json_list_end(json);
}

static void write_stage(fr_json *json, const fr_check_document *document,
                        const fr_blend_result *blend, const fr_stage_result *stage) {
    fr_words advice;
    fr_words_clear(&advice);
    fr_advice_sentence(&advice, document, blend, stage, fr_sheet_units(document->sheet));
    fr_json_object(json, NULL);
    fr_json_text(json, "stage", fr_stage_name(stage->stage));
    fr_json_text(json, "verdict", fr_verdict_name(stage->verdict));
    fr_json_number(json, "use", stage->use);
    fr_json_number(json, "limit", stage->limit);
    fr_json_number(json, "end", stage->end);
    fr_json_number(json, "worst_rpm", stage->worst_rpm);
    fr_json_number(json, "first_short_rpm", stage->first_short_rpm);
    write_power(json, "reach_kw", stage->reach_w);
    write_power(json, "clear_to_kw", stage->clear_to_w);
    fr_json_number(json, "spare_percent", 100.0 * stage->spare);
    fr_json_text(json, "advice", advice.length > 0 ? advice.text : NULL);
    fr_json_object_end(json);
}

static void write_point(fr_json *json, const fr_blend_result *blend, const fr_point *point) {
    fr_json_object(json, NULL);
    for (const fr_point_figure *figure = fr_point_figures; figure->name != NULL; figure++)
        fr_json_number(json, figure->name, fr_point_figure_value(figure, point));
    fr_json_object(json, "capacity_kg_h");
    for (size_t i = 0; i < blend->stage_count; i++) {
        fr_stage stage = blend->stages[i].stage;
        fr_json_number(json, fr_stage_name(stage), FR_S_AN_H * point->capacity_kg_s[stage]);
    }
    fr_json_object_end(json);
    fr_json_object_end(json);
}

static void write_blend_head(fr_json *json, const fr_blend_result *blend) {
    char name[FR_BLEND_NAME_MAX];
    fr_blend_name(blend->ethanol, name);
    fr_json_text(json, "blend", name);
    fr_json_number(json, "ethanol_percent", fr_ethanol_percent(blend->ethanol));
    fr_json_text(json, "verdict", fr_verdict_name(blend->verdict));
    fr_json_text(json, "weakest", fr_stage_name(blend->weakest));
    fr_json_bool(json, "doubtful", blend->doubtful);
    write_power(json, "target_power_kw", blend->target_power_w);
    write_power(json, "reach_kw", blend->reach_w);
    write_power(json, "clear_to_kw", blend->clear_to_w);
    fr_json_number(json, "stoich", blend->blend.stoich);
    fr_json_number(json, "density_kg_m3", blend->density_kg_m3);
    fr_json_number(json, "fuel_kg_h", FR_S_AN_H * blend->fuel_kg_s);
    fr_json_number(json, "fuel_l_h", FR_L_H_A_M3_S * blend->fuel_m3_s);
}

static void write_blend(fr_json *json, const fr_check_document *document,
                        const fr_blend_result *blend) {
    fr_json_object(json, NULL);
    write_blend_head(json, blend);
    fr_json_list(json, "stages");
    for (size_t i = 0; i < blend->stage_count; i++)
        write_stage(json, document, blend, &blend->stages[i]);
    fr_json_list_end(json);
    fr_json_list(json, "points");
    for (size_t i = 0; i < blend->point_count; i++)
        write_point(json, blend, &blend->points[i]);
    fr_json_list_end(json);
    fr_json_object_end(json);
}

void fr_write_check_json(FILE *out, const fr_check_document *document) {
    const fr_check_result *result = document->result;
    fr_json json = fr_json_to(out);
    fr_json_object(&json, NULL);
    fr_json_count(&json, "fuelreach", RESULTS_VERSION);
    fr_json_text(&json, "sheet", fr_sheet_file(document->sheet));
    fr_json_text(&json, "name", fr_sheet_name(document->sheet));
    fr_json_text(&json, "verdict", fr_verdict_name(result->verdict));
    write_highest(&json, &result->highest);
    write_assumed(&json, document->sheet);
    write_turns(&json, document->turns);
    write_cautions(&json, document);
    fr_json_list(&json, "blends");
    for (size_t i = 0; i < result->blend_count; i++)
        write_blend(&json, document, &result->blends[i]);
    fr_json_list_end(&json);
    fr_json_object_end(&json);
    fr_json_line_end(&json);
}
