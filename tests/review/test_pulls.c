/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pulls found in what a car does on the road, and the nodes made of them. */
#include "review/cases.h"

#include "support.h"

#include <stdlib.h>
#include <string.h>

#include "review/nodes.h"
#include "review/pulls.h"

enum { ROWS_MAX = 40000, FOUND_MAX = 64 };

typedef struct found {
    size_t count;
    size_t rows[FOUND_MAX];
    double from[FOUND_MAX], to[FOUND_MAX];
    size_t first_line[FOUND_MAX];
} found;

static void note(void *user, fr_log_row *rows, size_t count) {
    found *seen = user;
    assert_true(seen->count < FOUND_MAX);
    seen->rows[seen->count] = count;
    seen->from[seen->count] = rows[0].value[FR_CHANNEL_ENGINE_SPEED];
    seen->to[seen->count] = rows[count - 1].value[FR_CHANNEL_ENGINE_SPEED];
    seen->first_line[seen->count] = rows[0].line;
    seen->count++;
}

/* A drive, a row at a time. */
typedef struct drive {
    fr_pull_finder finder;
    found seen;
    double time;
    double step; /* s a row; NAN: no time column */
    size_t line;
    uint64_t random;
    double noise_rpm;
} drive;

static drive start_drive(double step) {
    drive car = {.step = step, .random = 99, .noise_rpm = 8.0};
    return car;
}

static void row(drive *car, double rpm) {
    fr_log_row now;
    for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++)
        now.value[channel] = NAN;
    now.value[FR_CHANNEL_ENGINE_SPEED] = rpm;
    now.value[FR_CHANNEL_TIME] = car->time;
    now.line = ++car->line;
    now.has_bad_cell = false;
    car->time += car->step;
    fr_pull_finder_take(&car->finder, &now);
}

static void ramp(drive *car, double from, double to, double seconds) {
    const double step = isnan(car->step) ? 0.02 : car->step;
    const size_t count = (size_t)(seconds / step);
    for (size_t i = 0; i < count; i++)
        row(car, from + (to - from) * (double)i / (double)count +
                     car->noise_rpm * synthetic_normal(&car->random));
}

static void begin(drive *car) {
    fr_pull_finder_start(&car->finder, note, &car->seen);
}

static void end(drive *car) {
    fr_pull_finder_flush(&car->finder);
    fr_pull_finder_close(&car->finder);
}

static void a_pull_is_found_between_cruise_and_coast(void **unused) {
    (void)unused;
    const double steps[] = {0.1, 0.02, 0.004, NAN};
    for (size_t i = 0; i < 4; i++) {
        drive car = start_drive(steps[i]);
        begin(&car);
        ramp(&car, 850.0, 850.0, 5.0);
        ramp(&car, 2200.0, 2250.0, 6.0);
        ramp(&car, 2250.0, 6800.0, 7.0);
        ramp(&car, 6800.0, 1500.0, 6.0);
        ramp(&car, 1500.0, 1500.0, 3.0);
        end(&car);
        assert_int_equal(car.seen.count, 1);
        assert_within(car.seen.from[0], 2250.0, 110.0);
        assert_within(car.seen.to[0], 6800.0, 120.0);
    }
}

/* Gear changes part the pulls; only those that go far enough count. */
static void each_gear_is_a_pull_of_its_own(void **unused) {
    (void)unused;
    drive car = start_drive(0.02);
    begin(&car);
    ramp(&car, 1500.0, 6500.0, 2.0);
    ramp(&car, 6500.0, 4300.0, 0.3);
    ramp(&car, 4300.0, 6500.0, 3.0);
    ramp(&car, 6500.0, 5600.0, 0.3);
    ramp(&car, 5600.0, 6500.0, 3.0); /* 900 rpm: too little */
    ramp(&car, 6500.0, 1000.0, 3.0);
    end(&car);
    assert_int_equal(car.seen.count, 2);
    assert_within(car.seen.from[1], 4300.0, 120.0);
}

static void neither_cruise_nor_blip_nor_creep_is_a_pull(void **unused) {
    (void)unused;
    drive car = start_drive(0.02);
    begin(&car);
    ramp(&car, 3000.0, 3000.0, 20.0);
    ramp(&car, 1000.0, 6000.0, 0.4); /* out of gear: 12,500 rpm a second */
    ramp(&car, 6000.0, 1000.0, 1.0);
    ramp(&car, 1500.0, 3500.0, 90.0); /* 22 rpm a second */
    end(&car);
    assert_int_equal(car.seen.count, 0);
}

static void a_spike_or_a_drop_of_speed_does_not_end_a_pull(void **unused) {
    (void)unused;
    drive car = start_drive(0.02);
    begin(&car);
    ramp(&car, 2000.0, 4000.0, 3.0);
    row(&car, 0.0);
    row(&car, NAN);
    row(&car, 12000.0);
    row(&car, 4000.0);
    row(&car, 700.0);
    ramp(&car, 4010.0, 6500.0, 4.0);
    end(&car);
    assert_int_equal(car.seen.count, 1);
    assert_within(car.seen.from[0], 2000.0, 60.0);
    assert_within(car.seen.to[0], 6500.0, 80.0);
    assert_int_equal(car.finder.left_out, 2);
}

static void a_gap_in_time_ends_it(void **unused) {
    (void)unused;
    drive car = start_drive(0.02);
    begin(&car);
    ramp(&car, 2000.0, 4000.0, 3.0);
    car.time += 5.0;
    ramp(&car, 4000.0, 6500.0, 3.0);
    end(&car);
    assert_int_equal(car.seen.count, 2);
}

static void the_rev_limiter_ends_it_at_the_last_rise(void **unused) {
    (void)unused;
    drive car = start_drive(0.02);
    begin(&car);
    ramp(&car, 2000.0, 7000.0, 5.0);
    for (int i = 0; i < 200; i++)
        row(&car, i % 2 ? 6990.0 : 6940.0);
    end(&car);
    assert_int_equal(car.seen.count, 1);
    assert_true(car.seen.rows[0] < 270);
}

/* A pull logged at 10 kHz is thinned, never more kept than the bound. */
static void memory_stays_bounded(void **unused) {
    (void)unused;
    drive car = start_drive(0.0001);
    begin(&car);
    ramp(&car, 2000.0, 7000.0, 10.0);
    assert_true(car.finder.capacity <= FR_PULL_ROWS_MAX);
    end(&car);
    assert_int_equal(car.seen.count, 1);
    assert_true(car.seen.rows[0] > FR_PULL_ROWS_MAX / 4);
    assert_within(car.seen.to[0], 7000.0, 80.0);
}

/* ---- nodes ---- */

static void means_are_not_moved_by_wrong_rows(void **unused) {
    (void)unused;
    enum { COUNT = 400 };
    fr_log_row *rows = calloc(COUNT, sizeof *rows);
    double *room = calloc(COUNT, sizeof *room);
    fr_pull_node nodes[FR_REVIEW_NODES_MAX];
    uint64_t random = 5;
    assert_true(rows != NULL && room != NULL);
    for (size_t i = 0; i < COUNT; i++) {
        for (int channel = 0; channel < FR_CHANNEL_COUNT; channel++)
            rows[i].value[channel] = NAN;
        const double rpm = 2000.0 + 10.0 * (double)i;
        rows[i].value[FR_CHANNEL_ENGINE_SPEED] = rpm;
        rows[i].value[FR_CHANNEL_FUEL_FLOW] =
            rpm / 1000.0 + 0.02 * synthetic_normal(&random) + (i % 9 == 0 ? 50.0 : 0.0);
        if (i % 11 == 0)
            rows[i].value[FR_CHANNEL_FUEL_FLOW] = NAN;
    }
    const size_t count = fr_nodes_make(rows, COUNT, room, nodes);
    assert_true(count >= 15 && count <= 17);
    for (size_t i = 0; i < count; i++) {
        const fr_node_value *flow = &nodes[i].value[FR_CHANNEL_FUEL_FLOW];
        assert_within(flow->mean, nodes[i].rpm / 1000.0, 0.05);
        assert_true(flow->sigma > 0.002 && flow->sigma < 0.012);
        assert_true(isnan(nodes[i].value[FR_CHANNEL_LAMBDA].mean));
    }
    free(rows);
    free(room);
}

/* The noise of a row comes out as put in, whatever the trend. */
static void the_rows_own_noise_is_found(void **unused) {
    (void)unused;
    enum { COUNT = 4000 };
    fr_log_row *rows = calloc(COUNT, sizeof *rows);
    double *room = calloc(COUNT, sizeof *room);
    fr_pull_node nodes[FR_REVIEW_NODES_MAX];
    uint64_t random = 17;
    assert_true(rows != NULL && room != NULL);
    for (size_t i = 0; i < COUNT; i++) {
        rows[i].value[FR_CHANNEL_ENGINE_SPEED] = 2000.0 + (double)i;
        rows[i].value[FR_CHANNEL_LAMBDA] =
            0.8 + 1e-4 * (double)i + 0.013 * synthetic_normal(&random);
    }
    const size_t count = fr_nodes_make(rows, COUNT, room, nodes);
    const fr_node_value *lambda = &nodes[count / 2].value[FR_CHANNEL_LAMBDA];
    assert_within(lambda->sigma, 0.013 / sqrt(250.0 * 0.95), 1.0e-4);
    free(rows);
    free(room);
}

static void a_robust_mean_of_clean_values_is_nearly_their_mean(void **unused) {
    (void)unused;
    double values[] = {1.0, 1.1, 0.9, 1.05, 0.95};
    double kept;
    assert_within(fr_robust_mean(values, 5, 0.1, &kept), 1.0, 1e-12);
    assert_within(kept, 5.0, 1e-12);
    double none[1];
    assert_true(isnan(fr_median(none, 0)));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_pull_is_found_between_cruise_and_coast),
        cmocka_unit_test(each_gear_is_a_pull_of_its_own),
        cmocka_unit_test(neither_cruise_nor_blip_nor_creep_is_a_pull),
        cmocka_unit_test(a_spike_or_a_drop_of_speed_does_not_end_a_pull),
        cmocka_unit_test(a_gap_in_time_ends_it),
        cmocka_unit_test(the_rev_limiter_ends_it_at_the_last_rise),
        cmocka_unit_test(memory_stays_bounded),
        cmocka_unit_test(means_are_not_moved_by_wrong_rows),
        cmocka_unit_test(the_rows_own_noise_is_found),
        cmocka_unit_test(a_robust_mean_of_clean_values_is_nearly_their_mean),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
