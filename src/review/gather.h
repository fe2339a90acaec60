/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From stretches of rising speed to pulls that the fit can use. */
#ifndef FR_REVIEW_GATHER_H
#define FR_REVIEW_GATHER_H

#include "review/predict.h"
#include "review/pulls.h"

typedef struct fr_gather {
    const fr_build *build;
    double least_rpm, most_rpm; /* the sheet's pull */
    double blend;               /* of a log without an ethanol column; NAN: not known */
    fr_review_result *result;   /* pulls and counts */
    fr_used_pull *used;         /* room for FR_REVIEW_PULLS_MAX */
    size_t used_count;
    const char *log;            /* the one being read */
    fr_log_columns columns;
    double *room;               /* FR_PULL_ROWS_MAX doubles */
    bool out_of_memory;
} fr_gather;

/* A fr_pull_taker; `user` is a fr_gather. */
void fr_gather_take(void *user, fr_log_row *rows, size_t count);

#endif
