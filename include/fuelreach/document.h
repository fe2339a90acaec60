/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Turns results into documents for people (text) and programs (JSON, CSV). They compute nothing:
 * all figures come from the results. */
#ifndef FUELREACH_DOCUMENT_H
#define FUELREACH_DOCUMENT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "fuelreach/check.h"
#include "fuelreach/sheet.h"

#ifdef __cplusplus
extern "C" {
#endif

/* One thing that the answer turns on. Strings owned by the list. */
typedef struct fr_turn {
    const char *field;   /* "supply.regulation" */
    const char *instead; /* "mechanical-returnless", "13.1 V" */
    const char *paste;   /* the line to paste into the sheet */
    const char *question;/* for people: "no return line in the car?" */
    fr_verdict verdict;  /* of the sheet, had it been so */
    double ethanol;      /* the blend that is weakest then */
    fr_stage stage;      /* its weakest stage */
    double reach_w;      /* its reach; NAN as in fr_blend_result */
    double effect;       /* relative change of the reach of the weakest blend */
} fr_turn;

enum { FR_TURNS_MAX = 5, FR_ASSUMED_MAX = 192 };
typedef struct fr_turns {
    size_t count;
    fr_turn turns[FR_TURNS_MAX]; /* greatest first */
    size_t tried;
    /* For each assumption of the sheet, by its index: the greatest relative change of the reach of
     * the weakest blend; 0 where it changes nothing or was not tried. */
    double effects[FR_ASSUMED_MAX];
    char text[8192]; /* storage of the strings */
} fr_turns;

/* Tries every assumption (src/assumptions). `result` comes from another check than `scratch`. */
void fr_turns_find(fr_sheet *sheet, const fr_check_result *result, fr_check *scratch,
                   fr_turns *turns);

/* All of one check, as documents need it. */
typedef struct fr_check_document {
    const fr_sheet *sheet;
    const fr_build *build;
    const fr_check_result *result;
    const fr_turns *turns;
    const fr_mends *mends;
    const fr_caution *cautions;
    size_t caution_count;
    const fr_report *remarks; /* cautions of the reader */
} fr_check_document;

typedef struct fr_text_style {
    fr_units units;
    bool colour;
    bool detail;
} fr_text_style;

void fr_write_check_text(FILE *out, const fr_check_document *document, const fr_text_style *style);
void fr_write_check_json(FILE *out, const fr_check_document *document);
void fr_write_check_csv(FILE *out, const fr_check_document *document, bool header);
/* Remarks as `FILE:LINE:COLUMN: message; hint`, the line and a caret. */
void fr_write_remarks(FILE *out, const fr_report *report, bool colour);

#ifdef __cplusplus
}
#endif
#endif
