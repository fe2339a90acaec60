/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fuelreach page: one build on one page. */
#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cli/check_document.h"
#include "cli/command.h"
#include "cli/output.h"
#include "cli/size_work.h"
#include "cli/study.h"
#include "report/page.h"

/* The review of the logs given, null when there are none. `*code` is 0 or what to end with. */
static fr_review *review_logs(const fr_invocation *invocation, fr_sheet *sheet,
                              const fr_review_result **result, int *code) {
    size_t count;
    const char *const *logs = fr_invocation_values(invocation, "log", &count);
    *result = NULL;
    *code = 0;
    if (count == 0) {
        return NULL;
    }
    static const double CONFIDENCE = 0.95;
    const fr_review_options options = {.log_blend = NAN, .confidence = CONFIDENCE};
    fr_report report = FR_REPORT_EMPTY;
    fr_review *review = fr_review_open(sheet, &options);
    fr_status status = review == NULL ? FR_NO_MEMORY : FR_OK;
    for (size_t i = 0; status == FR_OK && i < count; i++) {
        FILE *in = fopen(logs[i], "r");
        if (in == NULL) {
            *code = fr_system_error(invocation, "%s: %s", logs[i], strerror(errno));
            break;
        }
        status = fr_review_add_log(review, logs[i], in, &report);
        fclose(in);
    }
    if (*code == 0 && status == FR_OK) {
        status = fr_review_finish(review, &report, result);
    }
    if (*code == 0 && status != FR_OK) {
        *code = fr_say_remarks(invocation, &report, status);
    }
    fr_report_close(&report);
    return review;
}

static int write_page(const fr_invocation *invocation, const fr_checked_sheet *checked,
                      const fr_page_document *document) {
    fr_output output;
    if (!fr_output_open(&output, invocation, fr_invocation_value(invocation, "output", NULL))) {
        return fr_status_exit_code(FR_NO_MEMORY);
    }
    fr_write_page(output.stream, document);
    const int code = fr_output_commit(&output, invocation);
    return code != 0 ? code : fr_verdict_exit_code(checked->document.result->verdict);
}

/* The cheapest set of parts where something is short or tight. A fault in shelf or price list is
 * said; `*code` is 0 or what to end with. */
static void size_build(const fr_invocation *invocation, fr_checked_sheet *checked,
                       fr_size_work *work, fr_page_document *document, int *code) {
    if (*code != 0 || checked->document.result->verdict == FR_CLEAR) {
        return;
    }
    work->request.top = 1;
    work->request.budget = INFINITY;
    work->request.choices_only = true;
    fr_status status = fr_size_work_open(work, invocation, checked);
    if (status == FR_OK) {
        status = fr_size_work_run(work, checked);
    }
    if (status == FR_OK) {
        document->size = &work->document;
    } else {
        *code = fr_say_remarks(invocation, &work->remarks, status);
    }
}

static int make_page(const fr_invocation *invocation, fr_checked_sheet *checked) {
    fr_page_document document = {
        .check = &checked->document,
        .units = fr_invocation_units(invocation, fr_sheet_units(checked->sheet)),
    };
    fr_size_work work = {.remarks = FR_REPORT_EMPTY};
    int code;
    fr_review *review = review_logs(invocation, checked->sheet, &document.review, &code);
    size_build(invocation, checked, &work, &document, &code);
    fr_promise_result *promise = code == 0 ? fr_study_promise(checked->sheet) : NULL;
    document.promise = promise;
    code = code == 0 ? write_page(invocation, checked, &document) : code;
    free(promise);
    fr_size_work_close(&work);
    fr_review_close(review);
    return code;
}

int fr_command_page(fr_invocation *invocation) {
    const fr_sheet_options options = fr_invocation_sheet_options(invocation);
    const fr_report nothing = FR_REPORT_EMPTY;
    fr_checked_sheet *checked;
    const fr_status status = fr_checked_sheet_open(invocation->arguments[0], &options, &checked);
    const int code =
        status == FR_OK
            ? make_page(invocation, checked)
            : fr_say_remarks(invocation, checked ? &checked->remarks : &nothing, status);
    fr_checked_sheet_close(checked);
    return code;
}
