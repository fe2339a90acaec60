/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sheet/pattern.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

void fr_pattern_add(fr_pattern *pattern, const char *text) {
    for (; *text; text++) {
        if (pattern->used + 1 < FR_PATTERN_MAX)
            pattern->text[pattern->used] = *text;
        pattern->used++;
    }
    pattern->text[pattern->used < FR_PATTERN_MAX ? pattern->used : FR_PATTERN_MAX - 1] = '\0';
}

bool fr_pattern_fits(const fr_pattern *pattern) {
    return pattern->used < FR_PATTERN_MAX;
}

/* ---- words and units ---- */

static void add_character(fr_pattern *pattern, char c) {
    char text[8];
    if (isalpha((unsigned char)c))
        snprintf(text, sizeof text, "[%c%c]", tolower((unsigned char)c), toupper((unsigned char)c));
    else if (isalnum((unsigned char)c) || strchr("/%#\"' -_=<>:,@", c))
        snprintf(text, sizeof text, "%c", c);
    else
        snprintf(text, sizeof text, "\\%c", c);
    fr_pattern_add(pattern, text);
}

void fr_pattern_word(fr_pattern *pattern, const char *word) {
    for (; *word; word++)
        add_character(pattern, *word);
}

/* Look-alikes of the letters and signs that units are written with. */
static const struct {
    const char *plain;
    const char *pattern;
} looks[] = {
    {"ohms", "(?:[oO][hH][mM][sS]|Ω|Ω)"},
    {"ohm", "(?:[oO][hH][mM]|Ω|Ω)"},
    {"deg", "(?:[dD][eE][gG]|°|º|˚)[ ]?"},
    {"u", "[uUµμ]"},
    {"2", "[2²]"},
    {"3", "[3³]"},
    {"/", "[ ]*/[ ]*"},
    {" ", "[ .*-]*"},
    {"-", "[ .*-]*"},
    {"^", "\\^?"},
};

static void add_unit(fr_pattern *pattern, const char *unit) {
    while (*unit) {
        size_t length = 0;
        for (size_t i = 0; length == 0 && i < sizeof looks / sizeof looks[0]; i++) {
            size_t plain = strlen(looks[i].plain);
            if (strncmp(unit, looks[i].plain, plain) == 0) {
                fr_pattern_add(pattern, looks[i].pattern);
                length = plain;
            }
        }
        if (length == 0)
            add_character(pattern, *unit);
        unit += length ? length : 1;
    }
}

/* ---- numbers ---- */

#define EXPONENT "(?:[eE][+-]?\\d+)?"
#define PLAIN "(?:\\d+(?:\\.\\d*)?|\\.\\d+)" EXPONENT
#define FRACTION "(?:\\d+[ -]+)?\\d+/\\d+"
/* What stands behind it is left to the reader, but for its sign. */
#define TOLERANCE "(?:±|\\+\\s*/?\\s*[-−])\\s*\\.?\\d"
/* Not nothing but zeros. */
#define NOT_ZERO "(?!0*\\.?0*(?:[^\\d.]|$))"

/* Whole parts of 0 to `most`: fewer digits, or a lesser digit at some place. */
static void add_up_to(fr_pattern *pattern, unsigned long most) {
    char digits[24], piece[64];
    int count = snprintf(digits, sizeof digits, "%lu", most);
    if (count > 1) {
        snprintf(piece, sizeof piece, "\\d{1,%d}|", count - 1);
        fr_pattern_add(pattern, piece);
    }
    for (int i = 0; i < count; i++) {
        int first = i == 0 && count > 1 ? 1 : 0;
        int last = digits[i] - '0' - 1;
        if (last < first)
            continue;
        snprintf(piece, sizeof piece, "%.*s[%d-%d]\\d{%d}|", i, digits, first, last, count - 1 - i);
        fr_pattern_add(pattern, piece);
    }
}

/* A number of 0 to `most`; the fraction behind `most` itself is zeros only where it is whole. */
static void add_bounded(fr_pattern *pattern, double most) {
    char last[64];
    double whole = floor(most + 1e-9);
    fr_pattern_add(pattern, "(?:0*(?:");
    add_up_to(pattern, (unsigned long)whole);
    /* The loop left "|" behind: what follows is `most` itself, kept for its fraction. */
    snprintf(last, sizeof last, "%.0f(?=\\.0*(?:\\D|$)|[^\\d.]|$)", whole);
    if (most - whole > 1e-9)
        snprintf(last, sizeof last, "%.0f", whole);
    fr_pattern_add(pattern, last);
    fr_pattern_add(pattern, ")(?:\\.\\d*)?|0*\\.\\d+|\\d+(?:\\.\\d*)?[eE][+-]?\\d+|" FRACTION ")");
}

/* Not a number whose whole part is below that of `least`. */
static void add_not_below(fr_pattern *pattern, double least) {
    if (least < 1.0)
        return;
    char last[32];
    unsigned long below = (unsigned long)floor(least + 1e-9) - 1;
    snprintf(last, sizeof last, "%lu", below);
    fr_pattern_add(pattern, "(?!0*(?:");
    add_up_to(pattern, below);
    fr_pattern_add(pattern, last);
    fr_pattern_add(pattern, ")(?:\\.\\d*)?(?:\\s|[^\\d./eE-]|$))");
}

/* What a field allows, in one unit; `known` where that is of the kind its bounds are in. */
typedef struct allowed {
    bool known;
    double least, most;
} allowed;

static void add_magnitude(fr_pattern *pattern, bool known, double most) {
    /* A bound of many digits says nothing that a person could check. */
    static const double MOST_BOUND = 1e7;
    if (known && most > 0.0 && most <= MOST_BOUND)
        add_bounded(pattern, most);
    else
        fr_pattern_add(pattern, "(?:" FRACTION "|" PLAIN ")");
}

static void add_number(fr_pattern *pattern, const fr_field *field, const allowed *here) {
    bool any = field->least == 0.0 && field->most == 0.0;
    bool negative = field->least < 0.0 || any;
    if (negative) {
        fr_pattern_add(pattern, "(?:[−-]");
        add_magnitude(pattern, here->known && !any && here->least < 0.0, -here->least);
        fr_pattern_add(pattern, "|");
    }
    fr_pattern_add(pattern, "\\+?");
    if (field->least > 0.0)
        fr_pattern_add(pattern, NOT_ZERO);
    if (field->least > 0.0 && here->known)
        add_not_below(pattern, here->least);
    add_magnitude(pattern, here->known && !any, here->most);
    fr_pattern_add(pattern, negative ? ")" : "");
}

/* ---- quantities ---- */

typedef struct measure {
    fr_kind kind;
    double factor, offset;
} measure;

static measure measure_of(const char *unit, fr_kinds kinds) {
    measure found = {FR_KIND_COUNT, 1.0, 0.0};
    if (unit)
        fr_unit_find(unit, kinds, &found.kind, &found.factor, &found.offset);
    return found;
}

/* The field's bounds in another unit. */
static allowed allowed_in(const fr_field *field, const measure *unit) {
    measure own = measure_of(field->unit, field->kinds);
    allowed here = {.known = field->unit && own.kind == unit->kind};
    here.least = (field->least * own.factor + own.offset - unit->offset) / unit->factor;
    here.most = (field->most * own.factor + own.offset - unit->offset) / unit->factor;
    return here;
}

/* Spellings of one unit stand together behind one number. */
static void add_units(fr_pattern *pattern, const fr_field *field) {
    measure last = {FR_KIND_COUNT, 0.0, 0.0};
    fr_kind kind;
    const char *unit;
    for (size_t i = 0; (unit = fr_unit_spelling(i, &kind)) != NULL; i++) {
        if (!(field->kinds & FR_KINDS(kind)))
            continue;
        measure here = measure_of(unit, FR_KINDS(kind));
        if (here.kind == last.kind && here.factor == last.factor && here.offset == last.offset) {
            fr_pattern_add(pattern, "|");
        } else {
            fr_pattern_add(pattern, last.factor != 0.0 ? ")|" : "");
            allowed bounds = allowed_in(field, &here);
            add_number(pattern, field, &bounds);
            fr_pattern_add(pattern, "\\s*(?:");
        }
        add_unit(pattern, unit);
        last = here;
    }
    fr_pattern_add(pattern, last.factor != 0.0 ? ")" : "");
    if (field->kinds & FR_KINDS(FR_KIND_NUMBER)) {
        fr_pattern_add(pattern, last.factor != 0.0 ? "|" : "");
        allowed bounds = {true, field->least, field->most};
        add_number(pattern, field, &bounds);
    }
}

void fr_pattern_quantity(fr_pattern *pattern, const fr_field *field) {
    fr_pattern_add(pattern, "^\\s*(?:");
    add_units(pattern, field);
    fr_pattern_add(pattern, ")\\s*(?:" TOLERANCE ".*)?$");
}

void fr_pattern_rating(fr_pattern *pattern, const fr_field *flow, bool has_pressure) {
    fr_pattern_add(pattern, "^\\s*(?:");
    add_units(pattern, flow);
    fr_pattern_add(pattern, ")\\s*(?:" TOLERANCE "[^@]*)?");
    if (has_pressure)
        fr_pattern_add(pattern, "(?:\\s*(?:[aA][tT]|@)\\s*" PLAIN "\\s*[a-zA-Z]+)?");
    fr_pattern_add(pattern, "$");
    if (has_pressure && (flow->kinds & FR_KINDS(FR_KIND_MASS_FLOW)))
        fr_pattern_add(pattern,
                       "|^\\s*" PLAIN "\\s*[cC][cC]\\s*(?:[aA][tT]|@)\\s*" PLAIN "\\s*[a-zA-Z]+$");
}

void fr_pattern_blend(fr_pattern *pattern) {
    fr_pattern_add(pattern, "^[eE](?:100(?:\\.0*)?|\\d{1,2}(?:\\.\\d+)?)$");
}

void fr_pattern_axis(fr_pattern *pattern, fr_axis axis) {
    fr_field key = {.kinds = fr_axis_kinds(axis), .most = 1e9};
    if (axis == FR_AXIS_BLEND) {
        fr_pattern_blend(pattern);
        return;
    }
    fr_pattern_quantity(pattern, &key);
}
