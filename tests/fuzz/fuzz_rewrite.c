/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any text, and a value put into it or taken out: what comes of it can be read again, says that
 * value there, and takes the same change again without a change. */
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "sheet/paste.h"
#include "sheet/rewrite.h"
#include "sheet/tree.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const char *const changes[][2] = {
    {"engine.displacement", "2.3 L"}, {"supply.lift_pump.count", "2"},
    {"engine.boost", NULL},           {"units", "us"},
    {"supply.lift_pump", NULL},       {"site.feed_temperature", "41 C"},
    {"fuel.blends", "[E10, E61]"},    {"supply.port_injection.injector", NULL},
};
enum { CHANGE_COUNT = sizeof changes / sizeof changes[0] };

static void demand(bool holds) {
    if (!holds)
        abort();
}

static const fr_node *node_at(fr_tree *tree, const char *path) {
    const fr_node *node = fr_tree_root(tree);
    char key[64];
    while (node && *path) {
        size_t length = strcspn(path, ".");
        memcpy(key, path, length);
        key[length] = '\0';
        node = fr_node_get(node, key);
        path += length + (path[length] == '.');
    }
    return node;
}

static void meet(const char *text, const char *path, const char *value) {
    enum { FLOW_SIZE = 4096 };
    char *out, *again, flow[FLOW_SIZE];
    fr_report report = FR_REPORT_EMPTY;
    fr_tree *tree;
    if (fr_sheet_rewrite(text, path, value, &out) != FR_OK) {
        demand(out == NULL);
        return;
    }
    demand(fr_tree_read("sheet", out, strlen(out), &report, &tree) == FR_OK);
    const fr_node *node = node_at(tree, path);
    if (value)
        demand(node && fr_flow_text(node, flow, sizeof flow) && strcmp(flow, value) == 0);
    else
        demand(node == NULL);
    demand(fr_sheet_rewrite(out, path, value, &again) == FR_OK && strcmp(out, again) == 0);
    fr_tree_close(tree);
    fr_report_close(&report);
    free(again);
    free(out);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    if (size < 1)
        return 0;
    char *text = malloc(size);
    demand(text != NULL);
    memcpy(text, data + 1, size - 1);
    text[size - 1] = '\0';
    const char *const *change = changes[data[0] % CHANGE_COUNT];
    meet(text, change[0], change[1]);
    free(text);
    return 0;
}
