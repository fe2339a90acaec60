/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One row a blend. RFC 4180, but lines end as on this system. */
#include <math.h>

#include "report/format.h"
#include "report/json.h"
#include "report/promise_document.h"

static const double W_A_KW = 1e3;

/* An empty cell where there is no value. */
static void write_number(FILE *out, double value) {
    char number[FR_JSON_NUMBER_MAX];
    fputc(',', out);
    if (isfinite(value)) {
        fr_number_write(value, number);
        fputs(number, out);
    }
}

static void write_header(FILE *out, const fr_promise_result *result) {
    fputs("blend,ethanol_percent,target_power_kw,chance_short,chance_short_se", out);
    for (size_t i = 0; i < result->confidence_count; i++) {
        char number[FR_JSON_NUMBER_MAX];
        fr_number_write(100.0 * result->confidences[i], number);
        fprintf(out, ",promise_%s_kw", number);
    }
    fputs(",reach_p5_kw,reach_p50_kw,reach_p95_kw", out);
    for (int stage = 0; stage < FR_STAGE_COUNT; stage++) {
        fprintf(out, ",%s_chance_short", fr_stage_name((fr_stage)stage));
    }
    fputc('\n', out);
}

static void write_row(FILE *out, const fr_promise_result *result, const fr_promise_blend *blend) {
    char name[FR_BLEND_NAME_MAX];
    fr_blend_name(blend->ethanol, name);
    fputs(name, out);
    write_number(out, 100.0 * blend->ethanol);
    write_number(out, blend->target_w / W_A_KW);
    write_number(out, blend->chance_short);
    write_number(out, blend->chance_short_se);
    for (size_t i = 0; i < result->confidence_count; i++) {
        write_number(out, blend->promise_w[i] / W_A_KW);
    }
    write_number(out, blend->reach_p5_w / W_A_KW);
    write_number(out, blend->reach_p50_w / W_A_KW);
    write_number(out, blend->reach_p95_w / W_A_KW);
    for (int stage = 0; stage < FR_STAGE_COUNT; stage++) {
        write_number(out, blend->has[stage] ? blend->stage_chance[stage] : NAN);
    }
    fputc('\n', out);
}

void fr_write_promise_csv(FILE *out, const fr_promise_document *document) {
    const fr_promise_result *result = document->result;
    write_header(out, result);
    for (size_t i = 0; i < result->blend_count; i++) {
        write_row(out, result, &result->blends[i]);
    }
}
