/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fuelreach page: one build on one page. */
#include "report/page.h"
#include "cli/check_document.h"
#include "cli/command.h"
#include "cli/output.h"

static int write_page(const fr_invocation *invocation, const fr_checked_sheet *checked,
                      const fr_page_document *document) {
    fr_output output;
    if (!fr_output_open(&output, invocation, fr_invocation_value(invocation, "output", NULL))) {
        return fr_status_exit_code(FR_NO_MEMORY);
    }
    fr_write_page(output.stream, document);
    const int code = fr_output_commit(&output, invocation);
    return code != 0 ? code : fr_verdict_exit_code(checked->document.result->verdict);
}

/* Every study that has a row in the table of commands and something to add. */
static int add_studies(const fr_invocation *invocation, fr_checked_sheet *checked,
                       fr_page_document *page, void **own) {
    int code = 0;
    for (size_t i = 0; code == 0 && fr_commands[i].name != NULL; i++) {
        if (fr_commands[i].page != NULL) {
            code = fr_commands[i].page->add(invocation, checked, page, &own[i]);
        }
    }
    if (code == 0 && page->review == NULL && fr_invocation_has(invocation, "log")) {
        code = fr_usage_error(invocation, "no study of this program reads logs");
    }
    return code;
}

static void remove_studies(void **own) {
    for (size_t i = 0; fr_commands[i].name != NULL; i++) {
        if (fr_commands[i].page != NULL) {
            fr_commands[i].page->remove(own[i]);
        }
    }
}

static int make_page(const fr_invocation *invocation, fr_checked_sheet *checked) {
    enum { COMMANDS_MAX = 32 };
    void *own[COMMANDS_MAX] = {NULL};
    fr_page_document page = {
        .check = &checked->document,
        .units = fr_invocation_units(invocation, fr_sheet_units(checked->sheet)),
    };
    const bool alone = fr_invocation_has(invocation, "check-only");
    int code = 0;
    if (alone && fr_invocation_has(invocation, "log")) {
        code = fr_usage_error(invocation, "--check-only leaves out what --log asks for");
    } else if (!alone) {
        code = add_studies(invocation, checked, &page, own);
    }
    if (code == 0) {
        code = write_page(invocation, checked, &page);
    }
    remove_studies(own);
    return code;
}

int fr_command_page(fr_invocation *invocation) {
    const fr_sheet_options options = fr_invocation_sheet_options(invocation);
    const fr_report nothing = FR_REPORT_EMPTY;
    fr_checked_sheet *checked;
    const fr_status status = fr_checked_sheet_open(invocation->arguments[0], &options, &checked);
    const int code =
        status == FR_OK
            ? make_page(invocation, checked)
            : fr_say_remarks(invocation, checked ? &checked->remarks : &nothing, status);
    fr_checked_sheet_close(checked);
    return code;
}
