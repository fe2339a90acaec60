/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Charts of a log against the prediction. */
#ifndef FR_REPORT_CHART_LOG_H
#define FR_REPORT_CHART_LOG_H

#include "fuelreach/review.h"
#include "report/chart.h"

typedef struct fr_chart_log {
    const fr_review_result *review;
    const fr_review_channel *channel; /* one of the review's */
    fr_units units;
} fr_chart_log;

/* True for a channel that the sheet predicts and the log holds at more than one speed. */
bool fr_chart_log_has(const fr_review_channel *channel);
void fr_chart_fill_log(const fr_chart_log *log, fr_chart *chart);

#endif
