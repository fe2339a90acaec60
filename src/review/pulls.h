/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Finds stretches of rising engine speed in a stream of rows. Only the stretch at hand is kept. */
#ifndef FR_REVIEW_PULLS_H
#define FR_REVIEW_PULLS_H

#include "fuelreach/review.h"

/* Most rows of a stretch that are kept; a longer one is thinned to every second row. */
enum { FR_PULL_ROWS_MAX = 1 << 14 };

/* Called with a stretch that rose far enough. Rows may be changed. */
typedef void (*fr_pull_taker)(void *user, fr_log_row *rows, size_t count);

typedef struct fr_pull_finder {
    fr_log_row *rows;
    size_t count, capacity;
    size_t stride, skipped; /* of thinning */
    size_t odd;             /* rows in a row that jump away */
    size_t left_out;        /* of those that were jumps and came back */
    double peak_rpm;
    double mark_rpm, mark_time_s; /* where speed last got on */
    size_t mark;
    bool out_of_memory;
    fr_pull_taker taker;
    void *user;
} fr_pull_finder;

void fr_pull_finder_start(fr_pull_finder *finder, fr_pull_taker taker, void *user);
void fr_pull_finder_take(fr_pull_finder *finder, const fr_log_row *row);
/* The log has ended; hands on what is at hand. */
void fr_pull_finder_flush(fr_pull_finder *finder);
void fr_pull_finder_close(fr_pull_finder *finder);

#endif
