/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the kinds of charts share. Private to src/report. */
#ifndef FR_REPORT_CHART_INSIDE_H
#define FR_REPORT_CHART_INSIDE_H

#include "report/chart.h"

/* Styles are those of the stages; these two stages never stand among lines of reach. */
enum { FR_TARGET_STYLE = 9, FR_CLEAR_STYLE = FR_STAGE_PUMP_INLET, FR_CHART_BLENDS_SHOWN = 4 };

/* Up to FR_CHART_BLENDS_SHOWN blends, spread over the list, the weakest always among them. */
size_t fr_chart_shown_blends(const fr_check_result *result, size_t shown[FR_CHART_BLENDS_SHOWN]);
/* "needed on E85, from a log" of what stands before and behind the blend. */
void fr_chart_blend_name(double ethanol, const char *before, const char *behind, char *name,
                         size_t size);

bool fr_chart_has_direct(const fr_chart_source *source);
void fr_chart_fill_duty(const fr_chart_source *source, fr_chart *chart);
void fr_chart_fill_rail(const fr_chart_source *source, fr_chart *chart);
void fr_chart_fill_pump(const fr_chart_source *source, fr_chart *chart);

#endif
