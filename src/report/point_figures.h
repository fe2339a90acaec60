/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The figures of one (blend, speed) that programs are given, in the names and units of
 * docs/results.md. JSON and CSV are both made from this one table. */
#ifndef FR_REPORT_POINT_FIGURES_H
#define FR_REPORT_POINT_FIGURES_H

#include <stddef.h>

#include "fuelreach/check.h"

typedef struct fr_point_figure {
    const char *name; /* "fuel_kg_h"; null ends the table */
    size_t offset;    /* of a double in fr_point */
    double times;     /* SI into the unit of the name; exact where it is whole */
    double over;
} fr_point_figure;

extern const fr_point_figure fr_point_figures[];

/* The figure that stands `offset` bytes into a point, in SI. */
double fr_point_at(const fr_point *point, size_t offset);
/* NAN where the figure has no value. */
double fr_point_figure_value(const fr_point_figure *figure, const fr_point *point);

/* Factors that documents share. */
#define FR_W_A_KW 1e3
#define FR_PA_A_BAR 1e5
#define FR_S_AN_H 3600.0
#define FR_L_H_A_M3_S 3.6e6
#define FR_G_KWH_A_KG_J 3.6e9

/* Ethanol in per cent by volume, without the dust that binary fractions leave. */
double fr_ethanol_percent(double fraction);

#endif
