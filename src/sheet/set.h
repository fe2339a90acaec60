/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One setting more, "supply.lift_pump.condition" to "90 %", without changing the tree: what lies
 * on the path is copied, the rest is shared. */
#ifndef FR_SHEET_SET_H
#define FR_SHEET_SET_H

#include "sheet/parts.h"
#include "sheet/tree.h"

/* The root with `value` at `path`, in the memory of `memory`. A part that is one word becomes
 * {part: WORD}, so that a path may lead into it; into what its file or a default of the field
 * table says, too. Null when the path leads nowhere or memory runs out. */
const fr_node *fr_set_path(fr_tree *memory, fr_pantry *pantry, const fr_node *root,
                           const char *path, const fr_node *value);

#endif
