/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/log_cell.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

static bool blank(char c) {
    return c == ' ' || c == '\t' || c == '\r' || c == '\n';
}

/* ---- cells ---- */

/* The cell that begins at `from`; returns its end, at the delimiter or the record's end. */
static const char *cut(const char *from, const char *end, char delimiter, fr_log_cell *cell) {
    const char *at = from;
    while (at < end && blank(*at) && *at != delimiter)
        at++;
    cell->quoted = at < end && *at == '"';
    if (cell->quoted) {
        cell->text = ++at;
        while (at < end && (*at != '"' || (at + 1 < end && at[1] == '"')))
            at += *at == '"' ? 2 : 1;
        at = at < end ? at : end;
        cell->length = (size_t)(at - cell->text);
        while (at < end && *at != delimiter)
            at++;
        return at;
    }
    cell->text = at;
    while (at < end && *at != delimiter)
        at++;
    const char *last = at;
    while (last > cell->text && blank(last[-1]))
        last--;
    cell->length = (size_t)(last - cell->text);
    return at;
}

size_t fr_log_split(const char *record, size_t length, char delimiter, fr_log_cell *cells,
                    size_t most) {
    const char *end = record + length;
    size_t count = 0;
    while (count < most) {
        record = cut(record, end, delimiter, &cells[count++]);
        if (record >= end)
            break;
        record++;
    }
    return count;
}

char fr_log_delimiter(const char *record, size_t length) {
    static const char KNOWN[] = {';', '\t', ','};
    size_t seen[sizeof KNOWN] = {0};
    bool quoted = false;
    for (size_t i = 0; i < length; i++) {
        quoted = record[i] == '"' ? !quoted : quoted;
        for (size_t k = 0; k < sizeof KNOWN && !quoted; k++)
            seen[k] += record[i] == KNOWN[k];
    }
    size_t best = sizeof KNOWN - 1;
    for (size_t k = 0; k < sizeof KNOWN; k++)
        if (seen[k] > seen[best])
            best = k;
    return KNOWN[best];
}

/* ---- numbers ---- */

enum { DIGITS_EXACT = 19, NUMBER_MAX = 64, POWERS = 23 };
static const uint64_t EXACT_IN_DOUBLE = (uint64_t)1 << 53;
static const double POWERS_OF_TEN[POWERS] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                             1e8,  1e9,  1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
                                             1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};

/* What was read of a number before it is put together. */
typedef struct decimal {
    uint64_t digits;
    size_t count; /* of digits, leading zeros aside */
    int exponent; /* of ten */
    bool negative;
} decimal;

/* The slow way, for numbers that a double does not hold exactly on the way. */
static bool by_library(const char *text, size_t length, double *value) {
    char copy[NUMBER_MAX];
    char *end;
    if (length >= sizeof copy)
        return false;
    for (size_t i = 0; i < length; i++)
        copy[i] = text[i] == ',' ? '.' : text[i];
    copy[length] = '\0';
    *value = strtod(copy, &end);
    return *end == '\0' && isfinite(*value);
}

static const char *read_digits(const char *at, const char *end, decimal *number, size_t *seen) {
    for (; at < end && (unsigned char)(*at - '0') <= 9; at++, ++*seen) {
        if (number->count < DIGITS_EXACT)
            number->digits = number->digits * 10 + (uint64_t)(*at - '0');
        if (number->digits > 0)
            number->count++;
    }
    return at;
}

/* "e-3" behind a number; null where it is none. */
static const char *read_exponent(const char *at, const char *end, int *exponent) {
    int sign = 1;
    int value = 0;
    if (++at < end && (*at == '-' || *at == '+'))
        sign = *at++ == '-' ? -1 : 1;
    if (at == end)
        return NULL;
    for (; at < end && (unsigned char)(*at - '0') <= 9; at++)
        value = value < 10000 ? value * 10 + (*at - '0') : value;
    *exponent += sign * value;
    return at;
}

static fr_log_reading no_number(const char *text, size_t length) {
    static const char *const EMPTY[] = {"-", "--", "nan", "n/a", "na", "null", "none"};
    for (size_t i = 0; i < sizeof EMPTY / sizeof *EMPTY; i++)
        if (strlen(EMPTY[i]) == length && strncasecmp(text, EMPTY[i], length) == 0)
            return FR_LOG_BLANK;
    return FR_LOG_BAD;
}

fr_log_reading fr_log_number(const char *text, size_t length, bool comma, double *value) {
    decimal number = {0};
    const char *end = text + length;
    const char *at = text;
    size_t whole = 0;
    size_t parts = 0;
    if (length == 0)
        return FR_LOG_BLANK;
    if (*at == '-' || *at == '+')
        number.negative = *at++ == '-';
    at = read_digits(at, end, &number, &whole);
    if (at < end && (*at == '.' || (comma && *at == ',')))
        at = read_digits(at + 1, end, &number, &parts);
    if (whole + parts == 0)
        return no_number(text, length);
    number.exponent = -(int)parts;
    if (at < end && (*at == 'e' || *at == 'E'))
        at = read_exponent(at, end, &number.exponent);
    if (at != end)
        return FR_LOG_BAD;
    /* Both exact in a double, so that one rounding is left (Clinger 1990). */
    if (number.count <= DIGITS_EXACT && number.digits < EXACT_IN_DOUBLE &&
        abs(number.exponent) < POWERS) {
        const double digits = (double)number.digits;
        const double size = number.exponent < 0 ? digits / POWERS_OF_TEN[-number.exponent]
                                                : digits * POWERS_OF_TEN[number.exponent];
        *value = number.negative ? -size : size;
        return FR_LOG_NUMBER;
    }
    return by_library(text, length, value) ? FR_LOG_NUMBER : FR_LOG_BAD;
}
