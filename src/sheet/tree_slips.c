/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What YAML takes without a word but nobody means: "{run: 4,5 m}" is two entries to it,
 * "{run:4.5 m}" a name without a value. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sheet/tree_inside.h"

/* More keys twice than that in one mapping are not told one by one. */
enum { THOUSAND_DIGITS = 3, TWICE_TOLD_MAX = 100 };

static bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/* ---- a comma inside a number ---- */

/* True when a comma with a digit on either side stands right before this byte. */
static bool splits_number(const fr_tree *tree, size_t at) {
    return at >= 2 && tree->text[at - 1] == ',' && is_digit(tree->text[at - 2]) &&
           is_digit(tree->text[at]);
}

/* "4,5 m" as it should be: "4.5 m"; "2,000 rpm" as "2000 rpm". */
static void mend_number(const char *number, size_t length, char *out, size_t size) {
    size_t comma = strcspn(number, ",");
    size_t part = strspn(number + comma + 1, "0123456789");
    bool thousands = part == THOUSAND_DIGITS && !(comma == 1 && number[0] == '0');
    snprintf(out, size, "%.*s%s%.*s", (int)comma, number, thousands ? "" : ".",
             (int)(length - comma - 1), number + comma + 1);
}

static bool tell_split_number(fr_tree *tree, fr_node *map, fr_report *report) {
    static const char in_number[] = "+-.0123456789";
    for (size_t i = 0; i < map->count; i++) {
        const fr_node *key = map->pairs[i].key;
        size_t at = fr_tree_offset(tree, key->line, key->column);
        size_t start = at - 1;
        if (key->quoted || !splits_number(tree, at)) {
            continue;
        }
        while (start > 0 && strchr(in_number, tree->text[start - 1]) != NULL) {
            start--;
        }
        size_t length = at - start + strcspn(tree->text + at, ",:}]#\r\n");
        while (tree->text[start + length - 1] == ' ') {
            length--;
        }
        char mended[FR_TOLD_SIZE / 2];
        fr_told told = {.line = key->line, .column = key->column - (at - start)};
        mend_number(tree->text + start, length, mended, sizeof mended);
        snprintf(told.message, FR_TOLD_SIZE, "a comma inside { } begins a new entry");
        snprintf(told.hint, FR_TOLD_SIZE, "write '%s'", mended);
        fr_tree_tell(tree, report, &told);
        return true;
    }
    return false;
}

/* ---- a colon without a space ---- */

/* In block layout such a line is an error of layout; only inside { } does it pass as a name. */
static bool tell_tight_colon(fr_tree *tree, fr_node *map, fr_report *report) {
    for (size_t i = 0; i < map->count; i++) {
        const fr_node *key = map->pairs[i].key;
        const fr_node *value = map->pairs[i].value;
        size_t name = strcspn(key->text, ":");
        bool empty = value->kind == FR_NODE_SCALAR && !value->quoted && value->text[0] == '\0';
        if (key->quoted || !empty || name == 0 || key->text[name] == '\0') {
            continue;
        }
        fr_told told = {.line = key->line, .column = key->column};
        snprintf(told.message, FR_TOLD_SIZE, "no space after ':'");
        snprintf(told.hint, FR_TOLD_SIZE, "write '%.*s: %.*s'", (int)(name < 100 ? name : 100),
                 key->text, 100, key->text + name + 1);
        fr_tree_tell(tree, report, &told);
        return true;
    }
    return false;
}

/* ---- a key twice ---- */

typedef struct sort_pair {
    const fr_node *key;
    size_t index;
} sort_pair;

static int pair_order(const void *left, const void *right) {
    const sort_pair *a = left;
    const sort_pair *b = right;
    int order = strcmp(a->key->text, b->key->text);
    return order != 0 ? order : (a->index > b->index) - (a->index < b->index);
}

/* `number`: how many there have been with this one. */
static void tell_twice(fr_tree *tree, const fr_node *key, const fr_node *first, size_t number,
                       fr_report *report) {
    fr_told told = {.line = key->line, .column = key->column};
    if (number > TWICE_TOLD_MAX + 1) {
        return;
    }
    if (number <= TWICE_TOLD_MAX) {
        snprintf(told.message, FR_TOLD_SIZE, "'%.100s' stands here twice, first on line %zu",
                 key->text, first->line);
    } else {
        snprintf(told.message, FR_TOLD_SIZE, "more than %d names stand here twice", TWICE_TOLD_MAX);
    }
    snprintf(told.hint, FR_TOLD_SIZE, "keep one");
    fr_tree_tell(tree, report, &told);
}

/* Takes out the pairs whose `keep` is false. */
static void keep_pairs(fr_node *map, const bool *keep) {
    size_t kept = 0;
    for (size_t i = 0; i < map->count; i++) {
        if (keep[i]) {
            map->pairs[kept++] = map->pairs[i];
        }
    }
    map->count = kept;
}

static void tell_all_twice(fr_tree *tree, fr_node *map, fr_report *report) {
    sort_pair *sorted = malloc((map->count + 1) * sizeof *sorted);
    bool *keep = malloc((map->count + 1) * sizeof *keep);
    if (sorted == NULL || keep == NULL) {
        report->out_of_memory = 1;
        free(sorted);
        free(keep);
        return;
    }
    for (size_t i = 0; i < map->count; i++) {
        sorted[i] = (sort_pair){map->pairs[i].key, i};
        keep[i] = true;
    }
    qsort(sorted, map->count, sizeof *sorted, pair_order);
    size_t first = 0;
    size_t twice = 0;
    for (size_t i = 1; i < map->count; i++) {
        if (strcmp(sorted[i].key->text, sorted[first].key->text) == 0) {
            tell_twice(tree, sorted[i].key, sorted[first].key, ++twice, report);
            keep[sorted[i].index] = false;
        } else {
            first = i;
        }
    }
    keep_pairs(map, keep);
    free(sorted);
    free(keep);
}

void fr_map_check(fr_tree *tree, fr_node *map, fr_report *report) {
    map->told = tell_split_number(tree, map, report) || tell_tight_colon(tree, map, report);
    if (!map->told) {
        tell_all_twice(tree, map, report);
    }
}
