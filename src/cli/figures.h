/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Computed figures of a part, as a table that text and JSON both print. */
#ifndef FR_CLI_FIGURES_H
#define FR_CLI_FIGURES_H

#include <stddef.h>

#include "fuelreach/sheet.h"

enum { FR_FIGURE_COLUMNS_MAX = 6, FR_FIGURE_ROWS_MAX = 12 };

typedef struct fr_figure_column {
    const char *key;     /* in JSON, with its unit: "flow_l_h" */
    const char *heading; /* above the unit, in text */
    const char *unit;
    int decimals;
} fr_figure_column;

typedef struct fr_figures {
    const char *title; /* a line of text; tells what holds for the whole table */
    const fr_figure_column *columns;
    size_t column_count;
    size_t row_count;
    double values[FR_FIGURE_ROWS_MAX][FR_FIGURE_COLUMNS_MAX]; /* in the columns' units; NAN: none */
} fr_figures;

/* What the part does, from the same functions that the check uses. */
void fr_part_figures(const fr_part *part, fr_figures *figures);

#endif
