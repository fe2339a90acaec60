/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is said of a text that is none of the words, or no blend, that its field wants. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sheet/faults.h"
#include "sheet/suggest.h"

static void list_words(const fr_words *words, char *out, size_t size) {
    size_t used = 0;
    out[0] = '\0';
    for (size_t i = 0; i < words->count && used < size; i++)
        used +=
            (size_t)snprintf(out + used, size - used, "%s%s", i ? ", " : "", words->words[i].word);
}

/* The nearest word by its spelling, no farther than `*distance`; words->count when none is. */
static size_t nearest_word(const fr_words *words, const char *text, size_t *distance) {
    size_t nearest = words->count;
    for (size_t i = 0; i < words->count; i++) {
        size_t edits = fr_edit_distance(text, words->words[i].word);
        if (edits < *distance) {
            *distance = edits;
            nearest = i;
        }
    }
    return nearest;
}

void fr_tell_word(const fr_scope *scope, const fr_field *field, const fr_node *node) {
    char path[FR_PATH_MAX], shown[FR_SHOWN_MAX], hint[FR_SAY_MAX], list[FR_SAY_MAX / 2];
    const fr_words *words = field->words;
    fr_path_join(scope, field->key, path, sizeof path);
    fr_shown(node, shown);
    list_words(words, list, sizeof list);
    if (fr_is_blank(node)) {
        fr_say(scope->binder, FR_ERROR, node, path, "write one of them or leave the line out",
               "%s has no value; it is one of %s", field->key, list);
        return;
    }
    size_t distance = fr_edit_allowance(shown) + 1;
    size_t index = fr_word_called(words, shown);
    if (index == words->count)
        index = nearest_word(words, shown, &distance);
    else
        distance = 1;
    if (words->unclear && fr_edit_distance(shown, words->unclear) < distance) {
        fr_say(scope->binder, FR_ERROR, node, path, NULL, "%s is of two kinds: %s", words->unclear,
               words->unclear_hint);
        return;
    }
    if (index < words->count)
        snprintf(hint, sizeof hint, "'%s' is meant?", words->words[index].word);
    else
        snprintf(hint, sizeof hint, "write '%s: %s'", field->key,
                 field->example ? field->example : words->words[0].word);
    fr_say(scope->binder, FR_ERROR, node, path, hint, "'%s' is not one of %s", shown, list);
}

void fr_tell_blend(const fr_scope *scope, const char *path, const fr_node *node) {
    /* Pump gasoline is sold by octane numbers in this range (RON, MON and their mean). */
    static const long OCTANE_LEAST = 86, OCTANE_MOST = 110;
    char shown[FR_SHOWN_MAX], hint[FR_SAY_MAX];
    fr_shown(node, shown);
    size_t start = strcspn(shown, "0123456789");
    const char *digits = shown + start;
    size_t length = strspn(digits, "0123456789.");
    long number = strtol(digits, NULL, 10);
    if (start == 0 && length && !digits[length] && number >= OCTANE_LEAST &&
        number <= OCTANE_MOST) {
        fr_say(scope->binder, FR_ERROR, node, path, "write E10 for common pump gasoline",
               "'%s' is an octane number, not an ethanol content", shown);
        return;
    }
    if (length && strtod(digits, NULL) <= 100.0)
        snprintf(hint, sizeof hint, "write 'E%.*s'", (int)length, digits);
    else
        snprintf(hint, sizeof hint, "a blend is E0 to E100, such as 'E85'");
    fr_say(scope->binder, FR_ERROR, node, path, hint, "'%s' is not a blend", shown);
}
