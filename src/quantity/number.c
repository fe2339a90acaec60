/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers as people write them, and no others. */
#include <locale.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "quantity/units.h"

/* A decimal point may take a few bytes in some locales. */
enum { NUMBER_TEXT_MAX = FR_PLAIN_MAX + 16, THOUSAND_DIGITS = 3 };

static size_t digits(const char *text) {
    size_t count = 0;
    while (text[count] >= '0' && text[count] <= '9') {
        count++;
    }
    return count;
}

static bool same_letters(const char *text, const char *word) {
    for (; *word != '\0'; word++, text++) {
        char c = *text >= 'A' && *text <= 'Z' ? (char)(*text - 'A' + 'a') : *text;
        if (c != *word) {
            return false;
        }
    }
    return true;
}

/* What strtod or YAML would take for no number or a number without end. */
static bool is_spelled_out(const char *text) {
    return same_letters(text, "nan") || same_letters(text, "inf") || same_letters(text, ".nan") ||
           same_letters(text, ".inf");
}

/* Length of sign, digits, point, digits, exponent; 0 when there are no digits. */
static size_t decimal_length(const char *text) {
    size_t at = text[0] == '+' || text[0] == '-' ? 1 : 0;
    size_t whole = digits(text + at);
    size_t part = 0;
    at += whole;
    if (text[at] == '.') {
        part = digits(text + at + 1);
        at += whole + part == 0 ? 0 : part + 1;
    }
    if (whole + part == 0) {
        return 0;
    }
    if (text[at] == 'e' || text[at] == 'E') {
        size_t sign = text[at + 1] == '+' || text[at + 1] == '-' ? 1 : 0;
        size_t power = digits(text + at + 1 + sign);
        at += power == 0 ? 0 : 1 + sign + power;
    }
    return at;
}

/* strtod wants the locale's decimal point; a program that uses the library may have set one. */
static double decimal_value(const char *text, size_t length) {
    const char *point = localeconv()->decimal_point;
    char copy[NUMBER_TEXT_MAX + 1];
    size_t used = 0;
    for (size_t i = 0; i < length; i++) {
        if (text[i] == '.') {
            size_t size = strlen(point);
            memcpy(copy + used, point, size);
            used += size;
        } else {
            copy[used++] = text[i];
        }
    }
    copy[used] = '\0';
    return strtod(copy, NULL);
}

/* True when some digit before the exponent is not 0: then a value of 0 is one too small to hold. */
static bool has_substance(const char *text, size_t length) {
    for (size_t i = 0; i < length && text[i] != 'e' && text[i] != 'E'; i++) {
        if (text[i] >= '1' && text[i] <= '9') {
            return true;
        }
    }
    return false;
}

/* "1,6" or "2,000": a comma right behind the whole part and digits after it. */
static fr_quantity_fault comma_fault(const char *text, size_t length) {
    size_t part = text[length] == ',' ? digits(text + length + 1) : 0;
    if (part == 0) {
        return FR_QUANTITY_FINE;
    }
    bool zero = length == 1 && text[0] == '0';
    return part == THOUSAND_DIGITS && !zero ? FR_QUANTITY_THOUSANDS_COMMA
                                            : FR_QUANTITY_DECIMAL_COMMA;
}

/* "/8" behind "3", or " 1/2" behind "1": returns its length and adds it to the value. */
static size_t fraction_scan(const char *text, const char *after, double *value) {
    size_t gap = 0;
    size_t top = 0;
    double numerator = fabs(*value);
    double whole = 0.0;
    if (after[0] != '/') {
        gap = after[0] == '-' ? 1 : strspn(after, " \t");
        top = digits(after + gap);
        if (gap == 0 || top == 0 || after[gap + top] != '/') {
            return 0;
        }
        whole = numerator;
        numerator = decimal_value(after + gap, top);
    }
    size_t bottom = digits(after + gap + top + 1);
    if (bottom == 0) {
        return 0;
    }
    double sum = whole + numerator / decimal_value(after + gap + top + 1, bottom);
    *value = text[0] == '-' ? -sum : sum;
    return gap + top + 1 + bottom;
}

size_t fr_number_scan(const char *text, double *value, fr_quantity_fault *fault) {
    size_t length = decimal_length(text);
    *value = 0.0;
    *fault = FR_QUANTITY_NOT_A_NUMBER;
    if (length == 0) {
        size_t sign = text[0] == '+' || text[0] == '-' ? 1 : 0;
        *fault = is_spelled_out(text + sign) ? FR_QUANTITY_NOT_FINITE : *fault;
        return 0;
    }
    *value = decimal_value(text, length);
    bool lost = has_substance(text, length) && !isnormal(*value);
    *fault = comma_fault(text, length);
    if (*fault != FR_QUANTITY_FINE) {
        return 0;
    }
    if (strcspn(text, ".eE") >= length) {
        length += fraction_scan(text, text + length, value);
    }
    *fault = lost || !isfinite(*value) ? FR_QUANTITY_NOT_FINITE : FR_QUANTITY_FINE;
    return *fault == FR_QUANTITY_FINE ? length : 0;
}
