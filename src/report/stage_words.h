/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What people call the stages, and how a sentence about one goes. */
#ifndef FR_REPORT_STAGE_WORDS_H
#define FR_REPORT_STAGE_WORDS_H

#include "fuelreach/check.h"
#include "fuelreach/sheet.h"
#include "report/words.h"

typedef struct fr_stage_words {
    const char *label;      /* in a row of the grid: "Lift pump" */
    const char *subject;    /* in a sentence: "the lift pump" */
    const char *actor;      /* who fails when it is short: "the fuel at the pump's inlet" */
    const char *fails;      /* what is wrong then: "gives too little" */
    const char *fail;       /* the same of several: "give too little" */
    const char *short_name; /* where room is scarce: "lift pump" */
    bool plural;            /* "are" and "their" go with it */
} fr_stage_words;

/* The words of a stage in a build: several lift pumps are several. */
const fr_stage_words *fr_stage_words_of(fr_stage stage, const fr_build *build);
/* How many lift pumps the build has. */
unsigned fr_lift_pump_count(const fr_build *build);
/* Label for a row: "Lift pumps (2)". */
void fr_stage_label(fr_words *words, fr_stage stage, const fr_build *build);
/* How the engine is built, in one line: "2.0 L, 4 cylinders, turbo, direct injection". */
void fr_engine_line(fr_words *words, const fr_build *build, fr_units units);

#endif
