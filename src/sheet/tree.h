/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A YAML text as a tree that remembers where every word stood. The only file that knows libyaml
 * is tree.c. */
#ifndef FR_SHEET_TREE_H
#define FR_SHEET_TREE_H

#include <stdbool.h>
#include <stddef.h>

#include "fuelreach/status.h"

typedef enum fr_node_kind { FR_NODE_SCALAR, FR_NODE_LIST, FR_NODE_MAP } fr_node_kind;

typedef struct fr_tree fr_tree;
typedef struct fr_node fr_node;
typedef struct fr_pair {
    fr_node *key; /* always a scalar */
    fr_node *value;
} fr_pair;

/* Aliases are expanded in place (the anchor's positions are kept). */
struct fr_node {
    fr_node_kind kind;
    size_t line, column; /* from 1; column counts characters, not bytes */
    size_t last_line;    /* of a scalar that was read: it may go on over several */
    const char *text;    /* of a scalar, "" when empty */
    bool quoted;         /* a quoted scalar */
    size_t count;        /* items of a list, pairs of a map */
    fr_node **items;
    fr_pair *pairs;
    fr_tree *tree; /* the text it was read from: fr_tree_file, fr_tree_line; null if made */
    bool told;     /* what is wrong inside has been said: a reader passes over it in silence */
};

/* Reads a text. Refuses (in `report`, with place and excerpt): over 1 MiB, not UTF-8 (naming the
 * byte or the kind of file), deeper than 32, more than 100,000 nodes, an anchor that holds itself,
 * several documents, tabs, and every layout error of YAML, with the line a person would look at. A
 * BOM and CRLF are taken. All memory is in one arena.
 * FR_OK, or FR_BAD_INPUT with no tree, or FR_BAD_INPUT with a tree: a key twice (the first one
 * stays) or a slip inside { } (the map is `told`) is said, and the rest can be read on. */
fr_status fr_tree_read(const char *file, const char *text, size_t length, fr_report *report,
                       fr_tree **tree);
/* A snippet such as the VALUE of --set: same rules; `file` names it in messages. */
fr_node *fr_tree_root(fr_tree *tree); /* null for an empty document */
void fr_tree_close(fr_tree *tree);
/* Value of a key, or null. */
fr_node *fr_node_get(const fr_node *map, const char *key);
/* Memory that lives as long as the tree; null when out of memory. */
void *fr_tree_alloc(fr_tree *tree, size_t size);
char *fr_tree_copy(fr_tree *tree, const char *text);
/* Sets a dotted path ("engine.boost", "supply.filters.0.drop") to `value`, making maps on the way;
 * one past a list's end adds to it. `value` is not copied: the tree it was read from must stay
 * open. False when the path leads through a scalar or past a list, or memory runs out. */
bool fr_tree_set(fr_tree *tree, const char *path, fr_node *value);
/* A line of the text as read (from 1), copied into the tree's arena and cut at 1000 bytes; null
 * beyond the end. */
const char *fr_tree_line(fr_tree *tree, size_t line);
const char *fr_tree_file(const fr_tree *tree);

#endif
