/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers for people: in the units of the trade, metric or US, rounded to the side that does not
 * flatter. What a build needs or uses is rounded up; powers, headrooms, margins and blends down. */
#ifndef FR_REPORT_FORMAT_H
#define FR_REPORT_FORMAT_H

#include "fuelreach/sheet.h"
#include "report/words.h"

typedef enum fr_rounding { FR_NEAREST, FR_UP, FR_DOWN } fr_rounding;

/* What is measured; values are in SI as in the headers of the library. */
typedef enum fr_measure {
    FR_MEASURE_POWER,
    FR_MEASURE_FUEL_VOLUME,   /* m3/s, as fuel burnt */
    FR_MEASURE_FUEL_MASS,     /* kg/s */
    FR_MEASURE_PUMP_FLOW,     /* m3/s; lift pumps are sold in L/h everywhere */
    FR_MEASURE_PRESSURE,      /* Pa, the low-pressure side */
    FR_MEASURE_RAIL_PRESSURE, /* Pa, direct injection */
    FR_MEASURE_TEMPERATURE,   /* degC */
    FR_MEASURE_VOLTAGE,
    FR_MEASURE_CURRENT,
    FR_MEASURE_RESISTANCE,    /* ohm, shown in mohm */
    FR_MEASURE_BORE,          /* m */
    FR_MEASURE_CAM_VOLUME,    /* m3, shown in cc */
    FR_MEASURE_ENGINE_VOLUME, /* m3, shown in L */
    FR_MEASURE_PORT_FLOW,     /* m3/s, shown in cc/min */
    FR_MEASURE_DIRECT_FLOW,   /* m3/s, shown in cc/s */
    FR_MEASURE_INJECTOR_MASS, /* kg/s, g/s or lb/h */
    FR_MEASURE_TIME,          /* s, shown in ms */
    FR_MEASURE_ANGLE,         /* deg */
    FR_MEASURE_SPEED,         /* rpm */
    FR_MEASURE_CONSUMPTION,   /* kg/J, g/kWh or lb/hp/h */
    FR_MEASURE_FORCE,         /* N, shown in kN or lbf */
    FR_MEASURE_PERCENT,       /* a fraction */
    FR_MEASURE_COUNT
} fr_measure;

/* "kW", "hp"; the unit as people write it. */
const char *fr_measure_unit(fr_measure measure, fr_units units);
/* The number in that unit, not rounded. */
double fr_measure_value(fr_measure measure, fr_units units, double si);
/* Decimals that suit a number of this size (in the unit shown). */
int fr_measure_decimals(fr_measure measure, fr_units units, double shown);

/* Rounds to `decimals`. What stands within a millionth of a step is taken to be on it, so that
 * figures which differ only by arithmetic are not moved a whole step. */
double fr_round_to(double value, int decimals, fr_rounding rounding);

/* Adds "225 kW". NAN adds "none". */
void fr_show(fr_words *words, fr_measure measure, fr_units units, double si, fr_rounding rounding);
/* Adds the number alone; its unit stands close by. */
void fr_show_bare(fr_words *words, fr_measure measure, fr_units units, double si,
                  fr_rounding rounding);

/* A step for powers that rest on an assumed figure: 5 kW or 5 hp; 0: to the last whole one. */
double fr_power_rounded(double power_w, fr_units units, double step);

/* "E85", "E62.5". */
enum { FR_BLEND_NAME_MAX = 16 };
void fr_blend_name(double ethanol, char name[FR_BLEND_NAME_MAX]);
/* The same, rounded down to a whole per cent. */
void fr_blend_name_down(double ethanol, char name[FR_BLEND_NAME_MAX]);
/* Adds those blends of `ethanol` that are `chosen`, "E70 and E85", "E10 to E50" where three or
 * more follow each other in content with none left out between them. */
void fr_blend_list(fr_words *words, const double *ethanol, const _Bool *chosen, size_t count);

#endif
