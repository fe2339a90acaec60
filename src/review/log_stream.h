/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A file as records of a CSV log, one after another, in a fixed buffer. */
#ifndef FR_REVIEW_LOG_STREAM_H
#define FR_REVIEW_LOG_STREAM_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

enum {
    FR_LOG_RECORD_MAX = 1 << 16, /* longest line */
    FR_LOG_BUFFER = 1 << 18,
    FR_LOG_QUOTED_LINES_MAX = 4  /* line ends that a quoted field may hold, less one */
};

typedef enum fr_log_end {
    FR_LOG_GOES_ON,
    FR_LOG_FINISHED,
    FR_LOG_TOO_LONG,  /* a line over FR_LOG_RECORD_MAX */
    FR_LOG_READ_ERROR
} fr_log_end;

typedef struct fr_log_stream {
    FILE *in;
    char *buffer; /* FR_LOG_BUFFER bytes */
    size_t begin, end;
    bool exhausted; /* the file has been read to its end */
    size_t line;    /* of the record last given, from 1 */
    size_t next_line;
} fr_log_stream;

/* False when out of memory. Close it in every case. */
bool fr_log_stream_open(fr_log_stream *stream, FILE *in);
void fr_log_stream_close(fr_log_stream *stream);
/* The next record without its line end (and, in front, a byte order mark); valid until the next
 * call. A quoted field may hold a few line ends; one quote too many does not swallow the file. */
fr_log_end fr_log_stream_next(fr_log_stream *stream, const char **record, size_t *length);

#endif
