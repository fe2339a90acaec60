/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "quantity/units.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

/* What the customary units are made of. Exact by definition, except where said. */
#define INCH 0.0254                             /* m, international yard and pound agreement 1959 */
#define FOOT (12.0 * INCH)                      /* m */
#define POUND 0.45359237                        /* kg, the same agreement */
#define GRAVITY 9.80665                         /* m/s2, standard gravity, CGPM 1901 */
#define POUND_FORCE (POUND * GRAVITY)           /* N */
#define MERCURY 13595.1                         /* kg/m3 at 0 degC, conventional (ISO 31-3) */
#define GALLON_US (231.0 * INCH * INCH * INCH)  /* m3, US liquid gallon */
#define HORSEPOWER (550.0 * FOOT * POUND_FORCE) /* W, mechanical: 550 ft lbf/s */
#define HORSEPOWER_METRIC (75.0 * GRAVITY)      /* W, 75 kgf m/s */
#define CC 1e-6                                 /* m3 */
#define LITRE 1e-3                              /* m3 */
#define MINUTE 60.0                             /* s */
#define HOUR 3600.0                             /* s */
#define KWH 3.6e6                               /* J */
#define ICE_POINT 273.15                        /* K */
#define RANKINE (5.0 / 9.0)                     /* K */
#define FAHRENHEIT_OFFSET (-32.0 * RANKINE)     /* degC at 0 degF */

/* A row is found by its spelling in any letter case, with blanks, hyphens, points, '*' and
 * brackets inside it left out. The first row of a factor is the spelling shown to people. */
static const fr_unit unit_table[] = {
    {"W", FR_KIND_POWER, 1.0, 0.0},
    {"kW", FR_KIND_POWER, 1e3, 0.0},
    {"hp", FR_KIND_POWER, HORSEPOWER, 0.0},
    {"bhp", FR_KIND_POWER, HORSEPOWER, 0.0},
    {"horsepower", FR_KIND_POWER, HORSEPOWER, 0.0},
    {"PS", FR_KIND_POWER, HORSEPOWER_METRIC, 0.0},

    {"Nm", FR_KIND_TORQUE, 1.0, 0.0},
    {"lb-ft", FR_KIND_TORQUE, POUND_FORCE *FOOT, 0.0},
    {"lbs-ft", FR_KIND_TORQUE, POUND_FORCE *FOOT, 0.0},
    {"lbf-ft", FR_KIND_TORQUE, POUND_FORCE *FOOT, 0.0},
    {"ft-lb", FR_KIND_TORQUE, POUND_FORCE *FOOT, 0.0},
    {"ft-lbs", FR_KIND_TORQUE, POUND_FORCE *FOOT, 0.0},
    {"ft-lbf", FR_KIND_TORQUE, POUND_FORCE *FOOT, 0.0},

    {"Pa", FR_KIND_PRESSURE, 1.0, 0.0},
    {"hPa", FR_KIND_PRESSURE, 1e2, 0.0},
    {"kPa", FR_KIND_PRESSURE, 1e3, 0.0},
    {"MPa", FR_KIND_PRESSURE, 1e6, 0.0},
    {"bar", FR_KIND_PRESSURE, 1e5, 0.0},
    {"mbar", FR_KIND_PRESSURE, 1e2, 0.0},
    {"psi", FR_KIND_PRESSURE, POUND_FORCE / (INCH * INCH), 0.0},
    {"inHg", FR_KIND_PRESSURE, MERCURY *GRAVITY *INCH, 0.0},

    {"kg/s", FR_KIND_MASS_FLOW, 1.0, 0.0},
    {"kg/h", FR_KIND_MASS_FLOW, 1.0 / HOUR, 0.0},
    {"kg/hr", FR_KIND_MASS_FLOW, 1.0 / HOUR, 0.0},
    {"g/s", FR_KIND_MASS_FLOW, 1e-3, 0.0},
    {"g/sec", FR_KIND_MASS_FLOW, 1e-3, 0.0},
    {"g/min", FR_KIND_MASS_FLOW, 1e-3 / MINUTE, 0.0},
    {"lb/h", FR_KIND_MASS_FLOW, POUND / HOUR, 0.0},
    {"lb/hr", FR_KIND_MASS_FLOW, POUND / HOUR, 0.0},
    {"lbs/h", FR_KIND_MASS_FLOW, POUND / HOUR, 0.0},
    {"lbs/hr", FR_KIND_MASS_FLOW, POUND / HOUR, 0.0},
    {"#/hr", FR_KIND_MASS_FLOW, POUND / HOUR, 0.0},
    {"pph", FR_KIND_MASS_FLOW, POUND / HOUR, 0.0},
    {"lb/min", FR_KIND_MASS_FLOW, POUND / MINUTE, 0.0},

    {"m3/s", FR_KIND_VOLUME_FLOW, 1.0, 0.0},
    {"m3/h", FR_KIND_VOLUME_FLOW, 1.0 / HOUR, 0.0},
    {"L/h", FR_KIND_VOLUME_FLOW, LITRE / HOUR, 0.0},
    {"L/hr", FR_KIND_VOLUME_FLOW, LITRE / HOUR, 0.0},
    {"lph", FR_KIND_VOLUME_FLOW, LITRE / HOUR, 0.0},
    {"L/min", FR_KIND_VOLUME_FLOW, LITRE / MINUTE, 0.0},
    {"lpm", FR_KIND_VOLUME_FLOW, LITRE / MINUTE, 0.0},
    {"L/s", FR_KIND_VOLUME_FLOW, LITRE, 0.0},
    {"cc/min", FR_KIND_VOLUME_FLOW, CC / MINUTE, 0.0},
    {"cm3/min", FR_KIND_VOLUME_FLOW, CC / MINUTE, 0.0},
    {"mL/min", FR_KIND_VOLUME_FLOW, CC / MINUTE, 0.0},
    {"cc/s", FR_KIND_VOLUME_FLOW, CC, 0.0},
    {"cc/sec", FR_KIND_VOLUME_FLOW, CC, 0.0},
    {"cm3/s", FR_KIND_VOLUME_FLOW, CC, 0.0},
    {"mL/s", FR_KIND_VOLUME_FLOW, CC, 0.0},
    {"gal/h", FR_KIND_VOLUME_FLOW, GALLON_US / HOUR, 0.0},
    {"gal/hr", FR_KIND_VOLUME_FLOW, GALLON_US / HOUR, 0.0},
    {"gph", FR_KIND_VOLUME_FLOW, GALLON_US / HOUR, 0.0},
    {"gal/min", FR_KIND_VOLUME_FLOW, GALLON_US / MINUTE, 0.0},
    {"gpm", FR_KIND_VOLUME_FLOW, GALLON_US / MINUTE, 0.0},

    {"m", FR_KIND_LENGTH, 1.0, 0.0},
    {"cm", FR_KIND_LENGTH, 1e-2, 0.0},
    {"mm", FR_KIND_LENGTH, 1e-3, 0.0},
    {"um", FR_KIND_LENGTH, 1e-6, 0.0},
    {"in", FR_KIND_LENGTH, INCH, 0.0},
    {"inch", FR_KIND_LENGTH, INCH, 0.0},
    {"inches", FR_KIND_LENGTH, INCH, 0.0},
    {"\"", FR_KIND_LENGTH, INCH, 0.0},
    {"ft", FR_KIND_LENGTH, FOOT, 0.0},
    {"feet", FR_KIND_LENGTH, FOOT, 0.0},
    {"foot", FR_KIND_LENGTH, FOOT, 0.0},
    {"'", FR_KIND_LENGTH, FOOT, 0.0},

    {"mm2", FR_KIND_AREA, 1e-6, 0.0},
    {"mm^2", FR_KIND_AREA, 1e-6, 0.0},
    {"sq mm", FR_KIND_AREA, 1e-6, 0.0},
    {"m2", FR_KIND_AREA, 1.0, 0.0},
    {"AWG", FR_KIND_WIRE_GAUGE, 1.0, 0.0},
    {"ga", FR_KIND_WIRE_GAUGE, 1.0, 0.0},
    {"gauge", FR_KIND_WIRE_GAUGE, 1.0, 0.0},

    {"L", FR_KIND_VOLUME, LITRE, 0.0},
    {"litre", FR_KIND_VOLUME, LITRE, 0.0},
    {"litres", FR_KIND_VOLUME, LITRE, 0.0},
    {"liter", FR_KIND_VOLUME, LITRE, 0.0},
    {"liters", FR_KIND_VOLUME, LITRE, 0.0},
    {"cc", FR_KIND_VOLUME, CC, 0.0},
    {"cm3", FR_KIND_VOLUME, CC, 0.0},
    {"mL", FR_KIND_VOLUME, CC, 0.0},
    {"m3", FR_KIND_VOLUME, 1.0, 0.0},
    {"ci", FR_KIND_VOLUME, INCH *INCH *INCH, 0.0},
    {"cui", FR_KIND_VOLUME, INCH *INCH *INCH, 0.0},
    {"cid", FR_KIND_VOLUME, INCH *INCH *INCH, 0.0},
    {"cu in", FR_KIND_VOLUME, INCH *INCH *INCH, 0.0},
    {"in3", FR_KIND_VOLUME, INCH *INCH *INCH, 0.0},
    {"gal", FR_KIND_VOLUME, GALLON_US, 0.0},
    {"gallon", FR_KIND_VOLUME, GALLON_US, 0.0},
    {"gallons", FR_KIND_VOLUME, GALLON_US, 0.0},

    {"s", FR_KIND_TIME, 1.0, 0.0},
    {"sec", FR_KIND_TIME, 1.0, 0.0},
    {"ms", FR_KIND_TIME, 1e-3, 0.0},
    {"us", FR_KIND_TIME, 1e-6, 0.0},

    {"rpm", FR_KIND_SPEED, 1.0, 0.0},
    {"1/min", FR_KIND_SPEED, 1.0, 0.0},
    {"deg", FR_KIND_ANGLE, 1.0, 0.0},
    {"degrees", FR_KIND_ANGLE, 1.0, 0.0},

    {"V", FR_KIND_VOLTAGE, 1.0, 0.0},
    {"mV", FR_KIND_VOLTAGE, 1e-3, 0.0},
    {"volt", FR_KIND_VOLTAGE, 1.0, 0.0},
    {"volts", FR_KIND_VOLTAGE, 1.0, 0.0},
    {"A", FR_KIND_CURRENT, 1.0, 0.0},
    {"mA", FR_KIND_CURRENT, 1e-3, 0.0},
    {"amp", FR_KIND_CURRENT, 1.0, 0.0},
    {"amps", FR_KIND_CURRENT, 1.0, 0.0},
    {"ohm", FR_KIND_RESISTANCE, 1.0, 0.0},
    {"ohms", FR_KIND_RESISTANCE, 1.0, 0.0},
    {"mohm", FR_KIND_RESISTANCE, 1e-3, 0.0},
    {"mohms", FR_KIND_RESISTANCE, 1e-3, 0.0},
    {"Mohm", FR_KIND_RESISTANCE, 1e6, 0.0},
    {"Mohms", FR_KIND_RESISTANCE, 1e6, 0.0},

    {"g/kWh", FR_KIND_SPECIFIC_CONSUMPTION, 1e-3 / KWH, 0.0},
    {"kg/kWh", FR_KIND_SPECIFIC_CONSUMPTION, 1.0 / KWH, 0.0},
    {"kg/J", FR_KIND_SPECIFIC_CONSUMPTION, 1.0, 0.0},
    {"lb/hp/h", FR_KIND_SPECIFIC_CONSUMPTION, POUND / (HORSEPOWER * HOUR), 0.0},
    {"lb/hp/hr", FR_KIND_SPECIFIC_CONSUMPTION, POUND / (HORSEPOWER * HOUR), 0.0},
    {"lb/hp-h", FR_KIND_SPECIFIC_CONSUMPTION, POUND / (HORSEPOWER * HOUR), 0.0},
    {"lb/hp-hr", FR_KIND_SPECIFIC_CONSUMPTION, POUND / (HORSEPOWER * HOUR), 0.0},
    {"lb/bhp/h", FR_KIND_SPECIFIC_CONSUMPTION, POUND / (HORSEPOWER * HOUR), 0.0},
    {"lb/bhp/hr", FR_KIND_SPECIFIC_CONSUMPTION, POUND / (HORSEPOWER * HOUR), 0.0},
    {"lb/bhp-h", FR_KIND_SPECIFIC_CONSUMPTION, POUND / (HORSEPOWER * HOUR), 0.0},
    {"lb/bhp-hr", FR_KIND_SPECIFIC_CONSUMPTION, POUND / (HORSEPOWER * HOUR), 0.0},
    {"lbs/hp/hr", FR_KIND_SPECIFIC_CONSUMPTION, POUND / (HORSEPOWER * HOUR), 0.0},
    {"lbs/hp-hr", FR_KIND_SPECIFIC_CONSUMPTION, POUND / (HORSEPOWER * HOUR), 0.0},

    {"MJ/kg", FR_KIND_SPECIFIC_ENERGY, 1e6, 0.0},
    {"kJ/kg", FR_KIND_SPECIFIC_ENERGY, 1e3, 0.0},
    {"J/kg", FR_KIND_SPECIFIC_ENERGY, 1.0, 0.0},
    {"kg/m3", FR_KIND_DENSITY, 1.0, 0.0},
    {"kg/m^3", FR_KIND_DENSITY, 1.0, 0.0},
    {"g/cc", FR_KIND_DENSITY, 1e-3 / CC, 0.0},
    {"g/cm3", FR_KIND_DENSITY, 1e-3 / CC, 0.0},
    {"kg/L", FR_KIND_DENSITY, 1.0 / LITRE, 0.0},
    {"lb/gal", FR_KIND_DENSITY, POUND / GALLON_US, 0.0},

    {"%", FR_KIND_FRACTION, 1e-2, 0.0},
    {"percent", FR_KIND_FRACTION, 1e-2, 0.0},

    {"degC", FR_KIND_TEMPERATURE, 1.0, 0.0},
    {"C", FR_KIND_TEMPERATURE, 1.0, 0.0},
    {"K", FR_KIND_TEMPERATURE, 1.0, -ICE_POINT},
    {"degF", FR_KIND_TEMPERATURE, RANKINE, FAHRENHEIT_OFFSET},
    {"F", FR_KIND_TEMPERATURE, RANKINE, FAHRENHEIT_OFFSET},
};

enum { UNIT_COUNT = sizeof unit_table / sizeof unit_table[0] };

static char lower(char c) {
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

/* What may stand between the letters of a unit and mean nothing: "lb-ft", "g/(kW*h)", "cu. in." */
static bool is_filler(char c) {
    return c == ' ' || c == '\t' || c == '-' || c == '.' || c == '*' || c == '(' || c == ')';
}

/* Equal but for letter case and filler. Filler in front is not overlooked: "-8 -AN". */
static bool same_spelling(const char *a, size_t length, const char *row) {
    size_t i = 0;
    if (length == 0 || is_filler(a[0])) {
        return false;
    }
    for (;;) {
        while (i < length && is_filler(a[i])) {
            i++;
        }
        while (is_filler(*row)) {
            row++;
        }
        if (i == length || *row == '\0') {
            return i == length && *row == '\0';
        }
        if (lower(a[i]) != lower(*row)) {
            return false;
        }
        i++;
        row++;
    }
}

/* Two rows that differ by letter case alone (mohm, Mohm) are told apart by their first letter;
 * for all others case does not matter. */
const fr_unit *fr_unit_lookup(const char *spelling, size_t length) {
    const fr_unit *found = NULL;
    for (size_t i = 0; i < UNIT_COUNT; i++) {
        const fr_unit *unit = &unit_table[i];
        /* No row begins with filler, so most are passed over by their first letter. */
        if (lower(spelling[0]) != lower(unit->spelling[0]) ||
            !same_spelling(spelling, length, unit->spelling)) {
            continue;
        }
        if (spelling[0] == unit->spelling[0]) {
            return unit;
        }
        found = found == NULL ? unit : found;
    }
    return found;
}

static const fr_unit *find_plain(const char *spelling) {
    fr_plain plain;
    fr_plain_make(spelling, &plain);
    return plain.cut ? NULL : fr_unit_lookup(plain.text, plain.length);
}

bool fr_unit_find(const char *spelling, fr_kinds wanted, fr_kind *kind, double *factor,
                  double *offset) {
    const fr_unit *unit = find_plain(spelling);
    *kind = unit == NULL ? FR_KIND_COUNT : unit->kind;
    if (unit == NULL || (wanted & FR_KINDS(unit->kind)) == 0) {
        return false;
    }
    *factor = unit->factor;
    *offset = unit->offset;
    return true;
}

const char *fr_unit_spelling(size_t index, fr_kind *kind) {
    if (index >= UNIT_COUNT) {
        return NULL;
    }
    *kind = unit_table[index].kind;
    return unit_table[index].spelling;
}

double fr_in_unit(double si_value, const char *spelling) {
    const fr_unit *unit = find_plain(spelling);
    return unit == NULL ? (double)NAN : (si_value - unit->offset) / unit->factor;
}
