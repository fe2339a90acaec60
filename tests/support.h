/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What every test program shares: cmocka with its headers, comparison of doubles by relative
 * tolerance, reports in readable form, and random numbers that repeat. */
#ifndef FR_TESTS_SUPPORT_H
#define FR_TESTS_SUPPORT_H

/* cmocka wants these four before it. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fuelreach/status.h"

/* Fails unless |actual - expected| <= relative * |expected|; NaN is close to nothing. With an
 * expected 0 the tolerance is absolute. */
#define assert_close(actual, expected, relative)                                                   \
    support_close((actual), (expected), (relative), #actual, __FILE__, __LINE__)
/* The same with an absolute tolerance. */
#define assert_within(actual, expected, absolute)                                                  \
    support_within((actual), (expected), (absolute), #actual, __FILE__, __LINE__)
#define assert_nan(actual) support_nan((actual), #actual, __FILE__, __LINE__)
/* Fails unless `part` stands somewhere in `text`; shows both. */
#define assert_contains(text, part) support_contains((text), (part), __FILE__, __LINE__)
/* Fails, printing the report, unless it holds no error. */
#define assert_no_errors(report) support_no_errors((report), __FILE__, __LINE__)
/* Fails, printing the report, unless one remark stands at line and column and its message, or its
 * message and hint joined by "; ", holds `part`. */
#define assert_remark(report, line, column, part)                                                  \
    support_remark((report), (line), (column), (part), __FILE__, __LINE__)

static inline void support_within(double actual, double expected, double absolute, const char *what,
                                  const char *file, int line) {
    if (!(fabs(actual - expected) <= absolute)) {
        print_error("%s is %.17g, expected %.17g within %.3g (off by %.3g)\n", what, actual,
                    expected, absolute, actual - expected);
        _fail(file, line);
    }
}

static inline void support_close(double actual, double expected, double relative, const char *what,
                                 const char *file, int line) {
    double scale = fabs(expected) > 0.0 ? fabs(expected) : 1.0;
    support_within(actual, expected, relative * scale, what, file, line);
}

static inline void support_nan(double actual, const char *what, const char *file, int line) {
    if (!isnan(actual)) {
        print_error("%s is %.17g, expected no number\n", what, actual);
        _fail(file, line);
    }
}

static inline void support_contains(const char *text, const char *part, const char *file,
                                    int line) {
    if (text == NULL || strstr(text, part) == NULL) {
        print_error("\"%s\" does not hold \"%s\"\n", text == NULL ? "(null)" : text, part);
        _fail(file, line);
    }
}

/* "FILE:LINE:COLUMN: message; hint", as a person would be told. */
static inline void support_spell_remark(const fr_remark *remark, char *out, size_t size) {
    snprintf(out, size, "%s:%zu:%zu: %s%s%s", remark->file == NULL ? "-" : remark->file,
             remark->line, remark->column, remark->message, remark->hint == NULL ? "" : "; ",
             remark->hint == NULL ? "" : remark->hint);
}

static inline void support_print_report(const fr_report *report) {
    static const char *const severities[] = {"error", "caution", "note"};
    for (size_t i = 0; i < report->count; i++) {
        char line[2048];
        support_spell_remark(&report->remarks[i], line, sizeof line);
        print_error("  %s %s\n", severities[report->remarks[i].severity], line);
    }
}

static inline void support_no_errors(const fr_report *report, const char *file, int line) {
    if (fr_report_errors(report) != 0) {
        print_error("errors where there should be none:\n");
        support_print_report(report);
        _fail(file, line);
    }
}

static inline void support_remark(const fr_report *report, size_t at_line, size_t at_column,
                                  const char *part, const char *file, int line) {
    for (size_t i = 0; i < report->count; i++) {
        const fr_remark *remark = &report->remarks[i];
        char spelled[2048];
        support_spell_remark(remark, spelled, sizeof spelled);
        if (remark->line == at_line && remark->column == at_column &&
            strstr(spelled, part) != NULL) {
            return;
        }
    }
    print_error("no remark at %zu:%zu holds \"%s\"; there is:\n", at_line, at_column, part);
    support_print_report(report);
    _fail(file, line);
}

/* Random numbers that are the same on every machine (splitmix64, public domain algorithm). */
typedef struct support_random {
    uint64_t state;
} support_random;

static inline uint64_t support_random_bits(support_random *random) {
    uint64_t z = (random->state += UINT64_C(0x9E3779B97F4A7C15));
    z = (z ^ (z >> 30)) * UINT64_C(0xBF58476D1CE4E5B9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94D049BB133111EB);
    return z ^ (z >> 31);
}

/* Even in [low, high). */
static inline double support_random_between(support_random *random, double low, double high) {
    double unit = (double)(support_random_bits(random) >> 11) * 0x1.0p-53;
    return low + (high - low) * unit;
}

/* How many random cases to try: all, or a few where RUN_UNDER says that the program runs under a
 * tool that looks for faults of memory and makes everything slow (valgrind, sanitizers). */
static inline size_t support_cases(size_t all, size_t few) {
    const char *under = getenv("RUN_UNDER");
    return under != NULL && under[0] != '\0' ? few : all;
}

/* Skips a test that stands in for the allocator, loudly, where valgrind does so already. */
static inline void support_skip_under_valgrind(void) {
    const char *under = getenv("RUN_UNDER");
    if (under != NULL && strstr(under, "valgrind") != NULL) {
        print_message("SKIPPED: valgrind has the allocator\n");
        skip();
    }
}

/* A whole file in fresh memory with a zero behind it, or null. The caller frees it. */
static inline char *support_read_file(const char *path, size_t *length) {
    FILE *file = fopen(path, "rb");
    char *text = NULL;
    size_t size = 0;
    size_t capacity = 0;
    if (file == NULL) {
        return NULL;
    }
    do {
        char *grown;
        capacity = capacity == 0 ? 4096 : capacity * 2;
        grown = realloc(text, capacity + 1);
        if (grown == NULL) {
            break;
        }
        text = grown;
        size += fread(text + size, 1, capacity - size, file);
    } while (size == capacity);
    fclose(file);
    if (text != NULL) {
        text[size] = '\0';
        if (length != NULL) {
            *length = size;
        }
    }
    return text;
}

#endif
