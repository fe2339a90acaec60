/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The field table: the kinds of parts. Bounds are in the unit of the row. */
#include "sheet/fields.h"

/* A row a field, kept compact. */
/* clang-format off */

#define K(kind) FR_KINDS(FR_KIND_##kind)
#define COUNT(rows) (sizeof(rows) / sizeof((rows)[0]))

/* What every part may say. */
static const fr_field common_fields[] = {
    {.key = "kind", .shape = FR_SHAPE_WORD, .words = &fr_kind_words, .example = "lift-pump",
     .help = "What the part is. Needed in a part's file.", .synonyms = "type_of_part"},
    {.key = "title", .shape = FR_SHAPE_TEXT, .example = "340 L/h turbine pump",
     .help = "One line for lists.", .synonyms = "description label"},
    {.key = "source", .shape = FR_SHAPE_TEXT, .example = "measured on a bench",
     .help = "Where the figures are from.", .synonyms = "origin reference"},
    {.key = "price", .shape = FR_SHAPE_NUMBER, .kinds = K(NUMBER), .least = 0, .most = 1e9,
     .example = "120", .help = "A bare number, in the currency of sizing.currency.",
     .synonyms = "cost"},
    {.key = "spread", .shape = FR_SHAPE_QUANTITY, .kinds = K(FRACTION), .unit = "%", .least = 0,
     .most = 60, .usual_least = 0, .usual_most = 30,
     .slip = "half the width that holds 95 of 100 parts?", .example = "8 %",
     .help = "How much one part differs from another: half-width of a 95 % interval of its flow.",
     .synonyms = "tolerance scatter"},
    {.key = "notes", .shape = FR_SHAPE_TEXT, .example = "in the tank",
     .help = "Anything else that a person should know.", .synonyms = "note comment remarks"},
    {.key = "part", .shape = FR_SHAPE_TEXT, .example = "lift-340", .sheet_only = true,
     .help = "Name of a part, a rating, or 'factory'; the other fields change it.",
     .synonyms = "name model"},
    {.key = "of_factory", .shape = FR_SHAPE_QUANTITY, .kinds = K(FRACTION), .unit = "%",
     .least = 1, .most = 1000, .usual_least = 50, .usual_most = 400,
     .slip = "100 % is as built", .example = "130 %", .sheet_only = true, .bad = -1,
     .help = "With 'part: factory': its size over the size the car was built with.",
     .synonyms = "factory_scale"},
};

static const fr_field lift_pump_fields[] = {
    {.key = "type", .shape = FR_SHAPE_WORD, .words = &fr_pump_type_words,
     .default_text = "turbine", .why = "common practice",
     .help = "How flow goes with voltage outside the curves given.", .synonyms = "pump_type"},
    {.key = "curves", .shape = FR_SHAPE_SECTIONS, .section = FR_SECTION_PUMP_CURVE,
     .default_rule = "a typical pump of its size", .why = "a typical pump of its size",
     .example = "[{voltage: 13.5 V, flow: {3 bar: 340 L/h, 5 bar: 275 L/h}, current: {3 bar: "
                "11 A, 5 bar: 14 A}}]",
     .help = "Flow and current over gauge pressure rise, at one voltage or several.",
     .synonyms = "curve flow flows"},
    {.key = "size", .shape = FR_SHAPE_QUANTITY, .kinds = K(VOLUME_FLOW), .unit = "L/h",
     .unit_us = "L/h", .least = 1, .most = 5000, .usual_least = 60, .usual_most = 1200,
     .slip = "litres an hour?", .example = "255 L/h", .input = "lift-pump", .bad = -1,
     .help = "In place of curves: flow at size_at and 13.5 V; gives a typical pump.",
     .synonyms = "rating rated flow_rate capacity"},
    {.key = "size_at", .shape = FR_SHAPE_QUANTITY, .kinds = K(PRESSURE), .unit = "bar",
     .unit_us = "psi", .least = 0.5, .most = 6, .default_text = "3 bar", .why = "common practice",
     .help = "Gauge pressure of size.", .synonyms = "at rated_at"},
    {.key = "relief", .shape = FR_SHAPE_QUANTITY, .kinds = K(PRESSURE), .unit = "bar",
     .unit_us = "psi", .least = 1, .most = 30, .usual_least = 4, .usual_most = 15,
     .slip = "gauge, in bar or psi?", .example = "8 bar", .bad = -1,
     .help = "Rise at which the pump's own relief valve opens. Not given: none.",
     .synonyms = "relief_valve relief_pressure"},
    {.key = "count", .shape = FR_SHAPE_WHOLE, .kinds = K(NUMBER), .least = 1, .most = 8,
     .default_text = "1", .sheet_only = true, .help = "How many such pumps.",
     .synonyms = "number quantity qty"},
    {.key = "arrangement", .shape = FR_SHAPE_WORD, .words = &fr_arrangement_words,
     .default_text = "parallel", .sheet_only = true, .help = "How several pumps are joined.",
     .synonyms = "layout plumbing"},
    {.key = "condition", .shape = FR_SHAPE_QUANTITY, .kinds = K(FRACTION), .unit = "%",
     .least = 1, .most = 120, .usual_least = 50, .usual_most = 105,
     .slip = "what is left of its flow, not what is lost?", .default_text = "100 %",
     .why = "as new", .sheet_only = true, .input = "lift-pump", .bad = -1,
     .help = "The pump's flow over its flow when new.", .synonyms = "wear health state aging"},
    {.key = "pumps", .shape = FR_SHAPE_PARTS, .section = FR_SECTION_LIFT_PUMP,
     .example = "[{part: lift-255}, {part: inline-370}]", .sheet_only = true,
     .help = "Unlike pumps, in place of one kind; each with count and condition.",
     .synonyms = "list"},
};

static const fr_field pump_curve_fields[] = {
    {.key = "voltage", .shape = FR_SHAPE_QUANTITY, .kinds = K(VOLTAGE), .unit = "V", .least = 3,
     .most = 60, .default_text = "13.5 V", .why = "common practice", .bad = 0,
     .help = "At the pump's terminals.", .synonyms = "volts v at"},
    {.key = "flow", .shape = FR_SHAPE_CURVE, .axis = FR_AXIS_RISE, .kinds = K(VOLUME_FLOW),
     .unit = "L/h", .unit_us = "L/h", .least = 0, .most = 5000,
     .example = "{3 bar: 340 L/h, 5 bar: 275 L/h}", .needed = true, .input = "lift-pump",
     .bad = -1, .help = "Flow over gauge pressure rise.", .synonyms = "flows q lph"},
    {.key = "current", .shape = FR_SHAPE_CURVE, .axis = FR_AXIS_RISE, .kinds = K(CURRENT),
     .unit = "A", .least = 0, .most = 200, .default_rule = "typical of its flow",
     .why = "typical of its flow, common practice", .example = "{3 bar: 11 A, 5 bar: 14 A}",
     .bad = 1, .help = "Current over gauge pressure rise.", .synonyms = "currents amps draw"},
};

#define INJECTOR_FLOW(least_, most_, unit_, us_, example_, input_)                               \
    {.key = "flow", .shape = FR_SHAPE_QUANTITY, .kinds = K(VOLUME_FLOW) | K(MASS_FLOW),          \
     .unit = unit_, .unit_us = us_, .least = least_, .most = most_, .example = example_,         \
     .needed = true, .input = input_, .bad = -1,                                                 \
     .help = "Static flow of one injector, held open at the test pressure; volume or mass.",     \
     .synonyms = "size rating rate static static_flow"}
#define TEST_FLUID                                                                               \
    {.key = "test_fluid", .shape = FR_SHAPE_TEXT, .default_text = "n-heptane",                   \
     .why = "common practice, 683.8 kg/m3", .help = "Fluid of the flow test.",                   \
     .synonyms = "fluid"},                                                                       \
    {.key = "test_density", .shape = FR_SHAPE_QUANTITY, .kinds = K(DENSITY), .unit = "kg/m3",    \
     .least = 500, .most = 1200, .usual_least = 640, .usual_most = 860,                          \
     .slip = "another unit meant?", .example = "683.8 kg/m3", .bad = 0,                          \
     .help = "Density of the test fluid, in place of its name.", .synonyms = "density"}

static const fr_field port_injector_fields[] = {
    INJECTOR_FLOW(10, 20000, "cc/min", NULL, "550 cc/min", "port-injector"),
    {.key = "at", .shape = FR_SHAPE_QUANTITY, .kinds = K(PRESSURE), .unit = "bar",
     .unit_us = "psi", .least = 0.5, .most = 20, .usual_least = 2, .usual_most = 6,
     .slip = "bar or psi?", .default_text = "3 bar", .why = "common practice", .bad = 1,
     .help = "Pressure difference of the flow test.", .synonyms = "test_pressure pressure"},
    TEST_FLUID,
    {.key = "dead_time", .shape = FR_SHAPE_CURVE, .axis = FR_AXIS_VOLTAGE, .kinds = K(TIME),
     .unit = "ms", .least = 0, .most = 10, .usual_least = 0.1, .usual_most = 5,
     .slip = "ms or us?",
     .default_text = "{8 V: 2.6 ms, 10 V: 1.65 ms, 12 V: 1.15 ms, 14 V: 0.85 ms, 16 V: 0.65 ms}",
     .why = "typical, common practice", .example = "{10 V: 1.6 ms, 14 V: 0.85 ms}",
     .input = "dead-time", .bad = 1, .help = "Time between the signal and fuel, over voltage.",
     .synonyms = "latency offset lag opening_time deadtime"},
    {.key = "dead_time_per_bar", .shape = FR_SHAPE_QUANTITY, .kinds = K(TIME), .unit = "ms",
     .least = -1, .most = 1, .usual_least = -0.2, .usual_most = 0.2, .slip = "ms or us?",
     .default_rule = "0.03 ms, or 0 ms where dead_time is given", .why = "common practice",
     .example = "0.03 ms", .bad = 1,
     .help = "Dead time added a bar over the test pressure.", .synonyms = "latency_per_bar"},
    {.key = "max_duty", .shape = FR_SHAPE_QUANTITY, .kinds = K(FRACTION), .unit = "%",
     .least = 10, .most = 100, .usual_least = 80, .usual_most = 100, .slip = "of the cycle?",
     .default_text = "95 %", .why = "common practice", .bad = -1,
     .help = "Duty beyond which the valve no longer closes between injections.",
     .synonyms = "duty maximum_duty"},
    {.key = "minimum_open", .shape = FR_SHAPE_QUANTITY, .kinds = K(TIME), .unit = "ms",
     .least = 0, .most = 10, .usual_least = 0.1, .usual_most = 2, .slip = "ms or us?",
     .default_text = "0.40 ms", .why = "common practice", .bad = 0,
     .help = "Shortest opening that repeats well, for the caution idle-pulse.",
     .synonyms = "minimum_pulse min_open min_pulse"},
};

static const fr_field direct_injector_fields[] = {
    INJECTOR_FLOW(0.5, 200, "cc/s", NULL, "14 cc/s", "direct-injector"),
    {.key = "at", .shape = FR_SHAPE_QUANTITY, .kinds = K(PRESSURE), .unit = "bar",
     .unit_us = "psi", .least = 1, .most = 1000, .usual_least = 30, .usual_most = 400,
     .slip = "bar or psi?", .default_text = "100 bar", .why = "common practice", .bad = 1,
     .help = "Pressure difference of the flow test.", .synonyms = "test_pressure pressure"},
    TEST_FLUID,
    {.key = "opening_delay", .shape = FR_SHAPE_QUANTITY, .kinds = K(TIME), .unit = "ms",
     .least = 0, .most = 5, .usual_least = 0.05, .usual_most = 1, .slip = "ms or us?",
     .default_text = "0.30 ms", .why = "common practice", .bad = 1,
     .help = "Time between the signal and fuel.",
     .synonyms = "dead_time latency delay offset deadtime"},
    {.key = "max_pressure", .shape = FR_SHAPE_QUANTITY, .kinds = K(PRESSURE), .unit = "bar",
     .unit_us = "psi", .least = 20, .most = 1000, .usual_least = 100, .usual_most = 600,
     .slip = "bar or psi?", .default_text = "250 bar", .why = "common practice", .bad = -1,
     .help = "Greatest rail pressure that the injector opens against, absolute.",
     .synonyms = "maximum_pressure max"},
};

static const fr_field hp_pump_fields[] = {
    {.key = "count", .shape = FR_SHAPE_WHOLE, .kinds = K(NUMBER), .least = 1, .most = 4,
     .default_text = "1", .help = "How many such pumps.", .synonyms = "number quantity qty"},
    {.key = "displacement", .shape = FR_SHAPE_QUANTITY, .kinds = K(VOLUME), .unit = "cc",
     .unit_us = "cc", .least = 0.01, .most = 20, .usual_least = 0.2, .usual_most = 4,
     .slip = "a cam turn, all lobes together?", .example = "0.87 cc", .bad = -1,
     .help = "Swept volume of one pump a cam turn; or plunger, lift and lobes.",
     .synonyms = "size volume stroke_volume"},
    {.key = "plunger", .shape = FR_SHAPE_QUANTITY, .kinds = K(LENGTH), .unit = "mm",
     .unit_us = "in", .least = 2, .most = 40, .usual_least = 5, .usual_most = 16,
     .slip = "another unit meant?", .example = "10 mm", .bad = -1,
     .help = "Diameter of the plunger.", .synonyms = "piston bore diameter plunger_diameter"},
    {.key = "lift", .shape = FR_SHAPE_QUANTITY, .kinds = K(LENGTH), .unit = "mm",
     .unit_us = "in", .least = 0.5, .most = 40, .usual_least = 2, .usual_most = 8,
     .slip = "another unit meant?", .example = "4.2 mm", .bad = -1,
     .help = "Stroke of the plunger a lobe.", .synonyms = "stroke cam_lift"},
    {.key = "lobes", .shape = FR_SHAPE_WHOLE, .kinds = K(NUMBER), .least = 1, .most = 8,
     .example = "4", .help = "Lobes of the cam that drives it.", .synonyms = "cam_lobes"},
    {.key = "drive_ratio", .shape = FR_SHAPE_NUMBER, .kinds = K(NUMBER), .least = 0.1, .most = 4,
     .usual_least = 0.45, .usual_most = 1.1, .slip = "cam over crank speed?",
     .default_text = "0.5", .why = "common practice", .bad = -1,
     .help = "Speed of the pump's cam over the crank's.", .synonyms = "ratio speed_ratio"},
    {.key = "fill", .shape = FR_SHAPE_CURVE, .axis = FR_AXIS_PUMP_SPEED, .kinds = K(FRACTION),
     .unit = "%", .least = 1, .most = 110, .usual_least = 50, .usual_most = 100,
     .slip = "share of the swept volume?", .default_text = "{1000 rpm: 95 %, 3500 rpm: 86 %}",
     .why = "common practice", .input = "high-pressure-pump", .bad = -1,
     .help = "Share of the swept volume that fills, over the pump's own speed.",
     .synonyms = "filling volumetric_efficiency efficiency ve"},
    {.key = "dead_volume", .shape = FR_SHAPE_QUANTITY, .kinds = K(FRACTION), .unit = "%",
     .least = 0, .most = 500, .usual_least = 10, .usual_most = 150,
     .slip = "over the swept volume of one stroke?", .default_text = "60 %",
     .why = "common practice", .bad = 1,
     .help = "Volume left at the end of the stroke over swept volume.", .synonyms = "clearance"},
    {.key = "leakage", .shape = FR_SHAPE_QUANTITY, .kinds = K(VOLUME_FLOW), .unit = "cc/s",
     .least = 0, .most = 100, .usual_least = 0, .usual_most = 6, .slip = "another unit meant?",
     .default_text = "1.0 cc/s", .why = "common practice", .bad = 1,
     .help = "Flow past the plunger at leakage_at, each pump.", .synonyms = "leak"},
    {.key = "leakage_at", .shape = FR_SHAPE_QUANTITY, .kinds = K(PRESSURE), .unit = "bar",
     .unit_us = "psi", .least = 1, .most = 1000, .default_text = "100 bar",
     .why = "common practice", .bad = -1, .help = "Pressure difference of leakage.",
     .synonyms = "leak_at"},
    {.key = "max_pressure", .shape = FR_SHAPE_QUANTITY, .kinds = K(PRESSURE), .unit = "bar",
     .unit_us = "psi", .least = 20, .most = 1000, .usual_least = 100, .usual_most = 600,
     .slip = "bar or psi?", .default_text = "240 bar", .why = "common practice", .bad = -1,
     .help = "Greatest rail pressure, absolute; its relief valve opens there.",
     .synonyms = "maximum_pressure max relief"},
    {.key = "minimum_inlet", .shape = FR_SHAPE_QUANTITY, .kinds = K(PRESSURE), .unit = "bar",
     .unit_us = "psi", .least = 0, .most = 20, .usual_least = 1, .usual_most = 7,
     .slip = "gauge, in bar or psi?", .default_text = "3.5 bar", .why = "common practice",
     .bad = 1, .help = "Least feed pressure at which it fills, gauge.",
     .synonyms = "inlet_pressure minimum_inlet_pressure min_inlet"},
};

static const fr_field filter_fields[] = {
    {.key = "drop", .shape = FR_SHAPE_QUANTITY, .kinds = K(PRESSURE), .unit = "bar",
     .unit_us = "psi", .least = 0, .most = 5, .usual_least = 0.005, .usual_most = 0.8,
     .slip = "bar or psi?", .default_text = "0.12 bar", .why = "common practice",
     .input = "filter-drop", .bad = 1, .help = "Pressure lost at the flow 'at'.",
     .synonyms = "pressure_drop loss"},
    {.key = "at", .shape = FR_SHAPE_QUANTITY, .kinds = K(VOLUME_FLOW), .unit = "L/h",
     .unit_us = "gal/h", .least = 1, .most = 5000, .usual_least = 30, .usual_most = 1500,
     .slip = "another unit meant?", .default_text = "200 L/h", .why = "common practice",
     .bad = -1, .help = "Flow of 'drop'.", .synonyms = "flow at_flow rated_flow"},
};

static const fr_field line_fields[] = {
    {.key = "bore", .shape = FR_SHAPE_QUANTITY, .kinds = K(LENGTH), .unit = "mm",
     .unit_us = "in", .least = 1, .most = 60, .usual_least = 4, .usual_most = 25,
     .slip = "the inside bore, in mm?", .default_text = "8 mm", .why = "common practice",
     .bad = -1, .help = "Inside diameter.",
     .synonyms = "diameter inside_diameter id size inner_diameter an"},
    {.key = "length", .shape = FR_SHAPE_QUANTITY, .kinds = K(LENGTH), .unit = "m",
     .unit_us = "ft", .least = 0, .most = 100, .usual_least = 0, .usual_most = 20,
     .slip = "another unit meant?", .default_text = "4.5 m", .why = "common practice",
     .bad = 1, .help = "Length of the segment.", .synonyms = "run len"},
    {.key = "roughness", .shape = FR_SHAPE_QUANTITY, .kinds = K(LENGTH), .unit = "um",
     .unit_us = "um", .least = 0, .most = 2000, .usual_least = 0, .usual_most = 200,
     .slip = "um is a thousandth of a millimetre", .default_text = "1.5 um",
     .why = "drawn tube, common practice", .bad = 1, .help = "Roughness of the inside wall.",
     .synonyms = "surface rough"},
    {.key = "fittings", .shape = FR_SHAPE_NUMBER, .kinds = K(NUMBER), .least = 0, .most = 500,
     .usual_least = 0, .usual_most = 60, .slip = "a sum of loss coefficients?",
     .default_text = "0", .bad = 1,
     .help = "Sum of the loss coefficients K of bends and unions; an elbow is about 1.",
     .synonyms = "k bends elbows losses"},
};

static const fr_field wiring_fields[] = {
    {.key = "resistance", .shape = FR_SHAPE_QUANTITY, .kinds = K(RESISTANCE), .unit = "mohm",
     .least = 0, .most = 5000, .usual_least = 5, .usual_most = 600,
     .slip = "mohm is a thousandth of an ohm", .example = "45 mohm", .input = "wiring",
     .bad = 1, .help = "There and back, contacts included; in place of wire.",
     .synonyms = "ohms r wiring"},
    {.key = "wire", .shape = FR_SHAPE_QUANTITY, .kinds = K(WIRE_GAUGE) | K(AREA),
     .unit = "AWG", .unit_us = "AWG", .least = -3, .most = 30, .example = "10 AWG", .bad = 1,
     .help = "Gauge or cross-section of the copper.", .synonyms = "gauge awg size cable"},
    {.key = "run", .shape = FR_SHAPE_QUANTITY, .kinds = K(LENGTH), .unit = "m",
     .unit_us = "ft", .least = 0, .most = 50, .usual_least = 0.3, .usual_most = 15,
     .slip = "one way, battery to pump?", .default_text = "4.5 m", .why = "common practice",
     .bad = 1, .help = "Length one way; there and back is counted.",
     .synonyms = "length distance"},
    {.key = "contacts", .shape = FR_SHAPE_QUANTITY, .kinds = K(RESISTANCE), .unit = "mohm",
     .least = 0, .most = 1000, .usual_least = 0, .usual_most = 200, .slip = "mohm, not ohm?",
     .default_text = "10 mohm", .why = "common practice", .bad = 1,
     .help = "All contacts, relay and fuse holder together.", .synonyms = "contact connectors"},
    {.key = "temperature", .shape = FR_SHAPE_QUANTITY, .kinds = K(TEMPERATURE), .unit = "°C",
     .unit_us = "°F", .least = -50, .most = 200, .usual_least = -30, .usual_most = 105,
     .slip = "°F written for °C?", .default_text = "40 °C", .why = "common practice", .bad = 1,
     .help = "Of the wire.", .synonyms = "temp"},
    {.key = "fuse", .shape = FR_SHAPE_QUANTITY, .kinds = K(CURRENT), .unit = "A", .least = 0.5,
     .most = 500, .usual_least = 5, .usual_most = 80, .slip = "another unit meant?",
     .example = "30 A", .bad = -1, .help = "Rating of the fuse that comes with it.",
     .synonyms = "breaker"},
};

static const fr_field gasoline_fields[] = {
    {.key = "density", .shape = FR_SHAPE_QUANTITY, .kinds = K(DENSITY), .unit = "kg/m3",
     .least = 600, .most = 900, .usual_least = 690, .usual_most = 790,
     .slip = "at 15 °C, in kg/m3?", .default_text = "745 kg/m3", .why = "a typical gasoline",
     .input = "gasoline-density", .bad = -1, .help = "At 15 °C.",
     .synonyms = "specific_gravity sg"},
    {.key = "vapour_pressure", .shape = FR_SHAPE_QUANTITY, .kinds = K(PRESSURE), .unit = "kPa",
     .unit_us = "psi", .least = 5, .most = 150, .usual_least = 35, .usual_most = 105,
     .slip = "DVPE at 37.8 °C, in kPa or psi?", .default_text = "62 kPa",
     .why = "a typical gasoline", .input = "gasoline-vapour-pressure", .bad = 1,
     .help = "DVPE at 37.8 °C (100 °F), absolute.",
     .synonyms = "vapor_pressure rvp dvpe reid_vapor_pressure reid_vapour_pressure"},
    {.key = "stoich", .shape = FR_SHAPE_NUMBER, .kinds = K(NUMBER), .least = 12, .most = 17,
     .usual_least = 14.2, .usual_most = 15, .slip = "kg of air a kg of fuel?",
     .default_rule = "of CH1.87, 14.60", .why = "from composition CH1.87", .example = "14.6",
     .bad = -1, .help = "Air a kg of gasoline burns completely with, kg.",
     .synonyms = "stoichiometric afr stoichiometric_ratio"},
    {.key = "heating_value", .shape = FR_SHAPE_QUANTITY, .kinds = K(SPECIFIC_ENERGY),
     .unit = "MJ/kg", .least = 30, .most = 55, .usual_least = 41, .usual_most = 45,
     .slip = "the lower heating value?", .default_text = "43.0 MJ/kg",
     .why = "a typical gasoline", .bad = -1, .help = "Lower heating value.",
     .synonyms = "lhv energy calorific_value"},
};

#define PART(name, help, rows) {name, name, help, rows, COUNT(rows), true}
const fr_section fr_part_sections[FR_PART_KIND_COUNT] = {
    PART("lift-pump", "A lift pump.", lift_pump_fields),
    PART("port-injector", "A port injector.", port_injector_fields),
    PART("direct-injector", "A direct injector.", direct_injector_fields),
    PART("high-pressure-pump", "A high-pressure pump, driven by a cam.", hp_pump_fields),
    PART("filter", "A filter in the feed line.", filter_fields),
    PART("line", "A segment of hose or tube.", line_fields),
    PART("wiring", "One pump's supply wire and ground.", wiring_fields),
    PART("gasoline", "The gasoline in the blends.", gasoline_fields),
};
const fr_section fr_pump_curve_section = {"curves", "curves", "One curve of a lift pump.",
                                          pump_curve_fields, COUNT(pump_curve_fields), false};
const fr_section fr_common_section = {"part", "part", "What every part may say.", common_fields,
                                      COUNT(common_fields), false};
