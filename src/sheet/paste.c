/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Writes the line that puts a value into a sheet. */
#include "sheet/paste.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

enum { INDENT = 2 };

typedef struct writer {
    char *out;
    size_t size, used;
    bool in_braces;     /* inside { } or [ ] */
    size_t indent;      /* of the line being written */
    const char *beside; /* a second "key: value" that goes with the first; null: none */
} writer;

static void put(writer *w, const char *text, size_t length) {
    if (w->used + length < w->size)
        memcpy(w->out + w->used, text, length);
    w->used += length;
}

static void put_text(writer *w, const char *text) {
    put(w, text, strlen(text));
}

static void put_indent(writer *w, size_t columns) {
    for (size_t i = 0; i < columns; i++)
        put_text(w, " ");
}

/* ---- scalars ---- */

/* What a word in double quotes cannot hold as it is (YAML 1.1, 5.6: escape sequences). */
static const char *const escapes[][2] = {
    {"\"", "\\\""},      {"\\", "\\\\"},          {"\n", "\\n"},           {"\t", "\\t"},
    {"\xC2\x85", "\\N"}, {"\xE2\x80\xA8", "\\L"}, {"\xE2\x80\xA9", "\\P"},
};
enum { ESCAPE_COUNT = sizeof escapes / sizeof escapes[0], ESCAPE_FIRST_BREAK = 2 };

static bool holds_a_break(const char *text) {
    for (size_t i = ESCAPE_FIRST_BREAK; i < ESCAPE_COUNT; i++)
        if (strstr(text, escapes[i][0]))
            return true;
    return false;
}

static bool needs_quotes(const fr_node *node) {
    const char *text = node->text;
    bool negative = text[0] == '-' && isdigit((unsigned char)text[1]);
    if (node->quoted || (!negative && strchr("-?:,[]{}#&*!|>'\"%@`", text[0])))
        return true;
    return strpbrk(text, ",[]{}") || strstr(text, ": ") || strstr(text, " #") ||
           holds_a_break(text);
}

/* The escape of what a text begins with, or null. */
static const char *const *escape_of(const char *text) {
    for (size_t i = 0; i < ESCAPE_COUNT; i++)
        if (strncmp(text, escapes[i][0], strlen(escapes[i][0])) == 0)
            return escapes[i];
    return NULL;
}

static void put_scalar(writer *w, const fr_node *node) {
    if (!needs_quotes(node)) {
        put_text(w, node->text);
        return;
    }
    put_text(w, "\"");
    for (const char *at = node->text; *at;) {
        const char *const *escape = escape_of(at);
        if (escape)
            put_text(w, escape[1]);
        else
            put(w, at, 1);
        at += escape ? strlen(escape[0]) : 1;
    }
    put_text(w, "\"");
}

/* ---- flow: {…} and […] ---- */

/* Splits the first key off a dotted path. */
static size_t first_key(const char *path, const char **rest) {
    size_t length = strcspn(path, ".");
    *rest = path[length] ? path + length + 1 : path + length;
    return length;
}

static bool is_index(const char *path) {
    size_t digits = strspn(path, "0123456789");
    return digits > 0 && digits == strcspn(path, ".");
}

static bool is_key(const fr_node *node, const char *key, size_t length) {
    return strlen(node->text) == length && memcmp(node->text, key, length) == 0;
}

static void put_node(writer *w, const fr_node *node, const char *path, const char *value);

/* The value, and what goes with it. */
static void put_value(writer *w, const char *value) {
    put_text(w, value);
    if (!w->beside)
        return;
    put_text(w, w->in_braces ? ", " : "\n");
    put_indent(w, w->in_braces ? 0 : w->indent);
    put_text(w, w->beside);
}

/* A place that the sheet has not got: made on the way to the value. */
static void put_made(writer *w, const char *path, const char *value) {
    const char *rest;
    if (!*path) {
        put_value(w, value);
        return;
    }
    size_t length = first_key(path, &rest);
    bool list = is_index(path);
    w->in_braces = true;
    put_text(w, list ? "[" : "{");
    if (!list) {
        put(w, path, length);
        put_text(w, ": ");
    }
    put_made(w, rest, value);
    put_text(w, list ? "]" : "}");
}

static void put_map(writer *w, const fr_node *map, const char *path, const char *value) {
    const char *rest;
    size_t length = first_key(path, &rest);
    bool found = length == 0;
    w->in_braces = true;
    put_text(w, "{");
    for (size_t i = 0; i < map->count; i++) {
        const fr_pair *pair = &map->pairs[i];
        bool here = length && is_key(pair->key, path, length);
        put_text(w, i ? ", " : "");
        put_scalar(w, pair->key);
        put_text(w, ": ");
        put_node(w, pair->value, here ? rest : "", here ? value : NULL);
        found = found || here;
    }
    if (!found && value) {
        put_text(w, map->count ? ", " : "");
        put(w, path, length);
        put_text(w, ": ");
        put_made(w, rest, value);
    }
    put_text(w, "}");
}

static void put_list(writer *w, const fr_node *list, const char *path, const char *value) {
    const char *rest;
    bool inside = first_key(path, &rest) > 0;
    size_t index = inside ? (size_t)strtoul(path, NULL, 10) : list->count;
    w->in_braces = true;
    put_text(w, "[");
    for (size_t i = 0; i < list->count; i++) {
        put_text(w, i ? ", " : "");
        put_node(w, list->items[i], i == index ? rest : "", i == index ? value : NULL);
    }
    if (inside && value && index >= list->count) {
        put_text(w, list->count ? ", " : "");
        put_made(w, rest, value);
    }
    put_text(w, "]");
}

static bool is_blank(const fr_node *node) {
    return node->kind == FR_NODE_SCALAR && !node->quoted && node->text[0] == '\0';
}

/* `value` null: the node as it is. */
static void put_node(writer *w, const fr_node *node, const char *path, const char *value) {
    if (value && !*path) {
        put_value(w, value);
    } else if (node->kind == FR_NODE_MAP) {
        put_map(w, node, path, value);
    } else if (node->kind == FR_NODE_LIST) {
        put_list(w, node, path, value);
    } else if (value && is_blank(node)) {
        put_made(w, path, value);
    } else if (value) {
        w->in_braces = true;
        put_text(w, "{part: ");
        put_scalar(w, node);
        put_text(w, ", ");
        const char *rest;
        put(w, path, first_key(path, &rest));
        put_text(w, ": ");
        put_made(w, rest, value);
        put_text(w, "}");
    } else {
        put_scalar(w, node);
    }
}

bool fr_flow_text(const fr_node *node, char *out, size_t size) {
    writer w = {.out = out, .size = size};
    put_node(&w, node, "", NULL);
    if (w.used >= size)
        return false;
    out[w.used] = '\0';
    return true;
}

/* ---- block lines ---- */

/* A mapping of one line a field begins where its first key does; in { } it begins before it. */
static bool is_block_map(const fr_node *node) {
    return node && node->kind == FR_NODE_MAP && node->count &&
           node->line == node->pairs[0].key->line && node->column == node->pairs[0].key->column;
}

/* A section that the sheet has not got: its name, then the line below it. */
static void put_section(writer *w, const char *path, size_t length, const char *rest,
                        const char *value) {
    put_indent(w, w->indent);
    put(w, path, length);
    put_text(w, ":\n");
    w->indent += INDENT;
    put_indent(w, w->indent);
    const char *deeper;
    put(w, rest, first_key(rest, &deeper));
    put_text(w, ": ");
    put_made(w, deeper, value);
}

static void put_line(writer *w, const fr_node *map, const char *path, const char *value,
                     bool at_root) {
    const char *rest;
    size_t length = first_key(path, &rest);
    const fr_node *child = NULL;
    for (size_t i = 0; map && i < map->count; i++)
        if (is_key(map->pairs[i].key, path, length))
            child = map->pairs[i].value;
    if (*rest && is_block_map(child)) {
        put_line(w, child, rest, value, false);
        return;
    }
    w->indent = map && map->count ? map->pairs[0].key->column - 1 : 0;
    if (*rest && at_root && (!child || is_blank(child))) {
        put_section(w, path, length, rest, value);
        return;
    }
    put_indent(w, w->indent);
    put(w, path, length);
    put_text(w, ": ");
    if (child)
        put_node(w, child, rest, value);
    else
        put_made(w, rest, value);
}

bool fr_paste(const fr_node *root, const char *path, const char *value, const char *beside,
              char *out, size_t size) {
    writer w = {.out = out, .size = size, .beside = beside};
    if (root && root->kind == FR_NODE_MAP && root->count && !is_block_map(root))
        put_node(&w, root, path, value);
    else
        put_line(&w, root && root->kind == FR_NODE_MAP ? root : NULL, path, value, true);
    if (size == 0)
        return false;
    out[w.used < size ? w.used : size - 1] = '\0';
    return w.used < size;
}
