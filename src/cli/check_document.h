/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A sheet read and checked, with all that documents show of it. */
#ifndef FR_CLI_CHECK_DOCUMENT_H
#define FR_CLI_CHECK_DOCUMENT_H

#include "fuelreach/check.h"
#include "fuelreach/document.h"
#include "fuelreach/sheet.h"
#include "fuelreach/status.h"

/* Everything is owned by it; `document` points into the rest. */
typedef struct fr_checked_sheet {
    fr_sheet *sheet;
    fr_check *check;   /* holds document.result: do not run it again */
    fr_check *scratch; /* free for use */
    fr_turns turns;
    fr_mends mends;
    fr_caution cautions[FR_CAUTIONS_MAX];
    fr_report remarks;
    fr_check_document document;
} fr_checked_sheet;

/* Reads and checks `path` ("-" standard input). `*checked` is never null unless out of memory
 * (FR_NO_MEMORY): on other failures only its `remarks` are of use. Close it in every case. */
fr_status fr_checked_sheet_open(const char *path, const fr_sheet_options *options,
                                fr_checked_sheet **checked);
void fr_checked_sheet_close(fr_checked_sheet *checked);

#endif
