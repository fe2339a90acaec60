/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/log_stream.h"

#include <stdlib.h>
#include <string.h>

static const char BYTE_ORDER_MARK[] = "\xEF\xBB\xBF";

bool fr_log_stream_open(fr_log_stream *stream, FILE *in) {
    memset(stream, 0, sizeof *stream);
    stream->in = in;
    stream->next_line = 1;
    stream->buffer = malloc(FR_LOG_BUFFER);
    return stream->buffer != NULL;
}

void fr_log_stream_close(fr_log_stream *stream) {
    free(stream->buffer);
    stream->buffer = NULL;
}

/* Moves what is left to the front and fills up behind it. False on a read error. */
static bool refill(fr_log_stream *stream) {
    const size_t left = stream->end - stream->begin;
    memmove(stream->buffer, stream->buffer + stream->begin, left);
    stream->begin = 0;
    stream->end = left;
    const size_t got = fread(stream->buffer + left, 1, FR_LOG_BUFFER - left, stream->in);
    stream->end += got;
    stream->exhausted = got < FR_LOG_BUFFER - left;
    return !(stream->exhausted && ferror(stream->in));
}

static const char *line_end(const char *from, const char *end) {
    const char *found = memchr(from, '\n', (size_t)(end - from));
    return found != NULL ? found : end;
}

static bool quotes_are_even(const char *from, const char *end) {
    bool even = true;
    while ((from = memchr(from, '"', (size_t)(end - from))) != NULL) {
        even = !even;
        from++;
    }
    return even;
}

/* End of the record that begins here: that of the line, or a few lines on where a quote is open. */
static const char *record_end(const char *from, const char *end, size_t *lines) {
    const char *first = line_end(from, end);
    const char *last = first;
    *lines = 1;
    if (quotes_are_even(from, first))
        return first;
    while (*lines < FR_LOG_QUOTED_LINES_MAX && last < end) {
        last = line_end(last + 1, end);
        ++*lines;
        if (quotes_are_even(from, last))
            return last;
    }
    *lines = 1;
    return first;
}

fr_log_end fr_log_stream_next(fr_log_stream *stream, const char **record, size_t *length) {
    /* So much in the buffer holds any record, or the file's end. */
    if (!stream->exhausted && stream->end - stream->begin < FR_LOG_RECORD_MAX && !refill(stream))
        return FR_LOG_READ_ERROR;
    if (stream->begin == stream->end)
        return FR_LOG_FINISHED;
    const char *from = stream->buffer + stream->begin;
    const char *limit = stream->buffer + stream->end;
    if (limit - from > FR_LOG_RECORD_MAX)
        limit = from + FR_LOG_RECORD_MAX;
    size_t lines;
    const char *last = record_end(from, limit, &lines);
    if (last == limit && limit - from == FR_LOG_RECORD_MAX)
        return FR_LOG_TOO_LONG;
    stream->line = stream->next_line;
    stream->next_line += lines;
    stream->begin += (size_t)(last - from) + (last < limit ? 1 : 0);
    if (stream->line == 1 && last - from >= 3 && memcmp(from, BYTE_ORDER_MARK, 3) == 0)
        from += 3;
    if (last > from && last[-1] == '\r')
        last--;
    *record = from;
    *length = (size_t)(last - from);
    return FR_LOG_GOES_ON;
}
