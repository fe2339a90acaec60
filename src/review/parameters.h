/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the fit may move: the sheet's own inputs and what sensors are off by, each in standard
 * deviations of what is known before the log (so every prior is a standard normal). */
#ifndef FR_REVIEW_PARAMETERS_H
#define FR_REVIEW_PARAMETERS_H

#include "fuelreach/review.h"

enum {
    FR_REVIEW_INPUTS_MAX = 64,
    FR_REVIEW_PARAMETERS_MAX = FR_REVIEW_INPUTS_MAX + FR_CHANNEL_COUNT
};

typedef struct fr_parameters {
    size_t input_count;
    fr_input inputs[FR_REVIEW_INPUTS_MAX];
    size_t factor_input[FR_FACTOR_COUNT]; /* index into inputs, SIZE_MAX: the build has it not */
    size_t bias_count;                    /* behind the inputs */
    fr_channel bias[FR_CHANNEL_COUNT];
} fr_parameters;

/* From the sheet's inputs: pumps of several kinds share one factor (a log cannot tell them apart),
 * and one factor on the loss from tank to rail takes the place of the filters' own tolerance.
 * `found`: the channels of all logs together. */
void fr_parameters_make(const fr_build *build, const fr_input *inputs, size_t input_count,
                        const bool found[FR_CHANNEL_COUNT], fr_parameters *parameters);

static inline size_t fr_parameter_count(const fr_parameters *parameters) {
    return parameters->input_count + parameters->bias_count;
}

/* A factor on what the build says, at a deviation. */
double fr_parameter_factor(const fr_parameters *parameters, fr_factor factor, double deviation);
/* What a channel's sensor is off by at these deviations: a share, or SI; 0 where it has none. */
double fr_parameter_bias(const fr_parameters *parameters, const double *deviations,
                         fr_channel channel);

#endif
