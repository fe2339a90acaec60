/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The odds on a page or a chart: the promise study with few draws, enough for a picture. */
#include <stdlib.h>

#include "cli/check_document.h"
#include "cli/command.h"
#include "report/page.h"

/* A study that could not be run leaves its part of the page out. */
static int add(const fr_invocation *invocation, struct fr_checked_sheet *checked,
               struct fr_page_document *page, void **own) {
    enum { DRAWS = 4096, SENSITIVITY_DRAWS = 1 };
    size_t input_count;
    const fr_input *inputs = fr_sheet_inputs(checked->sheet, &input_count);
    fr_promise_options options = fr_promise_options_default();
    fr_promise_result *result = malloc(sizeof *result);
    *own = result;
    if (result == NULL) {
        return fr_system_error(invocation, "%s", fr_status_text(FR_NO_MEMORY));
    }
    options.draws = DRAWS;
    options.sensitivity_draws = SENSITIVITY_DRAWS;
    if (fr_promise_run(checked->document.build, inputs, input_count, &options, result) == FR_OK) {
        page->promise = result;
    }
    return 0;
}

const fr_page_study fr_page_promise = {add, free};
