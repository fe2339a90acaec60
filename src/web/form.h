/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The form: a build sheet asked for in plain words. Every answer is a value at a path of the sheet;
 * units, ranges, defaults and help of that value come from the table of fields. */
#ifndef FR_WEB_FORM_H
#define FR_WEB_FORM_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

/* How a value is asked for. */
typedef enum fr_control {
    FR_CONTROL_QUANTITY, /* a number and its unit */
    FR_CONTROL_WHOLE,
    FR_CONTROL_WORD,     /* one of a few */
    FR_CONTROL_BLENDS,   /* any of a few, and others */
    FR_CONTROL_SECTIONS, /* which sections of the sheet there are */
    FR_CONTROL_PART      /* as built, by its size, or one of the parts */
} fr_control;

enum { FR_CHOICES_MAX = 5, FR_SECTIONS_MAX = 2, FR_ASKS_MAX = 3 };

/* One answer to choose. `value` is what stands in the sheet; "" takes the field out. Of sections:
 * "10" is the first without the second. */
typedef struct fr_choice {
    const char *value;
    const char *label;
} fr_choice;

/* One value asked for. */
typedef struct fr_ask {
    const char *path;
    fr_control control;
    const char *label;  /* null: the question says it all */
    const char *units;  /* units to choose from beside the sheet's own, one blank between */
    const char *begins; /* what a new sheet says; null: nothing */
    const char *blank;  /* what stands in the empty field; null: the field's own default */
    const char *when;   /* a path that must be in the sheet; "factory": where a part is as built */
    fr_choice choices[FR_CHOICES_MAX];
    const char *sections[FR_SECTIONS_MAX][2]; /* path, and what it holds when it is new */
    size_t most;        /* of a part's count; 0: is not asked */
    const char *rated_at; /* the usual pressure that a part's size is told at; null: none */
    bool of_factory;    /* a part may be told by how much it is larger than as built */
} fr_ask;

typedef struct fr_question {
    const char *text;
    const char *help;
    fr_ask asks[FR_ASKS_MAX]; /* ends with a null path, or is full */
} fr_question;

extern const fr_question fr_form[];
extern const size_t fr_form_count;

/* A new sheet: what the form begins with. FR_OK's text is the caller's to free; null when out of
 * memory. */
char *fr_form_begin(void);

#endif
