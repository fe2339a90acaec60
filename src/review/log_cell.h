/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A record's cells, and what number stands in one. */
#ifndef FR_REVIEW_LOG_CELL_H
#define FR_REVIEW_LOG_CELL_H

#include <stdbool.h>
#include <stddef.h>

enum { FR_LOG_CELLS_MAX = 512 };

/* Without surrounding blanks and quotes; doubled quotes inside stay doubled. */
typedef struct fr_log_cell {
    const char *text;
    size_t length;
    bool quoted;
} fr_log_cell;

/* Cuts a record at `delimiter`; at most `most` cells, the rest is not looked at. */
size_t fr_log_split(const char *record, size_t length, char delimiter, fr_log_cell *cells,
                    size_t most);
/* What parts the cells of a record: the most frequent of ; tab and comma outside quotes. */
char fr_log_delimiter(const char *record, size_t length);

typedef enum fr_log_reading { FR_LOG_BLANK, FR_LOG_NUMBER, FR_LOG_BAD } fr_log_reading;

/* Decimal number, correctly rounded. `comma`: a comma is a decimal sign too. Blank: nothing, "-",
 * or a spelling of "not a number". Infinities, hexadecimal and units are bad. */
fr_log_reading fr_log_number(const char *text, size_t length, bool comma, double *value);

#endif
