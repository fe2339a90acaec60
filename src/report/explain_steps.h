/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Writing steps down. Private to src/report. */
#ifndef FR_REPORT_EXPLAIN_STEPS_H
#define FR_REPORT_EXPLAIN_STEPS_H

#include "report/explain.h"

/* What the working of one point is written from. */
typedef struct fr_derivation {
    const fr_check_document *document;
    const fr_build *build;
    const fr_blend_result *blend;
    const fr_point *point;
    fr_working *working;
    const char *heading; /* of the next step */
} fr_derivation;

/* Begins a group. */
void fr_derive_heading(fr_derivation *at, const char *heading);
/* Adds a step that is worked out; the numbers are a printf format. */
fr_step *fr_derive(fr_derivation *at, const char *symbols, double result, const char *unit,
                   const char *how, const char *numbers, ...)
    __attribute__((format(printf, 6, 7)));
/* Adds a step that is looked up or solved for. */
fr_step *fr_derive_given(fr_derivation *at, const char *symbols, double result, const char *unit,
                         const char *how);
/* Marks a step with those of the fields (comma-separated) that were assumed. */
void fr_derive_assumed(fr_derivation *at, fr_step *step, const char *fields);

void fr_derive_demand(fr_derivation *at);
void fr_derive_feed(fr_derivation *at);
void fr_derive_low_pressure_stages(fr_derivation *at, fr_stage stage);
void fr_derive_port(fr_derivation *at);
void fr_derive_direct(fr_derivation *at, fr_stage stage);

#endif
