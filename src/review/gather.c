/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/gather.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* All common practice, no source. */
static const double ETHANOL_MOVED = 0.03;     /* the line is being refilled */
static const double LOADED_PRESSURE = 0.80;   /* of the manifold pressure that the sheet expects */
static const double LOADED_WORKED_OUT = 0.65; /* where that was worked out, not given */
static const double LOADED_POWER = 0.60;      /* of the target */
static const double SPAN_SHARE = 0.30;        /* of the sheet's pull that must be seen */
static const double SPAN_LEAST_RPM = 1000.0;
enum { UNLOADED_MAX = 5, EXPECTED_POINTS = 24 };

/* What the sheet expects over speed where full load is asked for. */
typedef struct full_load {
    fr_curve manifold, power;
    double pressure_share;
} full_load;

static full_load expect_full_load(const fr_gather *gather, double ethanol) {
    full_load expected = {.pressure_share = gather->build->engine.boost_source == FR_BOOST_WORKED_OUT
                                                ? LOADED_WORKED_OUT
                                                : LOADED_PRESSURE};
    expected.manifold = expected.power = fr_curve_constant(0.0);
    expected.manifold.count = expected.power.count = EXPECTED_POINTS;
    for (size_t i = 0; i < EXPECTED_POINTS; i++) {
        double figures[FR_CHANNEL_COUNT];
        const double share = (double)i / (EXPECTED_POINTS - 1);
        const double rpm = gather->least_rpm + share * (gather->most_rpm - gather->least_rpm);
        fr_node_expect(gather->build, ethanol, rpm, figures);
        expected.manifold.x[i] = expected.power.x[i] = rpm;
        expected.manifold.y[i] = figures[FR_CHANNEL_MANIFOLD_PRESSURE];
        expected.power.y[i] = figures[FR_CHANNEL_POWER];
    }
    return expected;
}

/* Full load at a row: 1 yes, 0 no, -1 nothing in the row tells. */
static int is_loaded(const full_load *expected, const fr_log_row *row) {
    static const double RPM_TO_RAD_S = 0.10471975511965977;
    const double rpm = row->value[FR_CHANNEL_ENGINE_SPEED];
    const double pressure = row->value[FR_CHANNEL_MANIFOLD_PRESSURE];
    double power = row->value[FR_CHANNEL_POWER];
    if (isnan(power))
        power = row->value[FR_CHANNEL_TORQUE] * rpm * RPM_TO_RAD_S;
    if (!isnan(pressure))
        return pressure >= expected->pressure_share * fr_curve_at(&expected->manifold, rpm);
    if (!isnan(power))
        return power >= LOADED_POWER * fr_curve_at(&expected->power, rpm);
    return -1;
}

/* The longest run of rows at full load inside the sheet's pull; a few that are not do not end it. */
static size_t loaded_run(const fr_gather *gather, const full_load *expected,
                         const fr_log_row *rows, size_t count, size_t *first, bool *on_trust) {
    size_t best = 0;
    size_t from = 0;
    size_t missed = 0;
    size_t last = 0;
    bool running = false;
    *on_trust = true;
    for (size_t i = 0; i < count; i++) {
        const double rpm = rows[i].value[FR_CHANNEL_ENGINE_SPEED];
        const int loaded = is_loaded(expected, &rows[i]);
        const bool good = loaded != 0 && rpm >= gather->least_rpm && rpm <= gather->most_rpm;
        *on_trust = *on_trust && loaded < 0;
        if (good && !running)
            from = i;
        running = good || (running && ++missed <= UNLOADED_MAX);
        missed = good ? 0 : missed;
        last = good ? i : last;
        if (running && last + 1 - from > best) {
            best = last + 1 - from;
            *first = from;
        }
    }
    return best;
}

/* Least and greatest row in speed order matter little: rows rise but for noise. */
static double span_of(const fr_log_row *rows, size_t count) {
    return count > 0 ? rows[count - 1].value[FR_CHANNEL_ENGINE_SPEED] -
                           rows[0].value[FR_CHANNEL_ENGINE_SPEED]
                     : 0.0;
}

static double median_ethanol(const fr_gather *gather, const fr_log_row *rows, size_t count) {
    size_t used = 0;
    if (!gather->columns.found[FR_CHANNEL_ETHANOL])
        return gather->blend;
    for (size_t i = 0; i < count; i++)
        if (!isnan(rows[i].value[FR_CHANNEL_ETHANOL]))
            gather->room[used++] = rows[i].value[FR_CHANNEL_ETHANOL];
    return fr_median(gather->room, used);
}

/* How far the content moved, by the nodes' means, so that one wrong row does not count. */
static double ethanol_moved(const fr_pull_node *nodes, size_t count) {
    double least = INFINITY;
    double most = -INFINITY;
    for (size_t i = 0; i < count; i++) {
        const double ethanol = nodes[i].value[FR_CHANNEL_ETHANOL].mean;
        if (isnan(ethanol))
            continue;
        least = fmin(least, ethanol);
        most = fmax(most, ethanol);
    }
    return most > least ? most - least : 0.0;
}

static void describe(const fr_gather *gather, const fr_log_row *rows, size_t count,
                     fr_review_pull *pull) {
    snprintf(pull->log, sizeof pull->log, "%s", gather->log);
    pull->first_line = rows[0].line;
    pull->last_line = rows[count - 1].line;
    pull->rows = count;
    pull->first_rpm = rows[0].value[FR_CHANNEL_ENGINE_SPEED];
    pull->last_rpm = rows[count - 1].value[FR_CHANNEL_ENGINE_SPEED];
}

/* A pull that is shown; the last place is kept for those used. Null: no room. */
static fr_review_pull *new_pull(fr_gather *gather, bool for_use) {
    fr_review_result *result = gather->result;
    const size_t aside = result->pull_count - gather->used_count;
    if (!for_use && aside >= FR_REVIEW_PULLS_MAX)
        return NULL;
    fr_review_pull *pull = &result->pulls[result->pull_count++];
    memset(pull, 0, sizeof *pull);
    return pull;
}

static void set_aside(fr_gather *gather, const fr_log_row *rows, size_t count, double ethanol,
                      double moved, fr_pull_fate fate) {
    fr_review_pull *pull = new_pull(gather, false);
    if (pull == NULL || count == 0)
        return;
    describe(gather, rows, count, pull);
    pull->ethanol = ethanol;
    pull->ethanol_moved = moved;
    pull->fate = fate;
    pull->rows = 0;
}

static void use(fr_gather *gather, const fr_log_row *rows, size_t count, double ethanol,
                bool on_trust) {
    fr_used_pull *used = &gather->used[gather->used_count];
    used->node_count = fr_nodes_make(rows, count, gather->room, used->nodes);
    gather->out_of_memory = gather->out_of_memory || used->node_count == 0;
    const double moved = ethanol_moved(used->nodes, used->node_count);
    if (moved > ETHANOL_MOVED) {
        set_aside(gather, rows, count, ethanol, moved, FR_PULL_ETHANOL_MOVED);
        return;
    }
    fr_review_pull *pull = new_pull(gather, true);
    describe(gather, rows, count, pull);
    pull->ethanol = used->ethanol = ethanol;
    pull->ethanol_moved = moved;
    pull->load_on_trust = on_trust;
    pull->fate = FR_PULL_USED;
    used->columns = gather->columns;
    used->shown = (size_t)(pull - gather->result->pulls);
    gather->used_count++;
    gather->result->rows_used += count;
}

void fr_gather_take(void *user, fr_log_row *rows, size_t count) {
    fr_gather *gather = user;
    const double ethanol = median_ethanol(gather, rows, count);
    const full_load expected = expect_full_load(gather, isnan(ethanol) ? 0.0 : ethanol);
    const double least_span =
        fmax(SPAN_LEAST_RPM, SPAN_SHARE * (gather->most_rpm - gather->least_rpm));
    size_t first = 0;
    bool on_trust;
    const size_t run = loaded_run(gather, &expected, rows, count, &first, &on_trust);
    const double lowest = rows[0].value[FR_CHANNEL_ENGINE_SPEED];
    const double highest = rows[count - 1].value[FR_CHANNEL_ENGINE_SPEED];
    const double inside = fmin(highest, gather->most_rpm) - fmax(lowest, gather->least_rpm);
    if (inside < least_span)
        set_aside(gather, rows, count, ethanol, 0.0, FR_PULL_OUTSIDE);
    else if (span_of(rows + first, run) < least_span)
        set_aside(gather, rows, count, ethanol, 0.0, FR_PULL_NOT_LOADED);
    else if (isnan(ethanol))
        set_aside(gather, rows + first, run, ethanol, 0.0, FR_PULL_NO_ETHANOL);
    else if (gather->used_count == FR_REVIEW_PULLS_MAX)
        set_aside(gather, rows + first, run, ethanol, 0.0, FR_PULL_TOO_MANY);
    else
        use(gather, rows + first, run, fmin(1.0, fmax(0.0, ethanol)), on_trust);
}
