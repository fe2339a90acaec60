/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From YAML events to a tree. No other file includes yaml.h. */
#include "sheet/tree.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <yaml.h>

#include "sheet/tree_inside.h"

enum { FIRST_CHILDREN = 8, ANCHORS_MAX = 1000 };

/* ---- what is being built ---- */

typedef struct anchor {
    const char *name;
    const fr_node *node;
    size_t depth; /* levels below it, itself included; 0 while it is still open */
    size_t nodes;
    struct anchor *next;
} anchor;

/* A list or map whose end has not come yet. A map's children are key, value, key, value. */
typedef struct open_node {
    fr_node *node;
    anchor *anchor; /* null: none on it */
    fr_node **children;
    size_t count, capacity;
} open_node;

typedef struct builder {
    fr_tree *tree;
    fr_report *slips; /* told only when the layout is sound to the end */
    fr_status status;
    fr_told told; /* with FR_BAD_INPUT */
    open_node open[FR_TREE_DEPTH_MAX];
    size_t depth;
    size_t node_count;
    anchor *anchors; /* newest first: a name may be used again */
    size_t anchor_count;
    fr_layout_error quote; /* the last quoted value over several lines */
    bool has_document;
} builder;

static bool refuse(builder *b, const yaml_mark_t *mark, const char *message, const char *hint) {
    b->status = FR_BAD_INPUT;
    b->told.line = mark->line + 1;
    b->told.column = mark->column + 1;
    snprintf(b->told.message, FR_TOLD_SIZE, "%s", message);
    snprintf(b->told.hint, FR_TOLD_SIZE, "%s; nothing below was read", hint);
    return false;
}

static bool no_memory(builder *b) {
    b->status = FR_NO_MEMORY;
    return false;
}

static fr_node *node_open(builder *b, fr_node_kind kind, const yaml_mark_t *mark) {
    fr_node *node = fr_tree_alloc(b->tree, sizeof *node);
    if (node == NULL) {
        no_memory(b);
        return NULL;
    }
    *node = (fr_node){.kind = kind,
                      .line = mark->line + 1,
                      .column = mark->column + 1,
                      .text = "",
                      .tree = b->tree};
    return node;
}

static bool count_nodes(builder *b, size_t count, const yaml_mark_t *mark) {
    b->node_count += count;
    return b->node_count <= FR_TREE_NODES_MAX ||
           refuse(b, mark, "more than 100,000 entries, anchors written out",
                  "a build sheet holds a few dozen");
}

static bool check_depth(builder *b, size_t depth, const yaml_mark_t *mark) {
    return depth <= FR_TREE_DEPTH_MAX ||
           refuse(b, mark, "nested deeper than 32 levels", "a build sheet has five or six");
}

/* ---- children ---- */

static bool children_reserve(builder *b, open_node *top) {
    if (top->count < top->capacity) {
        return true;
    }
    size_t capacity = top->capacity == 0 ? FIRST_CHILDREN : top->capacity * 2;
    fr_node **grown = fr_tree_alloc(b->tree, capacity * sizeof(fr_node *));
    if (grown == NULL) {
        return no_memory(b);
    }
    if (top->count != 0) {
        memcpy(grown, top->children, top->count * sizeof(fr_node *));
    }
    top->children = grown;
    top->capacity = capacity;
    return true;
}

/* Hangs a node into what is open, or makes it the root. */
static bool attach(builder *b, fr_node *node, const yaml_mark_t *mark) {
    if (b->depth == 0) {
        b->tree->root = node;
        return true;
    }
    open_node *top = &b->open[b->depth - 1];
    bool is_key = top->node->kind == FR_NODE_MAP && top->count % 2 == 0;
    if (is_key && node->kind != FR_NODE_SCALAR) {
        return refuse(b, mark, "a name is due here, not a list or a mapping",
                      "write 'name: value'");
    }
    if (!children_reserve(b, top)) {
        return false;
    }
    top->children[top->count++] = node;
    return true;
}

/* ---- anchors ---- */

static bool anchor_add(builder *b, const yaml_char_t *name, const fr_node *node, bool whole,
                       const yaml_mark_t *mark) {
    if (name == NULL) {
        return true;
    }
    if (++b->anchor_count > ANCHORS_MAX) {
        return refuse(b, mark, "more than 1,000 anchors", "write the values out");
    }
    anchor *added = fr_tree_alloc(b->tree, sizeof *added);
    char *copy = fr_tree_copy(b->tree, (const char *)name);
    if (added == NULL || copy == NULL) {
        return no_memory(b);
    }
    *added = (anchor){copy, node, whole ? 1 : 0, 1, b->anchors};
    b->anchors = added;
    return true;
}

static void measure(const fr_node *node, size_t *nodes, size_t *depth) {
    size_t deepest = 0;
    *nodes = 1;
    for (size_t i = 0; i < node->count; i++) {
        const fr_node *child = node->kind == FR_NODE_MAP ? node->pairs[i].value : node->items[i];
        size_t child_nodes;
        size_t child_depth;
        measure(child, &child_nodes, &child_depth);
        *nodes += child_nodes + (node->kind == FR_NODE_MAP);
        deepest = child_depth > deepest ? child_depth : deepest;
    }
    *depth = deepest + 1;
}

static fr_node *node_copy(builder *b, const fr_node *from);

static bool copy_items(builder *b, const fr_node *from, fr_node *node) {
    node->items = fr_tree_alloc(b->tree, from->count * sizeof(fr_node *));
    bool whole = node->items != NULL;
    for (size_t i = 0; whole && i < from->count; i++) {
        node->items[i] = node_copy(b, from->items[i]);
        whole = node->items[i] != NULL;
    }
    return whole;
}

static bool copy_pairs(builder *b, const fr_node *from, fr_node *node) {
    node->pairs = fr_tree_alloc(b->tree, from->count * sizeof(fr_pair));
    bool whole = node->pairs != NULL;
    for (size_t i = 0; whole && i < from->count; i++) {
        node->pairs[i].key = node_copy(b, from->pairs[i].key);
        node->pairs[i].value = node_copy(b, from->pairs[i].value);
        whole = node->pairs[i].key != NULL && node->pairs[i].value != NULL;
    }
    return whole;
}

/* Never deeper than FR_TREE_DEPTH_MAX: what is copied has been measured. */
static fr_node *node_copy(builder *b, const fr_node *from) {
    fr_node *node = fr_tree_alloc(b->tree, sizeof *node);
    if (node == NULL) {
        return NULL;
    }
    *node = *from;
    bool whole = from->kind == FR_NODE_LIST  ? copy_items(b, from, node)
                 : from->kind == FR_NODE_MAP ? copy_pairs(b, from, node)
                                             : true;
    return whole ? node : NULL;
}

/* ---- events ---- */

/* "name: !fast" is a type to YAML and would be swallowed: a sheet knows no types. */
static bool check_tag(builder *b, const yaml_char_t *tag, const yaml_mark_t *mark) {
    if (tag == NULL) {
        return true;
    }
    const fr_layout_error error = {.problem = "found undefined tag handle",
                                   .line = mark->line + 1,
                                   .column = mark->column + 1};
    b->status = FR_BAD_INPUT;
    fr_layout_tell(b->tree, &error, &b->told);
    return false;
}

static bool on_alias(builder *b, const yaml_event_t *event) {
    const yaml_mark_t *mark = &event->start_mark;
    const anchor *a = b->anchors;
    while (a != NULL && strcmp(a->name, (const char *)event->data.alias.anchor) != 0) {
        a = a->next;
    }
    if (a == NULL) {
        return refuse(b, mark, "'*' stands for an anchor, and there is none of that name",
                      "put the value in quotes if the '*' belongs to it");
    }
    if (a->depth == 0) {
        return refuse(b, mark, "an anchor that holds itself", "write the values out");
    }
    if (!check_depth(b, b->depth + a->depth, mark) || !count_nodes(b, a->nodes, mark)) {
        return false;
    }
    fr_node *node = node_copy(b, a->node);
    return node == NULL ? no_memory(b) : attach(b, node, mark);
}

static bool on_scalar(builder *b, const yaml_event_t *event) {
    const yaml_mark_t *mark = &event->start_mark;
    fr_node *node = node_open(b, FR_NODE_SCALAR, mark);
    if (node == NULL || !check_tag(b, event->data.scalar.tag, mark) || !count_nodes(b, 1, mark)) {
        return false;
    }
    yaml_scalar_style_t style = event->data.scalar.style;
    node->quoted = style != YAML_PLAIN_SCALAR_STYLE;
    /* a text that ends with its line ends at the beginning of the next */
    node->last_line = event->end_mark.line + (event->end_mark.column > 0 ? 1 : 0);
    node->text = fr_tree_copy(b->tree, (const char *)event->data.scalar.value);
    if (node->text == NULL) {
        return no_memory(b);
    }
    bool in_quotes =
        style == YAML_DOUBLE_QUOTED_SCALAR_STYLE || style == YAML_SINGLE_QUOTED_SCALAR_STYLE;
    if (in_quotes && event->end_mark.line != mark->line) {
        b->quote = (fr_layout_error){.quote_line = mark->line + 1,
                                     .quote_column = mark->column + 1,
                                     .quote_end_line = event->end_mark.line + 1};
    }
    return anchor_add(b, event->data.scalar.anchor, node, true, mark) && attach(b, node, mark);
}

static bool on_start(builder *b, const yaml_event_t *event, fr_node_kind kind,
                     const yaml_char_t *name, const yaml_char_t *tag) {
    const yaml_mark_t *mark = &event->start_mark;
    fr_node *node = node_open(b, kind, mark);
    if (node == NULL || !check_tag(b, tag, mark) || !count_nodes(b, 1, mark) ||
        !check_depth(b, b->depth + 1, mark) || !anchor_add(b, name, node, false, mark) ||
        !attach(b, node, mark)) {
        return false;
    }
    b->open[b->depth++] = (open_node){.node = node, .anchor = name == NULL ? NULL : b->anchors};
    return true;
}

static bool on_end(builder *b) {
    if (b->depth == 0) {
        return true; /* an end without a beginning: libyaml gives none */
    }
    open_node *top = &b->open[--b->depth];
    fr_node *node = top->node;
    if (node->kind == FR_NODE_LIST) {
        node->count = top->count;
        node->items = top->children;
    } else {
        node->count = top->count / 2;
        node->pairs = fr_tree_alloc(b->tree, node->count * sizeof(fr_pair));
        if (node->pairs == NULL) {
            return no_memory(b);
        }
        for (size_t i = 0; i < node->count; i++) {
            node->pairs[i] = (fr_pair){top->children[2 * i], top->children[2 * i + 1]};
        }
        fr_map_check(b->tree, node, b->slips);
    }
    if (top->anchor != NULL) { /* from now on it may be used */
        measure(node, &top->anchor->nodes, &top->anchor->depth);
    }
    return true;
}

static bool on_document(builder *b, const yaml_event_t *event) {
    if (b->has_document) {
        return refuse(b, &event->start_mark, "'---' begins a second document",
                      "a file holds one sheet");
    }
    b->has_document = true;
    return true;
}

static bool on_event(builder *b, const yaml_event_t *event) {
    switch (event->type) {
    case YAML_DOCUMENT_START_EVENT:
        return on_document(b, event);
    case YAML_ALIAS_EVENT:
        return on_alias(b, event);
    case YAML_SCALAR_EVENT:
        return on_scalar(b, event);
    case YAML_SEQUENCE_START_EVENT:
        return on_start(b, event, FR_NODE_LIST, event->data.sequence_start.anchor,
                        event->data.sequence_start.tag);
    case YAML_MAPPING_START_EVENT:
        return on_start(b, event, FR_NODE_MAP, event->data.mapping_start.anchor,
                        event->data.mapping_start.tag);
    case YAML_SEQUENCE_END_EVENT:
    case YAML_MAPPING_END_EVENT:
        return on_end(b);
    default:
        return true;
    }
}

/* ---- the whole ---- */

static void layout_refuse(builder *b, const yaml_parser_t *parser) {
    if (parser->error == YAML_MEMORY_ERROR) {
        b->status = FR_NO_MEMORY;
        return;
    }
    fr_layout_error error = b->quote;
    error.problem = parser->problem == NULL ? "" : parser->problem;
    error.line = parser->problem_mark.line + 1;
    error.column = parser->problem_mark.column + 1;
    if (parser->context != NULL) {
        error.context_line = parser->context_mark.line + 1;
        error.context_column = parser->context_mark.column + 1;
    }
    b->status = FR_BAD_INPUT;
    fr_layout_tell(b->tree, &error, &b->told);
}

static void read_events(builder *b) {
    yaml_parser_t parser;
    if (!yaml_parser_initialize(&parser)) {
        b->status = FR_NO_MEMORY;
        return;
    }
    yaml_parser_set_encoding(&parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(&parser, (const yaml_char_t *)b->tree->text, b->tree->length);
    bool more = true;
    while (more) {
        yaml_event_t event;
        if (!yaml_parser_parse(&parser, &event)) {
            layout_refuse(b, &parser);
            break;
        }
        more = on_event(b, &event) && event.type != YAML_STREAM_END_EVENT;
        yaml_event_delete(&event);
    }
    yaml_parser_delete(&parser);
}

/* Takes the text into the tree. */
static bool tree_take(fr_tree *tree, const char *file, const char *text, size_t length) {
    char *copy = fr_tree_alloc(tree, length + 1);
    tree->file = fr_tree_copy(tree, file);
    if (copy == NULL || tree->file == NULL) {
        return false;
    }
    if (length != 0) {
        memcpy(copy, text, length);
    }
    tree->text = copy;
    tree->length = length;
    return fr_tree_find_lines(tree);
}

/* Reads into a tree that has its text; on FR_BAD_INPUT for the layout the root is null. */
static fr_status tree_fill(fr_tree *tree, fr_report *report) {
    fr_report slips = FR_REPORT_EMPTY;
    builder b = {.tree = tree, .slips = &slips, .status = FR_OK};
    read_events(&b);
    if (b.status == FR_BAD_INPUT) {
        tree->root = NULL;
        fr_tree_tell(tree, report, &b.told);
    }
    for (size_t i = 0; b.status == FR_OK && i < slips.count; i++) {
        const fr_remark *slip = &slips.remarks[i];
        fr_report_add(report, slip->severity, slip->file, slip->line, slip->column, NULL,
                      slip->message, slip->hint, slip->excerpt);
    }
    b.status = b.status == FR_OK && slips.count != 0 ? FR_BAD_INPUT : b.status;
    b.status = slips.out_of_memory ? FR_NO_MEMORY : b.status;
    fr_report_close(&slips);
    return b.status;
}

static fr_status text_refuse(const char *file, const fr_told *told, const char *excerpt,
                             fr_report *report) {
    fr_report_add(report, FR_ERROR, file, told->line, told->column, NULL, told->message, told->hint,
                  excerpt[0] == '\0' ? NULL : excerpt);
    return FR_BAD_INPUT;
}

fr_status fr_tree_read(const char *file, const char *text, size_t length, fr_report *report,
                       fr_tree **tree) {
    fr_told told = {0};
    char excerpt[FR_TOLD_SIZE];
    size_t skip = 0;
    *tree = NULL;
    if (!fr_text_check(text, length, &skip, &told, excerpt, sizeof excerpt)) {
        return text_refuse(file, &told, excerpt, report);
    }
    fr_tree *made = fr_tree_open();
    fr_status status = made == NULL || !tree_take(made, file, text + skip, length - skip)
                           ? FR_NO_MEMORY
                           : tree_fill(made, report);
    bool unreadable = status == FR_BAD_INPUT && made->root == NULL;
    if (status == FR_NO_MEMORY || unreadable) {
        fr_tree_close(made);
        return status;
    }
    *tree = made;
    return status;
}
