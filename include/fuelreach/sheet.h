/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The build sheet: reads YAML written by hand, tells everything that is wrong with it, and binds
 * it to a build with every default listed. */
#ifndef FUELREACH_SHEET_H
#define FUELREACH_SHEET_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "fuelreach/build.h"
#include "fuelreach/quantity.h"
#include "fuelreach/status.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct fr_sheet fr_sheet;

typedef enum fr_units { FR_METRIC, FR_US } fr_units;

/* What the caller adds to the sheet. Arrays may be null with count 0. */
typedef struct fr_sheet_options {
    const char *const *parts_dirs; /* folders of the user's parts; the last wins */
    size_t parts_dir_count;
    const char *const *sets;       /* "PATH=VALUE", VALUE as it would stand in the sheet */
    size_t set_count;
    const char *const *blends;     /* "E62.5", in place of the sheet's */
    size_t blend_count;
} fr_sheet_options;

/* Something the sheet did not say and the program filled in. Strings owned by the sheet. */
typedef struct fr_assumed {
    const char *field; /* "engine.same_air_gain" */
    const char *value; /* as it would be written: "0 %" */
    const char *why;   /* "not given", "common practice", "worked out from the tank's feed temperature" */
    const char *paste; /* the line(s) that would replace it, indented: "  same_air_gain: 0 %" */
    bool is_word;      /* one of a fixed set */
    size_t alternative_count; /* other words of the set, as --set would take them */
    const char *const *alternatives;
    bool is_factory;   /* a part sized from factory_power */
    size_t input;      /* index into the sheet's inputs, or SIZE_MAX */
} fr_assumed;

/* ---- inputs with a tolerance ---- */

typedef enum fr_input_kind { FR_INPUT_SCALE, FR_INPUT_SHIFT } fr_input_kind;

enum { FR_INPUT_TARGETS_MAX = 16 };

/* A quantity that is not known exactly. A deviation z (in standard normal units; half_width is
 * 1.96 of them) multiplies its targets by (1 + half_width*z/1.96), or adds half_width*z/1.96. */
typedef struct fr_input {
    const char *name;   /* stable: "bsfc", "lift-pump", "feed-temperature", or a sheet path */
    const char *label;  /* for people: "BSFC" */
    const char *advice; /* how one would measure it: "measure fuel flow on the dyno" */
    fr_input_kind kind;
    double half_width;  /* of the 95 % interval: fraction, or SI of the thing */
    bool assumed;       /* default tolerance, not written in sheet or part */
    bool bad_is_high;   /* the end of the interval that takes reach: high or low */
    size_t target_count;
    size_t targets[FR_INPUT_TARGETS_MAX]; /* offsets of doubles in fr_build */
} fr_input;

/* Opens a sheet; `path` "-" is standard input. On FR_BAD_INPUT all that is wrong is in `report`;
 * cautions about unlikely values are in `report` on success too. `*sheet` is null on failure. */
fr_status fr_sheet_open(const char *path, const fr_sheet_options *options, fr_report *report,
                        fr_sheet **sheet);
/* The same from memory; `name` stands in messages. */
fr_status fr_sheet_open_text(const char *name, const char *text, size_t length,
                             const fr_sheet_options *options, fr_report *report, fr_sheet **sheet);
void fr_sheet_close(fr_sheet *sheet);

const char *fr_sheet_file(const fr_sheet *sheet);  /* as given */
const char *fr_sheet_name(const fr_sheet *sheet);  /* the build's name; "" when none */
fr_units fr_sheet_units(const fr_sheet *sheet);
/* The sheet's text as read, for showing. */
const char *fr_sheet_text(const fr_sheet *sheet, size_t *length);
const fr_build *fr_sheet_build(const fr_sheet *sheet);
const fr_assumed *fr_sheet_assumed(const fr_sheet *sheet, size_t *count);
const fr_input *fr_sheet_inputs(const fr_sheet *sheet, size_t *count);
/* Name of the part in a slot ("lift_pump", "port_injector", "direct_injector",
 * "high_pressure_pump", "wiring", ...), "" when written out, "factory". */
const char *fr_sheet_part_name(const fr_sheet *sheet, const char *slot);

/* The build with one more setting ("supply.regulation=return"), all defaults taken anew. False
 * when the setting cannot be used. The sheet is not changed. */
bool fr_sheet_with(fr_sheet *sheet, const char *set, fr_build *build);
/* `base` moved by one deviation an input (array of the sheet's input count) into `moved`. */
void fr_build_move(const fr_build *base, const fr_input *inputs, size_t input_count,
                   const double *deviations, fr_build *moved);

/* The line(s) to put into the sheet so that `path` ("supply.regulation") is `value` ("return"):
 * indented as the sheet is, with its section's name above where the sheet has not got it. A line
 * whose first key the sheet has already takes that line's place. False when it does not fit. */
bool fr_sheet_paste(const fr_sheet *sheet, const char *path, const char *value, char *out,
                    size_t size);

/* ---- what the studies read from the sheet ---- */

/* What sizing may change, in the order in which fuel passes it. */
typedef enum fr_slot {
    FR_SLOT_LIFT_PUMP,
    FR_SLOT_WIRING,
    FR_SLOT_FILTER,
    FR_SLOT_LINE,
    FR_SLOT_PORT_INJECTOR,
    FR_SLOT_DIRECT_INJECTOR,
    FR_SLOT_HIGH_PRESSURE_PUMP,
    FR_SLOT_COUNT
} fr_slot;

const char *fr_slot_name(fr_slot slot); /* "lift-pump" */
/* The slot of a name, FR_SLOT_COUNT when there is none. */
fr_slot fr_slot_find(const char *name);

/* The section `sizing`. All zero and "" when the sheet has none. */
typedef struct fr_sizing_section {
    const char *currency;          /* "EUR"; "" when not given */
    double fitting[FR_SLOT_COUNT]; /* cost of changing the slot at all; 0 when not given */
    bool keep[FR_SLOT_COUNT];      /* pinned to what the sheet has */
} fr_sizing_section;

/* Columns that a log may have: enum name, name in the sheet, kinds of quantity that its unit may
 * be of (several joined by |), unit when neither sheet nor log says it. */
#define FR_CHANNEL_TABLE(X)                                                                        \
    X(FR_CHANNEL_TIME, "time", FR_KINDS(FR_KIND_TIME), "s")                                        \
    X(FR_CHANNEL_ENGINE_SPEED, "engine_speed", FR_KINDS(FR_KIND_SPEED), "rpm")                     \
    X(FR_CHANNEL_ETHANOL, "ethanol", FR_KINDS(FR_KIND_FRACTION), "%")                              \
    X(FR_CHANNEL_LAMBDA, "lambda", FR_KINDS(FR_KIND_NUMBER), "")                                   \
    X(FR_CHANNEL_MANIFOLD_PRESSURE, "manifold_pressure", FR_KINDS(FR_KIND_PRESSURE), "kPa")        \
    X(FR_CHANNEL_SUPPLY_VOLTAGE, "supply_voltage", FR_KINDS(FR_KIND_VOLTAGE), "V")                 \
    X(FR_CHANNEL_PUMP_VOLTAGE, "pump_voltage", FR_KINDS(FR_KIND_VOLTAGE), "V")                     \
    X(FR_CHANNEL_PUMP_CURRENT, "pump_current", FR_KINDS(FR_KIND_CURRENT), "A")                     \
    X(FR_CHANNEL_FEED_PRESSURE, "feed_pressure", FR_KINDS(FR_KIND_PRESSURE), "bar")                \
    X(FR_CHANNEL_RAIL_PRESSURE, "rail_pressure", FR_KINDS(FR_KIND_PRESSURE), "bar")                \
    X(FR_CHANNEL_RAIL_COMMAND, "rail_command", FR_KINDS(FR_KIND_PRESSURE), "bar")                  \
    X(FR_CHANNEL_PORT_PULSE, "port_pulse", FR_KINDS(FR_KIND_TIME), "ms")                           \
    X(FR_CHANNEL_DIRECT_PULSE, "direct_pulse", FR_KINDS(FR_KIND_TIME), "ms")                       \
    X(FR_CHANNEL_FUEL_TEMPERATURE, "fuel_temperature", FR_KINDS(FR_KIND_TEMPERATURE), "degC")      \
    X(FR_CHANNEL_POWER, "power", FR_KINDS(FR_KIND_POWER), "kW")                                    \
    X(FR_CHANNEL_TORQUE, "torque", FR_KINDS(FR_KIND_TORQUE), "Nm")                                 \
    X(FR_CHANNEL_FUEL_FLOW, "fuel_flow",                                                           \
      FR_KINDS(FR_KIND_VOLUME_FLOW) | FR_KINDS(FR_KIND_MASS_FLOW), "L/h")

typedef enum fr_channel {
#define FR_CHANNEL_ENUM(name, text, kinds, unit) name,
    FR_CHANNEL_TABLE(FR_CHANNEL_ENUM)
#undef FR_CHANNEL_ENUM
    FR_CHANNEL_COUNT
} fr_channel;

const char *fr_channel_name(fr_channel channel); /* "engine_speed" */
fr_kinds fr_channel_kinds(fr_channel channel);
const char *fr_channel_unit(fr_channel channel); /* when nothing says it */

typedef struct fr_log_channel {
    const char *column; /* name of the column; null: the sheet does not map this channel */
    const char *unit;   /* spelled as in the sheet; null: look at the log, then fr_channel_unit */
    bool absolute;      /* of a pressure: over vacuum, else gauge */
} fr_log_channel;

/* The section `log`. */
typedef struct fr_log_section {
    fr_log_channel channels[FR_CHANNEL_COUNT];
    double blend; /* ethanol fraction of the whole log; NAN: not given */
} fr_log_section;

/* Never null; owned by the sheet. */
const fr_sizing_section *fr_sheet_sizing(const fr_sheet *sheet);
const fr_log_section *fr_sheet_log(const fr_sheet *sheet);

/* ---- parts ---- */

typedef enum fr_part_kind {
    FR_PART_LIFT_PUMP,
    FR_PART_PORT_INJECTOR,
    FR_PART_DIRECT_INJECTOR,
    FR_PART_HIGH_PRESSURE_PUMP,
    FR_PART_FILTER,
    FR_PART_LINE,
    FR_PART_WIRING,
    FR_PART_GASOLINE,
    FR_PART_KIND_COUNT
} fr_part_kind;

const char *fr_part_kind_name(fr_part_kind kind); /* "lift-pump" */

/* A part bound to numbers. Strings owned by the shelf. */
typedef struct fr_part {
    fr_part_kind kind;
    const char *name;
    const char *title;
    const char *source;
    const char *notes;
    const char *file;
    double price;  /* NAN: none given */
    double spread; /* fraction; 0: none given */
    bool hides_shipped;
    union {
        fr_pump lift_pump;
        fr_port port_injector;      /* flow, test, dead time, max_duty, minimum_open */
        fr_direct direct_injector;  /* injector fields only */
        fr_direct high_pressure_pump; /* pump fields only */
        fr_filter filter;
        fr_line line;
        struct { double ohm; double fuse_a; } wiring; /* fuse 0: none */
        fr_gasoline gasoline;
    } as;
} fr_part;

typedef struct fr_shelf fr_shelf;
/* Reads the shipped parts (unless `without_shipped`) and those of the folders. */
fr_status fr_shelf_open(const char *const *dirs, size_t dir_count, bool without_shipped,
                        fr_report *report, fr_shelf **shelf);
void fr_shelf_close(fr_shelf *shelf);
/* All parts in order of kind, then name. */
const fr_part *fr_shelf_parts(const fr_shelf *shelf, size_t *count);
/* Where shipped parts are looked for: $FUELREACH_PARTS, else the folder installed to, else
 * components/ beside the program or in the current folder. */
const char *fr_shipped_parts_dir(void);

/* ---- made from the field table (src/sheet/fields*.c) ---- */

void fr_sheet_write_schema(FILE *out); /* docs/build-sheet.schema.json: a build sheet; its $defs
                                          hold the parts */
void fr_part_write_schema(FILE *out);  /* docs/part.schema.json: one part's file */
void fr_sheet_write_docs(FILE *out);   /* the field reference of docs/sheet.md, Markdown from
                                          headings of level 2 down */
void fr_sheet_write_draft(FILE *out);  /* a starter sheet, every line explained */

#ifdef __cplusplus
}
#endif
#endif
