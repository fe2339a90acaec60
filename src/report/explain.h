/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The working of one (blend, speed), as an engineer would write it by hand: each equation with its
 * symbols, the numbers in it, the result, the source. All numbers are those that the check kept. */
#ifndef FR_REPORT_EXPLAIN_H
#define FR_REPORT_EXPLAIN_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "fuelreach/document.h"

enum { FR_STEPS_MAX = 96, FR_STEP_TEXT_MAX = 320 };

/* One line of working. `numbers` is plain arithmetic: numbers, + - * / ^, brackets, sqrt, ln, exp,
 * min and max; it comes to `result` in `unit`. Empty: the result is looked up or solved for, and
 * `how` says where. */
typedef struct fr_step {
    char heading[80]; /* begins a group; "" goes on */
    char symbols[FR_STEP_TEXT_MAX]; /* "m = P b" */
    char numbers[FR_STEP_TEXT_MAX]; /* "225 * 485.3 / 1000" */
    double result;
    char unit[24];
    char how[FR_STEP_TEXT_MAX];     /* source, or where it comes from */
    char assumed[FR_STEP_TEXT_MAX]; /* assumed fields that stand in it, "" for none */
} fr_step;

typedef struct fr_working {
    size_t count;
    fr_step steps[FR_STEPS_MAX];
} fr_working;

/* Fills the working of a point; `stage` limits it to what leads to one stage (FR_STAGE_COUNT: all).
 * `blend` and `point` must come from the document's build. */
void fr_working_fill(const fr_check_document *document, const fr_blend_result *blend,
                     const fr_point *point, fr_stage stage, fr_working *working);

void fr_working_write_text(FILE *out, const fr_check_document *document,
                           const fr_blend_result *blend, const fr_point *point,
                           const fr_working *working);
/* As folded HTML, for the page. */
void fr_working_write_html(FILE *out, const fr_working *working);

/* The point of a blend nearest to a speed. */
const fr_point *fr_point_nearest(const fr_blend_result *blend, double speed_rpm);

#endif
