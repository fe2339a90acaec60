/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Look-ups in the field table. */
#include "sheet/fields.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

enum { KEY_MAX = 64 };

size_t fr_section_field_count(const fr_section *section) {
    return section->count + (section->is_part ? fr_common_section.count : 0);
}

const fr_field *fr_section_field(const fr_section *section, size_t index) {
    return index < section->count ? &section->fields[index]
                                  : &fr_common_section.fields[index - section->count];
}

const fr_field *fr_field_find(const fr_section *section, const char *key) {
    size_t count = fr_section_field_count(section);
    for (size_t i = 0; i < count; i++) {
        const fr_field *field = fr_section_field(section, i);
        if (strcmp(field->key, key) == 0)
            return field;
    }
    return NULL;
}

bool fr_listed(const char *list, const char *word) {
    size_t length = strlen(word);
    if (!list || length == 0)
        return false;
    for (const char *at = list; *at;) {
        size_t run = strcspn(at, " ");
        if (run == length && memcmp(at, word, length) == 0)
            return true;
        at += run;
        at += strspn(at, " ");
    }
    return false;
}

void fr_plain_key(const char *key, char *out, size_t size) {
    size_t used = 0;
    for (; *key && used + 1 < size; key++) {
        char letter = *key;
        out[used++] = letter == '-' || letter == ' ' ? '_' : (char)tolower((unsigned char)letter);
    }
    out[used] = '\0';
}

const fr_field *fr_field_called(const fr_section *section, const char *word) {
    char plain[KEY_MAX], own[KEY_MAX];
    fr_plain_key(word, plain, sizeof plain);
    size_t count = fr_section_field_count(section);
    for (size_t i = 0; i < count; i++) {
        const fr_field *field = fr_section_field(section, i);
        fr_plain_key(field->key, own, sizeof own);
        if (strcmp(own, plain) == 0)
            return field;
    }
    for (size_t i = 0; i < count; i++) {
        const fr_field *field = fr_section_field(section, i);
        if (fr_listed(field->synonyms, plain))
            return field;
    }
    return NULL;
}

/* Cuts the next part off a dotted path. */
static const char *next_key(const char *path, char *key) {
    size_t length = strcspn(path, ".");
    size_t kept = length < KEY_MAX ? length : KEY_MAX - 1;
    memcpy(key, path, kept);
    key[kept] = '\0';
    path += length;
    return *path == '.' ? path + 1 : path;
}

static bool is_list(fr_shape shape) {
    return shape == FR_SHAPE_PARTS || shape == FR_SHAPE_SECTIONS;
}

static bool has_section(fr_shape shape) {
    return shape == FR_SHAPE_SECTION || shape == FR_SHAPE_PART || shape == FR_SHAPE_WIRING ||
           shape == FR_SHAPE_CHANNEL || is_list(shape);
}

const fr_field *fr_field_at(const char *path) {
    const fr_section *section = fr_section_of(FR_SECTION_TOP);
    char key[KEY_MAX];
    const fr_field *field = NULL;
    while (*path) {
        if (!section)
            return NULL;
        path = next_key(path, key);
        field = fr_field_find(section, key);
        if (!field)
            return NULL;
        if (is_list(field->shape) && isdigit((unsigned char)*path))
            path = next_key(path, key);
        section = has_section(field->shape) ? fr_section_of(field->section) : NULL;
    }
    return field;
}

static bool same_word(const char *a, const char *b) {
    while (*a && *b && tolower((unsigned char)*a) == tolower((unsigned char)*b)) {
        a++;
        b++;
    }
    return *a == *b;
}

size_t fr_word_find(const fr_words *words, const char *text) {
    size_t i = 0;
    while (i < words->count && !same_word(words->words[i].word, text))
        i++;
    return i;
}

size_t fr_word_called(const fr_words *words, const char *text) {
    char lower[KEY_MAX];
    size_t used = 0;
    for (; text[used] && used + 1 < sizeof lower; used++) {
        char letter = text[used];
        lower[used] = letter == ' ' || letter == '_' ? '-' : (char)tolower((unsigned char)letter);
    }
    lower[used] = '\0';
    size_t i = fr_word_find(words, lower);
    if (i < words->count)
        return i;
    for (i = 0; i < words->count; i++)
        if (fr_listed(words->words[i].synonyms, lower))
            return i;
    return words->count;
}

static const struct {
    const char *name;
    const char *example;
    fr_kinds kinds;
} axes[] = {
    [FR_AXIS_NONE] = {"", "", 0},
    [FR_AXIS_SPEED] = {"engine speed", "3000 rpm", FR_KINDS(FR_KIND_SPEED)},
    [FR_AXIS_PUMP_SPEED] = {"the pump's speed", "1500 rpm", FR_KINDS(FR_KIND_SPEED)},
    [FR_AXIS_BLEND] = {"blends", "E85", 0},
    [FR_AXIS_RISE] = {"pressure", "3 bar", FR_KINDS(FR_KIND_PRESSURE)},
    [FR_AXIS_VOLTAGE] = {"voltage", "12 V", FR_KINDS(FR_KIND_VOLTAGE)},
};

const char *fr_axis_name(fr_axis axis) {
    return axes[axis].name;
}

const char *fr_axis_example(fr_axis axis) {
    return axes[axis].example;
}

fr_kinds fr_axis_kinds(fr_axis axis) {
    return axes[axis].kinds;
}

const char *fr_part_kind_name(fr_part_kind kind) {
    return fr_part_sections[kind].name;
}

/* The slots of sizing are the fields of its section `fitting`, in the same order. */
const char *fr_slot_name(fr_slot slot) {
    return slot < FR_SLOT_COUNT ? fr_fitting_section.fields[slot].key : "";
}

fr_slot fr_slot_find(const char *name) {
    fr_slot slot = (fr_slot)0;
    while (slot < FR_SLOT_COUNT && strcmp(fr_slot_name(slot), name) != 0)
        slot = (fr_slot)(slot + 1);
    return slot;
}

static const struct {
    const char *name;
    fr_kinds kinds;
    const char *unit;
} channels[FR_CHANNEL_COUNT] = {
#define CHANNEL_ROW(id, name, kinds, unit) [id] = {name, kinds, unit},
    FR_CHANNEL_TABLE(CHANNEL_ROW)
#undef CHANNEL_ROW
};

const char *fr_channel_name(fr_channel channel) {
    return channels[channel].name;
}

fr_kinds fr_channel_kinds(fr_channel channel) {
    return channels[channel].kinds;
}

const char *fr_channel_unit(fr_channel channel) {
    return channels[channel].unit;
}
