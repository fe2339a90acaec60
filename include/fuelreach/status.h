/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How a function says that it could not do its work, and the list of what was wrong. */
#ifndef FUELREACH_STATUS_H
#define FUELREACH_STATUS_H

#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

/* One table of errors: name, text for people, exit code of the program. */
#define FR_STATUS_TABLE(X)                                                                         \
    X(FR_OK, "done", 0)                                                                            \
    X(FR_BAD_INPUT, "the input could not be used", 2)                                              \
    X(FR_SYSTEM, "the system refused a file or a device", 3)                                       \
    X(FR_NO_MEMORY, "out of memory", 3)                                                            \
    X(FR_FAULT, "a fault of the program", 3)

typedef enum fr_status {
#define FR_STATUS_NAME(name, text, code) name,
    FR_STATUS_TABLE(FR_STATUS_NAME)
#undef FR_STATUS_NAME
} fr_status;

/* Text for people; never null. */
const char *fr_status_text(fr_status status);
/* Exit code that a command ends with. */
int fr_status_exit_code(fr_status status);

typedef enum fr_severity { FR_ERROR, FR_CAUTION, FR_NOTE } fr_severity;

/* One thing that was said. Strings are owned by the report. line and column count from 1;
 * line 0: no place in a file. `excerpt` is the line of the file, or null. */
typedef struct fr_remark {
    fr_severity severity;
    char *file;
    size_t line;
    size_t column;
    char *path;    /* place in the sheet, "engine.boost", or null */
    char *message; /* what is wrong */
    char *hint;    /* what would be right, or null */
    char *excerpt;
} fr_remark;

/* A growing list of remarks. Start from FR_REPORT_EMPTY; close it when done. */
typedef struct fr_report {
    fr_remark *remarks;
    size_t count;
    size_t capacity;
    int out_of_memory; /* a remark was lost for want of memory */
} fr_report;

#define FR_REPORT_EMPTY {NULL, 0, 0, 0}

/* Adds one remark; every text is copied; `file`, `path`, `hint`, `excerpt` may be null. */
void fr_report_add(fr_report *report, fr_severity severity, const char *file, size_t line,
                   size_t column, const char *path, const char *message, const char *hint,
                   const char *excerpt);
/* How many remarks are errors. */
size_t fr_report_errors(const fr_report *report);
/* Puts remarks in order of file (as first seen), line, column. Stable. */
void fr_report_sort(fr_report *report);
void fr_report_close(fr_report *report);

#ifdef __cplusplus
}
#endif
#endif
