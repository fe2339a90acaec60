/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "fuelreach/quantity.h"
#include "report/format.h"
#include "report/json.h"
#include "report/size_document.h"

typedef struct lever_name {
    const char *what;
    const char *unit; /* in results; an injector's is a volume of its own test fluid */
    const char *spelled; /* as quantities are read; null: the figure is a factor */
} lever_name;

static const lever_name LEVERS[FR_LEVER_COUNT] = {
    [FR_LEVER_NONE] = {"", "", NULL},
    [FR_LEVER_LIFT_FLOW] = {"lift-pump-flow", "L/h", "L/h"},
    [FR_LEVER_WIRING] = {"wiring-resistance", "mohm", "mohm"},
    [FR_LEVER_FUSE] = {"fuse", "A", "A"},
    [FR_LEVER_TANK_TEMPERATURE] = {"tank-temperature", "degC", "degC"},
    [FR_LEVER_LINE_BORE] = {"line-bore", "mm", "mm"},
    [FR_LEVER_FEED_PRESSURE] = {"feed-pressure", "bar", "bar"},
    [FR_LEVER_PORT_FLOW] = {"port-injector-flow", "cc/min", "cc/min"},
    [FR_LEVER_DIRECT_FLOW] = {"direct-injector-flow", "cc/s", "cc/s"},
    [FR_LEVER_RAIL_COMMAND] = {"rail-command", "bar", "bar"},
    [FR_LEVER_HP_DISPLACEMENT] = {"high-pressure-pump-displacement", "cc", "cc"},
    [FR_LEVER_DIRECT_SHARE] = {"direct-share", "%", "%"},
};

const char *fr_lever_what(fr_lever lever) {
    return LEVERS[lever].what;
}

const char *fr_lever_unit(fr_lever lever) {
    return LEVERS[lever].unit;
}

double fr_lever_figure(const fr_build *build, fr_lever lever, double si_value) {
    double value = si_value;
    if (lever == FR_LEVER_PORT_FLOW) {
        value /= build->port.test_density_kg_m3;
    } else if (lever == FR_LEVER_DIRECT_FLOW) {
        value /= build->direct.test_density_kg_m3;
    }
    return LEVERS[lever].spelled != NULL ? fr_in_unit(value, LEVERS[lever].spelled) : value;
}

/* ---- needs ---- */

static void write_need(fr_json *json, const fr_build *build, const fr_size_need *need) {
    const fr_lever lever = need->mend.lever;
    /* All together, the pump works elsewhere on its curve: its need is a share of its own flow. */
    const bool share = lever == FR_LEVER_LIFT_FLOW && !need->alone;
    char name[FR_BLEND_NAME_MAX];
    fr_json_object(json, NULL);
    if (isnan(need->ethanol)) {
        fr_json_text(json, "blend", NULL);
    } else {
        fr_blend_name(need->ethanol, name);
        fr_json_text(json, "blend", name);
    }
    fr_json_text(json, "stage", fr_stage_name(need->stage));
    fr_json_text(json, "what", fr_lever_what(lever));
    fr_json_number(json, "value", share ? 100.0 * need->mend.factor
                                        : fr_lever_figure(build, lever, need->mend.needs));
    fr_json_text(json, "unit", share ? "% of now" : fr_lever_unit(lever));
    fr_json_bool(json, "alone", need->alone);
    fr_json_object_end(json);
}

/* ---- choices ---- */

static void write_item(fr_json *json, const fr_size_document *document,
                       const fr_size_choice *choice, fr_slot slot) {
    const fr_size_item *item = &choice->items[slot];
    const char *owned = document->request->owned[slot];
    const bool is_owned = item->part == NULL;
    fr_json_object(json, NULL);
    fr_json_text(json, "slot", fr_slot_name(slot));
    fr_json_text(json, "part", !is_owned ? item->part->name : owned != NULL && *owned != '\0' ? owned : NULL);
    if (is_owned) {
        fr_json_number(json, "count", NAN);
    } else {
        fr_json_count(json, "count", item->count);
    }
    fr_json_text(json, "arrangement", item->count < 2 || slot != FR_SLOT_LIFT_PUMP ? NULL
                                      : item->series                              ? "series"
                                                                                  : "parallel");
    fr_json_number(json, "price", item->price);
    fr_json_bool(json, "owned", is_owned);
    fr_json_text(json, "mends", choice->mends[slot] ? fr_stage_name(choice->mended[slot]) : NULL);
    fr_json_object_end(json);
}

static void write_items(fr_json *json, const fr_size_document *document,
                        const fr_size_choice *choice) {
    fr_json_list(json, "items");
    for (int slot = 0; slot < FR_SLOT_COUNT; slot++) {
        write_item(json, document, choice, (fr_slot)slot);
    }
    fr_json_list_end(json);
}

static void write_choice(fr_json *json, const fr_size_document *document, const char *key,
                         const fr_size_choice *choice, bool whole) {
    static const double KW = 1e-3;
    fr_json_object(json, key);
    fr_json_number(json, "price", choice->price);
    fr_json_number(json, "reach_kw", choice->reach_w * KW);
    if (whole) {
        fr_json_number(json, "clear_to_kw", choice->clear_to_w * KW);
        fr_json_text(json, "weakest", fr_stage_name(choice->weakest));
        fr_json_list(json, "marks");
        if (choice->marks.return_overrun) {
            fr_json_text(json, NULL, fr_caution_name(FR_CAUTION_RETURN_OVERRUN));
        }
        if (choice->marks.beyond_curve) {
            fr_json_text(json, NULL, fr_caution_name(FR_CAUTION_BEYOND_CURVE));
        }
        fr_json_list_end(json);
    }
    write_items(json, document, choice);
    fr_json_object_end(json);
}

static void write_unmendable(fr_json *json, const fr_size_result *result) {
    fr_json_list(json, "unmendable");
    for (size_t i = 0; i < result->unmendable_count; i++) {
        char name[FR_BLEND_NAME_MAX];
        fr_blend_name(result->unmendable[i].ethanol, name);
        fr_json_object(json, NULL);
        fr_json_text(json, "stage", fr_stage_name(result->unmendable[i].stage));
        fr_json_text(json, "blend", name);
        fr_json_number(json, "best_use", result->unmendable[i].best_use);
        fr_json_object_end(json);
    }
    fr_json_list_end(json);
}

static void write_refused(fr_json *json, const fr_size_result *result) {
    static const double MS = 1e3;
    fr_json_list(json, "refused");
    for (size_t i = 0; i < result->refused_count; i++) {
        fr_json_object(json, NULL);
        fr_json_text(json, "part", result->refused[i].part->name);
        fr_json_text(json, "why", fr_caution_name(FR_CAUTION_IDLE_PULSE));
        fr_json_number(json, "open_ms", result->refused[i].open_s * MS);
        fr_json_number(json, "least_ms", result->refused[i].least_s * MS);
        fr_json_object_end(json);
    }
    fr_json_list_end(json);
}

void fr_write_size_json(FILE *out, const fr_size_document *document) {
    const fr_size_result *result = document->result;
    fr_json json = fr_json_to(out);
    fr_json_object(&json, NULL);
    fr_json_count(&json, "fuelreach", 1);
    fr_json_text(&json, "sheet", fr_sheet_file(document->check->sheet));
    fr_json_text(&json, "name", fr_sheet_name(document->check->sheet));
    fr_json_bool(&json, "holds", result->holds);
    fr_json_text(&json, "currency", document->currency);
    fr_json_number(&json, "confidence_percent", 100.0 * document->confidence);
    fr_json_list(&json, "needs");
    for (size_t i = 0; i < document->need_count; i++) {
        write_need(&json, document->check->build, &document->needs[i]);
    }
    fr_json_list_end(&json);
    fr_json_list(&json, "choices");
    for (size_t i = 0; i < result->choice_count; i++) {
        write_choice(&json, document, NULL, &result->choices[i], true);
    }
    fr_json_list_end(&json);
    if (result->has_best) {
        write_choice(&json, document, "best", &result->best, true);
    }
    fr_json_list(&json, "front");
    for (size_t i = 0; i < result->front_count; i++) {
        write_choice(&json, document, NULL, &result->front[i], false);
    }
    fr_json_list_end(&json);
    write_unmendable(&json, result);
    write_refused(&json, result);
    fr_json_number(&json, "combinations", result->combinations);
    fr_json_number(&json, "evaluated", result->evaluated);
    fr_json_bool(&json, "proven", result->proven);
    fr_json_object_end(&json);
    fr_json_line_end(&json);
}
