/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Charts: what is drawn, apart from how. A chart is filled from results and computes nothing; it is
 * written as inline SVG, text as text, or as the table that says the same. */
#ifndef FR_REPORT_CHART_H
#define FR_REPORT_CHART_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "fuelreach/document.h"
#include "fuelreach/promise.h"

enum {
    FR_CHART_SERIES_MAX = 12,
    FR_CHART_POINTS_MAX = FR_SPEEDS_MAX,
    FR_CHART_TEXT_MAX = 160,
    FR_CHART_PLOT_USUAL = 260,
    FR_CHART_PLOT_LOW = 120, /* for what stands beneath another on the same axis */
    FR_CHART_DESC_MAX = 640
};

typedef enum fr_series_kind {
    FR_SERIES_LINE,   /* a line with a dash of its own */
    FR_SERIES_DEMAND, /* a heavy line with the area under it filled faintly */
    FR_SERIES_LEVEL,  /* a target or a limit: thin, one level over the whole width */
    FR_SERIES_POINTS, /* markers */
    FR_SERIES_BARS    /* from zero up, one a point */
} fr_series_kind;

/* NAN in y leaves a gap. */
typedef struct fr_series {
    char name[FR_CHART_TEXT_MAX];
    fr_series_kind kind;
    size_t style; /* colour, dash and marker: an index that stays with a thing across charts */
    size_t count;
    double x[FR_CHART_POINTS_MAX];
    double y[FR_CHART_POINTS_MAX];
} fr_series;

typedef struct fr_chart {
    char title[FR_CHART_TEXT_MAX];
    char desc[FR_CHART_DESC_MAX];    /* what is to be seen, for who cannot see it */
    char x_label[FR_CHART_TEXT_MAX]; /* with the unit */
    char y_label[FR_CHART_TEXT_MAX];
    int x_decimals, y_decimals; /* in the table */
    bool y_from_zero;
    double y_most;        /* cut there; 0: as the figures ask */
    unsigned plot_height; /* in units of the drawing; 0: FR_CHART_PLOT_USUAL */
    size_t series_count;
    fr_series series[FR_CHART_SERIES_MAX];
} fr_chart;

/* Adds an empty series; null when the chart is full. */
fr_series *fr_chart_add(fr_chart *chart, fr_series_kind kind, size_t style, const char *name);
void fr_series_add(fr_series *series, double x, double y);

/* A complete SVG element. `id` makes the ids of title and desc unique in a page. Standalone: with
 * its own colours, for a file of its own. */
void fr_chart_write_svg(FILE *out, const fr_chart *chart, const char *id, bool standalone);
/* The figures as an HTML table. */
void fr_chart_write_table(FILE *out, const fr_chart *chart);
/* Colours and dashes as CSS, for the page that holds charts. */
void fr_chart_write_css(FILE *out);

/* ---- the kinds ---- */

/* What a chart may be drawn from. */
typedef struct fr_chart_source {
    const fr_check_document *check;
    const fr_promise_result *promise; /* null: the study was not run */
    fr_units units;
} fr_chart_source;

typedef struct fr_chart_kind {
    const char *name;  /* "capacity" */
    const char *shows; /* one line for help */
    bool (*has)(const fr_chart_source *source);
    void (*fill)(const fr_chart_source *source, fr_chart *chart);
} fr_chart_kind;

/* What each stage carries on one blend of the result. */
void fr_chart_fill_capacity(const fr_chart_source *source, size_t index, fr_chart *chart);

/* Ends with a null name. */
extern const fr_chart_kind fr_chart_kinds[];
const fr_chart_kind *fr_chart_kind_find(const char *name);

#endif
