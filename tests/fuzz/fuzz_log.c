/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes as a log: read, searched for pulls, made into nodes. What comes out is finite or not a
 * number, counts agree, and no pull is longer than its bound. */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fuelreach/review.h"
#include "review/nodes.h"
#include "review/pulls.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void demand(bool holds) {
    if (!holds)
        abort();
}

typedef struct read_log {
    fr_pull_finder finder;
    size_t rows;
    size_t last_line;
} read_log;

static void meet_nodes(const fr_pull_node *nodes, size_t count) {
    demand(count <= FR_REVIEW_NODES_MAX);
    for (size_t i = 0; i < count; i++) {
        demand(nodes[i].rows > 0 && isfinite(nodes[i].rpm) && nodes[i].rpm > 0.0);
        for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++)
            demand(!isinf(nodes[i].value[channel].mean));
    }
}

static void take_pull(void *user, fr_log_row *rows, size_t count) {
    fr_pull_node nodes[FR_REVIEW_NODES_MAX];
    double *room = malloc(count * sizeof *room);
    (void)user;
    demand(count > 0 && count <= FR_PULL_ROWS_MAX && room != NULL);
    meet_nodes(nodes, fr_nodes_make(rows, count, room, nodes));
    free(room);
}

static bool take_row(void *user, const fr_log_columns *columns, const fr_log_row *row) {
    read_log *log = user;
    demand(columns->found[FR_CHANNEL_ENGINE_SPEED]);
    demand(row->line > log->last_line);
    for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++)
        demand(columns->found[channel] || isnan(row->value[channel]));
    log->last_line = row->line;
    log->rows++;
    fr_pull_finder_take(&log->finder, row);
    return true;
}

/* Every other input is read with a sheet's names for the columns, else by common names. */
static fr_log_section make_map(bool mapped) {
    fr_log_section map = {.blend = NAN};
    if (mapped) {
        map.channels[FR_CHANNEL_TIME].column = "Time";
        map.channels[FR_CHANNEL_ENGINE_SPEED].column = "Engine speed";
        map.channels[FR_CHANNEL_FEED_PRESSURE].column = "Fuel pressure";
        map.channels[FR_CHANNEL_FEED_PRESSURE].unit = "psi";
        map.channels[FR_CHANNEL_FUEL_FLOW].column = "Fuel flow";
    }
    return map;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static const double AIR_PA = 101325.0;
    fr_report report = FR_REPORT_EMPTY;
    fr_log_columns columns;
    fr_log_count count;
    read_log log = {.rows = 0};
    const fr_log_section map = make_map(size % 2 == 1);
    FILE *in = size > 0 ? fmemopen((void *)(uintptr_t)data, size, "r") : fopen("/dev/null", "r");
    demand(in != NULL);
    const fr_log_file file = {"fuzz.csv", in, &map, AIR_PA};
    fr_pull_finder_start(&log.finder, take_pull, &log);
    const fr_status status =
        fr_log_read(&file, take_row, &log, &report, &columns, &count);
    fr_pull_finder_flush(&log.finder);
    fr_pull_finder_close(&log.finder);
    demand(status == FR_OK || status == FR_BAD_INPUT);
    demand(status == FR_OK || fr_report_errors(&report) > 0);
    demand(count.rows == log.rows && count.bad_rows <= count.rows);
    fr_report_close(&report);
    fclose(in);
    return 0;
}
