/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sizing as commands run it: parts and prices from the shelf, the build from the sheet. */
#ifndef FR_CLI_SIZE_WORK_H
#define FR_CLI_SIZE_WORK_H

#include "cli/check_document.h"
#include "cli/command.h"
#include "report/size_document.h"

/* All that one sizing stands on. `document` points into the rest. */
typedef struct fr_size_work {
    fr_shelf *shelf;
    double *prices;
    fr_report remarks;
    fr_size_request request;
    fr_size_sure *sure; /* null: sets that are clear, else not short with a chance */
    double confidence;  /* of it */
    fr_size_result *result;
    fr_size_need *needs;
    fr_size_document document;
} fr_size_work;

/* Reads the shelf (--shelf, --parts) and the prices (--prices), where the command has these
 * options, and takes the build from the sheet. `*work` is zero but for what is set in its request:
 * top, front, budget, keep and so on. Close it in every case. */
fr_status fr_size_work_open(fr_size_work *work, const fr_invocation *invocation,
                            fr_checked_sheet *checked);
/* Asks for sets that are not short with a chance, 0..1. False when the sheet's tolerances cannot be
 * followed so. */
bool fr_size_work_be_sure(fr_size_work *work, const fr_checked_sheet *checked, double confidence);
/* Needs and choices, into `work->document`. */
fr_status fr_size_work_run(fr_size_work *work, const fr_checked_sheet *checked);
void fr_size_work_close(fr_size_work *work);

#endif
