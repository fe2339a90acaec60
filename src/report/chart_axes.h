/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Round numbers for axes. */
#ifndef FR_REPORT_CHART_AXES_H
#define FR_REPORT_CHART_AXES_H

#include "report/chart.h"

typedef struct fr_axis {
    double from, to; /* what the axis spans */
    double step;     /* between ticks: 1, 2 or 5 times a power of ten */
    int decimals;    /* that its ticks need */
} fr_axis;

/* An axis over [least, most] with about `wanted` steps; `hug` keeps its ends at the figures. */
fr_axis fr_axis_make(double least, double most, int wanted, bool hug);
fr_axis fr_chart_x_axis(const fr_chart *chart);
fr_axis fr_chart_y_axis(const fr_chart *chart);

#endif
