/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How a row went over the last speeds, and where it goes from there: what is solved at one speed after
 * the other begins so near that a step or two do. */
#ifndef FR_CHANCE_COURSE_H
#define FR_CHANCE_COURSE_H

#include "chance/lanes.h"

enum { FR_COURSE_SPEEDS = 3 };

typedef struct fr_course {
    int known; /* speeds */
    double rpm[FR_COURSE_SPEEDS];
    fr_row row[FR_COURSE_SPEEDS]; /* the last speed comes first */
} fr_course;

/* Lagrange's polynomial through what is known, one speed at least. */
FR_SHARED void fr_course_next(const fr_course *course, double rpm, double *next) {
    double weight[FR_COURSE_SPEEDS];
    for (int i = 0; i < FR_COURSE_SPEEDS; i++) {
        weight[i] = i < course->known ? 1.0 : 0.0;
        for (int k = 0; k < course->known; k++) {
            weight[i] *= k == i ? 1.0 : (rpm - course->rpm[k]) / (course->rpm[i] - course->rpm[k]);
        }
    }
    FR_EACH_LANE(l) {
        next[l] = weight[0] * course->row[0][l] + weight[1] * course->row[1][l] +
                  weight[2] * course->row[2][l];
    }
}

/* The first fills all places, so that what is not known is a number. */
FR_SHARED void fr_course_add(fr_course *course, double rpm, const double *row) {
    for (int i = FR_COURSE_SPEEDS - 1; i > 0; i--) {
        memcpy(course->row[i], course->known > 0 ? course->row[i - 1] : row, sizeof(fr_row));
        course->rpm[i] = course->rpm[i - 1];
    }
    memcpy(course->row[0], row, sizeof(fr_row));
    course->rpm[0] = rpm;
    course->known += course->known < FR_COURSE_SPEEDS ? 1 : 0;
}

#endif
