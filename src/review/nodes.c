/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/nodes.h"

#include <math.h>
#include <stdlib.h>

static const double NODE_WIDTH_RPM = 250.0; /* as the check's speeds */
static const double HUBER = 1.345;          /* 95 % efficient on clean normal rows (Huber 1964) */
static const double MAD_TO_SIGMA = 1.4826;  /* of a normal distribution */
/* Variance of y[i-1] - 2 y[i] + y[i+1] over that of one row: 1 + 4 + 1. */
static const double SECOND_DIFFERENCE = 6.0;
static const double EFFICIENCY = 0.95;      /* of the robust mean */
enum { MEAN_STEPS = 20, NOISE_LEAST = 4 };

static int by_value(const void *a, const void *b) {
    const double x = *(const double *)a;
    const double y = *(const double *)b;
    return (x > y) - (x < y);
}

double fr_median(double *values, size_t count) {
    if (count == 0)
        return NAN;
    qsort(values, count, sizeof *values, by_value);
    return count % 2 ? values[count / 2] : 0.5 * (values[count / 2 - 1] + values[count / 2]);
}

double fr_robust_mean(double *values, size_t count, double sigma, double *kept) {
    double mean = fr_median(values, count);
    *kept = (double)count;
    for (int step = 0; step < MEAN_STEPS && sigma > 0.0; step++) {
        double sum = 0.0;
        double weight = 0.0;
        for (size_t i = 0; i < count; i++) {
            const double off = fabs(values[i] - mean);
            const double w = off <= HUBER * sigma ? 1.0 : HUBER * sigma / off;
            sum += w * values[i];
            weight += w;
        }
        *kept = weight;
        mean = sum / weight;
    }
    return mean;
}

/* Deviation of one row from a smooth course, from second differences: a trend falls out, and
 * wrong rows do not count. */
static double row_noise(const fr_log_row *rows, size_t count, int channel, double *room) {
    size_t used = 0;
    double a = NAN;
    double b = NAN;
    for (size_t i = 0; i < count; i++) {
        const double c = rows[i].value[channel];
        if (isnan(c))
            continue;
        if (!isnan(a))
            room[used++] = fabs(a - 2.0 * b + c);
        a = b;
        b = c;
    }
    if (used < NOISE_LEAST)
        return NAN;
    return MAD_TO_SIGMA * fr_median(room, used) / sqrt(SECOND_DIFFERENCE);
}

static fr_node_value node_value(const fr_log_row *rows, size_t count, int channel, double noise,
                                double *room) {
    size_t used = 0;
    double kept = 0.0;
    for (size_t i = 0; i < count; i++)
        if (!isnan(rows[i].value[channel]))
            room[used++] = rows[i].value[channel];
    if (used == 0)
        return (fr_node_value){NAN, NAN, NAN};
    const double mean = fr_robust_mean(room, used, noise, &kept); /* leaves them in order */
    return (fr_node_value){mean, isnan(noise) ? 0.0 : noise / sqrt(EFFICIENCY * kept),
                           0.5 * (room[(3 * used) / 4] - room[used / 4])};
}

static int by_speed(const void *a, const void *b) {
    const double x = ((const fr_log_row *)a)->value[FR_CHANNEL_ENGINE_SPEED];
    const double y = ((const fr_log_row *)b)->value[FR_CHANNEL_ENGINE_SPEED];
    return (x > y) - (x < y);
}

static double mean_speed(const fr_log_row *rows, size_t count) {
    double sum = 0.0;
    for (size_t i = 0; i < count; i++)
        sum += rows[i].value[FR_CHANNEL_ENGINE_SPEED];
    return sum / (double)count;
}

size_t fr_nodes_make(const fr_log_row *rows, size_t count, double *room,
                     fr_pull_node nodes[FR_REVIEW_NODES_MAX]) {
    double noise[FR_CHANNEL_COUNT];
    for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++)
        noise[channel] = row_noise(rows, count, channel, room);
    fr_log_row *sorted = malloc(count * sizeof *sorted);
    if (sorted == NULL)
        return 0;
    for (size_t i = 0; i < count; i++)
        sorted[i] = rows[i];
    qsort(sorted, count, sizeof *sorted, by_speed);
    const double least = sorted[0].value[FR_CHANNEL_ENGINE_SPEED];
    const double most = sorted[count - 1].value[FR_CHANNEL_ENGINE_SPEED];
    const double width = fmax(NODE_WIDTH_RPM, (most - least) / (FR_REVIEW_NODES_MAX - 1));
    size_t made = 0;
    for (size_t from = 0, to; from < count && made < FR_REVIEW_NODES_MAX; from = to) {
        const double start = sorted[from].value[FR_CHANNEL_ENGINE_SPEED];
        for (to = from; to < count && sorted[to].value[FR_CHANNEL_ENGINE_SPEED] < start + width;)
            to++;
        fr_pull_node *node = &nodes[made++];
        node->rows = to - from;
        node->rpm = mean_speed(sorted + from, to - from);
        for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++)
            node->value[channel] =
                node_value(sorted + from, to - from, channel, noise[channel], room);
    }
    free(sorted);
    return made;
}
