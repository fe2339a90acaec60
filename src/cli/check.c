/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fuelreach check: the report on one sheet or several. */
#include "cli/check_document.h"
#include "cli/command.h"

/* The page between two text reports. */
static const char between_reports[] =
    "\n===============================================================================\n\n";

static void write_text(const fr_invocation *invocation, const fr_check_document *document,
                       size_t written) {
    fr_text_style style = {
        .units = fr_invocation_units(invocation, fr_sheet_units(document->sheet)),
        .colour = invocation->colour_out,
        .detail = fr_invocation_has(invocation, "detail"),
    };

    if (written > 0)
        fputs(between_reports, invocation->out);
    fr_write_check_text(invocation->out, document, &style);
}

/* `written` counts the documents that stand in the output already. */
static void write_document(const fr_invocation *invocation, const fr_check_document *document,
                           size_t written) {
    if (fr_invocation_is(invocation, "format", "json"))
        fr_write_check_json(invocation->out, document);
    else if (fr_invocation_is(invocation, "format", "csv"))
        fr_write_check_csv(invocation->out, document, written == 0);
    else
        write_text(invocation, document, written);
}

static int check_one(const fr_invocation *invocation, const char *path,
                     const fr_sheet_options *options, size_t *written) {
    fr_checked_sheet *checked;
    fr_report nothing = FR_REPORT_EMPTY;
    fr_status status = fr_checked_sheet_open(path, options, &checked);
    int code;

    if (status == FR_OK) {
        write_document(invocation, &checked->document, *written);
        (*written)++;
        code = fr_verdict_exit_code(checked->document.result->verdict);
    } else {
        code = fr_say_remarks(invocation, checked ? &checked->remarks : &nothing, status);
    }
    fr_checked_sheet_close(checked);
    return code;
}

int fr_command_check(fr_invocation *invocation) {
    fr_sheet_options options = fr_invocation_sheet_options(invocation);
    size_t written = 0;
    int worst = 0;

    for (size_t i = 0; i < invocation->argument_count; i++) {
        int code = check_one(invocation, invocation->arguments[i], &options, &written);
        worst = code > worst ? code : worst;
    }
    return worst;
}
