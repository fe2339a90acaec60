/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sizing/options.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- which parts fit where ---- */

static const fr_part_kind KIND_OF_SLOT[FR_SLOT_COUNT] = {
    [FR_SLOT_LIFT_PUMP] = FR_PART_LIFT_PUMP,
    [FR_SLOT_WIRING] = FR_PART_WIRING,
    [FR_SLOT_FILTER] = FR_PART_FILTER,
    [FR_SLOT_LINE] = FR_PART_LINE,
    [FR_SLOT_PORT_INJECTOR] = FR_PART_PORT_INJECTOR,
    [FR_SLOT_DIRECT_INJECTOR] = FR_PART_DIRECT_INJECTOR,
    [FR_SLOT_HIGH_PRESSURE_PUMP] = FR_PART_HIGH_PRESSURE_PUMP,
};

/* Pieces of one part that the slot takes; 0: the build has no such slot. */
static unsigned pieces(const fr_build *build, fr_slot slot) {
    switch (slot) {
    case FR_SLOT_FILTER:
        return (unsigned)build->feed.filter_count;
    case FR_SLOT_LINE:
        return build->feed.line_count > 0 ? 1 : 0; /* sold as a set */
    case FR_SLOT_PORT_INJECTOR:
        return build->port.present ? build->port.count : build->engine.cylinders;
    case FR_SLOT_DIRECT_INJECTOR:
        return build->direct.present ? build->direct.count : 0;
    case FR_SLOT_HIGH_PRESSURE_PUMP:
        return build->direct.present ? build->direct.pump_count : 0;
    case FR_SLOT_LIFT_PUMP:
    case FR_SLOT_WIRING:
    case FR_SLOT_COUNT:
        break;
    }
    return 1;
}

static double price_of(const fr_size_request *request, size_t part) {
    return request->prices != NULL ? request->prices[part] : request->parts[part].price;
}

static unsigned owned_pumps(const fr_build *build) {
    unsigned count = 0;
    for (size_t i = 0; i < build->pumps.kind_count; i++) {
        count += build->pumps.kinds[i].count;
    }
    return count;
}

/* ---- order ---- */

const char *fr_item_name(const fr_size_request *request, fr_slot slot, const fr_size_item *item) {
    if (item->part != NULL) {
        return item->part->name;
    }
    return request->owned[slot] != NULL ? request->owned[slot] : "";
}

int fr_item_compare(const fr_size_request *request, fr_slot slot, const fr_size_item *a,
                    const fr_size_item *b) {
    if (a->price != b->price) {
        return a->price < b->price ? -1 : 1;
    }
    const int by_name =
        strcmp(fr_item_name(request, slot, a), fr_item_name(request, slot, b));
    if (by_name != 0) {
        return by_name;
    }
    return a->count != b->count ? (a->count < b->count ? -1 : 1) : (int)a->series - (int)b->series;
}

static void sort_items(const fr_size_request *request, fr_slot slot, fr_options *options) {
    for (size_t i = 1; i < options->count; i++) {
        const fr_size_item item = options->items[i];
        size_t at = i;
        for (; at > 0 && fr_item_compare(request, slot, &item, &options->items[at - 1]) < 0; at--) {
            options->items[at] = options->items[at - 1];
        }
        options->items[at] = item;
    }
}

/* ---- making the lists ---- */

static bool is_owned(const fr_size_request *request, fr_slot slot, const fr_part *part) {
    return request->owned[slot] != NULL && strcmp(request->owned[slot], part->name) == 0;
}

/* Too large to idle well: no choice, and said. */
static bool refused(const fr_size_request *request, const fr_size_item *item,
                    fr_size_result *result) {
    fr_build trial = *request->build;
    double open_s, least_s;
    fr_size_fit(&trial, FR_SLOT_PORT_INJECTOR, item);
    if (!fr_idle_pulse(&trial, &open_s, &least_s)) {
        return false;
    }
    if (result->refused_count < FR_SIZE_REFUSED_MAX) {
        result->refused[result->refused_count++] = (fr_size_refused){item->part, open_s, least_s};
    }
    return true;
}

static void add_item(fr_options *options, const fr_part *part, unsigned count, bool series,
                     double price) {
    options->items[options->count++] = (fr_size_item){part, count, series, price};
}

static void add_part(const fr_size_request *request, fr_slot slot, size_t index,
                     fr_options *options, fr_size_result *result) {
    const fr_part *part = &request->parts[index];
    const double price = price_of(request, index);
    const unsigned count = pieces(request->build, slot);
    if (part->kind != KIND_OF_SLOT[slot] || !(price >= 0.0) || count == 0) {
        return;
    }
    const double fitting = request->fitting[slot];
    if (slot == FR_SLOT_LIFT_PUMP) {
        for (unsigned pumps = 1; pumps <= FR_SIZE_PUMPS_MAX; pumps++) {
            add_item(options, part, pumps, false, price * pumps + fitting);
            if (pumps > 1) {
                add_item(options, part, pumps, true, price * pumps + fitting);
            }
        }
        return;
    }
    const fr_size_item item = {part, count, false, price * count + fitting};
    if (is_owned(request, slot, part) ||
        (slot == FR_SLOT_PORT_INJECTOR && refused(request, &item, result))) {
        return;
    }
    options->items[options->count++] = item;
}

fr_status fr_options_make(const fr_size_request *request, fr_options options[FR_SLOT_COUNT],
                          fr_size_result *result) {
    enum { ITEMS_A_PART = 2 * FR_SIZE_PUMPS_MAX - 1 };
    for (int i = 0; i < FR_SLOT_COUNT; i++) {
        const fr_slot slot = (fr_slot)i;
        const size_t per_part = slot == FR_SLOT_LIFT_PUMP ? ITEMS_A_PART : 1;
        options[i].items = calloc(request->part_count * per_part + 1, sizeof(fr_size_item));
        if (options[i].items == NULL) {
            return FR_NO_MEMORY;
        }
        add_item(&options[i], NULL, 0, false, 0.0);
        for (size_t part = 0; part < request->part_count && !request->keep[i]; part++) {
            add_part(request, slot, part, &options[i], result);
        }
        sort_items(request, slot, &options[i]);
    }
    return FR_OK;
}

void fr_options_close(fr_options options[FR_SLOT_COUNT]) {
    for (int i = 0; i < FR_SLOT_COUNT; i++) {
        free(options[i].items);
    }
}

/* ---- price ---- */

double fr_set_price(const fr_size_request *request, const fr_size_item items[FR_SLOT_COUNT]) {
    double price = 0.0;
    for (int i = 0; i < FR_SLOT_COUNT; i++) {
        price += items[i].price;
    }
    const unsigned owned = owned_pumps(request->build);
    const fr_size_item *pump = &items[FR_SLOT_LIFT_PUMP], *wiring = &items[FR_SLOT_WIRING];
    const unsigned pumps = pump->part != NULL ? pump->count : owned;
    if (wiring->part != NULL) {
        const double one = wiring->price - request->fitting[FR_SLOT_WIRING];
        price += one * (double)(pumps - 1);
    } else if (pumps > owned) {
        price += request->owned_wiring_price * (double)(pumps - owned);
    }
    return price;
}
