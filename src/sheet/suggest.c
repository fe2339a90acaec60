/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Unknown names: what a person may have meant, by what people also call it, by its place, or by
 * the nearest spelling. */
#include "sheet/suggest.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { WORD_MAX = 64, SHOWN_CHARACTERS = 40 };

/* ---- nearest spelling ---- */

static size_t least(size_t a, size_t b, size_t c) {
    size_t ab = a < b ? a : b;
    return ab < c ? ab : c;
}

size_t fr_edit_distance(const char *a, const char *b) {
    char left[WORD_MAX], right[WORD_MAX];
    size_t rows[3][WORD_MAX];
    fr_plain_key(a, left, sizeof left);
    fr_plain_key(b, right, sizeof right);
    size_t n = strlen(left), m = strlen(right);
    size_t *before = rows[0], *last = rows[1], *row = rows[2];
    for (size_t j = 0; j <= m; j++)
        last[j] = j;
    memcpy(before, last, sizeof rows[0]);
    for (size_t i = 1; i <= n; i++) {
        row[0] = i;
        for (size_t j = 1; j <= m; j++) {
            bool same = left[i - 1] == right[j - 1];
            row[j] = least(last[j] + 1, row[j - 1] + 1, last[j - 1] + (same ? 0 : 1));
            bool swapped =
                i > 1 && j > 1 && left[i - 1] == right[j - 2] && left[i - 2] == right[j - 1];
            if (swapped && before[j - 2] + 1 < row[j])
                row[j] = before[j - 2] + 1;
        }
        size_t *oldest = before;
        before = last;
        last = row;
        row = oldest;
    }
    return last[m];
}

size_t fr_edit_allowance(const char *word) {
    size_t length = strlen(word);
    return length < 3 ? 0 : length < 5 ? 1 : length < 9 ? 2 : 3;
}

static const fr_field *nearest_field(const fr_section *section, const char *key) {
    const fr_field *nearest = NULL;
    size_t best = fr_edit_allowance(key) + 1;
    for (size_t i = 0; i < fr_section_field_count(section); i++) {
        const fr_field *field = fr_section_field(section, i);
        size_t distance = fr_edit_distance(key, field->key);
        if (distance < best) {
            best = distance;
            nearest = field;
        }
    }
    return nearest;
}

/* ---- what a person wrote ---- */

const char *fr_shown(const fr_node *node, char out[FR_SHOWN_MAX]) {
    if (!node || node->kind != FR_NODE_SCALAR) {
        snprintf(out, FR_SHOWN_MAX, "%s", !node ? "" : node->kind == FR_NODE_MAP ? "{…}" : "[…]");
        return out;
    }
    size_t used = 0, characters = 0;
    for (const char *at = node->text; *at; at++) {
        bool begins = ((unsigned char)*at & 0xC0u) != 0x80u;
        if (begins && characters++ == SHOWN_CHARACTERS) {
            memcpy(out + used, "…", sizeof "…");
            return out;
        }
        out[used++] = *at == '\n' || *at == '\t' ? ' ' : *at;
    }
    out[used] = '\0';
    return out;
}

static bool is_no(const char *text) {
    return strcmp(text, "no") == 0 || strcmp(text, "false") == 0 || strcmp(text, "off") == 0 ||
           strcmp(text, "none") == 0;
}

static const char *word_meant(const fr_field *field, const char *key, const char *text) {
    const fr_words *words = field->words;
    size_t index = fr_word_called(words, key);
    if (index < words->count)
        return is_no(text) ? words->words[0].word : words->words[index].word;
    index = fr_word_called(words, text);
    return index < words->count ? words->words[index].word : NULL;
}

/* A quantity that a person wrote, given its unit where it lacks one. */
static bool quantity_meant(const fr_field *field, const char *text, char *out, size_t size) {
    fr_quantity quantity;
    fr_quantity_fault fault = fr_quantity_parse(text, field->kinds, &quantity);
    bool unlikely;
    if (fault == FR_QUANTITY_FINE) {
        snprintf(out, size, "%.60s", text);
        return true;
    }
    if (fault != FR_QUANTITY_NO_UNIT || !field->unit)
        return false;
    snprintf(out, size, "%.40s %s", text, field->unit);
    return fr_quantity_parse(out, field->kinds, &quantity) == FR_QUANTITY_FINE &&
           !fr_out_of_bounds(field, &quantity, &unlikely) && !unlikely;
}

void fr_suggest_line(const fr_field *field, const char *written_key, const fr_node *value,
                     char *out, size_t size) {
    char meant[FR_SAY_MAX / 4];
    const char *shown = field->example ? field->example : field->default_text;
    const char *text = value && value->kind == FR_NODE_SCALAR ? value->text : "";
    bool single = field->shape == FR_SHAPE_QUANTITY || field->shape == FR_SHAPE_CURVE ||
                  field->shape == FR_SHAPE_WHOLE || field->shape == FR_SHAPE_NUMBER;
    if (single && quantity_meant(field, text, meant, sizeof meant)) {
        shown = meant;
    } else if (field->shape == FR_SHAPE_WORD) {
        const char *word = word_meant(field, written_key, text);
        shown = word ? word : shown;
    }
    if (shown)
        snprintf(out, size, "%s: %s", field->key, shown);
    else
        snprintf(out, size, "%s:", field->key);
}

/* ---- telling it ---- */

/* Says of some unknown keys what they need said, in place of the general line. */
static bool tell_special(const fr_scope *scope, const fr_pair *pair, const char *path,
                         const fr_field *meant) {
    char hint[FR_SAY_MAX], line[FR_SAY_MAX / 2];
    const char *key = pair->key->text;
    if (strcmp(meant->key, "condition") == 0) {
        fr_quantity wear;
        bool read = pair->value->kind == FR_NODE_SCALAR &&
                    fr_quantity_parse(pair->value->text, meant->kinds, &wear) == FR_QUANTITY_FINE &&
                    wear.value > 0.0 && wear.value < 0.5;
        double left = read ? 100.0 * (1.0 - wear.value) : 90.0;
        snprintf(hint, sizeof hint,
                 "write 'condition: %g %%' for a pump that gives %g %% of its flow when new", left,
                 left);
    } else if (meant->shape == FR_SHAPE_PARTS && meant->section == FR_SECTION_FILTER) {
        snprintf(hint, sizeof hint, "write 'filters: %s'; 'fuelreach parts filter' lists them",
                 meant->example);
        fr_say(scope->binder, FR_ERROR, pair->key, path, hint, "no field '%.60s' in %s", key,
               scope->section->name);
        return true;
    } else if (strcmp(meant->key, "aspiration") == 0) {
        fr_suggest_line(meant, key, pair->value, line, sizeof line);
        snprintf(hint, sizeof hint, "write '%s'", line);
    } else {
        return false;
    }
    fr_say(scope->binder, FR_ERROR, pair->key, path, hint, "no field '%.60s'", key);
    return true;
}

static void tell_meant(const fr_scope *scope, const fr_pair *pair, const char *path,
                       const fr_field *meant) {
    char hint[FR_SAY_MAX], line[FR_SAY_MAX / 2], plain[WORD_MAX], own[WORD_MAX];
    const char *key = pair->key->text;
    const char *in = scope->section->name;
    fr_plain_key(key, plain, sizeof plain);
    fr_plain_key(meant->key, own, sizeof own);
    if (strcmp(plain, own) == 0) {
        snprintf(hint, sizeof hint, "write '%s'", meant->key);
    } else {
        if (tell_special(scope, pair, path, meant))
            return;
        fr_suggest_line(meant, key, pair->value, line, sizeof line);
        snprintf(hint, sizeof hint, "write '%s'", line);
    }
    fr_say(scope->binder, FR_ERROR, pair->key, path, hint, "no field '%.60s'%s%s", key,
           in[0] ? " in " : "", in);
}

/* The section where a key is known, other than its own; null when there is none. */
static const fr_section *section_of_key(const fr_section *but, const char *key, bool exact,
                                        const fr_field **field) {
    for (int id = 0; id < FR_SECTION_COUNT; id++) {
        const fr_section *section = fr_section_of((fr_section_id)id);
        if (section == but || id == FR_SECTION_LEARNT || id == FR_SECTION_FITTING)
            continue;
        *field = exact ? fr_field_find(section, key) : fr_field_called(section, key);
        if (*field)
            return section;
    }
    return NULL;
}

const fr_field *fr_field_meant(const fr_section *section, const char *key) {
    const fr_field *field = fr_field_called(section, key);
    const fr_field *elsewhere;
    if (field)
        return field;
    const fr_section *other = section_of_key(section, key, true, &elsewhere);
    return other && !other->is_part ? NULL : nearest_field(section, key);
}

static void tell_place(const fr_scope *scope, const fr_pair *pair, const char *path,
                       const fr_section *section, const fr_field *field) {
    fr_binder *binder = scope->binder;
    const char *dot = strrchr(section->place, '.');
    if (section->is_part)
        fr_say(binder, FR_ERROR, pair->key, path, NULL, "%s belongs to a part, kind %s", field->key,
               section->name);
    else if (section->place[0] == '\0')
        fr_say(binder, FR_ERROR, pair->key, path, NULL,
               "%s belongs at the left margin, beside 'engine:' and 'supply:'", field->key);
    else if (dot)
        fr_say(binder, FR_ERROR, pair->key, path, NULL, "%s belongs under '%s:' in '%.*s:'",
               field->key, section->name, (int)(dot - section->place), section->place);
    else
        fr_say(binder, FR_ERROR, pair->key, path, NULL, "%s belongs under '%s:'", field->key,
               section->name);
}

/* Nothing near: what there is. */
static void tell_fields(const fr_scope *scope, const fr_pair *pair, const char *path) {
    char hint[FR_SAY_MAX];
    const char *in = scope->section->name;
    size_t used =
        (size_t)snprintf(hint, sizeof hint, "%s fields are ", in[0] ? "its" : "the sheet's");
    for (size_t i = 0; i < scope->section->count && used + WORD_MAX < sizeof hint; i++)
        used += (size_t)snprintf(hint + used, sizeof hint - used, "%s%s", i ? ", " : "",
                                 scope->section->fields[i].key);
    fr_say(scope->binder, FR_ERROR, pair->key, path, hint, "no field '%.60s'%s%s", pair->key->text,
           in[0] ? " in " : "", in);
}

void fr_tell_unknown(const fr_scope *scope, const fr_pair *pair) {
    if (!fr_listens(scope->binder)) {
        scope->binder->errors++;
        return;
    }
    const char *key = pair->key->text;
    char path[FR_PATH_MAX];
    fr_path_join(scope, key, path, sizeof path);
    const fr_field *field = fr_field_called(scope->section, key);
    if (field) {
        tell_meant(scope, pair, path, field);
        return;
    }
    const fr_section *section = section_of_key(scope->section, key, true, &field);
    if (section && !section->is_part) {
        tell_place(scope, pair, path, section, field);
        return;
    }
    const fr_field *near = nearest_field(scope->section, key);
    if (near) {
        tell_meant(scope, pair, path, near);
        return;
    }
    if (!section)
        section = section_of_key(scope->section, key, false, &field);
    if (section)
        tell_place(scope, pair, path, section, field);
    else
        tell_fields(scope, pair, path);
}
