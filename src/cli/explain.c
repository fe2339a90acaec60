/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fuelreach explain: the working of one point, step by step. */
#include <math.h>
#include <stdlib.h>

#include "cli/check_document.h"
#include "cli/command.h"
#include "report/document_words.h"
#include "report/explain.h"
#include "report/verdict.h"

/* The blend that carries least, or the first. */
static const fr_blend_result *blend_of(const fr_check_result *result) {
    const fr_blend_result *worst = fr_worst_blend(result);
    return worst != NULL ? worst : &result->blends[0];
}

/* The speed asked for, else where the stage asked for, or the weakest, is fullest. */
static const fr_point *point_of(const fr_blend_result *blend, double speed_rpm, fr_stage stage) {
    if (speed_rpm > 0.0) {
        return fr_point_nearest(blend, speed_rpm);
    }
    const fr_stage_result *at =
        fr_stage_on(blend, stage == FR_STAGE_COUNT ? blend->weakest : stage);
    return at != NULL ? fr_worst_point(blend, at) : &blend->points[0];
}

static int write_working(const fr_invocation *invocation, const fr_checked_sheet *checked,
                         double speed_rpm, fr_stage stage) {
    const fr_check_document *document = &checked->document;
    const fr_blend_result *blend = blend_of(document->result);
    if (stage != FR_STAGE_COUNT && !fr_build_has(document->build, stage)) {
        return fr_usage_error(invocation, "this build has no stage '%s'", fr_stage_name(stage));
    }
    const fr_point *point = point_of(blend, speed_rpm, stage);
    fr_working *working = malloc(sizeof *working);
    if (working == NULL) {
        return fr_system_error(invocation, "%s", fr_status_text(FR_NO_MEMORY));
    }
    fr_working_fill(document, blend, point, stage, working);
    fr_working_write_text(invocation->out, document, blend, point, working);
    free(working);
    return fr_verdict_exit_code(document->result->verdict);
}

int fr_command_explain(fr_invocation *invocation) {
    const fr_sheet_options options = fr_invocation_sheet_options(invocation);
    const char *name = fr_invocation_value(invocation, "stage", NULL);
    const fr_stage stage = name == NULL ? FR_STAGE_COUNT : fr_stage_find(name);
    fr_quantity speed = {.value = 0.0};
    if (name != NULL && stage == FR_STAGE_COUNT) {
        return fr_usage_error(invocation, "--stage: no stage '%s'", name);
    }
    if (!fr_invocation_quantity(invocation, "speed", FR_KINDS(FR_KIND_SPEED), &speed)) {
        return fr_status_exit_code(FR_BAD_INPUT);
    }
    fr_checked_sheet *checked;
    const fr_status status = fr_checked_sheet_open(invocation->arguments[0], &options, &checked);
    int code;
    if (status == FR_OK) {
        code = write_working(invocation, checked, speed.value, stage);
    } else {
        const fr_report nothing = FR_REPORT_EMPTY;
        code = fr_say_remarks(invocation, checked ? &checked->remarks : &nothing, status);
    }
    fr_checked_sheet_close(checked);
    return code;
}
