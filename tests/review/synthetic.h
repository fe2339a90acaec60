/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Logs of a car that does not exist: pulls driven through the model with factors that the sheet
 * does not know, sensors that are off, noise, drops and wrong rows. */
#ifndef FUELREACH_TESTS_REVIEW_SYNTHETIC_H
#define FUELREACH_TESTS_REVIEW_SYNTHETIC_H

#include <stdint.h>
#include <stdio.h>

#include "fuelreach/review.h"

typedef struct synthetic {
    const fr_build *truth; /* the car as it is */
    double ethanol;
    double from_rpm, to_rpm;
    double seconds;        /* of the pull */
    double rows_per_s;
    double noise;          /* times the usual noise of each channel; 0: none */
    double wrong_share;    /* of cells that are far off, or blank */
    bool channels[FR_CHANNEL_COUNT];
    /* measured = true * (1 + relative) + absolute */
    double off_relative[FR_CHANNEL_COUNT];
    double off_absolute[FR_CHANNEL_COUNT];
    double ethanol_drift;  /* over the pull */
    uint64_t seed;
} synthetic;

/* A pull with everything logged but torque, usual noise, nothing off. */
synthetic synthetic_pull(const fr_build *truth, double ethanol);

/* Uniform in 0..1 and standard normal numbers that repeat. */
double synthetic_uniform(uint64_t *state);
double synthetic_normal(uint64_t *state);

/* Rows of the pull; returns how many, at most `most`. Lines are counted from `first_line`, times
 * from `start_s`. */
size_t synthetic_rows(const synthetic *pull, fr_log_row *rows, size_t most, size_t first_line,
                      double start_s);

/* Header and units of a CSV with those channels, in the default units of each. */
void synthetic_header(const synthetic *pull, FILE *out);
void synthetic_write(const synthetic *pull, const fr_log_row *rows, size_t count, FILE *out);
/* Rows at idle and at cruise: no pull. */
size_t synthetic_idle(const synthetic *pull, fr_log_row *rows, size_t most, double seconds,
                      double start_s);

#endif
