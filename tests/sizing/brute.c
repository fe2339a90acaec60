/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sizing/brute.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct brute {
    const fr_size_request *request;
    fr_check *check, *scratch;
    size_t wanted, count;
    brute_set *best;
    fr_size_item items[FR_SLOT_COUNT];
} brute;

static const fr_part_kind KINDS[FR_SLOT_COUNT] = {
    FR_PART_LIFT_PUMP,     FR_PART_WIRING,          FR_PART_FILTER,            FR_PART_LINE,
    FR_PART_PORT_INJECTOR, FR_PART_DIRECT_INJECTOR, FR_PART_HIGH_PRESSURE_PUMP};

static unsigned pumps_of(const fr_build *build) {
    unsigned count = 0;
    for (size_t i = 0; i < build->pumps.kind_count; i++) {
        count += build->pumps.kinds[i].count;
    }
    return count;
}

static double price_of(const brute *b) {
    const fr_size_request *request = b->request;
    const unsigned owned = pumps_of(request->build);
    const unsigned pumps =
        b->items[FR_SLOT_LIFT_PUMP].part != NULL ? b->items[FR_SLOT_LIFT_PUMP].count : owned;
    double price = 0.0;
    for (int slot = 0; slot < FR_SLOT_COUNT; slot++) {
        const fr_size_item *item = &b->items[slot];
        if (item->part != NULL) {
            const unsigned pieces = slot == FR_SLOT_WIRING ? pumps : item->count;
            price += item->part->price * pieces + request->fitting[slot];
        }
    }
    if (b->items[FR_SLOT_WIRING].part == NULL && pumps > owned) {
        price += request->owned_wiring_price * (pumps - owned);
    }
    return price;
}

static bool clear(const fr_check_result *result) {
    for (size_t i = 0; i < result->blend_count; i++) {
        for (size_t s = 0; s < result->blends[i].stage_count; s++) {
            const fr_stage_result *stage = &result->blends[i].stages[s];
            if (stage->verdict != FR_CLEAR && stage->stage != FR_STAGE_PUMP_INLET) {
                return false;
            }
        }
    }
    return true;
}

static int compare(const brute_set *a, const brute_set *b) {
    if (fabs(a->price - b->price) > 1e-9 * (1.0 + a->price)) {
        return a->price < b->price ? -1 : 1;
    }
    if (a->marked != b->marked) {
        return a->marked ? 1 : -1;
    }
    const double reach_a = round(a->reach_times * 1e7), reach_b = round(b->reach_times * 1e7);
    if (reach_a != reach_b) {
        return reach_a > reach_b ? -1 : 1;
    }
    return 0; /* by name: the test asks for equality of price, marks and reach only */
}

static void keep(brute *b) {
    fr_build build = *b->request->build;
    for (int slot = 0; slot < FR_SLOT_COUNT; slot++) {
        fr_size_fit(&build, (fr_slot)slot, &b->items[slot]);
    }
    const size_t no_blend = FR_BLENDS_MAX; /* verdicts only */
    if (!clear(fr_check_outline_at(b->check, &build, no_blend))) {
        return;
    }
    const fr_check_result *result = fr_check_run(b->check, &build);
    brute_set set = {.price = price_of(b), .reach_times = INFINITY};
    memcpy(set.items, b->items, sizeof set.items);
    for (size_t i = 0; i < result->blend_count; i++) {
        const fr_blend_result *blend = &result->blends[i];
        const double times = isnan(blend->reach_w) ? 4.0 : blend->reach_w / blend->target_power_w;
        set.reach_times = times < set.reach_times ? times : set.reach_times;
    }
    fr_caution cautions[FR_CAUTIONS_MAX];
    const size_t cautioned = fr_cautions(&build, result, b->scratch, cautions);
    for (size_t i = 0; i < cautioned; i++) {
        set.marked = set.marked || cautions[i].code == FR_CAUTION_RETURN_OVERRUN ||
                     cautions[i].code == FR_CAUTION_BEYOND_CURVE;
    }
    size_t at = b->count;
    while (at > 0 && compare(&set, &b->best[at - 1]) < 0) {
        at--;
    }
    if (at < b->wanted) {
        b->count += b->count < b->wanted ? 1 : 0;
        memmove(&b->best[at + 1], &b->best[at], (b->count - at - 1) * sizeof set);
        b->best[at] = set;
    }
}

static void fill_slot(brute *b, int slot);

static void try_item(brute *b, int slot, const fr_part *part, unsigned count, bool series) {
    b->items[slot] = (fr_size_item){part, count, series, 0.0};
    fill_slot(b, slot + 1);
}

static unsigned pieces_of(const fr_build *build, int slot) {
    const unsigned pieces[FR_SLOT_COUNT] = {
        [FR_SLOT_LIFT_PUMP] = 1,
        [FR_SLOT_WIRING] = 1,
        [FR_SLOT_FILTER] = (unsigned)build->feed.filter_count,
        [FR_SLOT_LINE] = build->feed.line_count > 0,
        [FR_SLOT_PORT_INJECTOR] =
            build->port.present ? build->port.count : build->engine.cylinders,
        [FR_SLOT_DIRECT_INJECTOR] = build->direct.present ? build->direct.count : 0,
        [FR_SLOT_HIGH_PRESSURE_PUMP] = build->direct.present ? build->direct.pump_count : 0,
    };
    return pieces[slot];
}

static bool idles(const fr_build *base, const fr_size_item *item) {
    fr_build build = *base;
    double open_s, least_s;
    fr_size_fit(&build, FR_SLOT_PORT_INJECTOR, item);
    return !fr_idle_pulse(&build, &open_s, &least_s);
}

static void fill_slot(brute *b, int slot) {
    if (slot == FR_SLOT_COUNT) {
        keep(b);
        return;
    }
    const fr_size_request *request = b->request;
    try_item(b, slot, NULL, 0, false);
    const unsigned pieces = pieces_of(request->build, slot);
    for (size_t i = 0; i < request->part_count && pieces > 0 && !request->keep[slot]; i++) {
        const fr_part *part = &request->parts[i];
        const fr_size_item item = {part, pieces, false, 0.0};
        if (part->kind != KINDS[slot] ||
            (slot == FR_SLOT_PORT_INJECTOR && !idles(request->build, &item))) {
            continue;
        }
        try_item(b, slot, part, pieces, false);
        for (unsigned pumps = 2; slot == FR_SLOT_LIFT_PUMP && pumps <= FR_SIZE_PUMPS_MAX; pumps++) {
            try_item(b, slot, part, pumps, false);
            try_item(b, slot, part, pumps, true);
        }
    }
}

size_t brute_best(const fr_size_request *request, size_t wanted, brute_set *best) {
    brute b = {.request = request,
               .check = fr_check_open(),
               .scratch = fr_check_open(),
               .wanted = wanted,
               .best = best};
    fill_slot(&b, 0);
    fr_check_close(b.check);
    fr_check_close(b.scratch);
    return b.count;
}
