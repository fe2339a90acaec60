/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fuelreach chart: one picture of a build, as SVG. */
#include <stdlib.h>
#include <string.h>

#include "cli/check_document.h"
#include "cli/command.h"
#include "cli/output.h"
#include "report/chart.h"
#include "report/page.h"

static int refuse_kind(const fr_invocation *invocation, const char *name) {
    char known[256] = "";
    for (const fr_chart_kind *kind = fr_chart_kinds; kind->name != NULL; kind++) {
        strncat(known, *known == '\0' ? "" : ", ", sizeof known - strlen(known) - 1);
        strncat(known, kind->name, sizeof known - strlen(known) - 1);
    }
    return fr_usage_error(invocation, "--kind: no chart '%s'; there are %s", name, known);
}

static int write_chart(const fr_invocation *invocation, const fr_chart_kind *kind,
                       const fr_checked_sheet *checked, const fr_promise_result *promise) {
    const fr_chart_source source = {
        &checked->document, promise,
        fr_invocation_units(invocation, fr_sheet_units(checked->sheet))};
    if (!kind->has(&source)) {
        return fr_usage_error(invocation, "this build has nothing to show as '%s'", kind->name);
    }
    fr_output output;
    if (!fr_output_open(&output, invocation, fr_invocation_value(invocation, "output", NULL))) {
        return fr_status_exit_code(FR_NO_MEMORY);
    }
    fr_chart *chart = calloc(1, sizeof *chart);
    if (chart == NULL) {
        fr_output_drop(&output);
        return fr_status_exit_code(FR_NO_MEMORY);
    }
    kind->fill(&source, chart);
    fr_chart_write_svg(output.stream, chart, kind->name, true);
    free(chart);
    return fr_output_commit(&output, invocation);
}

/* The odds come of a study, if the program has it. */
static int write_odds(const fr_invocation *invocation, const fr_chart_kind *kind,
                      fr_checked_sheet *checked) {
    const fr_command *study = fr_commands;
    while (study->name != NULL && strcmp(study->name, "promise") != 0) {
        study++;
    }
    if (study->page == NULL) {
        return fr_usage_error(invocation, "no study of this program finds the odds");
    }
    fr_page_document page = {.check = &checked->document};
    void *own = NULL;
    int code = study->page->add(invocation, checked, &page, &own);
    if (code == 0) {
        code = write_chart(invocation, kind, checked, page.promise);
    }
    study->page->remove(own);
    return code;
}

int fr_command_chart(fr_invocation *invocation) {
    const fr_sheet_options options = fr_invocation_sheet_options(invocation);
    const char *name = fr_invocation_value(invocation, "kind", "capacity");
    const fr_chart_kind *kind = fr_chart_kind_find(name);
    if (kind == NULL) {
        return refuse_kind(invocation, name);
    }
    fr_checked_sheet *checked;
    const fr_status status = fr_checked_sheet_open(invocation->arguments[0], &options, &checked);
    int code;
    if (status == FR_OK) {
        code = strcmp(kind->name, "odds") == 0 ? write_odds(invocation, kind, checked)
                                               : write_chart(invocation, kind, checked, NULL);
    } else {
        const fr_report nothing = FR_REPORT_EMPTY;
        code = fr_say_remarks(invocation, checked ? &checked->remarks : &nothing, status);
    }
    fr_checked_sheet_close(checked);
    return code;
}
