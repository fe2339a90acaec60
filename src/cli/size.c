/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fuelreach size: what must be fitted, for the least money. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cli/check_document.h"
#include "cli/command.h"
#include "cli/confidence.h"
#include "cli/size_work.h"

enum { TOP_DEFAULT = 3 };
/* Below this, a set that is short on its own figures might still do: the search leaves those out. */
static const double LEAST_CONFIDENCE = 0.8;

/* ---- what is asked ---- */

/* A positive number, plain; INFINITY when the option was not given. */
static bool read_budget(const fr_invocation *invocation, double *budget) {
    const char *text = fr_invocation_value(invocation, "budget", NULL);
    char *end;
    *budget = INFINITY;
    if (text == NULL) {
        return true;
    }
    *budget = strtod(text, &end);
    if (end == text || *end != '\0' || !(*budget >= 0.0) || !isfinite(*budget)) {
        fr_usage_error(invocation, "--budget: '%s' is no price; write a bare number, '600'", text);
        return false;
    }
    return true;
}

static bool read_keep(const fr_invocation *invocation, fr_size_request *request) {
    size_t count;
    const char *const *names = fr_invocation_values(invocation, "keep", &count);
    for (size_t i = 0; i < count; i++) {
        const fr_slot slot = fr_slot_find(names[i]);
        if (slot == FR_SLOT_COUNT) {
            fr_usage_error(invocation,
                           "--keep: no slot '%s'; the slots are lift-pump, wiring, filter, line, "
                           "port-injector, direct-injector, high-pressure-pump",
                           names[i]);
            return false;
        }
        request->keep[slot] = true;
    }
    return true;
}

/* With --confidence, sets that are not short with that chance are looked for. 0, or the exit code. */
static int be_sure(const fr_invocation *invocation, const fr_checked_sheet *checked,
                   fr_size_work *work) {
    const char *text = fr_invocation_value(invocation, "confidence", NULL);
    double confidence;
    if (text == NULL) {
        return 0;
    }
    if (!fr_confidence_read(text, &confidence) || confidence < LEAST_CONFIDENCE) {
        return fr_usage_error(invocation, "--confidence: '%s' is none; write it as '95 %%', from 80 "
                                          "to below 100", text);
    }
    if (!fr_size_work_be_sure(work, checked, confidence)) {
        return fr_usage_error(invocation,
                              "--confidence: the sheet gives a tolerance to a single point of a "
                              "curve, which sizing cannot follow; give it to the whole curve");
    }
    return 0;
}

static void answer(const fr_invocation *invocation, const fr_checked_sheet *checked,
                   const fr_size_work *work) {
    const fr_text_style style = {
        .units = fr_invocation_units(invocation, fr_sheet_units(checked->sheet)),
        .colour = invocation->colour_out,
    };
    if (fr_invocation_is(invocation, "format", "json")) {
        fr_write_size_json(invocation->out, &work->document);
    } else {
        fr_write_size_text(invocation->out, &work->document, &style);
    }
}

static int size_sheet(const fr_invocation *invocation, fr_checked_sheet *checked,
                      fr_size_work *work) {
    fr_status status = fr_size_work_open(work, invocation, checked);
    if (status != FR_OK) {
        return fr_say_remarks(invocation, &work->remarks, status);
    }
    const int code = be_sure(invocation, checked, work);
    if (code != 0) {
        return code;
    }
    status = fr_size_work_run(work, checked);
    if (work->remarks.count > 0 || status != FR_OK) {
        fr_say_remarks(invocation, &work->remarks, status);
    }
    if (status != FR_OK) {
        return fr_status_exit_code(status);
    }
    answer(invocation, checked, work);
    return work->result->choice_count > 0 ? 0 : fr_verdict_exit_code(FR_SHORT);
}

static int run(const fr_invocation *invocation, fr_size_work *work) {
    fr_size_request *request = &work->request;
    const fr_sheet_options options = fr_invocation_sheet_options(invocation);
    fr_checked_sheet *checked;
    if (!read_budget(invocation, &request->budget) || !read_keep(invocation, request)) {
        return fr_status_exit_code(FR_BAD_INPUT);
    }
    request->top = fr_invocation_count(invocation, "top", TOP_DEFAULT);
    request->front = fr_invocation_has(invocation, "front");
    const fr_status status = fr_checked_sheet_open(invocation->arguments[0], &options, &checked);
    const fr_report nothing = FR_REPORT_EMPTY;
    const int code =
        status == FR_OK
            ? size_sheet(invocation, checked, work)
            : fr_say_remarks(invocation, checked ? &checked->remarks : &nothing, status);
    fr_checked_sheet_close(checked);
    return code;
}

int fr_command_size(fr_invocation *invocation) {
    fr_size_work work = {.remarks = FR_REPORT_EMPTY};
    const int code = run(invocation, &work);
    fr_size_work_close(&work);
    return code;
}
