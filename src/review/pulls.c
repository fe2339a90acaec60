/* SPDX-License-Identifier: GPL-3.0-or-later */
/* All thresholds are common practice without a source; tests hold what they let through. */
#include "review/pulls.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double LEAST_SPAN_RPM = 1200.0; /* a gear change or a blip is less, or quicker */
static const double SLOWEST_RPM_S = 40.0;    /* a slow sweep on a dynamometer */
static const double FASTEST_RPM_S = 4000.0;  /* beyond, the engine turns free */
static const double FALL_RPM = 100.0;        /* speed falls by noise, wheel slip */
static const double FALL_SHARE = 0.03;
static const double JUMP_RPM = 400.0;        /* no engine does so between two rows, */
static const double JUMP_RPM_S = 2500.0;     /* and so much for the time between them */
static const double UNTIMED_S = 0.1;         /* taken between rows without a time column */
static const double MARK_RPM = 50.0;         /* speed has got on by so much... */
static const double STALL_S = 1.0;           /* ...in this time, else it stands */
static const double GAP_S = 1.5;             /* the logger stopped */
enum { LEAST_ROWS = 12, ODD_MAX = 3, STALL_ROWS = 400, ROWS_AT_FIRST = 512 };

static double speed_of(const fr_log_row *row) {
    return row->value[FR_CHANNEL_ENGINE_SPEED];
}

static double time_of(const fr_log_row *row) {
    return row->value[FR_CHANNEL_TIME];
}

void fr_pull_finder_start(fr_pull_finder *finder, fr_pull_taker taker, void *user) {
    memset(finder, 0, sizeof *finder);
    finder->taker = taker;
    finder->user = user;
    finder->stride = 1;
}

void fr_pull_finder_close(fr_pull_finder *finder) {
    free(finder->rows);
    finder->rows = NULL;
}

static bool make_room(fr_pull_finder *finder) {
    if (finder->count < finder->capacity)
        return true;
    if (finder->capacity < FR_PULL_ROWS_MAX) {
        const size_t capacity = finder->capacity > 0 ? 2 * finder->capacity : ROWS_AT_FIRST;
        fr_log_row *rows = realloc(finder->rows, capacity * sizeof *rows);
        finder->out_of_memory = rows == NULL;
        if (rows == NULL)
            return false;
        finder->rows = rows;
        finder->capacity = capacity;
        return true;
    }
    for (size_t i = 0; 2 * i < finder->count; i++)
        finder->rows[i] = finder->rows[2 * i];
    finder->count = (finder->count + 1) / 2;
    finder->mark /= 2;
    finder->stride *= 2;
    return true;
}

static void push(fr_pull_finder *finder, const fr_log_row *row) {
    if (++finder->skipped < finder->stride)
        return;
    finder->skipped = 0;
    if (make_room(finder))
        finder->rows[finder->count++] = *row;
}

static void begin(fr_pull_finder *finder, const fr_log_row *row) {
    finder->count = 0;
    finder->odd = 0;
    finder->stride = 1;
    finder->skipped = 0;
    push(finder, row);
    finder->peak_rpm = finder->mark_rpm = speed_of(row);
    finder->mark_time_s = time_of(row);
    finder->mark = 0;
}

/* Did speed rise as in a pull? Rates only where the log tells time. */
static bool rose(const fr_pull_finder *finder) {
    const double span = finder->peak_rpm - speed_of(&finder->rows[0]);
    const double time = time_of(&finder->rows[finder->mark]) - time_of(&finder->rows[0]);
    if (finder->mark + 1 < LEAST_ROWS || span < LEAST_SPAN_RPM)
        return false;
    return isnan(time) || (span >= SLOWEST_RPM_S * time && span <= FASTEST_RPM_S * time);
}

static void finish(fr_pull_finder *finder) {
    if (finder->count > 0 && rose(finder))
        finder->taker(finder->user, finder->rows, finder->mark + 1);
    finder->count = 0;
}

void fr_pull_finder_flush(fr_pull_finder *finder) {
    finish(finder);
}

/* Time between the last row and this one, s. */
static double step_of(const fr_log_row *last, const fr_log_row *row) {
    const double step = time_of(row) - time_of(last);
    return isnan(step) ? UNTIMED_S : step;
}

static bool stands(const fr_pull_finder *finder, const fr_log_row *row) {
    const double waited = time_of(row) - finder->mark_time_s;
    return isnan(waited) ? finder->count - finder->mark > STALL_ROWS : waited > STALL_S;
}

/* Is the row the next of this stretch? */
static bool goes_on(const fr_pull_finder *finder, const fr_log_row *row, double step) {
    const double allowed = FALL_RPM + FALL_SHARE * finder->peak_rpm;
    return step >= 0.0 && step <= GAP_S && speed_of(row) >= finder->peak_rpm - allowed &&
           !stands(finder, row);
}

void fr_pull_finder_take(fr_pull_finder *finder, const fr_log_row *row) {
    const double speed = speed_of(row);
    if (!(speed > 0.0) || finder->out_of_memory)
        return;
    if (finder->count == 0) {
        begin(finder, row);
        return;
    }
    const fr_log_row *last = &finder->rows[finder->count - 1];
    const double step = step_of(last, row);
    const bool jumps = fabs(speed - speed_of(last)) > JUMP_RPM + JUMP_RPM_S * fabs(step);
    if (jumps && ++finder->odd < ODD_MAX)
        return;
    if (!jumps && finder->odd > 0) {
        finder->left_out += finder->odd;
        finder->odd = 0;
    }
    if (jumps || !goes_on(finder, row, step)) {
        finish(finder);
        begin(finder, row);
        return;
    }
    push(finder, row);
    finder->peak_rpm = fmax(finder->peak_rpm, speed);
    if (speed >= finder->mark_rpm + MARK_RPM) {
        finder->mark_rpm = speed;
        finder->mark_time_s = time_of(row);
        finder->mark = finder->count - 1;
    }
}
