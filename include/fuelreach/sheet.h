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

/* ---- made from the field table ---- */
void fr_sheet_write_schema(FILE *out); /* JSON Schema of a build sheet and of parts */
void fr_sheet_write_docs(FILE *out);   /* the field reference of docs/sheet.md */
void fr_sheet_write_draft(FILE *out);  /* a starter sheet, every line explained */

#ifdef __cplusplus
}
#endif
#endif
