/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "fuelreach/status.h"

enum { FIRST_CAPACITY = 16 };

/* A copy of `text`, null for null. False when there is no memory for it. */
static bool text_copy(const char *text, char **copy) {
    *copy = NULL;
    if (text == NULL) {
        return true;
    }
    size_t size = strlen(text) + 1;
    *copy = malloc(size);
    if (*copy == NULL) {
        return false;
    }
    memcpy(*copy, text, size);
    return true;
}

static void remark_free(fr_remark *remark) {
    free(remark->file);
    free(remark->path);
    free(remark->message);
    free(remark->hint);
    free(remark->excerpt);
}

static bool report_reserve(fr_report *report) {
    if (report->count < report->capacity) {
        return true;
    }
    size_t capacity = report->capacity == 0 ? FIRST_CAPACITY : report->capacity * 2;
    fr_remark *grown = realloc(report->remarks, capacity * sizeof *grown);
    if (grown == NULL) {
        return false;
    }
    report->remarks = grown;
    report->capacity = capacity;
    return true;
}

/* A remark has that many parts; a struct of them would only move the list. */
// NOLINTNEXTLINE(readability-function-size)
void fr_report_add(fr_report *report, fr_severity severity, const char *file, size_t line,
                   size_t column, const char *path, const char *message, const char *hint,
                   const char *excerpt) {
    fr_remark remark = {.severity = severity, .line = line, .column = column};
    bool whole = text_copy(file, &remark.file);
    whole = text_copy(path, &remark.path) && whole;
    whole = text_copy(message == NULL ? "" : message, &remark.message) && whole;
    whole = text_copy(hint, &remark.hint) && whole;
    whole = text_copy(excerpt, &remark.excerpt) && whole;
    if (!whole || !report_reserve(report)) {
        remark_free(&remark);
        report->out_of_memory = 1;
        return;
    }
    report->remarks[report->count++] = remark;
}

size_t fr_report_errors(const fr_report *report) {
    size_t errors = 0;
    for (size_t i = 0; i < report->count; i++) {
        errors += report->remarks[i].severity == FR_ERROR;
    }
    return errors;
}

void fr_report_close(fr_report *report) {
    fr_report empty = FR_REPORT_EMPTY;
    for (size_t i = 0; i < report->count; i++) {
        remark_free(&report->remarks[i]);
    }
    free(report->remarks);
    *report = empty;
}

/* ---- order ---- */

/* A remark with what it is sorted by. `seen` makes qsort stable. */
typedef struct sort_row {
    size_t file_rank;
    size_t seen;
    fr_remark remark;
} sort_row;

static bool same_file(const char *a, const char *b) {
    return a == b || (a != NULL && b != NULL && strcmp(a, b) == 0);
}

/* Rank of a file: the first remark that names it. Remarks of one file mostly stand together, so
 * the one before is asked first, and a new file looks only among the first remarks of files. */
static void rank_files(sort_row *rows, size_t count) {
    for (size_t i = 0; i < count; i++) {
        const char *file = rows[i].remark.file;
        rows[i].seen = i;
        rows[i].file_rank = i;
        if (i > 0 && same_file(file, rows[i - 1].remark.file)) {
            rows[i].file_rank = rows[i - 1].file_rank;
            continue;
        }
        for (size_t j = 0; j < i; j++) {
            if (rows[j].file_rank == j && same_file(file, rows[j].remark.file)) {
                rows[i].file_rank = j;
                break;
            }
        }
    }
}

static int size_order(size_t a, size_t b) {
    return (a > b) - (a < b);
}

static int row_order(const void *left, const void *right) {
    const sort_row *a = left;
    const sort_row *b = right;
    int order = size_order(a->file_rank, b->file_rank);
    order = order != 0 ? order : size_order(a->remark.line, b->remark.line);
    order = order != 0 ? order : size_order(a->remark.column, b->remark.column);
    return order != 0 ? order : size_order(a->seen, b->seen);
}

void fr_report_sort(fr_report *report) {
    if (report->count < 2) {
        return;
    }
    sort_row *rows = malloc(report->count * sizeof *rows);
    if (rows == NULL) {
        return; /* unsorted is better than lost */
    }
    for (size_t i = 0; i < report->count; i++) {
        rows[i].remark = report->remarks[i];
    }
    rank_files(rows, report->count);
    qsort(rows, report->count, sizeof *rows, row_order);
    for (size_t i = 0; i < report->count; i++) {
        report->remarks[i] = rows[i].remark;
    }
    free(rows);
}
