/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Studies that a page or a chart runs beside the check. */
#ifndef FR_CLI_STUDY_H
#define FR_CLI_STUDY_H

#include "fuelreach/promise.h"
#include "fuelreach/sheet.h"

/* The promise study with few draws, enough for a picture; null when it could not be run. Free it
 * with free(). */
fr_promise_result *fr_study_promise(const fr_sheet *sheet);

#endif
