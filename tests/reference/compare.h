/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Holds the results of the program against those of the reference, figure by figure. */
#ifndef FUELREACH_TESTS_REFERENCE_COMPARE_H
#define FUELREACH_TESTS_REFERENCE_COMPARE_H

#include "fuelreach/check.h"
#include "reference/reference.h"

/* What came out so far. Differences are relative, over a floor that each figure has. */
typedef struct ref_comparison {
    const char *build; /* being compared */
    int failures;
    int figures; /* compared */
    double worst_point;
    double worst_capacity;
    char worst_point_is[128];
    char worst_capacity_is[128];
} ref_comparison;

/* Compares every point figure, stage and result of a blend; says what differs, and counts. */
void ref_compare_blend(ref_comparison *comparison, const fr_blend_result *ours,
                       const ref_blend_result *reference);
void ref_compare_highest(ref_comparison *comparison, const fr_highest_blend *ours,
                         const fr_highest_blend *reference);

#endif
