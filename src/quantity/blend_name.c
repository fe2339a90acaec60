/* SPDX-License-Identifier: GPL-3.0-or-later */
/* "E85": the trade's name for a blend of 85 % ethanol by volume. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "quantity/units.h"

static const double whole_percent = 100.0;
enum { NAME_DECIMALS = 3 };

bool fr_blend_parse(const char *text, double *fraction) {
    fr_plain plain;
    fr_quantity_fault fault;
    double percent;
    fr_plain_make(text, &plain);
    const char *digits = plain.text + 1;
    if ((plain.text[0] != 'E' && plain.text[0] != 'e') || plain.cut ||
        strspn(digits, "0123456789.") != plain.length - 1) {
        return false;
    }
    size_t length = fr_number_scan(digits, &percent, &fault);
    if (length == 0 || digits[length] != '\0' || percent > whole_percent) {
        return false;
    }
    *fraction = percent / whole_percent;
    return true;
}

void fr_blend_spell(double fraction, char name[FR_BLEND_NAME_SIZE]) {
    double percent = fmin(fmax(whole_percent * fraction, 0.0), whole_percent);
    snprintf(name, FR_BLEND_NAME_SIZE, "E%.*f", NAME_DECIMALS, percent);
    size_t length = strlen(name);
    while (name[length - 1] == '0') {
        name[--length] = '\0';
    }
    if (name[length - 1] == '.') {
        name[length - 1] = '\0';
    }
}
