/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/nearest.h"

#include <string.h>

enum { LONGEST_NAME = 40 };

static size_t least(size_t a, size_t b) {
    return a < b ? a : b;
}

/* Letters put in, left out, changed, or swapped with their neighbour. */
static size_t distance(const char *a, const char *b) {
    size_t rows[3][LONGEST_NAME + 1];
    size_t *before = rows[0], *last = rows[1], *now = rows[2];
    size_t length_a = strlen(a), length_b = strlen(b);

    if (length_a > LONGEST_NAME || length_b > LONGEST_NAME)
        return LONGEST_NAME;
    for (size_t j = 0; j <= length_b; j++)
        last[j] = j;
    for (size_t i = 1; i <= length_a; i++) {
        now[0] = i;
        for (size_t j = 1; j <= length_b; j++) {
            size_t changed = last[j - 1] + (a[i - 1] != b[j - 1]);
            now[j] = least(changed, least(last[j], now[j - 1]) + 1);
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                now[j] = least(now[j], before[j - 2] + 1);
        }
        size_t *spare = before;
        before = last;
        last = now;
        now = spare;
    }
    return last[length_b];
}

void fr_nearest_try(fr_nearest *nearest, const char *name) {
    size_t typed = strlen(nearest->text);
    size_t away = distance(nearest->text, name);

    if (typed >= 2 && strncmp(nearest->text, name, typed) == 0)
        away = least(away, 1);
    if (away * 3 > strlen(name) + 1)
        return;
    if (nearest->best == NULL || away < nearest->distance) {
        nearest->best = name;
        nearest->distance = away;
    }
}
