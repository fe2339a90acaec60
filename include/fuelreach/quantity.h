/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Quantities as people write them: "550 cc/min", "5.0 bar ± 2 %", "3/8 in". Everything is turned
 * into SI here and nowhere else. */
#ifndef FUELREACH_QUANTITY_H
#define FUELREACH_QUANTITY_H

#include <stdbool.h>
#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

/* Kinds of quantity and the SI unit that each is kept in. */
typedef enum fr_kind {
    FR_KIND_NUMBER,              /* a bare number */
    FR_KIND_POWER,               /* W */
    FR_KIND_TORQUE,              /* N m */
    FR_KIND_PRESSURE,            /* Pa */
    FR_KIND_MASS_FLOW,           /* kg/s */
    FR_KIND_VOLUME_FLOW,         /* m3/s */
    FR_KIND_LENGTH,              /* m */
    FR_KIND_AREA,                /* m2 (wire cross-section) */
    FR_KIND_WIRE_GAUGE,          /* AWG number, bare */
    FR_KIND_VOLUME,              /* m3 */
    FR_KIND_TIME,                /* s */
    FR_KIND_SPEED,               /* rpm, kept as rpm */
    FR_KIND_ANGLE,               /* deg, kept as deg */
    FR_KIND_VOLTAGE,             /* V */
    FR_KIND_CURRENT,             /* A */
    FR_KIND_RESISTANCE,          /* ohm */
    FR_KIND_SPECIFIC_CONSUMPTION, /* kg/J (from g/kWh, lb/hp/h) */
    FR_KIND_SPECIFIC_ENERGY,     /* J/kg */
    FR_KIND_DENSITY,             /* kg/m3 */
    FR_KIND_FRACTION,            /* 0..1 (from %) */
    FR_KIND_TEMPERATURE,         /* degC, kept as degC; a tolerance is in kelvin */
    FR_KIND_COUNT
} fr_kind;

/* A number read, in SI. `tolerance` is the half-width of a 95 % interval; 0: none was written.
 * A fraction's tolerance is in points: 15 % ± 2 % is 13 to 17 %, not relative. */
typedef struct fr_quantity {
    fr_kind kind;
    double value;
    double tolerance;
    bool has_tolerance;
    bool tolerance_relative; /* tolerance is a fraction of value (written in %) */
} fr_quantity;

/* Why a text is not a quantity of the kinds wanted. */
typedef enum fr_quantity_fault {
    FR_QUANTITY_FINE,
    FR_QUANTITY_NOT_A_NUMBER,  /* no number in front */
    FR_QUANTITY_NO_UNIT,       /* a bare number where a unit is due */
    FR_QUANTITY_UNKNOWN_UNIT,
    FR_QUANTITY_WRONG_KIND,    /* a unit of another kind; `kind` says which was found */
    FR_QUANTITY_DECIMAL_COMMA, /* "1,6 bar" */
    FR_QUANTITY_NOT_FINITE,    /* nan, inf, or too large for a double */
    FR_QUANTITY_BAD_TOLERANCE,
    FR_QUANTITY_TRAILING,      /* something after the quantity */
    FR_QUANTITY_THOUSANDS_COMMA, /* "2,000 rpm" */
    FR_QUANTITY_CURLY_QUOTE,     /* a typographic quote where a plain one, or none, is due */
    FR_QUANTITY_DASH             /* an en or em dash where a minus is due */
} fr_quantity_fault;

/* A set of kinds: 1u << kind. */
typedef unsigned fr_kinds;
#define FR_KINDS(kind) (1u << (kind))

/* Reads `text` (UTF-8, any surrounding blanks) as one quantity of one of the kinds wanted.
 * Look-alike characters are taken as their twins. On a fault `*out` holds what was understood. */
fr_quantity_fault fr_quantity_parse(const char *text, fr_kinds wanted, fr_quantity *out);
/* Where the unit begins in a text as fr_quantity_parse reads it: "whp" in "380 whp". Null when no
 * number stands in front, "" when nothing follows it. For messages and carets. */
const char *fr_quantity_unit_at(const char *text);

/* Reads "E85", "e62.5" into an ethanol volume fraction 0..1; false when it is none. */
bool fr_blend_parse(const char *text, double *fraction);
enum { FR_BLEND_NAME_SIZE = 16 };
/* Writes the name of an ethanol fraction, "E85", "E62.5"; at most three decimals. */
void fr_blend_spell(double fraction, char name[FR_BLEND_NAME_SIZE]);
/* One unit by its spelling: its kind and value_SI = factor * number + offset. False when there is
 * none of the kinds wanted; `*kind` then is the kind it has, or FR_KIND_COUNT. */
bool fr_unit_find(const char *spelling, fr_kinds wanted, fr_kind *kind, double *factor,
                  double *offset);
/* The unit table row by row, as units are best written: spelling and kind; null at the end. */
const char *fr_unit_spelling(size_t index, fr_kind *kind);
/* A spelled example of a kind, "5.0 bar", for messages. */
const char *fr_kind_example(fr_kind kind);
/* Name of a kind for messages, "a pressure". */
const char *fr_kind_name(fr_kind kind);
/* SI value in a unit given by its spelling ("bar", "kW", "cc/min"); the unit must exist. */
double fr_in_unit(double si, const char *spelling);

#ifdef __cplusplus
}
#endif
#endif
