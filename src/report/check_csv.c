/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One row a (blend, speed): what a spreadsheet wants to draw. RFC 4180, but lines end as on this
 * system. The columns are the same for every sheet, so that several can stand under one header. */
#include <math.h>
#include <string.h>

#include "fuelreach/document.h"
#include "report/format.h"
#include "report/json.h"
#include "report/point_figures.h"

static void write_header(FILE *out) {
    fputs("sheet,blend,ethanol_percent,blend_verdict", out);
    for (const fr_point_figure *figure = fr_point_figures; figure->name != NULL; figure++)
        fprintf(out, ",%s", figure->name);
    for (int stage = 0; stage < FR_STAGE_COUNT; stage++)
        fprintf(out, ",%s_use_percent", fr_stage_name((fr_stage)stage));
    for (int stage = 0; stage < FR_STAGE_COUNT; stage++)
        fprintf(out, ",%s_capacity_kg_h", fr_stage_name((fr_stage)stage));
    fputc('\n', out);
}

static void write_text(FILE *out, const char *text) {
    if (strpbrk(text, ",\"\r\n") == NULL) {
        fputs(text, out);
        return;
    }
    fputc('"', out);
    for (; *text != '\0'; text++) {
        if (*text == '"')
            fputc('"', out);
        fputc(*text, out);
    }
    fputc('"', out);
}

/* An empty cell where there is no value. */
static void write_number(FILE *out, double value) {
    char number[FR_JSON_NUMBER_MAX];
    fputc(',', out);
    if (!isfinite(value))
        return;
    fr_number_write(value, number);
    fputs(number, out);
}

static void write_row(FILE *out, const fr_check_document *document, const fr_blend_result *blend,
                      const fr_point *point) {
    char name[FR_BLEND_NAME_MAX];
    fr_blend_name(blend->ethanol, name);
    write_text(out, fr_sheet_file(document->sheet));
    fprintf(out, ",%s", name);
    write_number(out, fr_ethanol_percent(blend->ethanol));
    fprintf(out, ",%s", fr_verdict_name(blend->verdict));
    for (const fr_point_figure *figure = fr_point_figures; figure->name != NULL; figure++)
        write_number(out, fr_point_figure_value(figure, point));
    for (int stage = 0; stage < FR_STAGE_COUNT; stage++)
        write_number(out, 100.0 * point->use[stage]);
    for (int stage = 0; stage < FR_STAGE_COUNT; stage++)
        write_number(out, FR_S_AN_H * point->capacity_kg_s[stage]);
    fputc('\n', out);
}

void fr_write_check_csv(FILE *out, const fr_check_document *document, bool header) {
    const fr_check_result *result = document->result;
    if (header)
        write_header(out);
    for (size_t b = 0; b < result->blend_count; b++)
        for (size_t p = 0; p < result->blends[b].point_count; p++)
            write_row(out, document, &result->blends[b], &result->blends[b].points[p]);
}
