/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "report/format.h"
#include "report/json.h"
#include "report/promise_document.h"

static const double W_A_KW = 1e3;

/* What the sheet did not say: its fields, then the tolerances that were taken. */
static void write_assumed(fr_json *json, const fr_promise_document *document) {
    size_t count;
    const fr_assumed *assumed = fr_sheet_assumed(document->sheet, &count);
    fr_json_list(json, "assumed");
    for (size_t i = 0; i < count; i++) {
        fr_json_object(json, NULL);
        fr_json_text(json, "field", assumed[i].field);
        fr_json_text(json, "value", assumed[i].value);
        fr_json_text(json, "why", assumed[i].why);
        fr_json_text(json, "paste", assumed[i].paste);
        fr_json_object_end(json);
    }
    for (size_t i = 0; i < document->result->input_count; i++) {
        const fr_input *input = &document->inputs[i];
        char width[FR_WIDTH_MAX], value[FR_WIDTH_MAX + 8];
        if (!input->assumed) {
            continue;
        }
        fr_input_width(document->build, input, width);
        snprintf(value, sizeof value, "± %s", width);
        fr_json_object(json, NULL);
        fr_json_text(json, "field", input->name);
        fr_json_text(json, "value", value);
        fr_json_text(json, "why", "no tolerance given; common practice");
        fr_json_text(json, "paste", NULL);
        fr_json_object_end(json);
    }
    fr_json_list_end(json);
}

static void write_stages(fr_json *json, const fr_promise_blend *blend) {
    fr_json_list(json, "stages");
    for (int stage = 0; stage < FR_STAGE_COUNT; stage++) {
        if (blend->has[stage]) {
            fr_json_object(json, NULL);
            fr_json_text(json, "stage", fr_stage_name((fr_stage)stage));
            fr_json_number(json, "chance_short", blend->stage_chance[stage]);
            fr_json_object_end(json);
        }
    }
    fr_json_list_end(json);
}

static void write_powers(fr_json *json, const fr_promise_result *result,
                         const fr_promise_blend *blend) {
    fr_json_list(json, "promise");
    for (size_t i = 0; i < result->confidence_count; i++) {
        fr_json_object(json, NULL);
        fr_json_number(json, "confidence_percent", 100.0 * result->confidences[i]);
        fr_json_number(json, "power_kw", blend->promise_w[i] / W_A_KW);
        fr_json_object_end(json);
    }
    fr_json_list_end(json);
    fr_json_object(json, "reach_kw");
    fr_json_number(json, "p5", blend->reach_p5_w / W_A_KW);
    fr_json_number(json, "p50", blend->reach_p50_w / W_A_KW);
    fr_json_number(json, "p95", blend->reach_p95_w / W_A_KW);
    fr_json_object_end(json);
}

static void write_sensitivity(fr_json *json, const fr_promise_document *document,
                              const fr_promise_blend *blend) {
    fr_json_list(json, "sensitivity");
    for (size_t i = 0; i < document->result->input_count; i++) {
        const fr_promise_input *input = &blend->inputs[i];
        fr_json_object(json, NULL);
        fr_json_text(json, "input", document->inputs[i].name);
        fr_json_number(json, "first_order", input->first_order);
        fr_json_number(json, "total", input->total);
        fr_json_number(json, "power_95_kw_if_known", input->known_power_w / W_A_KW);
        fr_json_object_end(json);
    }
    fr_json_list_end(json);
}

static void write_blend(fr_json *json, const fr_promise_document *document,
                        const fr_promise_blend *blend) {
    char name[FR_BLEND_NAME_MAX];
    fr_blend_name(blend->ethanol, name);
    fr_json_object(json, NULL);
    fr_json_text(json, "blend", name);
    fr_json_number(json, "ethanol_percent", 100.0 * blend->ethanol);
    fr_json_number(json, "target_power_kw", blend->target_w / W_A_KW);
    fr_json_number(json, "chance_short", blend->chance_short);
    fr_json_number(json, "chance_short_se", blend->chance_short_se);
    write_stages(json, blend);
    write_powers(json, document->result, blend);
    write_sensitivity(json, document, blend);
    fr_json_object_end(json);
}

void fr_write_promise_json(FILE *out, const fr_promise_document *document) {
    const fr_promise_result *result = document->result;
    fr_json json = fr_json_to(out);
    fr_json_object(&json, NULL);
    fr_json_count(&json, "fuelreach", 1);
    fr_json_text(&json, "sheet", fr_sheet_file(document->sheet));
    fr_json_text(&json, "name", fr_sheet_name(document->sheet));
    fr_json_count(&json, "draws", result->draws);
    fr_json_count(&json, "seed", (size_t)result->seed);
    fr_json_bool(&json, "partial", result->partial);
    write_assumed(&json, document);
    fr_json_list(&json, "blends");
    for (size_t i = 0; i < result->blend_count; i++) {
        write_blend(&json, document, &result->blends[i]);
    }
    fr_json_list_end(&json);
    fr_json_object_end(&json);
    fr_json_line_end(&json);
}
