/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Looking into a tree, and changing it: "engine.boost" set to another value. */
#include <stdlib.h>
#include <string.h>

#include "sheet/tree_inside.h"

fr_node *fr_tree_root(fr_tree *tree) {
    return tree->root;
}

const char *fr_tree_file(const fr_tree *tree) {
    return tree->file;
}

/* The place of a key of the first `length` bytes; count when there is none. */
static size_t find_key(const fr_node *map, const char *key, size_t length) {
    for (size_t i = 0; i < map->count; i++) {
        const char *text = map->pairs[i].key->text;
        if (strncmp(text, key, length) == 0 && text[length] == '\0') {
            return i;
        }
    }
    return map->count;
}

fr_node *fr_node_get(const fr_node *map, const char *key) {
    if (map == NULL || map->kind != FR_NODE_MAP) {
        return NULL;
    }
    size_t i = find_key(map, key, strlen(key));
    return i < map->count ? map->pairs[i].value : NULL;
}

/* ---- setting ---- */

/* A node made on the way stands where the value does, for messages. */
static fr_node *make_node(fr_tree *tree, fr_node_kind kind, const fr_node *like) {
    fr_node *node = fr_tree_alloc(tree, sizeof *node);
    if (node != NULL) {
        *node = (fr_node){.kind = kind,
                          .line = like->line,
                          .column = like->column,
                          .text = "",
                          .tree = like->tree};
    }
    return node;
}

/* The place for a key's value, added when it is not there; null when out of memory. */
static fr_node **map_slot(fr_tree *tree, fr_node *map, const char *key, size_t length,
                          const fr_node *like) {
    size_t i = find_key(map, key, length);
    if (i < map->count) {
        return &map->pairs[i].value;
    }
    fr_pair *pairs = fr_tree_alloc(tree, (map->count + 1) * sizeof *pairs);
    fr_node *name = make_node(tree, FR_NODE_SCALAR, like);
    char *text = fr_tree_alloc(tree, length + 1);
    if (pairs == NULL || name == NULL || text == NULL) {
        return NULL;
    }
    if (map->count != 0) {
        memcpy(pairs, map->pairs, map->count * sizeof *pairs);
    }
    memcpy(text, key, length);
    name->text = text;
    pairs[i] = (fr_pair){name, NULL};
    map->pairs = pairs;
    map->count++;
    return &pairs[i].value;
}

/* The place of an item by its number; one past the end adds one. */
static fr_node **list_slot(fr_tree *tree, fr_node *list, const char *key, size_t length) {
    size_t index = 0;
    for (size_t i = 0; i < length; i++) {
        if (key[i] < '0' || key[i] > '9' || index > FR_TREE_NODES_MAX) {
            return NULL;
        }
        index = index * 10 + (size_t)(key[i] - '0');
    }
    if (length == 0 || index > list->count) {
        return NULL;
    }
    if (index == list->count) {
        fr_node **items = fr_tree_alloc(tree, (list->count + 1) * sizeof(fr_node *));
        if (items == NULL) {
            return NULL;
        }
        if (list->count != 0) {
            memcpy(items, list->items, list->count * sizeof(fr_node *));
        }
        list->items = items;
        list->count++;
    }
    return &list->items[index];
}

static bool is_blank_scalar(const fr_node *node) {
    return node->kind == FR_NODE_SCALAR && !node->quoted && node->text[0] == '\0';
}

/* What has to be a map or a list to go on: made when there is nothing. */
static fr_node *step_into(fr_tree *tree, fr_node **slot, const fr_node *like) {
    if (*slot == NULL || is_blank_scalar(*slot)) {
        fr_node *made = make_node(tree, FR_NODE_MAP, like);
        if (made == NULL) {
            return NULL;
        }
        *slot = made;
    }
    return (*slot)->kind == FR_NODE_SCALAR ? NULL : *slot;
}

/* A map or list grows before its new place is filled. When the way is barred further on, the empty
 * place must not stay. */
static void drop_empty(fr_node *node) {
    const fr_node *last = NULL;
    if (node->count != 0) {
        last = node->kind == FR_NODE_MAP ? node->pairs[node->count - 1].value
                                         : node->items[node->count - 1];
        node->count -= last == NULL;
    }
}

bool fr_tree_set(fr_tree *tree, const char *path, fr_node *value) {
    fr_node **slot = &tree->root;
    for (size_t depth = 0; depth < FR_TREE_DEPTH_MAX; depth++) {
        size_t length = strcspn(path, ".");
        fr_node *node = length == 0 ? NULL : step_into(tree, slot, value);
        if (node == NULL) {
            return false;
        }
        slot = node->kind == FR_NODE_MAP ? map_slot(tree, node, path, length, value)
                                         : list_slot(tree, node, path, length);
        if (slot == NULL) {
            return false;
        }
        if (path[length] == '\0') {
            *slot = value;
            return true;
        }
        if (step_into(tree, slot, value) == NULL) {
            drop_empty(node);
            return false;
        }
        path += length + 1;
    }
    return false;
}
