/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/check_document.h"

#include <stdlib.h>

static const fr_report no_remarks = FR_REPORT_EMPTY;

/* What documents show beside the result: what the answer turns on, what mends it, cautions. */
static void look_around(fr_checked_sheet *checked, const fr_build *build,
                        const fr_check_result *result) {
    fr_turns_find(checked->sheet, result, checked->scratch, &checked->turns);
    fr_mends_find(build, result, checked->scratch, &checked->mends);
    checked->document = (fr_check_document){
        .sheet = checked->sheet,
        .build = build,
        .result = result,
        .turns = &checked->turns,
        .mends = &checked->mends,
        .cautions = checked->cautions,
        .caution_count = fr_cautions(build, result, checked->scratch, checked->cautions),
        .remarks = &checked->remarks,
    };
}

fr_status fr_checked_sheet_open(const char *path, const fr_sheet_options *options,
                                fr_checked_sheet **out) {
    fr_checked_sheet *checked = calloc(1, sizeof *checked);
    fr_status status;

    *out = checked;
    if (checked == NULL)
        return FR_NO_MEMORY;
    checked->remarks = no_remarks;
    status = fr_sheet_open(path, options, &checked->remarks, &checked->sheet);
    if (status != FR_OK)
        return status;
    checked->check = fr_check_open();
    checked->scratch = fr_check_open();
    if (checked->check == NULL || checked->scratch == NULL)
        return FR_NO_MEMORY;
    const fr_build *build = fr_sheet_build(checked->sheet);
    look_around(checked, build, fr_check_run(checked->check, build));
    return FR_OK;
}

void fr_checked_sheet_close(fr_checked_sheet *checked) {
    if (checked == NULL)
        return;
    fr_check_close(checked->scratch);
    fr_check_close(checked->check);
    fr_sheet_close(checked->sheet);
    fr_report_close(&checked->remarks);
    free(checked);
}
