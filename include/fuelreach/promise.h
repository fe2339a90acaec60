/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The promise: how sure is it that the fuel supply carries the target, and what power can be
 * promised. Inputs that are known to a few per cent are drawn many times by randomised quasi-Monte
 * Carlo; each draw is a whole check. Results are the same for one seed, whatever the number of
 * threads; memory does not grow with the number of draws. */
#ifndef FUELREACH_PROMISE_H
#define FUELREACH_PROMISE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "fuelreach/check.h"
#include "fuelreach/sheet.h"

#ifdef __cplusplus
extern "C" {
#endif

enum {
    FR_PROMISE_CONFIDENCES_MAX = 12,
    FR_PROMISE_INPUTS_MAX = 128,
    /* Independent estimates, each from its own shift of the points; their scatter gives the
     * standard errors. */
    FR_PROMISE_SHIFTS = 16,
    /* Inputs for which "if it were known" is worked out, those with the greatest total index. */
    FR_PROMISE_KNOWN_MAX = 4
};

typedef struct fr_promise_options {
    size_t draws;              /* in all; 0: 65,536. Raised to a multiple of the shifts. */
    uint64_t seed;
    size_t sensitivity_draws;  /* 0: 4,096, at most `draws` */
    size_t confidence_count;   /* 0: 0.90, 0.95 and 0.99 */
    double confidences[FR_PROMISE_CONFIDENCES_MAX]; /* 0..1 */
    unsigned threads;          /* 0: as many as the machine has */
    /* Called by the calling thread with the part done, 0..1; may be null. */
    void (*progress)(void *context, double part);
    void *context;
    /* Looked at between parts of the work; when it turns true the study ends with what is known
     * so far, marked partial. May be null. */
    const volatile int *cancelled;
} fr_promise_options;

/* Defaults: all zero but the seed, 1. */
fr_promise_options fr_promise_options_default(void);

/* How much an input has to do with the scatter of one blend's reach. NAN where the reach does not
 * scatter, or the study was ended before. */
typedef struct fr_promise_input {
    double first_order; /* part of the variance that goes when the input is known (Sobol) */
    double total;       /* part that stays when all others are known */
    double known_power_w; /* the power that would hold with 95 % if it were known to 1 %; NAN where
                             not worked out */
} fr_promise_input;

typedef struct fr_promise_blend {
    double ethanol;
    double target_w;     /* as the sheet has it */
    double reach_w;      /* of the sheet's own figures; NAN: none within four times the target */
    double chance_short; /* at the target */
    double chance_short_se;
    bool has[FR_STAGE_COUNT];
    double stage_chance[FR_STAGE_COUNT];
    double chance_beyond_mending; /* short by a stage that no power mends */
    double chance_beyond_range;   /* nothing ends the reach within four times the target */
    /* Power that holds with each confidence: no stage is short at it. NAN: no power does. Where it
     * is four times the target it may be more. */
    double promise_w[FR_PROMISE_CONFIDENCES_MAX];
    double reach_p5_w, reach_p50_w, reach_p95_w;
    fr_promise_input inputs[FR_PROMISE_INPUTS_MAX];
} fr_promise_blend;

typedef struct fr_promise_result {
    size_t draws; /* that the figures rest on */
    size_t sensitivity_draws;
    uint64_t seed;
    bool partial;
    size_t confidence_count;
    double confidences[FR_PROMISE_CONFIDENCES_MAX];
    size_t input_count;
    size_t blend_count;
    fr_promise_blend blends[FR_BLENDS_MAX];
} fr_promise_result;

/* Runs the study. FR_BAD_INPUT: more than FR_PROMISE_INPUTS_MAX inputs. Powers are exact to 0.1 kW
 * of what the draws say. `result` is large: keep it off the stack. */
fr_status fr_promise_run(const fr_build *build, const fr_input *inputs, size_t input_count,
                         const fr_promise_options *options, fr_promise_result *result);

/* Half-width that input would have if it were known to 1 %: of its value; 1 K for a temperature,
 * one point for ethanol content. Never more than it is. */
double fr_promise_known_width(const fr_build *build, const fr_input *input);

#ifdef __cplusplus
}
#endif
#endif
