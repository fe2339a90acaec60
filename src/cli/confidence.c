/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/confidence.h"

#include <math.h>
#include <stdlib.h>

bool fr_confidence_read(const char *text, double *confidence) {
    char *end;
    double value = strtod(text, &end);
    while (*end == ' ') {
        end++;
    }
    const bool percent = *end == '%';
    end += percent;
    if (end == text || *end != '\0' || !isfinite(value)) {
        return false;
    }
    value = percent || value > 1.0 ? value / 100.0 : value;
    *confidence = value;
    return value > 0.0 && value < 1.0;
}
