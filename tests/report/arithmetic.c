/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/arithmetic.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static double sum(const char **at);

static void skip(const char **at) {
    *at += strspn(*at, " ");
}

static int takes(const char **at, char c) {
    skip(at);
    if (**at != c) {
        return 0;
    }
    (*at)++;
    return 1;
}

static double call(const char **at, const char *name) {
    *at += strlen(name);
    if (!takes(at, '(')) {
        return NAN;
    }
    const double first = sum(at);
    const double second = takes(at, ',') ? sum(at) : NAN;
    if (!takes(at, ')')) {
        return NAN;
    }
    switch (name[0]) {
    case 's':
        return sqrt(first);
    case 'l':
        return log(first);
    case 'e':
        return exp(first);
    default:
        return name[1] == 'i' ? fmin(first, second) : fmax(first, second);
    }
}

static double atom(const char **at) {
    static const char *const NAMES[] = {"sqrt", "ln", "exp", "min", "max"};
    skip(at);
    for (size_t i = 0; i < sizeof NAMES / sizeof *NAMES; i++) {
        if (strncmp(*at, NAMES[i], strlen(NAMES[i])) == 0) {
            return call(at, NAMES[i]);
        }
    }
    if (takes(at, '(')) {
        const double value = sum(at);
        return takes(at, ')') ? value : NAN;
    }
    char *end;
    const double value = strtod(*at, &end);
    if (end == *at) {
        return NAN;
    }
    *at = end;
    return value;
}

static double power(const char **at) {
    const double base = atom(at);
    return takes(at, '^') ? pow(base, power(at)) : base;
}

static double product(const char **at) {
    double value = power(at);
    for (;;) {
        if (takes(at, '*')) {
            value *= power(at);
        } else if (takes(at, '/')) {
            value /= power(at);
        } else {
            return value;
        }
    }
}

static double sum(const char **at) {
    double value = product(at);
    for (;;) {
        if (takes(at, '+')) {
            value += product(at);
        } else if (takes(at, '-')) {
            value -= product(at);
        } else {
            return value;
        }
    }
}

double arithmetic(const char *text) {
    const double value = sum(&text);
    skip(&text);
    return *text == '\0' ? value : NAN;
}
