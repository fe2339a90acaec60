/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assumptions/turn_text.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fuelreach/quantity.h"

const char *fr_store_text(fr_text_store *store, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    const int length = vsnprintf(store->at, store->left, format, arguments);
    va_end(arguments);
    if (length < 0 || (size_t)length >= store->left) {
        return "";
    }
    const char *text = store->at;
    store->at += length + 1;
    store->left -= (size_t)length + 1;
    return text;
}

/* ---- questions ---- */

typedef struct fr_question {
    const char *field;
    const char *word; /* null: any figure of the field */
    const char *text; /* for a figure, after the value: "13.1 V" */
} fr_question;

static const fr_question QUESTIONS[] = {
    {"supply.regulation", "return", "a return line in the car?"},
    {"supply.regulation", "mechanical-returnless", "regulator in the tank, no return?"},
    {"supply.regulation", "electronic-returnless", "pump speed controlled?"},
    {"supply.reference", "atmosphere", "regulator not on the manifold?"},
    {"supply.reference", "manifold", "regulator on the manifold?"},
    {"supply.pump_circuit.wiring", "relay", "pump on its own relay and wire?"},
    {"supply.pump_circuit.wiring", "standard", "pump on the car's own wiring?"},
    {"engine.power_at", "wheels", "power meant at the wheels?"},
    {"engine.power_at", "crank", "power meant at the crank?"},
    {"engine.aspiration", "natural", "no turbo or supercharger?"},
    {"engine.aspiration", "turbo", "a turbo on it?"},
    {"engine.aspiration", "supercharged", "a supercharger on it?"},
    {"engine.bsfc_scaling", "energy", "fuel by heat, not by air?"},
    {"engine.bsfc_scaling", "air", "fuel by air, not by heat?"},
    {"supply.lift_pump.arrangement", "series", "pumps in series?"},
    {"supply.lift_pump.arrangement", "parallel", "pumps in parallel?"},
    {"supply.lift_pump.condition", NULL, "the pump's flow"},
    {"supply.lift_pump.pumps.condition", NULL, "a pump's flow"},
    {"supply.lift_pump", NULL, "the lift pump"},
    {"supply.port_injection.injector", NULL, "the port injectors"},
    {"supply.direct_injection.injector", NULL, "the direct injectors"},
    {"supply.direct_injection.high_pressure_pump", NULL, "the engine-driven pump"},
    {"supply.direct_injection.high_pressure_pump.fill", NULL, "the engine-driven pump's filling"},
    {"supply.direct_injection.window", NULL, "injection window"},
    {"supply.pump_circuit.wiring", NULL, "wiring"},
    {"site.supply_voltage", NULL, "at the car"},
    {"site.feed_temperature", NULL, "fuel"},
    {"engine.bsfc", NULL, "BSFC"},
    {"engine.lambda", NULL, "lambda"},
};
enum { QUESTION_COUNT = sizeof QUESTIONS / sizeof *QUESTIONS };

static const char *question_of(const char *field, const char *word) {
    for (size_t i = 0; i < QUESTION_COUNT; i++) {
        const fr_question *row = &QUESTIONS[i];
        const bool same_word = word == NULL ? row->word == NULL
                                            : row->word != NULL && strcmp(row->word, word) == 0;
        if (same_word && strcmp(row->field, field) == 0) {
            return row->text;
        }
    }
    return NULL;
}

/* The path without the places in lists: "supply.lift_pump.pumps.condition". */
static void without_places(const char *field, char *path, size_t size) {
    size_t length = 0;
    for (const char *at = field; *at != '\0' && length + 1 < size; at++) {
        if (*at == '.' && at[1] >= '0' && at[1] <= '9') {
            at += strspn(at + 1, "0123456789");
        } else {
            path[length++] = *at;
        }
    }
    path[length] = '\0';
}

/* The part of a field's path that a person would say: "feed pressure". */
static void plain_name(const char *field, char *name, size_t size) {
    const char *dot = strrchr(field, '.');
    snprintf(name, size, "%s", dot == NULL ? field : dot + 1);
    for (char *c = name; *c != '\0'; c++) {
        *c = *c == '_' ? ' ' : *c;
    }
}

/* The paste line with the last standing of its value replaced. */
static const char *paste_with(fr_text_store *store, const fr_assumed *assumed, const char *value) {
    const char *last = NULL;
    for (const char *at = strstr(assumed->paste, assumed->value); at != NULL;
         at = strstr(at + 1, assumed->value)) {
        last = at;
    }
    if (last == NULL || assumed->value[0] == '\0') {
        return assumed->paste;
    }
    return fr_store_text(store, "%.*s%s%s", (int)(last - assumed->paste), assumed->paste, value,
                         last + strlen(assumed->value));
}

void fr_turn_of_word(fr_text_store *store, const fr_assumed *assumed, const char *word,
                     fr_turn *turn) {
    char name[64];
    plain_name(assumed->field, name, sizeof name);
    const char *question = question_of(assumed->field, word);
    turn->field = assumed->field;
    turn->instead = fr_store_text(store, "%s", word);
    turn->question = question != NULL
                         ? question
                         : fr_store_text(store, "%s %s, not %s?", name, word, assumed->value);
    turn->paste = paste_with(store, assumed, word);
}

/* ---- figures ---- */

/* "13.5 V" moved by a deviation, in its own unit; false when the value is no plain quantity. */
static bool moved_value(const fr_assumed *assumed, const fr_input *input, double deviation,
                        char *text, size_t size) {
    char *unit;
    const double number = strtod(assumed->value, &unit);
    if (unit == assumed->value || strchr(assumed->value, '{') != NULL) {
        return false;
    }
    double moved = number * (1.0 + deviation);
    if (input->kind == FR_INPUT_SHIFT) {
        fr_kind kind;
        double factor, offset;
        const char *spelling = unit + strspn(unit, " ");
        const fr_kinds any = ~0u;
        if (*spelling == '\0') {
            factor = 1.0;
        } else if (!fr_unit_find(spelling, any, &kind, &factor, &offset)) {
            return false;
        }
        moved = number + deviation / factor;
    }
    snprintf(text, size, "%.4g%s", moved, unit);
    return true;
}

/* A part as the car was built, but smaller or greater: written so, it says what was tried. */
static bool factory_value(const fr_assumed *assumed, double deviation, char *text, size_t size) {
    snprintf(text, size, "{part: factory, of_factory: %.3g %%}", 100.0 * (1.0 + deviation));
    return assumed->is_factory;
}

void fr_turn_of_figure(fr_text_store *store, const fr_assumed *assumed, const fr_input *input,
                       double deviation, fr_turn *turn) {
    char value[96], name[64], path[128];
    const bool plain = factory_value(assumed, deviation, value, sizeof value) ||
                       moved_value(assumed, input, deviation, value, sizeof value);
    without_places(assumed->field, path, sizeof path);
    const char *what = question_of(path, NULL);
    plain_name(assumed->field, name, sizeof name);
    what = what != NULL ? what : name;
    turn->field = assumed->field;
    if (plain && input->kind == FR_INPUT_SHIFT) {
        turn->question = fr_store_text(store, "%s %s, not %s?", value, what, assumed->value);
    } else {
        const char *how = assumed->is_factory ? (deviation > 0.0 ? "greater" : "smaller")
                          : deviation > 0.0   ? "more than assumed"
                                              : "less than assumed";
        turn->question =
            fr_store_text(store, "%s %.3g %% %s?", what, 100.0 * fabs(deviation), how);
    }
    turn->instead = plain ? fr_store_text(store, "%s", value)
                          : fr_store_text(store, "%+.3g %%", 100.0 * deviation);
    turn->paste = plain ? paste_with(store, assumed, value) : assumed->paste;
}
