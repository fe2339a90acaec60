/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fuelreach/status.h"

typedef struct status_row {
    const char *text;
    int exit_code;
} status_row;

static const status_row status_table[] = {
#define STATUS_ROW(name, text, code) [name] = {text, code},
    FR_STATUS_TABLE(STATUS_ROW)
#undef STATUS_ROW
};

/* A number that is no status is a fault of the program itself. */
static const status_row *status_find(fr_status status) {
    size_t index = (size_t)status;
    if (index >= sizeof status_table / sizeof status_table[0]) {
        index = (size_t)FR_FAULT;
    }
    return &status_table[index];
}

const char *fr_status_text(fr_status status) {
    return status_find(status)->text;
}

int fr_status_exit_code(fr_status status) {
    return status_find(status)->exit_code;
}
