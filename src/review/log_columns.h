/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which column of a log is which channel, and in what unit. */
#ifndef FR_REVIEW_LOG_COLUMNS_H
#define FR_REVIEW_LOG_COLUMNS_H

#include "fuelreach/review.h"
#include "review/log_cell.h"

enum { FR_LOG_TITLE_MAX = 64, FR_LOG_UNIT_MAX = 24 };

/* One channel's column. */
typedef struct fr_log_source {
    bool found;
    bool unit_known; /* sheet or header said it; a row of units does not change it */
    size_t cell;     /* index in a record */
    double factor, offset; /* SI = factor * number + offset */
    fr_kind kind;
    char title[FR_LOG_TITLE_MAX];
} fr_log_source;

typedef struct fr_log_layout {
    char delimiter;
    bool decimal_comma; /* the comma does not part cells */
    size_t cell_count;  /* up to the last column that is wanted */
    fr_log_source sources[FR_CHANNEL_COUNT];
} fr_log_layout;

/* Reads a record as header; false when the engine-speed column is not in it. */
bool fr_log_layout_read(const fr_log_section *map, const char *record, size_t length,
                        fr_log_layout *layout);
/* Takes a record as the row of units; false when it is none. Units that are not of the channel's
 * kind are said in `report`. */
bool fr_log_layout_units(fr_log_layout *layout, const fr_log_cell *cells, size_t count,
                         const char *name, size_t line, fr_report *report);
/* Columns that the sheet names and this log has not got, and units not understood. */
void fr_log_layout_remarks(fr_log_layout *layout, const fr_log_section *map,
                           const char *record, size_t length, const char *name, size_t line,
                           fr_report *report);

#endif
