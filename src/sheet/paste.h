/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The line that would put a value into a sheet, laid out as the sheet is. */
#ifndef FR_SHEET_PASTE_H
#define FR_SHEET_PASTE_H

#include "sheet/tree.h"

enum { FR_PASTE_MAX = 2048 };

/* The line(s) that set `path` to `value`. A parent that is written in one line, or as one word, is
 * written anew with the value in it; its line takes the old one's place. `beside`, if not null, is
 * a second "key: value" that goes right after it. False when it does not fit into `out`. */
bool fr_paste(const fr_node *root, const char *path, const char *value, const char *beside,
              char *out, size_t size);

/* A node in one line, "{bore: 8 mm, length: 3 m}". False when it does not fit. */
bool fr_flow_text(const fr_node *node, char *out, size_t size);

#endif
