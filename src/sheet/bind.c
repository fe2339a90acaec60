/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Scopes: the mapping being read, with what may stand in it. */
#include "sheet/bind.h"

#include <stdio.h>
#include <string.h>

#include "sheet/suggest.h"
#include "sheet/tree_inside.h"

void *fr_make(fr_binder *binder, size_t size) {
    void *made = fr_tree_alloc(binder->memory, size);
    if (!made)
        binder->out_of_memory = true;
    return made;
}

const char *fr_make_text(fr_binder *binder, const char *text) {
    char *made = fr_make(binder, strlen(text) + 1);
    return made ? strcpy(made, text) : "";
}

bool fr_is_blank(const fr_node *node) {
    return !node || (node->kind == FR_NODE_SCALAR && !node->quoted && node->text[0] == '\0');
}

/* What is wrong with a map that is `told` has been said: it is read without a word. */
static fr_binder *silent(fr_binder *binder) {
    fr_binder *copy = fr_make(binder, sizeof *copy);
    if (!copy)
        return binder;
    *copy = *binder;
    copy->report = NULL;
    copy->assumed = NULL;
    copy->inputs = NULL;
    return copy;
}

fr_scope fr_scope_of(fr_binder *binder, const fr_section *section, const char *path,
                     const fr_node *map) {
    if (map && map->told) {
        binder->errors++; /* nothing is computed from such a sheet */
        binder = silent(binder);
    }
    fr_scope scope = {.binder = binder, .section = section, .at = map};
    snprintf(scope.path, sizeof scope.path, "%s", path);
    if (map && map->kind == FR_NODE_MAP)
        scope.layers[scope.layer_count++] = map;
    return scope;
}

void fr_path_join(const fr_scope *scope, const char *key, char *out, size_t size) {
    snprintf(out, size, "%.120s%s%.60s", scope->path, scope->path[0] ? "." : "", key);
}

const fr_field *fr_scope_field(const fr_scope *scope, const char *key) {
    return fr_field_find(scope->section, key);
}

const fr_node *fr_find(const fr_scope *scope, const char *key) {
    for (size_t i = 0; i < scope->layer_count; i++) {
        const fr_node *node = fr_node_get(scope->layers[i], key);
        if (node)
            return node;
    }
    return NULL;
}

const fr_node *fr_find_key(const fr_scope *scope, const char *key) {
    for (size_t i = 0; i < scope->layer_count; i++)
        for (size_t p = 0; p < scope->layers[i]->count; p++)
            if (strcmp(scope->layers[i]->pairs[p].key->text, key) == 0)
                return scope->layers[i]->pairs[p].key;
    return NULL;
}

/* Beyond this many it is another kind of file, and each costs a search for what was meant. */
enum { UNKNOWN_TOLD_MAX = 100 };

static void check_map(const fr_scope *scope, const fr_node *map) {
    size_t unknown = 0;
    for (size_t i = 0; i < map->count && unknown <= UNKNOWN_TOLD_MAX; i++) {
        const fr_pair *pair = &map->pairs[i];
        if (fr_field_find(scope->section, pair->key->text))
            continue;
        if (++unknown <= UNKNOWN_TOLD_MAX)
            fr_tell_unknown(scope, pair);
        else
            fr_say(scope->binder, FR_ERROR, pair->key, scope->path, NULL,
                   "more than %d names here are no fields; the rest is not told",
                   UNKNOWN_TOLD_MAX);
    }
}

void fr_scope_check_keys(const fr_scope *scope) {
    for (size_t i = 0; i < scope->layer_count; i++)
        if (!scope->layers[i]->told)
            check_map(scope, scope->layers[i]);
}

/* A section that is no mapping: an example says what one looks like. */
static void tell_no_map(const fr_scope *parent, const fr_field *field, const fr_node *node,
                        const char *path) {
    const char *inner = field->example;
    char hint[FR_SAY_MAX];
    fr_told told = {0};
    if (fr_advise_line(node, &told)) {
        fr_say(parent->binder, FR_ERROR, node, path, told.hint, "%s", told.message);
        return;
    }
    if (inner)
        snprintf(hint, sizeof hint, "write '%s: %s'", field->key, inner);
    else
        snprintf(hint, sizeof hint, "write its fields on the lines below '%s:', indented",
                 field->key);
    fr_say(parent->binder, FR_ERROR, node, path, hint, "%s is a section of 'name: value' lines",
           field->key);
}

bool fr_scope_enter(const fr_scope *parent, const char *key, fr_scope *child) {
    const fr_field *field = fr_scope_field(parent, key);
    const fr_node *node = fr_find(parent, key);
    char path[FR_PATH_MAX];
    fr_path_join(parent, key, path, sizeof path);
    *child = fr_scope_of(parent->binder, fr_section_of(field->section), path, node);
    child->quiet = parent->quiet;
    if (!child->at)
        child->at = parent->at;
    if (fr_is_blank(node))
        return false;
    if (node->kind != FR_NODE_MAP) {
        tell_no_map(parent, field, node, path);
        return false;
    }
    fr_scope_check_keys(child);
    return true;
}
