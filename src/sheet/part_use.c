/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A part in a sheet: the name of a file, a mapping, a mapping over a file, a rating, or what the
 * car was built with. */
#include <ctype.h>
#include <stdio.h>
#include <string.h>

#include "sheet/assumed.h"
#include "sheet/bind.h"
#include "sheet/faults.h"
#include "sheet/parts.h"
#include "sheet/suggest.h"

static const char FACTORY[] = "factory";

/* How a rating of each kind is read, and what a factory part starts from before it is sized. */
static const struct {
    const char *field;   /* the rating's quantity; null: no rating */
    const char *at;      /* its pressure, "FLOW at PRESSURE"; null: none */
    const char *factory; /* null: not made as built */
    const char *bare_cc; /* what "1200cc @ 3 bar" stands for */
} ratings[FR_PART_KIND_COUNT] = {
    [FR_PART_LIFT_PUMP] = {"size", "size_at", "255 L/h", NULL},
    [FR_PART_PORT_INJECTOR] = {"flow", "at", "500 cc/min", "cc/min"},
    [FR_PART_DIRECT_INJECTOR] = {"flow", "at", "14 cc/s", "cc/s"},
    [FR_PART_HIGH_PRESSURE_PUMP] = {"displacement", NULL, "0.87 cc", NULL},
};

/* ---- mappings made on the way ---- */

static fr_node *make_scalar(fr_binder *binder, const fr_node *like, const char *text) {
    fr_node *node = fr_make(binder, sizeof *node);
    if (node)
        *node = (fr_node){.kind = FR_NODE_SCALAR,
                          .line = like->line,
                          .column = like->column,
                          .tree = like->tree,
                          .text = text};
    return node;
}

/* {field: flow, at: pressure}, both at the place of the rating. */
static const fr_node *make_map(fr_binder *binder, const fr_node *like, const char *const *keys,
                               const char *const *texts, size_t count) {
    fr_node *map = make_scalar(binder, like, "");
    fr_pair *pairs = fr_make(binder, count * sizeof *pairs);
    if (!map || !pairs)
        return NULL;
    map->kind = FR_NODE_MAP;
    map->pairs = pairs;
    for (size_t i = 0; i < count; i++) {
        pairs[i].key = make_scalar(binder, like, keys[i]);
        pairs[i].value = make_scalar(binder, like, texts[i]);
        if (!pairs[i].key || !pairs[i].value)
            return NULL;
        map->count++;
    }
    return map;
}

/* ---- ratings ---- */

/* Where " at " or "@" parts a rating; null when it has no pressure. */
static const char *find_at(const char *text, size_t *length) {
    for (const char *at = text; *at; at++) {
        if (*at == '@') {
            *length = 1;
            return at;
        }
        bool word = tolower((unsigned char)at[0]) == 'a' && tolower((unsigned char)at[1]) == 't';
        if (at > text && word && at[-1] == ' ' && at[2] == ' ') {
            *length = 2;
            return at;
        }
    }
    return NULL;
}

/* "1200cc" beside a pressure is taken a minute (a second for a direct injector), as the trade
 * means it. */
static const char *flow_of_bare_cc(fr_binder *binder, const char *text, const char *unit) {
    fr_quantity quantity;
    char flow[FR_NAME_MAX];
    const char *from = fr_quantity_unit_at(text);
    if (!unit || !from ||
        fr_quantity_parse(text, FR_KINDS(FR_KIND_VOLUME), &quantity) != FR_QUANTITY_FINE ||
        tolower((unsigned char)from[0]) != 'c' || tolower((unsigned char)from[1]) != 'c')
        return text;
    snprintf(flow, sizeof flow, "%.*s %s%.30s", (int)(from - text), text, unit, from + 2);
    return fr_make_text(binder, flow);
}

static const fr_node *rating_map(fr_binder *binder, fr_part_kind kind, const fr_node *node) {
    const char *keys[] = {ratings[kind].field, ratings[kind].at};
    const char *texts[] = {node->text, NULL};
    size_t gap = 0;
    const char *at = ratings[kind].at ? find_at(node->text, &gap) : NULL;
    if (!at)
        return make_map(binder, node, keys, texts, 1);
    size_t length = (size_t)(at - node->text);
    char *flow = fr_make(binder, length + 1);
    if (!flow)
        return NULL;
    memcpy(flow, node->text, length);
    flow[length] = '\0';
    texts[0] = flow_of_bare_cc(binder, flow, ratings[kind].bare_cc);
    texts[1] = at + gap;
    return make_map(binder, node, keys, texts, 2);
}

static bool looks_like_rating(fr_part_kind kind, const char *text) {
    const char *number = text[0] == '-' || text[0] == '+' ? text + 1 : text;
    number += number[0] == '.' ? 1 : 0;
    return ratings[kind].field && isdigit((unsigned char)number[0]);
}

/* ---- names ---- */

typedef struct nearest_name {
    const char *name;
    char best[FR_NAME_MAX];
    size_t distance;
} nearest_name;

static void see_name(const char *name, void *context) {
    nearest_name *near = context;
    size_t distance = fr_edit_distance(name, near->name);
    if (distance < near->distance) {
        near->distance = distance;
        snprintf(near->best, sizeof near->best, "%s", name);
    }
}

static void see_same(const char *name, void *context) {
    nearest_name *near = context;
    near->distance = strcmp(name, near->name) == 0 ? 0 : near->distance;
}

/* A name that exists, but as another kind of part. */
static bool tell_other_kind(fr_binder *binder, fr_part_kind wanted, const fr_node *node,
                            const char *path) {
    for (int kind = 0; kind < FR_PART_KIND_COUNT; kind++) {
        nearest_name near = {node->text, "", 1};
        fr_pantry_names(binder->pantry, (fr_part_kind)kind, see_same, &near);
        if (near.distance == 0) {
            char hint[FR_SAY_MAX];
            snprintf(hint, sizeof hint, "'fuelreach parts %s' lists what fits here",
                     fr_part_kind_name(wanted));
            fr_say(binder, FR_ERROR, node, path, hint, "'%.60s' is a part of kind %s, not %s",
                   node->text, fr_part_kind_name((fr_part_kind)kind), fr_part_kind_name(wanted));
            return true;
        }
    }
    return false;
}

static void tell_unknown_part(const fr_scope *parent, fr_part_kind kind, const fr_node *node,
                              const char *path) {
    fr_binder *binder = parent->binder;
    char hint[FR_SAY_MAX], shown[FR_SHOWN_MAX];
    const char *kind_name = fr_part_kind_name(kind);
    binder->errors += fr_listens(binder) ? 0 : 1;
    if (!fr_listens(binder) || tell_other_kind(binder, kind, node, path))
        return;
    fr_shown(node, shown);
    nearest_name near = {node->text, "", fr_edit_allowance(node->text) + 1};
    fr_pantry_names(binder->pantry, kind, see_name, &near);
    if (fr_listed("stock oem original standard as-built built-in default", node->text) &&
        ratings[kind].factory)
        snprintf(hint, sizeof hint,
                 "for the %s the car was built with write 'factory' and give "
                 "engine.factory_power",
                 kind == FR_PART_LIFT_PUMP || kind == FR_PART_HIGH_PRESSURE_PUMP ? "pump"
                                                                                 : "injector");
    else if (near.best[0])
        snprintf(hint, sizeof hint, "'%s' is meant? 'fuelreach parts %s' lists them", near.best,
                 kind_name);
    else
        snprintf(hint, sizeof hint, "'fuelreach parts %s' lists them", kind_name);
    fr_say(binder, FR_ERROR, node, path, hint, "no part '%s'", shown);
}

/* "4 x 1000cc": how many and what in one word. */
static bool tell_counted(const fr_scope *parent, fr_part_kind kind, const fr_node *node,
                         const char *path) {
    const char *at = node->text + strspn(node->text, "0123456789 ");
    char hint[FR_SAY_MAX];
    if ((*at != 'x' && *at != 'X' && *at != '*') || at == node->text || !ratings[kind].bare_cc)
        return false;
    at += 1 + strspn(at + 1, " ");
    size_t digits = strspn(at, "0123456789.");
    if (digits == 0)
        return false;
    snprintf(hint, sizeof hint, "write 'injector: %.*s %s'; the count follows from cylinders",
             (int)digits, at, ratings[kind].bare_cc);
    fr_say(parent->binder, FR_ERROR, node, path, hint, "'%.60s' says how many, too", node->text);
    return true;
}

static void keep_name(const fr_scope *child, fr_part_kind kind, const char *name) {
    fr_sheet_facts *facts = child->binder->facts;
    if (facts && !facts->part_names[kind][0])
        snprintf(facts->part_names[kind], FR_NAME_MAX, "%s", name);
}

static void note_hidden(const fr_scope *parent, const fr_node *node, const char *path,
                        const fr_stored *stored) {
    if (stored->hides_shipped)
        fr_say(parent->binder, FR_NOTE, node, path, NULL,
               "part '%s' of %s hides the shipped part of that name", stored->name, stored->file);
}

static fr_part_form enter_named(const fr_scope *parent, fr_part_kind kind, const fr_node *node,
                                fr_scope *child) {
    fr_binder *binder = parent->binder;
    size_t before = binder->report ? fr_report_errors(binder->report) : 0;
    const fr_stored *stored = fr_pantry_get(binder->pantry, kind, node->text, binder->report);
    if (!stored) {
        tell_unknown_part(parent, kind, node, child->path);
        return FR_PART_REFUSED;
    }
    const fr_node *map = stored->tree ? fr_tree_root(stored->tree) : NULL;
    if (!map || map->kind != FR_NODE_MAP) {
        size_t after = binder->report ? fr_report_errors(binder->report) : 0;
        if (after == before)
            fr_say(binder, FR_ERROR, node, child->path, NULL,
                   "the file of part '%.60s' holds no part", node->text);
        else
            binder->errors++;
        return FR_PART_REFUSED;
    }
    child->layers[child->layer_count++] = map;
    note_hidden(parent, node, child->path, stored);
    keep_name(child, kind, node->text);
    return FR_PART_NAMED;
}

static fr_part_form enter_factory(fr_part_kind kind, const fr_node *node, fr_scope *child) {
    const char *texts[] = {ratings[kind].factory};
    const char *keys[] = {ratings[kind].field};
    const fr_node *map = make_map(child->binder, node, keys, texts, 1);
    if (!map)
        return FR_PART_REFUSED;
    child->layers[child->layer_count++] = map;
    child->quiet = true;
    keep_name(child, kind, FACTORY);
    return FR_PART_FACTORY;
}

/* What one word of a part stands for. */
static fr_part_form enter_word(const fr_scope *parent, fr_part_kind kind, const fr_node *node,
                               fr_scope *child) {
    if (node->kind != FR_NODE_SCALAR) {
        fr_say(parent->binder, FR_ERROR, node, child->path, "write 'part: NAME'",
               "part is one name");
        return FR_PART_REFUSED;
    }
    if (strcmp(node->text, FACTORY) == 0 && ratings[kind].factory)
        return enter_factory(kind, node, child);
    if (looks_like_rating(kind, node->text)) {
        if (tell_counted(parent, kind, node, child->path))
            return FR_PART_REFUSED;
        const fr_node *map = rating_map(parent->binder, kind, node);
        if (map)
            child->layers[child->layer_count++] = map;
        return map ? FR_PART_RATED : FR_PART_REFUSED;
    }
    return enter_named(parent, kind, node, child);
}

/* ---- entering ---- */

static void check_kind(const fr_scope *child, fr_part_kind kind) {
    const fr_node *said = fr_find(child, "kind");
    unsigned index = (unsigned)kind;
    if (!said)
        return;
    fr_take_word(child, "kind", &index);
    if (index != (unsigned)kind)
        fr_say(child->binder, FR_ERROR, said, child->path, NULL, "a %s is due here, not a %s",
               fr_part_kind_name(kind), fr_kind_words.words[index].word);
}

/* In a part's file a field of the sheet's own has no place. */
void fr_check_part_file(const fr_scope *child) {
    const fr_node *map = child->layers[child->layer_count - 1];
    for (size_t p = 0; p < map->count; p++) {
        const fr_field *field = fr_field_find(child->section, map->pairs[p].key->text);
        if (field && field->sheet_only)
            fr_say(child->binder, FR_ERROR, map->pairs[p].key, child->path, NULL,
                   "%s stands in a sheet, not in a part's file", field->key);
    }
}

fr_part_form fr_part_enter(const fr_scope *parent, const fr_field *field, const fr_node *node,
                           const char *path, fr_scope *child) {
    fr_part_kind kind = (fr_part_kind)(field->section - FR_SECTION_PARTS);
    fr_part_form form = FR_PART_WRITTEN;
    *child = fr_scope_of(parent->binder, fr_section_of(field->section), path, node);
    child->quiet = parent->quiet;
    if (fr_is_blank(node)) {
        child->at = node ? node : parent->at;
        return FR_PART_ABSENT;
    }
    const fr_node *word = node->kind == FR_NODE_MAP ? fr_node_get(node, "part") : node;
    if (word && word->kind == FR_NODE_LIST) {
        fr_tell_shape(parent, field, node, path);
        return FR_PART_REFUSED;
    }
    if (word)
        form = enter_word(parent, kind, word, child);
    if (form == FR_PART_REFUSED)
        return form;
    fr_scope_check_keys(child);
    check_kind(child, kind);
    if (form == FR_PART_NAMED)
        fr_check_part_file(child);
    if (form == FR_PART_FACTORY)
        fr_check_factory(child, kind);
    else
        fr_take_unused(child, "of_factory", "a part that is not 'factory'");
    return form;
}

double fr_part_of_factory(const fr_scope *part) {
    fr_quantity scale = {.value = 1.0};
    fr_take_quantity(part, "of_factory", &scale);
    return scale.value;
}
