/* SPDX-License-Identifier: GPL-3.0-or-later */
/* All parts of all folders, bound to numbers. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "sheet/bind.h"
#include "sheet/parts.h"

struct fr_shelf {
    fr_pantry *pantry;
    fr_part *parts;
    size_t count;
};

static void bind_wiring_part(const fr_scope *part, fr_part *out) {
    fr_bind_wiring(part, &out->as.wiring.ohm, &out->as.wiring.fuse_a);
}

static void bind_as(const fr_scope *part, fr_part *out) {
    switch (out->kind) {
    case FR_PART_LIFT_PUMP:
        fr_bind_pump(part, &out->as.lift_pump);
        break;
    case FR_PART_PORT_INJECTOR:
        fr_bind_port_injector(part, &out->as.port_injector);
        break;
    case FR_PART_DIRECT_INJECTOR:
        fr_bind_direct_injector(part, &out->as.direct_injector);
        break;
    case FR_PART_HIGH_PRESSURE_PUMP:
        fr_bind_hp_pump(part, &out->as.high_pressure_pump);
        break;
    case FR_PART_FILTER:
        fr_bind_filter(part, &out->as.filter);
        break;
    case FR_PART_LINE:
        fr_bind_line(part, &out->as.line);
        break;
    case FR_PART_WIRING:
        bind_wiring_part(part, out);
        break;
    case FR_PART_GASOLINE:
        fr_bind_gasoline(part, &out->as.gasoline);
        break;
    case FR_PART_KIND_COUNT:
        break;
    }
}

static const char *text_or_none(const fr_scope *part, const char *key) {
    const char *text = fr_take_text(part, key);
    return text ? text : "";
}

/* False when the part's file says something that it cannot. */
static bool bind_stored(fr_shelf *shelf, const fr_stored *stored, fr_report *report, fr_part *out) {
    fr_binder binder = {.memory = stored->tree, .pantry = shelf->pantry, .report = report};
    const fr_node *root = fr_tree_root(stored->tree);
    const fr_section *section =
        fr_section_of((fr_section_id)(FR_SECTION_PARTS + (int)stored->kind));
    fr_scope part = fr_scope_of(&binder, section, stored->name, root);
    memset(out, 0, sizeof *out);
    out->kind = stored->kind;
    out->name = stored->name;
    out->file = stored->file;
    out->hides_shipped = stored->hides_shipped;
    fr_scope_check_keys(&part);
    fr_check_part_file(&part);
    out->title = text_or_none(&part, "title");
    out->source = text_or_none(&part, "source");
    out->notes = text_or_none(&part, "notes");
    out->price = NAN;
    fr_take(&part, "price", &out->price);
    fr_take(&part, "spread", &out->spread);
    bind_as(&part, out);
    return binder.errors == 0;
}

static fr_status bind_all(fr_shelf *shelf, fr_report *report) {
    fr_status status = FR_OK;
    size_t count;
    const fr_stored *const *stored = fr_pantry_all(shelf->pantry, &count);
    shelf->parts = calloc(count + 1, sizeof *shelf->parts);
    if (!shelf->parts)
        return FR_NO_MEMORY;
    for (size_t i = 0; i < count; i++) {
        if (!stored[i]->tree)
            continue;
        if (bind_stored(shelf, stored[i], report, &shelf->parts[shelf->count]))
            shelf->count++;
        else
            status = FR_BAD_INPUT;
    }
    return status;
}

fr_status fr_shelf_open(const char *const *dirs, size_t dir_count, bool without_shipped,
                        fr_report *report, fr_shelf **out) {
    *out = NULL;
    fr_shelf *shelf = calloc(1, sizeof *shelf);
    if (!shelf)
        return FR_NO_MEMORY;
    shelf->pantry = fr_pantry_open(dirs, dir_count, without_shipped);
    fr_status filled = shelf->pantry ? fr_pantry_fill(shelf->pantry, report) : FR_NO_MEMORY;
    fr_status bound = shelf->pantry ? bind_all(shelf, report) : FR_NO_MEMORY;
    fr_status worst = filled > bound ? filled : bound;
    fr_report_sort(report);
    if (worst != FR_OK || report->out_of_memory) {
        fr_shelf_close(shelf);
        return worst != FR_OK ? worst : FR_NO_MEMORY;
    }
    *out = shelf;
    return FR_OK;
}

void fr_shelf_close(fr_shelf *shelf) {
    if (!shelf)
        return;
    fr_pantry_close(shelf->pantry);
    free(shelf->parts);
    free(shelf);
}

const fr_part *fr_shelf_parts(const fr_shelf *shelf, size_t *count) {
    *count = shelf->count;
    return shelf->parts;
}
