/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sheet/set.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sheet/bind.h"

typedef struct setting {
    fr_tree *memory;
    fr_pantry *pantry;
    const char *path; /* the whole */
    const fr_node *value;
    int depth;
} setting;

enum { DEPTH_MOST = 16 };

/* ---- nodes ---- */

static fr_node *make_node(const setting *set, fr_node_kind kind, const char *text) {
    fr_node *node = fr_tree_alloc(set->memory, sizeof *node);
    if (node)
        *node = (fr_node){.kind = kind,
                          .line = set->value->line,
                          .column = set->value->column,
                          .tree = set->value->tree,
                          .text = text};
    return node;
}

/* A map with one pair more, or with one value changed. */
static fr_node *with_pair(const setting *set, const fr_node *map, const char *key,
                          const fr_node *value) {
    fr_node *copy = make_node(set, FR_NODE_MAP, "");
    size_t count = map ? map->count : 0;
    fr_pair *pairs = fr_tree_alloc(set->memory, (count + 1) * sizeof *pairs);
    if (!copy || !pairs || !value)
        return NULL;
    if (map) {
        *copy = *map;
        memcpy(pairs, map->pairs, count * sizeof *pairs);
    }
    copy->pairs = pairs;
    for (size_t i = 0; i < count; i++)
        if (strcmp(pairs[i].key->text, key) == 0) {
            pairs[i].value = (fr_node *)value;
            return copy;
        }
    char *text = fr_tree_copy(set->memory, key);
    fr_node *name = text ? make_node(set, FR_NODE_SCALAR, text) : NULL;
    if (!name)
        return NULL;
    pairs[count] = (fr_pair){name, (fr_node *)value};
    copy->count = count + 1;
    return copy;
}

static fr_node *with_item(const setting *set, const fr_node *list, size_t index,
                          const fr_node *value) {
    size_t count = list ? list->count : 0;
    fr_node *copy = make_node(set, FR_NODE_LIST, "");
    fr_node **items = fr_tree_alloc(set->memory, (count + 1) * sizeof *items);
    if (!copy || !items || !value || index > count)
        return NULL;
    if (list) {
        *copy = *list;
        memcpy(items, list->items, count * sizeof *items);
    }
    items[index] = (fr_node *)value;
    copy->items = items;
    copy->count = index == count ? count + 1 : count;
    return copy;
}

/* ---- what a path may lead into ---- */

/* The field that the first `length` bytes of the path name; of an item, that of its list. */
static const fr_field *field_before(const setting *set, size_t length) {
    char prefix[FR_PATH_MAX];
    snprintf(prefix, sizeof prefix, "%.*s", (int)length, set->path);
    const fr_field *field = fr_field_at(prefix);
    char *dot = strrchr(prefix, '.');
    if (!field && dot && isdigit((unsigned char)dot[1])) {
        *dot = '\0';
        field = fr_field_at(prefix);
    }
    return field;
}

static bool is_part(const fr_field *field) {
    return field && (field->shape == FR_SHAPE_PART || field->shape == FR_SHAPE_PARTS ||
                     field->shape == FR_SHAPE_WIRING);
}

/* {part: WORD} of a part that is one word; a wiring's resistance likewise. */
static const fr_node *word_as_map(const setting *set, const fr_field *field, const fr_node *word) {
    const char *key = "part";
    if (!field)
        return NULL;
    if (field->shape == FR_SHAPE_CHANNEL)
        key = "column";
    else if (!is_part(field))
        return NULL;
    if (field->shape == FR_SHAPE_WIRING && isdigit((unsigned char)word->text[0]))
        key = "resistance";
    fr_node *map = with_pair(set, NULL, key, word);
    if (map) {
        map->line = word->line;
        map->column = word->column;
        map->tree = word->tree;
        map->pairs[0].key->line = word->line;
        map->pairs[0].key->column = word->column + 1;
    }
    return map;
}

/* What the file of the named part says for a key. */
static const fr_node *from_file(const setting *set, const fr_field *field, const fr_node *map,
                                const char *key) {
    const fr_node *name = is_part(field) ? fr_node_get(map, "part") : NULL;
    if (!name || name->kind != FR_NODE_SCALAR)
        return NULL;
    const fr_stored *stored = fr_pantry_get(
        set->pantry, (fr_part_kind)(field->section - FR_SECTION_PARTS), name->text, NULL);
    return stored && stored->tree ? fr_node_get(fr_tree_root(stored->tree), key) : NULL;
}

/* The default list or curve of a field, so that one of its figures can be changed. */
static const fr_node *from_default(const setting *set, size_t length) {
    const fr_field *field = field_before(set, length);
    const char *text = field ? field->default_text : NULL;
    if (!text || (text[0] != '[' && text[0] != '{') || field->shape == FR_SHAPE_BLENDS)
        return NULL;
    return fr_pantry_default(set->pantry, text);
}

/* ---- going down ---- */

static const fr_node *set_below(setting *set, const fr_node *node, size_t at);

static bool is_index(const char *key) {
    return key[0] && key[strspn(key, "0123456789")] == '\0';
}

static const fr_node *set_in_list(setting *set, const fr_node *list, const char *key, size_t next) {
    size_t index = (size_t)strtoul(key, NULL, 10);
    const fr_node *item = list && index < list->count ? list->items[index] : NULL;
    return with_item(set, list, index, set_below(set, item, next));
}

static const fr_node *set_in_map(setting *set, const fr_node *map, const char *key, size_t at,
                                 size_t next) {
    const fr_node *child = map ? fr_node_get(map, key) : NULL;
    bool further = set->path[next] != '\0';
    if (!child && further && map)
        child = from_file(set, at ? field_before(set, at - 1) : NULL, map, key);
    if (!child && further)
        child = from_default(set, at + strlen(key));
    return with_pair(set, map, key, set_below(set, child, next));
}

/* `at`: where in the path the next key begins. */
static const fr_node *set_below(setting *set, const fr_node *node, size_t at) {
    char key[FR_NAME_MAX];
    if (set->path[at] == '\0')
        return set->value;
    size_t length = strcspn(set->path + at, ".");
    if (length == 0 || length >= sizeof key || ++set->depth > DEPTH_MOST)
        return NULL;
    memcpy(key, set->path + at, length);
    key[length] = '\0';
    size_t next = at + length + (set->path[at + length] ? 1 : 0);
    if (fr_is_blank(node))
        node = NULL;
    if (node && node->kind == FR_NODE_SCALAR) {
        node = word_as_map(set, at ? field_before(set, at - 1) : NULL, node);
        if (!node)
            return NULL;
    }
    bool list = node ? node->kind == FR_NODE_LIST : is_index(key);
    if (list && !is_index(key))
        return NULL;
    return list ? set_in_list(set, node, key, next) : set_in_map(set, node, key, at, next);
}

const fr_node *fr_set_path(fr_tree *memory, fr_pantry *pantry, const fr_node *root,
                           const char *path, const fr_node *value) {
    setting set = {memory, pantry, path, value, 0};
    return set_below(&set, root, 0);
}
