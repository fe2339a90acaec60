/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A table set into 80 columns: widths follow what stands in it; when there is no room, first the
 * gaps shrink, then the columns that can be spared go. */
#ifndef FR_REPORT_TABLE_H
#define FR_REPORT_TABLE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "report/colour.h"

enum { FR_TABLE_COLUMNS_MAX = 20, FR_TABLE_ROWS_MAX = 200, FR_TABLE_CELL_MAX = 24 };

typedef struct fr_table_column {
    const char *heads[2]; /* two lines; null or "" where there is none */
    bool left;            /* set to the left; else to the right, so that figures line up */
    unsigned spare;       /* 0: never left out; the greatest goes first */
} fr_table_column;

typedef struct fr_table {
    size_t indent;
    size_t column_count, row_count;
    fr_table_column columns[FR_TABLE_COLUMNS_MAX];
    char cells[FR_TABLE_ROWS_MAX][FR_TABLE_COLUMNS_MAX][FR_TABLE_CELL_MAX];
    fr_colour colours[FR_TABLE_ROWS_MAX][FR_TABLE_COLUMNS_MAX];
} fr_table;

/* Adds a column and returns its index. All columns come before the first cell. */
size_t fr_table_add_column(fr_table *table, const char *head, const char *under, bool left,
                           unsigned spare);
/* Sets a cell of the row being filled (row_count - 1). */
void fr_table_set(fr_table *table, size_t column, fr_colour colour, const char *text);
/* Begins a row. False when the table is full. */
bool fr_table_add_row(fr_table *table);
void fr_table_write(FILE *out, const fr_table *table, bool colours);

#endif
