/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fuelreach promise: how sure is it, and what power can be promised. */
#include <errno.h>
#include <math.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "cli/command.h"
#include "cli/confidence.h"
#include "report/promise_document.h"

/* ---- being ended ---- */

static volatile int ended; /* set by Ctrl-C */

static void end_work(int number) {
    (void)number;
    ended = 1;
}

static void watch_for_end(bool watch, struct sigaction *before) {
    struct sigaction action = {.sa_handler = end_work};
    if (watch) {
        ended = 0;
        sigemptyset(&action.sa_mask);
        sigaction(SIGINT, &action, before);
    } else {
        sigaction(SIGINT, before, NULL);
    }
}

/* ---- progress, on a terminal, for work over a second ---- */

typedef struct progress_line {
    struct timespec begun;
    bool terminal;
    bool shown;
} progress_line;

static double seconds_since(const struct timespec *begun) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)(now.tv_sec - begun->tv_sec) + 1e-9 * (double)(now.tv_nsec - begun->tv_nsec);
}

static void show_progress(void *context, double part) {
    progress_line *line = context;
    const double SOON_S = 1.0;
    if (line->terminal && seconds_since(&line->begun) > SOON_S) {
        fprintf(stderr, "\rfuelreach promise: %3.0f %% (Ctrl-C ends it with what is known)",
                100.0 * part);
        fflush(stderr);
        line->shown = true;
    }
}

static void clear_progress(const progress_line *line) {
    if (line->shown) {
        fprintf(stderr, "\r%60s\r", "");
    }
}

/* ---- options ---- */

static bool read_confidences(const fr_invocation *invocation, fr_promise_options *options) {
    size_t count;
    const char *const *texts = fr_invocation_values(invocation, "confidence", &count);
    static const double USUAL[] = {0.90, 0.95, 0.99};
    options->confidence_count = 0;
    for (size_t i = 0; i < sizeof USUAL / sizeof *USUAL; i++) {
        options->confidences[options->confidence_count++] = USUAL[i];
    }
    for (size_t i = 0; i < count; i++) {
        double confidence;
        if (!fr_confidence_read(texts[i], &confidence)) {
            fr_usage_error(invocation, "--confidence: '%s' is none; write it as '95 %%', above 0 "
                                       "and below 100", texts[i]);
            return false;
        }
        if (options->confidence_count == FR_PROMISE_CONFIDENCES_MAX) {
            fr_usage_error(invocation, "--confidence: at most %d beside the usual three",
                           FR_PROMISE_CONFIDENCES_MAX - 3);
            return false;
        }
        size_t k = options->confidence_count++;
        for (; k > 0 && options->confidences[k - 1] > confidence; k--) {
            options->confidences[k] = options->confidences[k - 1];
        }
        options->confidences[k] = confidence;
    }
    return true;
}

/* ---- inputs ---- */

/* Those of the sheet, or only those with a tolerance written. The list is the caller's to free. */
static fr_input *take_inputs(const fr_sheet *sheet, bool defaults, size_t *count) {
    size_t all;
    const fr_input *inputs = fr_sheet_inputs(sheet, &all);
    fr_input *taken = calloc(all + 1, sizeof *taken);
    *count = 0;
    for (size_t i = 0; taken != NULL && i < all; i++) {
        if (defaults || !inputs[i].assumed) {
            taken[(*count)++] = inputs[i];
        }
    }
    return taken;
}

/* ---- the command ---- */

static void write_answer(const fr_invocation *invocation, const fr_promise_document *document) {
    const fr_text_style style = {
        .units = fr_invocation_units(invocation, fr_sheet_units(document->sheet)),
        .colour = invocation->colour_out,
    };
    if (fr_invocation_is(invocation, "format", "json")) {
        fr_write_promise_json(invocation->out, document);
    } else if (fr_invocation_is(invocation, "format", "csv")) {
        fr_write_promise_csv(invocation->out, document);
    } else {
        fr_write_promise_text(invocation->out, document, &style);
    }
}

/* Short where it is more likely than not on any blend. */
static int exit_code(const fr_promise_result *result) {
    const double EVEN = 0.5;
    bool runs_short = false;
    for (size_t i = 0; i < result->blend_count; i++) {
        runs_short = runs_short || result->blends[i].chance_short > EVEN;
    }
    return fr_verdict_exit_code(runs_short ? FR_SHORT : FR_CLEAR);
}

static fr_status study(const fr_build *build, const fr_input *inputs, size_t count,
                       const fr_promise_options *asked, fr_promise_result *result) {
    struct sigaction before;
    fr_promise_options options = *asked;
    progress_line line = {.terminal = isatty(STDERR_FILENO) != 0};
    clock_gettime(CLOCK_MONOTONIC, &line.begun);
    options.progress = show_progress;
    options.context = &line;
    options.cancelled = &ended;
    watch_for_end(true, &before);
    const fr_status status = fr_promise_run(build, inputs, count, &options, result);
    watch_for_end(false, &before);
    clear_progress(&line);
    return status;
}

static int answer(const fr_invocation *invocation, const fr_sheet *sheet,
                  const fr_promise_options *options) {
    size_t count;
    fr_input *inputs =
        take_inputs(sheet, !fr_invocation_has(invocation, "no-defaults"), &count);
    fr_promise_result *result = calloc(1, sizeof *result);
    const fr_build *build = fr_sheet_build(sheet);
    fr_status status = inputs != NULL && result != NULL ? FR_OK : FR_NO_MEMORY;
    if (status == FR_OK) {
        status = study(build, inputs, count, options, result);
    }
    int code = fr_status_exit_code(status);
    if (status == FR_OK) {
        const fr_promise_document document = {sheet, build, inputs, result};
        write_answer(invocation, &document);
        code = exit_code(result);
    } else if (status == FR_BAD_INPUT) {
        code = fr_usage_error(invocation, "%zu inputs have a tolerance; at most %d can be drawn",
                              count, FR_PROMISE_INPUTS_MAX);
    } else {
        fr_system_error(invocation, "%s", fr_status_text(status));
    }
    free(inputs);
    free(result);
    return code;
}

int fr_command_promise(fr_invocation *invocation) {
    const fr_sheet_options sheet_options = fr_invocation_sheet_options(invocation);
    fr_promise_options options = fr_promise_options_default();
    fr_report remarks = FR_REPORT_EMPTY;
    fr_sheet *sheet = NULL;
    options.draws = fr_invocation_count(invocation, "draws", 0);
    options.seed = (uint64_t)fr_invocation_count(invocation, "seed", 1);
    if (!read_confidences(invocation, &options)) {
        return fr_status_exit_code(FR_BAD_INPUT);
    }
    const fr_status status =
        fr_sheet_open(invocation->arguments[0], &sheet_options, &remarks, &sheet);
    const int code = status == FR_OK ? answer(invocation, sheet, &options)
                                     : fr_say_remarks(invocation, &remarks, status);
    fr_sheet_close(sheet);
    fr_report_close(&remarks);
    return code;
}
