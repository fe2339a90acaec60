/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/size_work.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cli/prices.h"

void fr_size_work_close(fr_size_work *work) {
    fr_size_sure_close(work->sure);
    fr_shelf_close(work->shelf);
    fr_report_close(&work->remarks);
    free(work->prices);
    free(work->result);
    free(work->needs);
}

/* ---- the shelf ---- */

static fr_status open_shelf(fr_size_work *work, const fr_invocation *invocation) {
    size_t shelf_count, parts_count;
    const char *const *shelves = fr_invocation_values(invocation, "shelf", &shelf_count);
    const char *const *parts = fr_invocation_values(invocation, "parts", &parts_count);
    return shelf_count > 0 ? fr_shelf_open(shelves, shelf_count, true, &work->remarks, &work->shelf)
                           : fr_shelf_open(parts, parts_count, false, &work->remarks, &work->shelf);
}

static fr_status take_prices(fr_size_work *work, const fr_invocation *invocation) {
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

static void take_sheet(fr_size_work *work, fr_checked_sheet *checked) {
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
    const fr_sheet *sheet = checked->sheet;
    const fr_sizing_section *sizing = fr_sheet_sizing(sheet);
    request->build = fr_sheet_build(sheet);
    request->scratch = checked->scratch;
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

fr_status fr_size_work_open(fr_size_work *work, const fr_invocation *invocation,
                            fr_checked_sheet *checked) {
    fr_status status = open_shelf(work, invocation);
    if (status == FR_OK) {
        status = take_prices(work, invocation);
    }
    if (status == FR_OK) {
        take_sheet(work, checked);
    }
    return status;
}

bool fr_size_work_be_sure(fr_size_work *work, const fr_checked_sheet *checked, double confidence) {
    size_t count;
    const fr_input *inputs = fr_sheet_inputs(checked->sheet, &count);
    work->confidence = confidence;
    work->sure = fr_size_sure_open(fr_sheet_build(checked->sheet), inputs, count, confidence);
    work->request.accepts = fr_size_sure_accepts;
    work->request.accepts_context = work->sure;
    return work->sure != NULL;
}

fr_status fr_size_work_run(fr_size_work *work, const fr_checked_sheet *checked) {
    fr_size_request *request = &work->request;
    bool together_clear;
    work->result = calloc(1, sizeof *work->result);
    work->needs = calloc(FR_SIZE_NEEDS_MAX, sizeof *work->needs);
    if (work->result == NULL || work->needs == NULL) {
        return FR_NO_MEMORY;
    }
    work->document = (fr_size_document){
        .check = &checked->document,
        .request = request,
        .result = work->result,
        .needs = work->needs,
        .need_count = fr_size_needs(request->build, request->scratch, work->needs, &together_clear),
        .currency = fr_sheet_sizing(checked->sheet)->currency,
        .confidence = work->sure != NULL ? work->confidence : NAN,
        .front = request->front,
    };
    return fr_size_run(request, work->result);
}
