/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the files of the tree share: the text by lines, the arena, and who tells what is wrong. */
#ifndef FR_SHEET_TREE_INSIDE_H
#define FR_SHEET_TREE_INSIDE_H

#include "sheet/tree.h"

enum {
    FR_TREE_SIZE_MAX = 1024 * 1024, /* bytes */
    FR_TREE_DEPTH_MAX = 32,
    FR_TREE_NODES_MAX = 100000,
    FR_TOLD_SIZE = 512 /* bytes of a message or a hint */
};

typedef struct fr_chunk fr_chunk;

/* A character: line and column from 1, byte offset in the text. */
typedef struct fr_place {
    size_t line, column, at;
} fr_place;

struct fr_tree {
    fr_chunk *chunks; /* newest first */
    const char *file;
    const char *text; /* without a BOM, zero behind it */
    size_t length;
    size_t *line_starts; /* byte offsets; one more than there are lines, the last at the end */
    size_t line_count;
    fr_place looked_at; /* where fr_tree_offset was last */
    fr_node *root;
};

/* One line, without its break. */
typedef struct fr_line_text {
    const char *text;
    size_t length;
} fr_line_text;

/* A thing to tell: where, what, and what would be right. */
typedef struct fr_told {
    size_t line, column; /* from 1, characters */
    char message[FR_TOLD_SIZE];
    char hint[FR_TOLD_SIZE];
} fr_told;

/* ---- tree_arena.c ---- */

/* An empty tree; null when out of memory. fr_tree_close gives it back. */
fr_tree *fr_tree_open(void);

/* ---- tree_lines.c ---- */

/* Finds the lines of tree->text. False when out of memory. */
bool fr_tree_find_lines(fr_tree *tree);
/* A line from 1; empty beyond the end. */
fr_line_text fr_tree_line_text(const fr_tree *tree, size_t line);
/* Byte offset in the whole text of a line's column, both from 1. */
size_t fr_tree_offset(fr_tree *tree, size_t line, size_t column);
/* Bytes of the UTF-8 character that begins so; 1 for a byte that begins none. */
size_t fr_character_size(char first);
/* Adds an error with its excerpt to the report. */
void fr_tree_tell(fr_tree *tree, fr_report *report, const fr_told *told);

/* ---- tree_text.c ---- */

/* Looks whether the bytes are UTF-8 text that a sheet may hold; `*skip` is the size of a BOM. */
bool fr_text_check(const char *text, size_t length, size_t *skip, fr_told *told, char *excerpt,
                   size_t excerpt_size);

/* ---- tree_layout.c ---- */

/* A layout error as the YAML scanner puts it. Places from 1; a context line of 0: none. */
typedef struct fr_layout_error {
    const char *problem;
    size_t line, column;
    size_t context_line, context_column;
    /* a quoted value over several lines that was read last: a quote may be missing there */
    size_t quote_line, quote_column, quote_end_line;
} fr_layout_error;

/* The same as a person would look at it. */
void fr_layout_tell(fr_tree *tree, const fr_layout_error *error, fr_told *told);

/* A plain value where "name: value" lines are due, such as "cylinders:4" alone below "engine:".
 * False when nothing better is known than that it is none; `told` then says so of a root. */
bool fr_advise_line(const fr_node *node, fr_told *told);

/* ---- tree_advice.c ---- */

/* True when some section of the sheet has a field of this name. */
bool fr_advise_known(const char *name, size_t length);
/* "write 'lift_pump: factory' under 'supply:'" for "pump" and "standard"; false when no field is
 * called so. */
bool fr_advise_pair(const char *name, size_t name_length, const char *value, size_t value_length,
                    char *out, size_t size);

/* ---- tree_slips.c ---- */

/* Looks for what YAML takes but nobody means: a comma inside a number, a colon without a space, a
 * key twice. Removes second keys. */
void fr_map_check(fr_tree *tree, fr_node *map, fr_report *report);

#endif
