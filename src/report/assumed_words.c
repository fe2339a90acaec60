/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/assumed_words.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#include "report/utf8.h"

/* Beyond this a value tells less than the reason why it was taken. */
enum { LONG_VALUE = 68, DIGITS_SHOWN = 4 };

/* The first row that a field begins with decides: in which group it is told, and of what thing.
 * A number in the path stands behind the thing's name, counted from 1. */
static const struct {
    const char *prefix;
    const char *group;
    const char *owner;
} owners[] = {
    {"supply.lift_pump.pumps.", "parts", "lift pump"},
    {"supply.lift_pump", "parts", "lift pump"},
    {"supply.port_injection", "parts", "port injectors"},
    {"supply.direct_injection.high_pressure_pump", "parts", "high-pressure pump"},
    {"supply.direct_injection.injector", "parts", "direct injectors"},
    {"supply.direct_injection.count", "parts", "direct injectors"},
    {"supply.direct_injection", "parts", "direct injection"},
    {"supply.pump_circuit.wiring.", "supply", "pump wiring"},
    {"supply.pump_circuit", "supply", "pump circuit"},
    {"supply.lines.", "supply", "line"},
    {"supply.filters.", "supply", "filter"},
    {"supply.return_line.", "supply", "return line"},
    {"supply", "supply", ""},
    {"engine", "engine", ""},
    {"site", "site", ""},
    {"fuel", "fuel", ""},
    {"", "other", ""},
};

const char *const fr_assumed_groups[] = {"supply", "engine", "site", "fuel",
                                         "parts",  "other",  NULL};

/* Fields whose own name says too little, or in another way than the trade. */
static const struct {
    const char *field;
    const char *label;
} labels[] = {
    {"engine.bsfc", "BSFC"},
    {"engine.bsfc_blend", "BSFC measured on"},
    {"engine.bsfc_lambda", "BSFC measured at lambda"},
    {"engine.bsfc_scaling", "other blends reckoned by"},
    {"engine.same_air_gain", "extra work from the same air"},
    {"engine.charge_temperature", "charge air"},
    {"engine.idle_speed", "idle at"},
    {"engine.peak_power_at", "most power at"},
    {"site.air_pressure", "air"},
    {"site.tank_temperature", "fuel in the tank"},
    {"site.feed_temperature", "fuel in the feed"},
    {"site.rail_temperature", "fuel in the rail"},
    {"site.supply_voltage", "supply"},
    {"supply.reference", "regulator works against"},
    {"supply.pump_circuit.shared", "shared wiring"},
    {"supply.direct_injection.inlet_temperature", "fuel at the pump"},
};

static size_t owner_of(const char *field) {
    size_t at = 0;
    while (strncmp(field, owners[at].prefix, strlen(owners[at].prefix)) != 0)
        at++;
    return at;
}

const char *fr_assumed_group(const fr_assumed *assumed) {
    return owners[owner_of(assumed->field)].group;
}

void fr_assumed_owner(fr_words *words, const fr_assumed *assumed) {
    size_t row = owner_of(assumed->field);
    const char *behind = assumed->field + strlen(owners[row].prefix);
    fr_words_add(words, "%s", owners[row].owner);
    if (owners[row].owner[0] != '\0' && isdigit((unsigned char)behind[0]))
        fr_words_add(words, " %ld", strtol(behind, NULL, 10) + 1);
}

static void add_label(fr_words *words, const char *field) {
    for (size_t i = 0; i < sizeof labels / sizeof labels[0]; i++)
        if (strcmp(field, labels[i].field) == 0) {
            fr_words_add(words, "%s", labels[i].label);
            return;
        }
    const char *dot = strrchr(field, '.');
    for (const char *at = dot == NULL ? field : dot + 1; *at != '\0'; at++)
        fr_words_add(words, "%c", *at == '_' ? ' ' : *at);
}

/* A number with more decimals than a person wants; what it took of the text. */
static size_t add_number(fr_words *words, const char *text) {
    char *end;
    double value = strtod(text, &end);
    size_t length = (size_t)(end - text);
    bool decimals = memchr(text, '.', length) != NULL;
    if (decimals && length > DIGITS_SHOWN + 1)
        fr_words_add(words, "%.*g", DIGITS_SHOWN, value);
    else
        fr_words_add(words, "%.*s", (int)length, text);
    return length;
}

/* A list of one thing needs only the brackets of the thing. */
static bool doubles_another(const char *value, const char *at) {
    return (at[0] == '[' && at[1] == '{') || (at[0] == ']' && at > value && at[-1] == '}');
}

void fr_assumed_value(fr_words *words, const char *value) {
    bool in_word = false;
    for (const char *at = value; *at != '\0';) {
        if (isdigit((unsigned char)*at) && !in_word) {
            at += add_number(words, at);
            in_word = true;
            continue;
        }
        if (strchr("{[", *at) != NULL && !doubles_another(value, at))
            fr_words_add(words, "(");
        else if (strchr("}]", *at) != NULL && !doubles_another(value, at))
            fr_words_add(words, ")");
        else if (strchr("{}[]:", *at) == NULL)
            fr_words_add(words, "%c", *at);
        in_word = isalnum((unsigned char)*at) != 0;
        at++;
    }
}

/* What a word stands for, where its reason tells: "common practice, 110 mohm" of `standard`. */
static const char *behind_word(const fr_assumed *assumed) {
    const char *comma = strchr(assumed->why, ',');
    return assumed->is_word && comma != NULL && strpbrk(comma, "0123456789") != NULL ? comma + 2
                                                                                     : NULL;
}

void fr_assumed_item(fr_words *words, const fr_assumed *assumed) {
    const char *behind = behind_word(assumed);
    add_label(words, assumed->field);
    if (strcmp(assumed->value, "auto") == 0 || fr_text_columns(assumed->value) > LONG_VALUE) {
        fr_words_add(words, ": %s", assumed->why);
        return;
    }
    fr_words_add(words, " ");
    fr_assumed_value(words, assumed->value);
    if (behind != NULL)
        fr_words_add(words, " (%s)", behind);
}

void fr_factory_sentence(fr_words *words, const fr_assumed *assumed) {
    size_t start = words->length;
    fr_assumed_owner(words, assumed);
    fr_words_capital(words, start);
    fr_words_add(words, " as the car was built ");
    fr_assumed_value(words, assumed->value);
    fr_words_add(words,
                 ": sized from its factory power by common practice, no source. Cars differ: "
                 "find the part and its rating.");
}

size_t fr_paste_section(const char *field, const char *paste) {
    const char *key = paste + strspn(paste, " ");
    size_t key_length = strcspn(key, ":");
    for (size_t at = 0; field[at] != '\0';) {
        size_t length = strcspn(field + at, ".");
        if (length == key_length && strncmp(field + at, key, length) == 0)
            return at > 0 ? at - 1 : 0;
        at += length + (field[at + length] == '.');
    }
    return 0;
}
