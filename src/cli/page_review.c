/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The logs of --log on a page, held against the sheet. */
#include <errno.h>
#include <math.h>
#include <string.h>

#include "cli/check_document.h"
#include "cli/command.h"
#include "report/page.h"

/* Reads the logs and reviews them. Remarks go to `report`, a log that does not open is said. */
static int review_logs(const fr_invocation *invocation, fr_review *review, const char *const *logs,
                       size_t count, const fr_review_result **result) {
    fr_report report = FR_REPORT_EMPTY;
    fr_status status = FR_OK;
    int code = 0;
    for (size_t i = 0; code == 0 && status == FR_OK && i < count; i++) {
        FILE *in = fopen(logs[i], "r");
        if (in == NULL) {
            code = fr_system_error(invocation, "%s: %s", logs[i], strerror(errno));
            break;
        }
        status = fr_review_add_log(review, logs[i], in, &report);
        fclose(in);
    }
    if (code == 0 && status == FR_OK) {
        status = fr_review_finish(review, &report, result);
    }
    if (code == 0) {
        code = fr_say_remarks(invocation, &report, status);
    }
    fr_report_close(&report);
    return code;
}

static int add(const fr_invocation *invocation, struct fr_checked_sheet *checked,
               struct fr_page_document *page, void **own) {
    static const double CONFIDENCE = 0.95;
    const fr_review_options options = {.log_blend = NAN, .confidence = CONFIDENCE};
    size_t count;
    const char *const *logs = fr_invocation_values(invocation, "log", &count);
    if (count == 0) {
        return 0;
    }
    fr_review *review = fr_review_open(checked->sheet, &options);
    *own = review;
    if (review == NULL) {
        return fr_system_error(invocation, "%s", fr_status_text(FR_NO_MEMORY));
    }
    return review_logs(invocation, review, logs, count, &page->review);
}

static void remove_review(void *own) {
    fr_review_close(own);
}

const fr_page_study fr_page_review = {add, remove_review};
