/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a line that is no "name: value" was meant to be, by the field table. */
#include <stdio.h>
#include <string.h>

#include "sheet/fields.h"
#include "sheet/tree_inside.h"

enum { WORD_MAX = 64 };

/* Sections whose fields a person may have meant, the commonest first. */
static const fr_section_id searched[] = {
    FR_SECTION_TOP,    FR_SECTION_ENGINE,       FR_SECTION_SUPPLY, FR_SECTION_SITE,
    FR_SECTION_FUEL,   FR_SECTION_PUMP_CIRCUIT, FR_SECTION_PORT,   FR_SECTION_DIRECT,
    FR_SECTION_SIZING, FR_SECTION_LOG,
};

/* What people call the part that the car was built with. */
static const char factory_words[] = "stock standard oem original factory";

typedef const fr_field *(*finder)(const fr_section *section, const char *key);

static const fr_field *search(finder find, const char *key, const fr_section **section) {
    for (size_t i = 0; i < sizeof searched / sizeof searched[0]; i++) {
        *section = fr_section_of(searched[i]);
        const fr_field *field = find(*section, key);
        if (field != NULL) {
            return field;
        }
    }
    return NULL;
}

static bool copy_word(const char *text, size_t length, char word[WORD_MAX]) {
    if (length == 0 || length >= WORD_MAX) {
        return false;
    }
    memcpy(word, text, length);
    word[length] = '\0';
    return true;
}

bool fr_advise_known(const char *name, size_t length) {
    char key[WORD_MAX];
    const fr_section *section;
    return copy_word(name, length, key) && search(fr_field_find, key, &section) != NULL;
}

/* The value in the sheet's own word, where it is one of a set. */
static const char *own_word(const fr_field *field, const char *value) {
    char plain[WORD_MAX];
    fr_plain_key(value, plain, sizeof plain);
    if (field->shape == FR_SHAPE_PART && fr_listed(factory_words, plain)) {
        return "factory";
    }
    if (field->words != NULL) {
        size_t i = fr_word_called(field->words, value);
        return i < field->words->count ? field->words->words[i].word : value;
    }
    return value;
}

bool fr_advise_pair(const char *name, size_t name_length, const char *value, size_t value_length,
                    char *out, size_t size) {
    char key[WORD_MAX];
    char text[WORD_MAX];
    const fr_section *section;
    if (!copy_word(name, name_length, key) || !copy_word(value, value_length, text)) {
        return false;
    }
    const fr_field *field = search(fr_field_find, key, &section);
    if (field == NULL) {
        field = search(fr_field_called, key, &section);
    }
    if (field == NULL) {
        return false;
    }
    int used = snprintf(out, size, "write '%s: %s'", field->key, own_word(field, text));
    if (section->place[0] != '\0' && used > 0 && (size_t)used < size) {
        snprintf(out + used, size - (size_t)used, " under '%s:'", section->place);
    }
    return true;
}
