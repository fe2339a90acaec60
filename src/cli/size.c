/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fuelreach size: what must be fitted, for the least money. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cli/check_document.h"
#include "cli/command.h"
#include "cli/prices.h"
#include "report/size_document.h"

enum { TOP_DEFAULT = 3 };

/* All that one sizing stands on. */
typedef struct size_work {
    fr_checked_sheet *checked;
    fr_shelf *shelf;
    double *prices;
    fr_report remarks;
    fr_size_request request;
    fr_size_result *result;
    fr_size_need *needs;
    size_t need_count;
} size_work;

static void close_work(size_work *work) {
    fr_checked_sheet_close(work->checked);
    fr_shelf_close(work->shelf);
    fr_report_close(&work->remarks);
    free(work->prices);
    free(work->result);
    free(work->needs);
}

/* ---- what is asked ---- */

/* A positive number, plain; INFINITY when the option was not given. */
static bool read_budget(const fr_invocation *invocation, double *budget) {
    const char *text = fr_invocation_value(invocation, "budget", NULL);
    char *end;
    *budget = INFINITY;
    if (text == NULL) {
        return true;
    }
    *budget = strtod(text, &end);
    if (end == text || *end != '\0' || !(*budget >= 0.0) || !isfinite(*budget)) {
        fr_usage_error(invocation, "--budget: '%s' is no price; write a bare number, '600'", text);
        return false;
    }
    return true;
}

static bool read_keep(const fr_invocation *invocation, fr_size_request *request) {
    size_t count;
    const char *const *names = fr_invocation_values(invocation, "keep", &count);
    for (size_t i = 0; i < count; i++) {
        const fr_slot slot = fr_slot_find(names[i]);
        if (slot == FR_SLOT_COUNT) {
            fr_usage_error(invocation,
                           "--keep: no slot '%s'; the slots are lift-pump, wiring, filter, line, "
                           "port-injector, direct-injector, high-pressure-pump",
                           names[i]);
            return false;
        }
        request->keep[slot] = true;
    }
    return true;
}

/* ---- the shelf ---- */

static fr_status open_shelf(const fr_invocation *invocation, size_work *work) {
    size_t shelf_count, parts_count;
    const char *const *shelves = fr_invocation_values(invocation, "shelf", &shelf_count);
    const char *const *parts = fr_invocation_values(invocation, "parts", &parts_count);
    return shelf_count > 0
               ? fr_shelf_open(shelves, shelf_count, true, &work->remarks, &work->shelf)
               : fr_shelf_open(parts, parts_count, false, &work->remarks, &work->shelf);
}

static fr_status take_prices(const fr_invocation *invocation, size_work *work) {
    fr_size_request *request = &work->request;
    const char *path = fr_invocation_value(invocation, "prices", NULL);
    request->parts = fr_shelf_parts(work->shelf, &request->part_count);
    work->prices = calloc(request->part_count + 1, sizeof *work->prices);
    if (work->prices == NULL) {
        return FR_NO_MEMORY;
    }
    for (size_t i = 0; i < request->part_count; i++) {
        work->prices[i] = request->parts[i].price;
    }
    request->prices = work->prices;
    return path == NULL ? FR_OK
                        : fr_prices_read(path, request->parts, request->part_count, work->prices,
                                         &work->remarks);
}

/* ---- the build ---- */

static void take_sheet(size_work *work) {
    static const char *const SHEET_SLOTS[FR_SLOT_COUNT] = {
        [FR_SLOT_LIFT_PUMP] = "lift_pump",
        [FR_SLOT_WIRING] = "wiring",
        [FR_SLOT_FILTER] = "filter",
        [FR_SLOT_LINE] = "line",
        [FR_SLOT_PORT_INJECTOR] = "port_injector",
        [FR_SLOT_DIRECT_INJECTOR] = "direct_injector",
        [FR_SLOT_HIGH_PRESSURE_PUMP] = "high_pressure_pump",
    };
    fr_size_request *request = &work->request;
    const fr_sheet *sheet = work->checked->sheet;
    const fr_sizing_section *sizing = fr_sheet_sizing(sheet);
    request->build = fr_sheet_build(sheet);
    request->scratch = work->checked->scratch;
    for (int slot = 0; slot < FR_SLOT_COUNT; slot++) {
        request->fitting[slot] = sizing->fitting[slot];
        request->keep[slot] = request->keep[slot] || sizing->keep[slot];
        request->owned[slot] = fr_sheet_part_name(sheet, SHEET_SLOTS[slot]);
    }
    for (size_t i = 0; i < request->part_count; i++) {
        const fr_part *part = &request->parts[i];
        if (part->kind == FR_PART_WIRING &&
            strcmp(part->name, request->owned[FR_SLOT_WIRING]) == 0 && work->prices[i] >= 0.0) {
            request->owned_wiring_price = work->prices[i];
        }
    }
}

static void answer(const fr_invocation *invocation, size_work *work) {
    const fr_size_document document = {
        .check = &work->checked->document,
        .request = &work->request,
        .result = work->result,
        .needs = work->needs,
        .need_count = work->need_count,
        .currency = fr_sheet_sizing(work->checked->sheet)->currency,
        .confidence = NAN,
        .front = work->request.front,
    };
    const fr_text_style style = {
        .units = fr_invocation_units(invocation, fr_sheet_units(work->checked->sheet)),
        .colour = invocation->colour_out,
    };
    if (fr_invocation_is(invocation, "format", "json")) {
        fr_write_size_json(invocation->out, &document);
    } else {
        fr_write_size_text(invocation->out, &document, &style);
    }
}

static int run(const fr_invocation *invocation, size_work *work) {
    fr_size_request *request = &work->request;
    const fr_sheet_options options = fr_invocation_sheet_options(invocation);
    if (!read_budget(invocation, &request->budget) || !read_keep(invocation, request)) {
        return fr_status_exit_code(FR_BAD_INPUT);
    }
    request->top = fr_invocation_count(invocation, "top", TOP_DEFAULT);
    request->front = fr_invocation_has(invocation, "front");
    fr_status status = fr_checked_sheet_open(invocation->arguments[0], &options, &work->checked);
    if (status != FR_OK) {
        const fr_report nothing = FR_REPORT_EMPTY;
        return fr_say_remarks(invocation, work->checked ? &work->checked->remarks : &nothing,
                              status);
    }
    status = open_shelf(invocation, work);
    status = status == FR_OK ? take_prices(invocation, work) : status;
    if (status != FR_OK) {
        return fr_say_remarks(invocation, &work->remarks, status);
    }
    take_sheet(work);
    work->result = calloc(1, sizeof *work->result);
    work->needs = calloc(FR_SIZE_NEEDS_MAX, sizeof *work->needs);
    bool together_clear;
    if (work->result == NULL || work->needs == NULL) {
        return fr_say_remarks(invocation, &work->remarks, FR_NO_MEMORY);
    }
    work->need_count =
        fr_size_needs(request->build, request->scratch, work->needs, &together_clear);
    status = fr_size_run(request, work->result);
    if (work->remarks.count > 0) {
        fr_say_remarks(invocation, &work->remarks, FR_OK);
    }
    if (status != FR_OK) {
        return fr_say_remarks(invocation, &work->remarks, status);
    }
    answer(invocation, work);
    return work->result->choice_count > 0 ? 0 : fr_verdict_exit_code(FR_SHORT);
}

int fr_command_size(fr_invocation *invocation) {
    size_work work = {.remarks = FR_REPORT_EMPTY};
    const int code = run(invocation, &work);
    close_work(&work);
    return code;
}
