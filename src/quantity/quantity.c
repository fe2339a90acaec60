/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fuelreach/quantity.h"

#include <math.h>
#include <string.h>

#include "quantity/units.h"

/* A text taken apart: "13.6" "V" and, behind the plus-minus, "0.2 V". */
typedef struct pieces {
    double number;
    const char *unit;
    size_t unit_length;
    const char *tolerance; /* null: none */
} pieces;

static bool wants(fr_kinds wanted, fr_kind kind) {
    return (wanted & FR_KINDS(kind)) != 0;
}

static const char *skip_blanks(const char *text) {
    while (fr_blank_char(*text)) {
        text++;
    }
    return text;
}

static size_t trimmed(const char *text, size_t length) {
    while (length != 0 && fr_blank_char(text[length - 1])) {
        length--;
    }
    return length;
}

/* The plus-minus sign, "+-" or "+/-"; null when there is none. */
static const char *find_plus_minus(const char *text, size_t *size) {
    for (; *text != '\0'; text++) {
        *size = 0;
        if (*text == '+') {
            *size = strncmp(text, "+-", 2) == 0 ? 2 : strncmp(text, "+/-", 3) == 0 ? 3 : 0;
        }
        if (*size != 0) {
            return text;
        }
    }
    return NULL;
}

static fr_quantity_fault take_apart(const char *text, pieces *out) {
    fr_quantity_fault fault;
    size_t length = fr_number_scan(text, &out->number, &fault);
    if (fault != FR_QUANTITY_FINE) {
        return fault;
    }
    size_t sign_size = 0;
    const char *sign = find_plus_minus(text + length, &sign_size);
    out->unit = skip_blanks(text + length);
    out->tolerance = sign == NULL ? NULL : skip_blanks(sign + sign_size);
    size_t rest = sign == NULL ? strlen(out->unit) : (size_t)(sign - out->unit);
    out->unit_length = sign != NULL && sign < out->unit ? 0 : trimmed(out->unit, rest);
    return FR_QUANTITY_FINE;
}

static fr_quantity_fault apply_unit(double number, const fr_unit *unit, fr_kinds wanted,
                                    fr_quantity *out) {
    out->kind = unit->kind;
    out->value = unit->factor * number + unit->offset;
    if (!isfinite(out->value) || (number != 0.0 && unit->offset == 0.0 && !isnormal(out->value))) {
        return FR_QUANTITY_NOT_FINITE;
    }
    return wants(wanted, unit->kind) ? FR_QUANTITY_FINE : FR_QUANTITY_WRONG_KIND;
}

/* What is wrong with a text that is no unit: something known with more behind it, or unknown. */
static fr_quantity_fault unit_fault(const pieces *got, fr_kinds wanted, fr_quantity *out) {
    const char *unit = got->unit;
    if (unit[0] >= '0' && unit[0] <= '9') {
        return FR_QUANTITY_TRAILING;
    }
    for (size_t end = got->unit_length; end-- > 1;) {
        const fr_unit *known = fr_blank_char(unit[end]) ? fr_unit_lookup(unit, end) : NULL;
        if (known != NULL) {
            apply_unit(got->number, known, wanted, out);
            return FR_QUANTITY_TRAILING;
        }
    }
    return FR_QUANTITY_UNKNOWN_UNIT;
}

/* A percentage is relative; but of a fraction it is in points, and of a temperature, whose zero is
 * not nothing, it would be meaningless, as of a wire gauge. */
static fr_quantity_fault apply_tolerance(double number, const fr_unit *unit, fr_quantity *out) {
    bool percent = unit != NULL && unit->kind == FR_KIND_FRACTION;
    bool same = unit == NULL ? out->kind == FR_KIND_NUMBER : unit->kind == out->kind;
    bool scaled = out->kind != FR_KIND_TEMPERATURE && out->kind != FR_KIND_WIRE_GAUGE;
    double tolerance = unit == NULL ? number : number * unit->factor;
    if (!(tolerance >= 0.0) || !isfinite(tolerance) || out->kind == FR_KIND_WIRE_GAUGE ||
        !(same || (percent && scaled))) {
        return FR_QUANTITY_BAD_TOLERANCE;
    }
    out->tolerance = tolerance;
    out->has_tolerance = true;
    out->tolerance_relative = percent && !same;
    return FR_QUANTITY_FINE;
}

/* Number and unit behind the plus-minus; false when that is not all there is. */
static bool read_tolerance(const char *text, double *number, const fr_unit **unit) {
    pieces got;
    *unit = NULL;
    if (take_apart(text, &got) != FR_QUANTITY_FINE || got.tolerance != NULL) {
        return false;
    }
    *number = got.number;
    *unit = fr_unit_lookup(got.unit, got.unit_length);
    return *unit != NULL || got.unit_length == 0;
}

/* "13.6 ± 0.2 V" writes the unit once, for both. */
static fr_quantity_fault value_of(const pieces *got, const fr_unit *tolerance_unit, fr_kinds wanted,
                                  fr_quantity *out) {
    if (got->unit_length != 0) {
        const fr_unit *unit = fr_unit_lookup(got->unit, got->unit_length);
        return unit != NULL ? apply_unit(got->number, unit, wanted, out)
                            : unit_fault(got, wanted, out);
    }
    if (!wants(wanted, FR_KIND_NUMBER) && tolerance_unit != NULL &&
        wants(wanted, tolerance_unit->kind)) {
        return apply_unit(got->number, tolerance_unit, wanted, out);
    }
    return wants(wanted, FR_KIND_NUMBER) ? FR_QUANTITY_FINE : FR_QUANTITY_NO_UNIT;
}

/* A typographic character makes the whole text unreadable and has advice of its own. */
static fr_quantity_fault typography_fault(const char *text) {
    for (; *text != '\0'; text++) {
        if (fr_curly_quote(text) != 0) {
            return FR_QUANTITY_CURLY_QUOTE;
        }
        if (fr_long_dash(text) != 0) {
            return FR_QUANTITY_DASH;
        }
    }
    return FR_QUANTITY_FINE;
}

fr_quantity_fault fr_quantity_parse(const char *text, fr_kinds wanted, fr_quantity *out) {
    fr_plain plain;
    pieces got;
    double tolerance = 0.0;
    const fr_unit *tolerance_unit = NULL;
    *out = (fr_quantity){.kind = FR_KIND_NUMBER};
    fr_plain_make(text, &plain);
    fr_quantity_fault fault = typography_fault(plain.text);
    fault = fault != FR_QUANTITY_FINE ? fault : take_apart(plain.text, &got);
    if (fault != FR_QUANTITY_FINE) {
        return fault;
    }
    out->value = got.number;
    bool sound =
        got.tolerance == NULL || read_tolerance(got.tolerance, &tolerance, &tolerance_unit);
    fault = value_of(&got, tolerance_unit, wanted, out);
    if (fault == FR_QUANTITY_FINE && got.tolerance != NULL) {
        fault = sound ? apply_tolerance(tolerance, tolerance_unit, out) : FR_QUANTITY_BAD_TOLERANCE;
    }
    return fault == FR_QUANTITY_FINE && plain.cut ? FR_QUANTITY_TRAILING : fault;
}

const char *fr_quantity_unit_at(const char *text) {
    fr_plain plain;
    double number;
    fr_quantity_fault fault;
    fr_plain_make(text, &plain);
    size_t length = fr_number_scan(plain.text, &number, &fault);
    if (length == 0) {
        return NULL;
    }
    return plain.from[skip_blanks(plain.text + length) - plain.text];
}
