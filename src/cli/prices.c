/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/prices.h"

#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { LINE_MAX_BYTES = 1024 };

typedef struct price_line {
    char *name;
    char *price;
    size_t price_column;
} price_line;

/* Cuts a line at its last separator outside quotes; false when there is none. */
static bool cut_line(char *line, price_line *cut) {
    char *last = NULL;
    bool quoted = false;
    line[strcspn(line, "\r\n")] = '\0';
    for (char *at = line; *at != '\0'; at++) {
        quoted = *at == '"' ? !quoted : quoted;
        if (!quoted && strchr(",;\t", *at) != NULL) {
            last = at;
        }
    }
    if (last == NULL) {
        return false;
    }
    *last = '\0';
    cut->price = last + 1 + strspn(last + 1, " \"");
    cut->price_column = (size_t)(cut->price - line) + 1;
    cut->price[strcspn(cut->price, " \"")] = '\0';
    cut->name = line + strspn(line, " \"");
    char *end = cut->name + strlen(cut->name);
    while (end > cut->name && (end[-1] == ' ' || end[-1] == '"')) {
        *--end = '\0';
    }
    return true;
}

static bool read_price(const char *text, double *price) {
    char *end;
    *price = strtod(text, &end);
    return end != text && *end == '\0' && isfinite(*price) && *price >= 0.0;
}

static size_t set_price(const fr_part *parts, size_t part_count, const char *name, double price,
                        double *prices) {
    size_t found = 0;
    for (size_t i = 0; i < part_count; i++) {
        if (strcmp(parts[i].name, name) == 0) {
            prices[i] = price;
            found++;
        }
    }
    return found;
}

static void take_line(const char *path, size_t line, char *text, const fr_part *parts,
                      size_t part_count, double *prices, fr_report *report) {
    char excerpt[LINE_MAX_BYTES];
    price_line cut;
    double price;
    snprintf(excerpt, sizeof excerpt, "%.*s", (int)strcspn(text, "\r\n"), text);
    if (excerpt[strspn(excerpt, " ")] == '\0') {
        return;
    }
    if (!cut_line(text, &cut)) {
        fr_report_add(report, FR_ERROR, path, line, 1, NULL, "this line has no price",
                      "write 'lift-340,189'", excerpt);
    } else if (!read_price(cut.price, &price)) {
        if (line > 1) { /* a first line may be a heading */
            fr_report_add(report, FR_ERROR, path, line, cut.price_column, NULL,
                          "the price is not a number",
                          "prices are bare numbers with a decimal point: '189' or '189.50'",
                          excerpt);
        }
    } else if (set_price(parts, part_count, cut.name, price, prices) == 0) {
        fr_report_add(report, FR_CAUTION, path, line, 1, NULL, "no part has this name",
                      "'fuelreach parts' lists them", excerpt);
    }
}

fr_status fr_prices_read(const char *path, const fr_part *parts, size_t part_count, double *prices,
                         fr_report *report) {
    char line[LINE_MAX_BYTES];
    FILE *file = fopen(path, "r");
    if (file == NULL) {
        fr_report_add(report, FR_ERROR, path, 0, 0, NULL, strerror(errno), NULL, NULL);
        return FR_SYSTEM;
    }
    for (size_t number = 1; fgets(line, sizeof line, file) != NULL; number++) {
        take_line(path, number, line, parts, part_count, prices, report);
    }
    const bool failed = ferror(file) != 0;
    fclose(file);
    if (failed) {
        fr_report_add(report, FR_ERROR, path, 0, 0, NULL, "it could not be read", NULL, NULL);
        return FR_SYSTEM;
    }
    return fr_report_errors(report) > 0 ? FR_BAD_INPUT : FR_OK;
}
