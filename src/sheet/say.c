/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Remarks about a sheet, each at its place. */
#include <stdarg.h>
#include <stdio.h>

#include "sheet/bind.h"

bool fr_listens(const fr_binder *binder) {
    return binder->report != NULL;
}

void fr_say(fr_binder *binder, fr_severity severity, const fr_node *node, const char *path,
            const char *hint, const char *format, ...) {
    if (severity == FR_ERROR)
        binder->errors++;
    if (!binder->report)
        return;
    char message[FR_SAY_MAX];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(message, sizeof message, format, arguments);
    va_end(arguments);
    const char *file = fr_tree_file(binder->memory);
    const char *excerpt = NULL;
    if (node && node->tree) {
        file = fr_tree_file(node->tree);
        excerpt = fr_tree_line(node->tree, node->line);
    }
    fr_report_add(binder->report, severity, file, node ? node->line : 0, node ? node->column : 0,
                  path, message, hint, excerpt);
}
