/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "components/shelf.h"

#include <ctype.h>

static fr_shelf *shelf;

int shelf_open(void **state) {
    fr_report report = FR_REPORT_EMPTY;
    fr_status status = fr_shelf_open(NULL, 0, false, &report, &shelf);
    (void)state;
    support_print_report(&report);
    fr_report_close(&report);
    return status == FR_OK ? 0 : -1;
}

int shelf_close(void **state) {
    (void)state;
    fr_shelf_close(shelf);
    return 0;
}

const fr_part *shelf_parts(size_t *count) {
    return fr_shelf_parts(shelf, count);
}

const fr_part *next_part(fr_part_kind kind, size_t *at) {
    size_t count = 0;
    const fr_part *parts = shelf_parts(&count);
    while (*at < count) {
        const fr_part *part = &parts[(*at)++];
        if (part->kind == kind) {
            return part;
        }
    }
    return NULL;
}

const fr_part *find_part(const char *name) {
    size_t count = 0;
    const fr_part *parts = shelf_parts(&count);
    for (size_t i = 0; i < count; i++) {
        if (strcmp(parts[i].name, name) == 0) {
            return &parts[i];
        }
    }
    fail_msg("no part %s", name);
    return NULL;
}

void check_part(const fr_part *part, bool holds, const char *what) {
    if (!holds) {
        fail_msg("%s: %s", part->name, what);
    }
}

double number_in(const char *name) {
    while (*name != '\0' && !isdigit((unsigned char)*name)) {
        name++;
    }
    return strtod(name, NULL);
}
