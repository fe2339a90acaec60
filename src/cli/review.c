/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fuelreach review: a logged pull against the sheet, and whether the next blend is clear. */
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "cli/command.h"
#include "cli/output.h"
#include "fuelreach/review.h"
#include "report/review_document.h"

enum { LEARNT_MAX = 2048, RUNS_SHORT = 1 };

/* Reads the blends and the confidence. False when one is not understood (said). */
static bool read_options(const fr_invocation *invocation, fr_review_options *options) {
    const char *blend = fr_invocation_value(invocation, "blend", NULL);
    fr_quantity confidence = {.value = 0.95};
    size_t count;
    const char *const *next = fr_invocation_values(invocation, "next", &count);
    options->log_blend = NAN;
    options->next_count = 0;
    if (blend != NULL && !fr_blend_parse(blend, &options->log_blend)) {
        fr_usage_error(invocation, "--blend: '%s' is no blend; write it as 'E30'", blend);
        return false;
    }
    for (size_t i = 0; i < count; i++) {
        if (options->next_count == FR_REVIEW_NEXT_MAX ||
            !fr_blend_parse(next[i], &options->next[options->next_count++])) {
            fr_usage_error(invocation, "--next: '%s' is no blend; write it as 'E60'", next[i]);
            return false;
        }
    }
    if (!fr_invocation_quantity(invocation, "confidence", FR_KINDS(FR_KIND_FRACTION), &confidence))
        return false;
    options->confidence = confidence.value;
    if (!(options->confidence >= 0.5 && options->confidence < 1.0)) {
        fr_usage_error(invocation, "--confidence is from 50 %% to under 100 %%, such as '95 %%'");
        return false;
    }
    return true;
}

static int add_log(const fr_invocation *invocation, fr_review *review, const char *path,
                   fr_report *report) {
    const bool standard = strcmp(path, "-") == 0;
    FILE *in = standard ? stdin : fopen(path, "rb");
    if (in == NULL)
        return fr_system_error(invocation, "%s: %s", path, strerror(errno));
    const fr_status status = fr_review_add_log(review, standard ? "standard input" : path, in,
                                               report);
    if (!standard)
        fclose(in);
    return status == FR_OK ? 0 : fr_say_remarks(invocation, report, status);
}

/* The learnt section, whole or not at all. */
static int write_learnt(const fr_invocation *invocation, const fr_review *review) {
    const char *path = fr_invocation_value(invocation, "learn", NULL);
    char text[LEARNT_MAX];
    fr_output output;
    if (path == NULL)
        return 0;
    if (!fr_review_write_learnt(review, text, sizeof text))
        return fr_system_error(invocation, "the learnt section does not fit");
    if (!fr_output_open(&output, invocation, path))
        return fr_status_exit_code(FR_NO_MEMORY);
    fputs(text, output.stream);
    return fr_output_commit(&output, invocation);
}

static int answer(const fr_invocation *invocation, const fr_sheet *sheet, fr_review *review,
                  fr_report *report) {
    fr_review_document document = {.sheet = sheet, .log_count = invocation->argument_count - 1};
    const fr_text_style style = {
        .units = fr_invocation_units(invocation, fr_sheet_units(sheet)),
        .colour = invocation->colour_out,
    };
    const fr_status status = fr_review_finish(review, report, &document.result);
    if (status != FR_OK)
        return fr_say_remarks(invocation, report, status);
    fr_say_remarks(invocation, report, FR_OK);
    const int learnt = write_learnt(invocation, review);
    if (learnt != 0)
        return learnt;
    if (fr_invocation_is(invocation, "format", "json"))
        fr_write_review_json(invocation->out, &document);
    else
        fr_write_review_text(invocation->out, &document, &style);
    return fr_review_is_clear(document.result) ? 0 : RUNS_SHORT;
}

static int review_logs(const fr_invocation *invocation, fr_sheet *sheet,
                       const fr_review_options *options, fr_report *report) {
    fr_review *review = fr_review_open(sheet, options);
    int code = 0;
    if (review == NULL)
        return fr_system_error(invocation, "%s", fr_status_text(FR_NO_MEMORY));
    for (size_t i = 1; code == 0 && i < invocation->argument_count; i++)
        code = add_log(invocation, review, invocation->arguments[i], report);
    if (code == 0)
        code = answer(invocation, sheet, review, report);
    fr_review_close(review);
    return code;
}

int fr_command_review(fr_invocation *invocation) {
    fr_report report = FR_REPORT_EMPTY;
    fr_sheet *sheet = NULL;
    fr_review_options options;
    fr_sheet_options sheet_options = fr_invocation_sheet_options(invocation);
    int code;
    if (!read_options(invocation, &options))
        return fr_status_exit_code(FR_BAD_INPUT);
    sheet_options.blends = NULL; /* --blend is of the log here, not of the sheet */
    sheet_options.blend_count = 0;
    const fr_status status =
        fr_sheet_open(invocation->arguments[0], &sheet_options, &report, &sheet);
    if (status != FR_OK)
        code = fr_say_remarks(invocation, &report, status);
    else
        code = review_logs(invocation, sheet, &options, &report);
    fr_sheet_close(sheet);
    fr_report_close(&report);
    return code;
}
