/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/nearest.h"

#include <string.h>

#include "sheet/suggest.h"

void fr_nearest_try(fr_nearest *nearest, const char *name) {
    size_t typed = strlen(nearest->text);
    bool begins_it = typed >= 2 && strncmp(nearest->text, name, typed) == 0;
    size_t away = begins_it ? 1 : fr_edit_distance(nearest->text, name);

    if (away > fr_edit_allowance(nearest->text) && !begins_it)
        return;
    if (nearest->best == NULL || away < nearest->distance) {
        nearest->best = name;
        nearest->distance = away;
    }
}
