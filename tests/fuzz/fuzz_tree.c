/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes through the tree reader, and every word of the tree through the readers of
 * quantities and blends. Nothing may crash, leak, hang, or give a number that is none. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "fuelreach/quantity.h"
#include "sheet/tree.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void demand(bool holds) {
    if (!holds) {
        abort();
    }
}

static void meet_quantity(const char *text) {
    fr_quantity quantity;
    double fraction;
    const char *unit = fr_quantity_unit_at(text);
    demand(unit == NULL || (unit >= text && unit <= text + strlen(text)));
    if (fr_quantity_parse(text, ~0u, &quantity) == FR_QUANTITY_FINE) {
        demand(isfinite(quantity.value) && isfinite(quantity.tolerance));
        demand(quantity.tolerance >= 0.0 && quantity.kind < FR_KIND_COUNT);
    }
    if (fr_blend_parse(text, &fraction)) {
        char name[FR_BLEND_NAME_SIZE];
        demand(fraction >= 0.0 && fraction <= 1.0);
        fr_blend_spell(fraction, name);
        demand(fr_blend_parse(name, &fraction));
    }
}

static void meet_node(fr_tree *tree, const fr_node *node) {
    demand(node->line >= 1 && node->column >= 1);
    demand(node->tree == tree && node->text != NULL);
    if (node->kind == FR_NODE_SCALAR) {
        meet_quantity(node->text);
    }
    for (size_t i = 0; i < node->count; i++) {
        if (node->kind == FR_NODE_MAP) {
            meet_node(tree, node->pairs[i].key);
            meet_node(tree, node->pairs[i].value);
            demand(fr_node_get(node, node->pairs[i].key->text) != NULL);
        } else {
            meet_node(tree, node->items[i]);
        }
    }
}

static void meet_report(const fr_report *report, fr_status status) {
    demand((status == FR_OK) == (fr_report_errors(report) == 0));
    for (size_t i = 0; i < report->count; i++) {
        const fr_remark *remark = &report->remarks[i];
        demand(remark->line >= 1 && remark->column >= 1 && remark->message[0] != '\0');
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    fr_report report = FR_REPORT_EMPTY;
    fr_tree *tree = NULL;
    fr_status status =
        fr_tree_read("fuzz", size == 0 ? "" : (const char *)data, size, &report, &tree);
    meet_report(&report, status);
    if (tree != NULL && fr_tree_root(tree) != NULL) {
        fr_node *root = fr_tree_root(tree);
        meet_node(tree, root);
        /* The first name, if any, may be set to what it held. */
        if (root->kind == FR_NODE_MAP && root->count != 0) {
            fr_tree_set(tree, root->pairs[0].key->text, root->pairs[0].value);
        }
    }
    demand(tree != NULL || status != FR_OK);
    fr_report_sort(&report);
    fr_report_close(&report);
    fr_tree_close(tree);
    return 0;
}
