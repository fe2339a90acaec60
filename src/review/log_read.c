/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A log from its header to its last row. */
#include <errno.h>
#include <math.h>
#include <string.h>

#include "fuelreach/review.h"
#include "review/log_cell.h"
#include "review/log_columns.h"
#include "review/log_stream.h"

enum {
    HEADER_WITHIN = 60,  /* lines: some loggers write notes in front */
    BAD_CELLS_NAMED = 8, /* the rest are counted */
    EXCERPT_MAX = 160,
    MESSAGE_MAX = 320
};

typedef struct reader {
    const char *name;
    const fr_log_section *map;
    double air_pressure_pa;
    fr_report *report;
    fr_log_layout layout;
    fr_log_stream stream;
    fr_log_count *count;
} reader;

static void say(const reader *read, fr_severity severity, size_t line, size_t column,
                const char *message, const char *hint, const char *excerpt) {
    fr_report_add(read->report, severity, read->name, line, line > 0 && column == 0 ? 1 : column,
                  NULL, message, hint, excerpt);
}

/* ---- the header ---- */

/* The first columns of a record, for a message. */
static void list_columns(const char *record, size_t length, char *out, size_t size) {
    fr_log_cell cells[8];
    const size_t count = fr_log_split(record, length, fr_log_delimiter(record, length), cells, 8);
    size_t used = 0;
    out[0] = '\0';
    for (size_t i = 0; i < count && used < size; i++) {
        const int put = snprintf(out + used, size - used, "%s'%.*s'", i > 0 ? ", " : "",
                                 (int)(cells[i].length < 40 ? cells[i].length : 40), cells[i].text);
        used += put > 0 ? (size_t)put : 0;
    }
    for (char *c = out; *c != '\0'; c++)
        if ((unsigned char)*c < ' ')
            *c = ' ';
}

static fr_status no_header(const reader *read, const char *columns) {
    char message[MESSAGE_MAX];
    const char *wanted = read->map->channels[FR_CHANNEL_ENGINE_SPEED].column;
    snprintf(message, sizeof message, "no column of engine speed%s%.60s%s; the first line has %s",
             wanted != NULL ? " ('" : "", wanted != NULL ? wanted : "", wanted != NULL ? "')" : "",
             columns);
    say(read, FR_ERROR, 1, 0, message,
        "name it in the sheet: log: {engine_speed: \"its column\"}", NULL);
    return FR_BAD_INPUT;
}

static fr_status end_status(const reader *read, fr_log_end end) {
    if (end == FR_LOG_READ_ERROR) {
        char message[MESSAGE_MAX];
        snprintf(message, sizeof message, "cannot be read: %s", strerror(errno));
        say(read, FR_ERROR, 0, 0, message, NULL, NULL);
        return FR_SYSTEM;
    }
    if (end == FR_LOG_TOO_LONG) {
        say(read, FR_ERROR, read->stream.next_line, 0,
            "a line of over 65,536 bytes; this is no table of text", NULL, NULL);
        return FR_BAD_INPUT;
    }
    return FR_OK;
}

/* Reads up to the header. */
static fr_status find_header(reader *read) {
    char columns[MESSAGE_MAX / 2] = "";
    for (int i = 0; i < HEADER_WITHIN; i++) {
        const char *record;
        size_t length;
        const fr_log_end end = fr_log_stream_next(&read->stream, &record, &length);
        if (end == FR_LOG_FINISHED)
            break;
        if (end != FR_LOG_GOES_ON)
            return end_status(read, end);
        if (memchr(record, '\0', length) != NULL) {
            say(read, FR_ERROR, read->stream.line, 0,
                "a zero byte: this is not text in UTF-8 (a logger's own format, or UTF-16?)",
                "export the log as CSV", NULL);
            return FR_BAD_INPUT;
        }
        if (fr_log_layout_read(read->map, record, length, &read->layout)) {
            fr_log_layout_remarks(&read->layout, read->map, record, length, read->name,
                                  read->stream.line, read->report);
            return FR_OK;
        }
        if (columns[0] == '\0')
            list_columns(record, length, columns, sizeof columns);
    }
    return no_header(read, columns[0] != '\0' ? columns : "nothing");
}

/* ---- the rows ---- */

static void name_bad_cell(reader *read, const char *record, size_t length,
                          const fr_log_source *source, const fr_log_cell *cell) {
    char message[MESSAGE_MAX];
    char excerpt[EXCERPT_MAX];
    const size_t column = (size_t)(cell->text - record) + 1;
    read->count->bad_cells++;
    if (read->count->bad_cells > BAD_CELLS_NAMED)
        return;
    snprintf(message, sizeof message, "'%.*s' in column '%s' (the %zu. cell) is no number; left out",
             (int)(cell->length < 30 ? cell->length : 30), cell->text, source->title,
             source->cell + 1);
    snprintf(excerpt, sizeof excerpt, "%.*s", (int)(length < EXCERPT_MAX ? length : EXCERPT_MAX),
             record);
    for (char *c = message; *c != '\0'; c++)
        if ((unsigned char)*c < ' ')
            *c = ' ';
    say(read, FR_CAUTION, read->stream.line, column < EXCERPT_MAX ? column : 0, message, NULL,
        column < EXCERPT_MAX ? excerpt : NULL);
}

static bool absolute_already(const reader *read, int channel) {
    if (channel == FR_CHANNEL_FEED_PRESSURE)
        return !read->map->channels[channel].absolute; /* kept gauge */
    /* Without a column in the sheet nothing was said: absolute, as the sheet's default is. */
    return read->map->channels[channel].absolute || read->map->channels[channel].column == NULL;
}

/* Feed pressure is kept gauge, the others absolute. */
static double refer_pressure(const reader *read, int channel, double pressure_pa) {
    if (absolute_already(read, channel))
        return pressure_pa;
    return channel == FR_CHANNEL_FEED_PRESSURE ? pressure_pa - read->air_pressure_pa
                                               : pressure_pa + read->air_pressure_pa;
}

static void read_row(reader *read, const char *record, size_t length, const fr_log_cell *cells,
                     size_t count, fr_log_row *row) {
    row->line = read->stream.line;
    row->has_bad_cell = false;
    for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++) {
        const fr_log_source *source = &read->layout.sources[channel];
        double *value = &row->value[channel];
        *value = NAN;
        if (!source->found || source->cell >= count)
            continue;
        const fr_log_cell *cell = &cells[source->cell];
        const bool comma = read->layout.decimal_comma || cell->quoted;
        const fr_log_reading reading = fr_log_number(cell->text, cell->length, comma, value);
        if (reading == FR_LOG_BAD) {
            *value = NAN;
            row->has_bad_cell = true;
            name_bad_cell(read, record, length, source, cell);
        } else if (reading == FR_LOG_NUMBER) {
            *value = source->factor * *value + source->offset;
            if (source->kind == FR_KIND_PRESSURE)
                *value = refer_pressure(read, channel, *value);
        }
    }
}

static bool is_empty(const char *record, size_t length, char delimiter) {
    for (size_t i = 0; i < length; i++)
        if (record[i] != ' ' && record[i] != delimiter && record[i] != '\r')
            return false;
    return true;
}

static void note_columns(const reader *read, fr_log_columns *columns) {
    for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++)
        columns->found[channel] = read->layout.sources[channel].found;
    columns->flow_is_mass = read->layout.sources[FR_CHANNEL_FUEL_FLOW].kind == FR_KIND_MASS_FLOW;
}

static fr_status read_rows(reader *read, fr_log_taker taker, void *user,
                           fr_log_columns *columns) {
    fr_log_cell cells[FR_LOG_CELLS_MAX];
    bool units_may_come = true;
    fr_log_row row;
    for (;;) {
        const char *record;
        size_t length;
        const fr_log_end end = fr_log_stream_next(&read->stream, &record, &length);
        if (end != FR_LOG_GOES_ON)
            return end_status(read, end);
        const size_t count = fr_log_split(record, length, read->layout.delimiter, cells,
                                          read->layout.cell_count);
        if (count <= 2 && is_empty(record, length, read->layout.delimiter))
            continue;
        if (units_may_come && fr_log_layout_units(&read->layout, cells, count, read->name,
                                                  read->stream.line, read->report)) {
            units_may_come = false;
            note_columns(read, columns);
            continue;
        }
        units_may_come = false;
        read_row(read, record, length, cells, count, &row);
        read->count->rows++;
        if (row.has_bad_cell || isnan(row.value[FR_CHANNEL_ENGINE_SPEED]))
            read->count->bad_rows++;
        if (!taker(user, columns, &row))
            return FR_OK;
    }
}

static void name_the_rest(const reader *read) {
    char message[MESSAGE_MAX];
    if (read->count->bad_cells <= BAD_CELLS_NAMED)
        return;
    snprintf(message, sizeof message, "%zu more cells are no numbers; left out",
             read->count->bad_cells - BAD_CELLS_NAMED);
    say(read, FR_CAUTION, 0, 0, message, NULL, NULL);
}

fr_status fr_log_read(const fr_log_file *log, fr_log_taker taker, void *user, fr_report *report,
                      fr_log_columns *columns, fr_log_count *count) {
    reader read = {.name = log->name, .map = log->map, .air_pressure_pa = log->air_pressure_pa,
                   .report = report, .count = count};
    fr_status status = FR_NO_MEMORY;
    memset(columns, 0, sizeof *columns);
    memset(count, 0, sizeof *count);
    if (fr_log_stream_open(&read.stream, log->in))
        status = find_header(&read);
    if (status == FR_OK) {
        note_columns(&read, columns);
        status = read_rows(&read, taker, user, columns);
        name_the_rest(&read);
    }
    fr_log_stream_close(&read.stream);
    return status;
}
