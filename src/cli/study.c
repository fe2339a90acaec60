/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/study.h"

#include <stdlib.h>

fr_promise_result *fr_study_promise(const fr_sheet *sheet) {
    enum { DRAWS = 4096, SENSITIVITY_DRAWS = 1 };
    size_t input_count;
    const fr_input *inputs = fr_sheet_inputs(sheet, &input_count);
    fr_promise_options options = fr_promise_options_default();
    options.draws = DRAWS;
    options.sensitivity_draws = SENSITIVITY_DRAWS;
    fr_promise_result *result = malloc(sizeof *result);
    if (result != NULL && fr_promise_run(fr_sheet_build(sheet), inputs, input_count, &options,
                                         result) != FR_OK) {
        free(result);
        result = NULL;
    }
    return result;
}
