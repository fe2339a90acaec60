/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to fit, on the page of a build that is short or tight. */
#include <math.h>
#include <stdlib.h>

#include "cli/check_document.h"
#include "cli/command.h"
#include "cli/size_work.h"
#include "report/page.h"

/* The cheapest set of parts. A fault in shelf or price list is said. */
static int add(const fr_invocation *invocation, struct fr_checked_sheet *checked,
               struct fr_page_document *page, void **own) {
    if (checked->document.result->verdict == FR_CLEAR) {
        return 0;
    }
    fr_size_work *work = calloc(1, sizeof *work);
    *own = work;
    if (work == NULL) {
        return fr_system_error(invocation, "%s", fr_status_text(FR_NO_MEMORY));
    }
    work->request.top = 1;
    work->request.budget = INFINITY;
    work->request.choices_only = true;
    fr_status status = fr_size_work_open(work, invocation, checked);
    if (status == FR_OK) {
        status = fr_size_work_run(work, checked);
    }
    if (status != FR_OK) {
        return fr_say_remarks(invocation, &work->remarks, status);
    }
    page->size = &work->document;
    return 0;
}

static void remove_size(void *own) {
    if (own != NULL) {
        fr_size_work_close(own);
    }
    free(own);
}

const fr_page_study fr_page_size = {add, remove_size};
