/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/log_columns.h"

#include <stdio.h>
#include <string.h>
#include <strings.h>

static const double AFR_GASOLINE = 14.7; /* gauges that show air-fuel ratio use this for lambda 1
                                            on any fuel: common practice, no source */

/* What columns are called where the sheet has no `log` section; lower case, '|' between. */
static const char *const CALLED[FR_CHANNEL_COUNT] = {
    [FR_CHANNEL_TIME] = "time|timestamp|seconds",
    [FR_CHANNEL_ENGINE_SPEED] = "engine speed|rpm|engine rpm|speed",
    [FR_CHANNEL_ETHANOL] = "ethanol|ethanol content|ethanol percent",
    [FR_CHANNEL_LAMBDA] = "lambda|afr",
    [FR_CHANNEL_MANIFOLD_PRESSURE] = "manifold pressure|manifold absolute pressure|map",
    [FR_CHANNEL_SUPPLY_VOLTAGE] = "supply voltage|battery voltage|battery",
    [FR_CHANNEL_PUMP_VOLTAGE] = "pump voltage|fuel pump voltage",
    [FR_CHANNEL_PUMP_CURRENT] = "pump current|fuel pump current",
    [FR_CHANNEL_FEED_PRESSURE] = "feed pressure|fuel pressure",
    [FR_CHANNEL_RAIL_PRESSURE] = "rail pressure|fuel rail pressure",
    [FR_CHANNEL_RAIL_COMMAND] = "rail command|rail pressure command|rail pressure target",
    [FR_CHANNEL_PORT_PULSE] = "port pulse|port pulse width|injector pulse width",
    [FR_CHANNEL_DIRECT_PULSE] = "direct pulse|direct pulse width",
    [FR_CHANNEL_FUEL_TEMPERATURE] = "fuel temperature",
    [FR_CHANNEL_POWER] = "power",
    [FR_CHANNEL_TORQUE] = "torque",
    [FR_CHANNEL_FUEL_FLOW] = "fuel flow",
};

/* A column's title, and the unit that stands in brackets behind it. */
typedef struct heading {
    char title[FR_LOG_TITLE_MAX];
    char base[FR_LOG_TITLE_MAX];
    char unit[FR_LOG_UNIT_MAX];
} heading;

static void trim(char *text) {
    size_t length = strlen(text);
    while (length > 0 && text[length - 1] == ' ')
        text[--length] = '\0';
}

/* Copies a cell: doubled quotes become one, line ends blanks; cut to `size`. */
static void copy_cell(const fr_log_cell *cell, char *out, size_t size) {
    size_t length = 0;
    for (size_t i = 0; i < cell->length && length + 1 < size; i++) {
        const char c = cell->text[i];
        if (cell->quoted && c == '"' && i + 1 < cell->length && cell->text[i + 1] == '"')
            i++;
        out[length++] = (unsigned char)c < ' ' ? ' ' : c;
    }
    out[length] = '\0';
    trim(out);
}

static heading read_heading(const fr_log_cell *cell) {
    heading read = {0};
    copy_cell(cell, read.title, sizeof read.title);
    strcpy(read.base, read.title);
    const size_t length = strlen(read.title);
    char *open = length > 0 && read.title[length - 1] == ')'   ? strrchr(read.base, '(')
                 : length > 0 && read.title[length - 1] == ']' ? strrchr(read.base, '[')
                                                               : NULL;
    if (open != NULL) {
        snprintf(read.unit, sizeof read.unit, "%.*s", (int)(strlen(open) - 2), open + 1);
        *open = '\0';
        trim(read.base);
    }
    return read;
}

static bool is_mapped(const fr_log_section *map) {
    for (int c = 0; c < FR_CHANNEL_COUNT; c++)
        if (map->channels[c].column != NULL)
            return true;
    return false;
}

/* Is `name`, in any letter case and with "_" for blanks, one of a list? */
static bool is_called(const char *list, const char *name) {
    char plain[FR_LOG_TITLE_MAX];
    snprintf(plain, sizeof plain, "%s", name);
    for (char *c = plain; *c != '\0'; c++)
        if (*c == '_')
            *c = ' ';
    const size_t length = strlen(plain);
    while (length > 0 && *list != '\0') {
        const size_t word = strcspn(list, "|");
        if (word == length && strncasecmp(list, plain, length) == 0)
            return true;
        list += word + (list[word] == '|');
    }
    return false;
}

static bool is_channel(const fr_log_section *map, bool mapped, int channel, const heading *read) {
    if (!mapped)
        return is_called(CALLED[channel], read->base);
    const char *column = map->channels[channel].column;
    return column != NULL &&
           (strcasecmp(column, read->title) == 0 || strcasecmp(column, read->base) == 0);
}

/* Sets the unit of a source; false when it is none of the channel's kinds. */
static bool set_unit(fr_log_source *source, int channel, const char *unit) {
    fr_kind kind;
    double factor;
    double offset;
    if (channel == FR_CHANNEL_LAMBDA) {
        const bool afr = strcasecmp(unit, "AFR") == 0;
        source->kind = FR_KIND_NUMBER;
        source->factor = afr ? 1.0 / AFR_GASOLINE : 1.0;
        source->offset = 0.0;
        return afr || unit[0] == '\0' || strcasecmp(unit, "lambda") == 0;
    }
    if (!fr_unit_find(unit, fr_channel_kinds((fr_channel)channel), &kind, &factor, &offset))
        return false;
    source->kind = kind;
    source->factor = factor;
    source->offset = offset;
    return true;
}

static void take_column(const fr_log_section *map, int channel, const heading *read, size_t cell,
                        fr_log_layout *layout) {
    fr_log_source *source = &layout->sources[channel];
    const char *unit = map->channels[channel].unit;
    source->found = true;
    source->cell = cell;
    snprintf(source->title, sizeof source->title, "%s", read->title);
    set_unit(source, channel, fr_channel_unit((fr_channel)channel));
    if (unit != NULL)
        source->unit_known = set_unit(source, channel, unit);
    else if (read->unit[0] != '\0')
        source->unit_known = set_unit(source, channel, read->unit);
    if (channel == FR_CHANNEL_LAMBDA && is_called("afr", read->base) && !source->unit_known)
        source->unit_known = set_unit(source, channel, "AFR");
    layout->cell_count = cell + 1 > layout->cell_count ? cell + 1 : layout->cell_count;
}

bool fr_log_layout_read(const fr_log_section *map, const char *record, size_t length,
                        fr_log_layout *layout) {
    fr_log_cell cells[FR_LOG_CELLS_MAX];
    const bool mapped = is_mapped(map);
    memset(layout, 0, sizeof *layout);
    layout->delimiter = fr_log_delimiter(record, length);
    layout->decimal_comma = layout->delimiter != ',';
    const size_t count = fr_log_split(record, length, layout->delimiter, cells, FR_LOG_CELLS_MAX);
    for (size_t i = 0; i < count; i++) {
        const heading read = read_heading(&cells[i]);
        for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++)
            if (!layout->sources[channel].found && is_channel(map, mapped, channel, &read))
                take_column(map, channel, &read, i, layout);
    }
    return layout->sources[FR_CHANNEL_ENGINE_SPEED].found;
}

/* ---- the row of units ---- */

/* A row of units has words where numbers are due, and no number at all. */
static bool is_row_of_units(const fr_log_layout *layout, const fr_log_cell *cells, size_t count) {
    size_t words = 0;
    for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++) {
        const fr_log_source *source = &layout->sources[channel];
        double number;
        if (!source->found || source->cell >= count)
            continue;
        const fr_log_cell *cell = &cells[source->cell];
        switch (fr_log_number(cell->text, cell->length, true, &number)) {
        case FR_LOG_NUMBER:
            return false;
        case FR_LOG_BAD:
            words++;
            break;
        default:
            break;
        }
    }
    return words > 0;
}

bool fr_log_layout_units(fr_log_layout *layout, const fr_log_cell *cells, size_t count,
                         const char *name, size_t line, fr_report *report) {
    if (!is_row_of_units(layout, cells, count))
        return false;
    for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++) {
        fr_log_source *source = &layout->sources[channel];
        char unit[FR_LOG_UNIT_MAX];
        if (!source->found || source->unit_known || source->cell >= count)
            continue;
        copy_cell(&cells[source->cell], unit, sizeof unit);
        if (unit[0] == '\0' || set_unit(source, channel, unit))
            continue;
        char message[FR_LOG_TITLE_MAX + FR_LOG_UNIT_MAX + 80];
        snprintf(message, sizeof message, "column '%s': '%s' is no unit of %s; taken as %s",
                 source->title, unit, fr_channel_name((fr_channel)channel),
                 fr_channel_unit((fr_channel)channel)[0] != '\0'
                     ? fr_channel_unit((fr_channel)channel)
                     : "a bare number");
        fr_report_add(report, FR_CAUTION, name, line, 1, NULL, message,
                      "give the unit in the sheet's log section", NULL);
    }
    return true;
}

/* ---- what is to be said about the header ---- */

static void say_missing(const fr_log_section *map, int channel, const char *name, size_t line,
                        fr_report *report) {
    char message[2 * FR_LOG_TITLE_MAX + 80];
    snprintf(message, sizeof message, "no column '%.64s' in this log; %s is left out",
             map->channels[channel].column, fr_channel_name((fr_channel)channel));
    fr_report_add(report, FR_CAUTION, name, line, 1, NULL, message, NULL, NULL);
}

/* A unit in brackets that belongs to another kind of thing: the column is not what it seems. */
static void say_foreign_unit(fr_log_layout *layout, int channel, const heading *read,
                             const char *name, size_t line, fr_report *report) {
    fr_kind kind;
    double factor;
    double offset;
    fr_log_source *source = &layout->sources[channel];
    if (source->unit_known || read->unit[0] == '\0' || channel == FR_CHANNEL_LAMBDA)
        return;
    fr_unit_find(read->unit, fr_channel_kinds((fr_channel)channel), &kind, &factor, &offset);
    if (kind == FR_KIND_COUNT) /* no unit at all: a word in brackets */
        return;
    char message[2 * FR_LOG_TITLE_MAX + 80];
    snprintf(message, sizeof message, "column '%s' is in %s, not %s: left out", read->title,
             read->unit, fr_channel_name((fr_channel)channel));
    fr_report_add(report, FR_CAUTION, name, line, 1, NULL, message, NULL, NULL);
    source->found = channel == FR_CHANNEL_ENGINE_SPEED;
}

void fr_log_layout_remarks(fr_log_layout *layout, const fr_log_section *map,
                           const char *record, size_t length, const char *name, size_t line,
                           fr_report *report) {
    fr_log_cell cells[FR_LOG_CELLS_MAX];
    const size_t count = fr_log_split(record, length, layout->delimiter, cells, FR_LOG_CELLS_MAX);
    for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++) {
        const fr_log_source *source = &layout->sources[channel];
        if (!source->found && map->channels[channel].column != NULL)
            say_missing(map, channel, name, line, report);
        if (source->found && source->cell < count) {
            const heading read = read_heading(&cells[source->cell]);
            say_foreign_unit(layout, channel, &read, name, line, report);
        }
    }
}
