/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/explain.h"

#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "report/explain_steps.h"
#include "report/format.h"
#include "report/html.h"
#include "report/prose.h"
#include "report/stage_words.h"

/* ---- writing steps down ---- */

void fr_derive_heading(fr_derivation *at, const char *heading) {
    at->heading = heading;
}

static fr_step *add_step(fr_derivation *at, const char *symbols, double result, const char *unit,
                         const char *how) {
    fr_working *working = at->working;
    /* A working that does not fit would lose its last steps; the test counts them. */
    fr_step *step = &working->steps[working->count < FR_STEPS_MAX ? working->count : FR_STEPS_MAX - 1];
    working->count += working->count < FR_STEPS_MAX ? 1 : 0;
    memset(step, 0, sizeof *step);
    snprintf(step->heading, sizeof step->heading, "%s", at->heading);
    snprintf(step->symbols, sizeof step->symbols, "%s", symbols);
    snprintf(step->unit, sizeof step->unit, "%s", unit);
    snprintf(step->how, sizeof step->how, "%s", how);
    step->result = result;
    at->heading = "";
    return step;
}

fr_step *fr_derive(fr_derivation *at, const char *symbols, double result, const char *unit,
                   const char *how, const char *numbers, ...) {
    fr_step *step = add_step(at, symbols, result, unit, how);
    va_list arguments;
    va_start(arguments, numbers);
    vsnprintf(step->numbers, sizeof step->numbers, numbers, arguments);
    va_end(arguments);
    return step;
}

fr_step *fr_derive_given(fr_derivation *at, const char *symbols, double result, const char *unit,
                         const char *how) {
    return add_step(at, symbols, result, unit, how);
}

/* ---- assumed values ---- */

static bool is_assumed(const fr_check_document *document, const char *field, size_t length) {
    size_t count;
    const fr_assumed *assumed = fr_sheet_assumed(document->sheet, &count);
    for (size_t i = 0; i < count; i++) {
        if (strlen(assumed[i].field) == length && strncmp(assumed[i].field, field, length) == 0) {
            return true;
        }
    }
    return false;
}

void fr_derive_assumed(fr_derivation *at, fr_step *step, const char *fields) {
    size_t used = strlen(step->assumed);
    while (*fields != '\0') {
        const size_t length = strcspn(fields, ",");
        if (is_assumed(at->document, fields, length)) {
            const int written =
                snprintf(step->assumed + used, sizeof step->assumed - used, "%s%.*s",
                         used > 0 ? ", " : "", (int)length, fields);
            used += written > 0 && (size_t)written < sizeof step->assumed - used ? (size_t)written
                                                                                 : 0;
        }
        fields += length + (fields[length] == ',');
    }
}

/* ---- the whole ---- */

static bool wants(fr_stage asked, fr_stage stage) {
    return asked == FR_STAGE_COUNT || asked == stage;
}

static bool is_direct(fr_stage stage) {
    return stage == FR_STAGE_DIRECT_INJECTOR || stage == FR_STAGE_HIGH_PRESSURE_PUMP ||
           stage == FR_STAGE_DIRECT_PRESSURE;
}

void fr_working_fill(const fr_check_document *document, const fr_blend_result *blend,
                     const fr_point *point, fr_stage stage, fr_working *working) {
    working->count = 0;
    fr_derivation at = {document, document->build, blend, point, working, ""};
    fr_derive_demand(&at);
    fr_derive_feed(&at);
    fr_derive_low_pressure_stages(&at, stage);
    if (document->build->port.present && wants(stage, FR_STAGE_PORT_INJECTOR)) {
        fr_derive_port(&at);
    }
    if (document->build->direct.present && (stage == FR_STAGE_COUNT || is_direct(stage))) {
        fr_derive_direct(&at, stage);
    }
}

const fr_point *fr_point_nearest(const fr_blend_result *blend, double speed_rpm) {
    const fr_point *nearest = &blend->points[0];
    for (size_t i = 1; i < blend->point_count; i++) {
        if (fabs(blend->points[i].speed_rpm - speed_rpm) < fabs(nearest->speed_rpm - speed_rpm)) {
            nearest = &blend->points[i];
        }
    }
    return nearest;
}

/* ---- text ---- */

static void write_result(FILE *out, const fr_step *step) {
    if (isnan(step->result)) {
        fputs("      = none\n", out);
    } else {
        fprintf(out, "      = %.7g%s%s\n", step->result, *step->unit != '\0' ? " " : "",
                step->unit);
    }
}

static void write_step(FILE *out, const fr_step *step) {
    if (*step->heading != '\0') {
        fprintf(out, "\n%s\n", step->heading);
    }
    fr_prose(out, 2, 6, step->symbols);
    if (*step->numbers != '\0') {
        fprintf(out, "      = %s\n", step->numbers);
    }
    write_result(out, step);
    if (*step->how != '\0') {
        fr_prose(out, 8, 8, step->how);
    }
    if (*step->assumed != '\0') {
        char text[FR_STEP_TEXT_MAX + 16];
        snprintf(text, sizeof text, "assumed: %s", step->assumed);
        fr_prose(out, 8, 8, text);
    }
}

void fr_working_write_text(FILE *out, const fr_check_document *document,
                           const fr_blend_result *blend, const fr_point *point,
                           const fr_working *working) {
    char name[FR_BLEND_NAME_MAX];
    fr_blend_name(blend->ethanol, name);
    fprintf(out, "%s: the working on %s at %.7g rpm\n",
            *fr_sheet_name(document->sheet) != '\0' ? fr_sheet_name(document->sheet)
                                                    : fr_sheet_file(document->sheet),
            name, point->speed_rpm);
    fr_prose(out, 0, 0,
             "Pressures in bar, flows in kg/h and L/h; every number is what the check used, to "
             "seven figures.");
    for (size_t i = 0; i < working->count; i++) {
        write_step(out, &working->steps[i]);
    }
}

/* ---- HTML ---- */

void fr_working_write_html(FILE *out, const fr_working *working) {
    fputs("<pre tabindex=\"0\">", out);
    for (size_t i = 0; i < working->count; i++) {
        const fr_step *step = &working->steps[i];
        if (*step->heading != '\0') {
            fputs(i > 0 ? "\n<b>" : "<b>", out);
            fr_html_text(out, step->heading);
            fputs("</b>\n", out);
        }
        fputs("  ", out);
        fr_html_text(out, step->symbols);
        if (*step->numbers != '\0') {
            fputs("\n      = ", out);
            fr_html_text(out, step->numbers);
        }
        if (isnan(step->result)) {
            fputs("\n      = none\n", out);
        } else {
            fprintf(out, "\n      = <b>%.7g</b> ", step->result);
            fr_html_text(out, step->unit);
            fputs("\n", out);
        }
        if (*step->how != '\0') {
            fputs("        ", out);
            fr_html_text(out, step->how);
            fputs("\n", out);
        }
        if (*step->assumed != '\0') {
            fputs("        assumed: ", out);
            fr_html_text(out, step->assumed);
            fputs("\n", out);
        }
    }
    fputs("</pre>\n", out);
}
