/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A pair of a block mapping stands on lines of its own, up to the next key. So a change is one run
 * of lines in exchange for another, or, where a plain value gives way to another, one word. */
#include "sheet/rewrite.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sheet/folder.h"
#include "sheet/paste.h"
#include "sheet/tree_inside.h"

/* Bytes of the text, first and one past the last. */
typedef struct span {
    size_t from, to;
} span;

typedef struct rewriting {
    fr_tree *tree;
    const char *text; /* the tree's: without a BOM */
    size_t length;
    fr_node *root;
} rewriting;

/* Where a path stops being written in lines: the mapping there, and its pair if it has one. */
typedef struct place {
    fr_node *map;   /* a block mapping; null: the sheet is empty */
    fr_node *above; /* the mapping that holds it; null at the top */
    size_t index;   /* of the pair in `map`; map->count when there is none */
    size_t index_above;
    const char *rest; /* of the path, below the pair */
} place;

/* ---- the text by lines ---- */

static size_t line_start(const rewriting *w, size_t line) {
    return line > w->tree->line_count ? w->length : fr_tree_offset(w->tree, line, 1);
}

/* Nothing on it but blanks and a comment, or the mark that ends a document. */
static bool says_nothing(const rewriting *w, size_t line) {
    const fr_line_text text = fr_tree_line_text(w->tree, line);
    size_t at = 0;
    while (at < text.length && strchr(" \t\r", text.text[at]))
        at++;
    return at == text.length || text.text[at] == '#' ||
           (text.length >= 3 && memcmp(text.text, "...", 3) == 0);
}

/* ---- finding the place ---- */

static bool is_block_map(const fr_node *node) {
    return node->kind == FR_NODE_MAP && node->count && node->line == node->pairs[0].key->line &&
           node->column == node->pairs[0].key->column;
}

/* What an alias stands for was written before the key. */
static bool is_alias(const fr_pair *pair) {
    return pair->value->line < pair->key->line;
}

static place find_place(const rewriting *w, const char *path) {
    place at = {.map = w->root, .rest = path};
    while (at.map) {
        size_t length = strcspn(at.rest, ".");
        at.index = 0;
        while (at.index < at.map->count &&
               (strlen(at.map->pairs[at.index].key->text) != length ||
                memcmp(at.map->pairs[at.index].key->text, at.rest, length) != 0))
            at.index++;
        at.rest += length + (at.rest[length] == '.');
        if (at.index == at.map->count || !*at.rest ||
            !is_block_map(at.map->pairs[at.index].value) || is_alias(&at.map->pairs[at.index]))
            break;
        at.above = at.map;
        at.index_above = at.index;
        at.map = at.map->pairs[at.index].value;
    }
    return at;
}

/* The first line that a later pair of the tree begins on; none: 0. */
static size_t line_after(const fr_node *node, size_t line) {
    size_t least = 0;
    for (size_t i = 0; node->kind == FR_NODE_MAP && i < node->count; i++) {
        const fr_pair *pair = &node->pairs[i];
        size_t found = pair->key->line > line ? pair->key->line : 0;
        if (!found && is_block_map(pair->value) && !is_alias(pair))
            found = line_after(pair->value, line);
        if (found && (!least || found < least))
            least = found;
    }
    return least;
}

/* The last line that a node's own words stand on. */
static size_t last_line(const fr_node *node) {
    size_t last = node->last_line > node->line ? node->last_line : node->line;
    for (size_t i = 0; i < node->count; i++) {
        const fr_node *child = node->kind == FR_NODE_MAP ? node->pairs[i].value : node->items[i];
        size_t line = last_line(child);
        last = line > last ? line : last;
    }
    return last;
}

/* The lines of a pair, up to the next one; what stands above that one belongs to it. */
static span span_of(const rewriting *w, const fr_pair *pair) {
    size_t inside = is_alias(pair) ? pair->key->line : last_line(pair->value);
    inside = inside > pair->key->line ? inside : pair->key->line;
    size_t next = line_after(w->root, inside);
    size_t last = next ? next - 1 : w->tree->line_count;
    while (last > inside && says_nothing(w, last))
        last--;
    return (span){line_start(w, pair->key->line), line_start(w, last + 1)};
}

/* ---- one word for another ---- */

/* One past a quoted word's closing quote; 0 when it is not closed. */
static size_t quote_end(const rewriting *w, size_t at) {
    const char quote = w->text[at];
    for (size_t i = at + 1; i < w->length && w->text[i] != '\n'; i++) {
        bool is_escape = quote == '"' ? w->text[i] == '\\'
                                      : w->text[i] == quote && w->text[i + 1] == quote;
        if (!is_escape && w->text[i] == quote)
            return i + 1;
        i += is_escape;
    }
    return 0;
}

/* The bytes of a value that is one word on its key's line; false when it is more than that. */
static bool find_word(const rewriting *w, const fr_pair *pair, span *word) {
    const fr_node *value = pair->value;
    if (value->kind != FR_NODE_SCALAR || value->line != pair->key->line || is_alias(pair))
        return false;
    word->from = fr_tree_offset(w->tree, value->line, value->column);
    size_t length = strlen(value->text);
    if (value->quoted)
        word->to = quote_end(w, word->from);
    else if (length && word->from + length <= w->length &&
             memcmp(w->text + word->from, value->text, length) == 0)
        word->to = word->from + length;
    else
        return false;
    return word->to > word->from;
}

/* ---- putting it together ---- */

/* The text with `lines` in exchange for a span; both ends of a line are the caller's. */
static char *exchange(const rewriting *w, span old, const char *before, const char *new,
                      const char *after) {
    size_t size = w->length - (old.to - old.from) + strlen(before) + strlen(new) + strlen(after);
    char *out = malloc(size + 1);
    if (out)
        snprintf(out, size + 1, "%.*s%s%s%s%s", (int)old.from, w->text, before, new, after,
                 w->text + old.to);
    return out;
}

static bool ends_a_line(const rewriting *w, size_t at) {
    return at == 0 || w->text[at - 1] == '\n';
}

/* Lines in place of a pair's own. */
static char *exchange_lines(const rewriting *w, span old, const char *lines) {
    return exchange(w, old, "", lines, *lines ? "\n" : "");
}

/* The pair that a new one goes behind: the last; of the sheet's own few words the last word. */
static const fr_pair *pair_before(const place *at) {
    size_t index = at->map->count - 1;
    for (size_t i = 0; !at->above && i < at->map->count; i++)
        if (at->map->pairs[i].value->kind == FR_NODE_SCALAR)
            index = i;
    return &at->map->pairs[index];
}

/* New lines behind a pair, or at the end of the sheet. A section of its own has a blank line above
 * it. */
static char *add_lines(const rewriting *w, const place *at, const char *lines) {
    bool has_pairs = at->map && at->map->count;
    bool is_section = !at->above && strchr(lines, '\n');
    size_t end = w->length;
    if (has_pairs && !is_section)
        end = span_of(w, pair_before(at)).to;
    const char *gap = ends_a_line(w, end) ? is_section && end ? "\n" : ""
                      : is_section        ? "\n\n"
                                          : "\n";
    return exchange(w, (span){end, end}, gap, lines, "\n");
}

static fr_status done(const char *out) {
    return out ? FR_OK : FR_NO_MEMORY;
}

static fr_status put_lines(const rewriting *w, const place *at, const fr_pair *pair,
                           const char *path, const char *value, char **out) {
    enum { LINES_SIZE = 65536 };
    char *lines = malloc(LINES_SIZE);
    if (!lines)
        return FR_NO_MEMORY;
    bool fits = fr_paste(w->root, path, value, NULL, lines, LINES_SIZE);
    if (fits)
        *out = pair ? exchange_lines(w, span_of(w, pair), lines) : add_lines(w, at, lines);
    free(lines);
    return fits ? done(*out) : FR_BAD_INPUT;
}

/* A word on one line, which a part may be. */
static bool is_word(const fr_node *node) {
    return node->kind == FR_NODE_SCALAR && !strchr(node->text, '\n');
}

/* A path leads on through a mapping, a list by number, and a word, which becomes a part; a whole
 * section is no word. */
static bool leads_on(const fr_node *node, const char *path, bool is_section) {
    if (is_section && is_word(node) && *node->text)
        return false;
    while (node && *path) {
        size_t length = strcspn(path, ".");
        bool is_number = length && strspn(path, "0123456789") == length;
        const fr_node *next = NULL;
        if ((node->kind == FR_NODE_LIST && !is_number) ||
            (node->kind == FR_NODE_SCALAR && !is_word(node)))
            return false;
        for (size_t i = 0; node->kind == FR_NODE_MAP && i < node->count; i++)
            if (strlen(node->pairs[i].key->text) == length &&
                memcmp(node->pairs[i].key->text, path, length) == 0)
                next = node->pairs[i].value;
        if (node->kind == FR_NODE_LIST && strtoul(path, NULL, 10) < node->count)
            next = node->items[strtoul(path, NULL, 10)];
        node = next;
        path += length + (path[length] == '.');
    }
    return true;
}

static fr_status put_value(const rewriting *w, const char *path, const char *value, char **out) {
    place at = find_place(w, path);
    const fr_pair *pair = at.map && at.index < at.map->count ? &at.map->pairs[at.index] : NULL;
    span word;
    if (pair && *at.rest && (is_alias(pair) || !leads_on(pair->value, at.rest, !at.above)))
        return FR_BAD_INPUT;
    if (!pair || *at.rest || !find_word(w, pair, &word))
        return put_lines(w, &at, pair, path, value, out);
    *out = exchange(w, word, "", value, "");
    return done(*out);
}

/* ---- taking out ---- */

static void drop_pair(fr_node *map, size_t index) {
    memmove(&map->pairs[index], &map->pairs[index + 1],
            (map->count - index - 1) * sizeof *map->pairs);
    map->count--;
}

/* Takes the rest of a path out of a value in { }; false when it is not there. */
static bool drop_inside(fr_node *node, const char *path) {
    size_t length = strcspn(path, ".");
    for (size_t i = 0; node->kind == FR_NODE_MAP && i < node->count; i++) {
        const fr_pair *pair = &node->pairs[i];
        if (strlen(pair->key->text) != length || memcmp(pair->key->text, path, length) != 0)
            continue;
        if (!path[length]) {
            drop_pair(node, i);
            return true;
        }
        return drop_inside(pair->value, path + length + 1);
    }
    return false;
}

/* A value in { } that has lost a field; the pair's key and what stands before it stay. */
static fr_status put_flow(const rewriting *w, const fr_pair *pair, char **out) {
    enum { LINE_SIZE = 65536 };
    char *flow = malloc(LINE_SIZE);
    if (!flow)
        return FR_NO_MEMORY;
    bool fits = fr_flow_text(pair->value, flow, LINE_SIZE);
    size_t key = fr_tree_offset(w->tree, pair->key->line, pair->key->column);
    const char *colon = strchr(w->text + key, ':');
    if (fits && colon)
        *out = exchange(w, (span){(size_t)(colon - w->text) + 1, span_of(w, pair).to}, " ", flow,
                        "\n");
    free(flow);
    return fits && colon ? done(*out) : FR_BAD_INPUT;
}

static fr_status take_out(const rewriting *w, const char *path, char **out) {
    place at = find_place(w, path);
    const fr_pair *pair = at.map && at.index < at.map->count ? &at.map->pairs[at.index] : NULL;
    if (pair && *at.rest && is_alias(pair))
        return FR_BAD_INPUT;
    if (!pair || (*at.rest && !drop_inside(pair->value, at.rest))) {
        *out = fr_copy_text(w->text);
        return done(*out);
    }
    if (*at.rest && pair->value->count)
        return put_flow(w, pair, out);
    if (at.map->count == 1 && at.above)
        pair = &at.above->pairs[at.index_above];
    *out = exchange_lines(w, span_of(w, pair), "");
    return done(*out);
}

fr_status fr_sheet_rewrite(const char *text, const char *path, const char *value, char **out) {
    rewriting w = {0};
    fr_report unheard = FR_REPORT_EMPTY;
    *out = NULL;
    fr_status status = fr_tree_read("sheet", text, strlen(text), &unheard, &w.tree);
    fr_report_close(&unheard);
    if (status == FR_OK) {
        w.text = w.tree->text;
        w.length = w.tree->length;
        w.root = fr_tree_root(w.tree);
        bool in_lines = !w.root || is_block_map(w.root);
        status = !in_lines ? FR_BAD_INPUT
                 : value   ? put_value(&w, path, value, out)
                           : take_out(&w, path, out);
    }
    fr_tree_close(w.tree);
    return status;
}
