/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What kinds of quantity are called, and what one looks like, for messages. */
#include "fuelreach/quantity.h"

typedef struct kind_row {
    const char *name;
    const char *example;
} kind_row;

static const kind_row kind_table[FR_KIND_COUNT] = {
    [FR_KIND_NUMBER] = {"a bare number", "4"},
    [FR_KIND_POWER] = {"a power", "300 kW"},
    [FR_KIND_TORQUE] = {"a torque", "400 Nm"},
    [FR_KIND_PRESSURE] = {"a pressure", "5.0 bar"},
    [FR_KIND_MASS_FLOW] = {"a mass flow", "40 lb/h"},
    [FR_KIND_VOLUME_FLOW] = {"a volume flow", "255 L/h"},
    [FR_KIND_LENGTH] = {"a length", "8 mm"},
    [FR_KIND_AREA] = {"a cross-section", "6 mm2"},
    [FR_KIND_WIRE_GAUGE] = {"a wire gauge", "10 AWG"},
    [FR_KIND_VOLUME] = {"a volume", "2.0 L"},
    [FR_KIND_TIME] = {"a time", "0.9 ms"},
    [FR_KIND_SPEED] = {"a speed", "6500 rpm"},
    [FR_KIND_ANGLE] = {"an angle", "240 deg"},
    [FR_KIND_VOLTAGE] = {"a voltage", "13.5 V"},
    [FR_KIND_CURRENT] = {"a current", "30 A"},
    [FR_KIND_RESISTANCE] = {"a resistance", "45 mohm"},
    [FR_KIND_SPECIFIC_CONSUMPTION] = {"a specific fuel consumption", "325 g/kWh"},
    [FR_KIND_SPECIFIC_ENERGY] = {"a heating value", "43 MJ/kg"},
    [FR_KIND_DENSITY] = {"a density", "745 kg/m3"},
    [FR_KIND_FRACTION] = {"a percentage", "85 %"},
    [FR_KIND_TEMPERATURE] = {"a temperature", "45 °C"},
};

static const kind_row *kind_find(fr_kind kind) {
    static const kind_row none = {"a quantity", "1"};
    return (size_t)kind < FR_KIND_COUNT ? &kind_table[kind] : &none;
}

const char *fr_kind_example(fr_kind kind) {
    return kind_find(kind)->example;
}

const char *fr_kind_name(fr_kind kind) {
    return kind_find(kind)->name;
}
