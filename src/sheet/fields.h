/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The field table: every field of a build sheet and of a part, written once. The reader, its
 * messages, the schema, the field reference and the starter sheet are all made from it. */
#ifndef FR_SHEET_FIELDS_H
#define FR_SHEET_FIELDS_H

#include <stdbool.h>
#include <stddef.h>

#include "fuelreach/quantity.h"
#include "fuelreach/sheet.h"

/* What stands behind a key. */
typedef enum fr_shape {
    FR_SHAPE_QUANTITY,
    FR_SHAPE_CURVE,  /* quantity over `axis`; a single quantity is taken too */
    FR_SHAPE_NUMBER, /* a bare number */
    FR_SHAPE_WHOLE,  /* a bare whole number */
    FR_SHAPE_WORD,   /* one of `words` */
    FR_SHAPE_TEXT,
    FR_SHAPE_BLEND,
    FR_SHAPE_BLENDS,   /* list of blends */
    FR_SHAPE_SECTION,  /* mapping of `section` */
    FR_SHAPE_SECTIONS, /* list of mappings of `section` */
    FR_SHAPE_PART,     /* part of the kind that `section` describes */
    FR_SHAPE_PARTS,    /* list of such parts */
    FR_SHAPE_WIRING,   /* word, resistance or part */
    FR_SHAPE_SLOTS,    /* list of slots of sizing */
    FR_SHAPE_CHANNEL   /* a column's name, or mapping of `section` */
} fr_shape;

/* What a curve runs over. */
typedef enum fr_axis {
    FR_AXIS_NONE,
    FR_AXIS_SPEED,      /* engine speed */
    FR_AXIS_PUMP_SPEED, /* speed of the high-pressure pump's cam */
    FR_AXIS_BLEND,
    FR_AXIS_RISE, /* gauge pressure */
    FR_AXIS_VOLTAGE
} fr_axis;

typedef enum fr_section_id {
    FR_SECTION_TOP,
    FR_SECTION_ENGINE,
    FR_SECTION_SITE,
    FR_SECTION_FUEL,
    FR_SECTION_SUPPLY,
    FR_SECTION_PUMP_CIRCUIT,
    FR_SECTION_PORT,
    FR_SECTION_DIRECT,
    FR_SECTION_LIMITS,
    FR_SECTION_LEARNT,
    FR_SECTION_SIZING,
    FR_SECTION_FITTING,
    FR_SECTION_LOG,
    FR_SECTION_CHANNEL,
    FR_SECTION_PUMP_CURVE,
    FR_SECTION_PARTS, /* the first kind of part; kinds follow in order of fr_part_kind */
    FR_SECTION_LIFT_PUMP = FR_SECTION_PARTS,
    FR_SECTION_PORT_INJECTOR,
    FR_SECTION_DIRECT_INJECTOR,
    FR_SECTION_HIGH_PRESSURE_PUMP,
    FR_SECTION_FILTER,
    FR_SECTION_LINE,
    FR_SECTION_WIRING,
    FR_SECTION_GASOLINE,
    FR_SECTION_COUNT
} fr_section_id;

/* One word of a fixed set. The place in the set is the value of the enum it stands for. */
typedef struct fr_word {
    const char *word;
    const char *synonyms; /* what people also write, lower case, one blank between */
    const char *help;
} fr_word;

typedef struct fr_words {
    size_t count;
    fr_word words[9];
    const char *unclear;      /* a word that may mean several, lower case; null: none */
    const char *unclear_hint; /* what to say about it */
} fr_words;

typedef struct fr_field {
    const char *key;
    fr_shape shape;
    fr_axis axis;
    fr_kinds kinds;
    const char *unit;               /* metric unit for showing; least to usual_most are in it */
    const char *unit_us;            /* null: the same */
    double least, most;             /* outside: refused. Both 0: any */
    double usual_least, usual_most; /* outside: a caution. Both 0: any */
    const char *slip;               /* the likely slip when outside the usual */
    const char *default_text;       /* a fixed default, as it would be written; null: none */
    const char *default_rule;       /* a default that depends on other fields, in words */
    const char *why;                /* where the default is from; null: "not given" */
    const char *example;            /* as it would be written; null: the default */
    const char *help;
    const char *synonyms; /* what people also call it, lower case, one blank between */
    const fr_words *words;
    fr_section_id section;
    const char *input; /* the input of the model whose tolerance a ± of this field is */
    int bad;           /* a greater value: +1 takes reach, -1 gives it */
    bool needed;
    bool sheet_only; /* not in a part's file */
    bool in_draft;   /* the starter sheet gives it a value */
} fr_field;

typedef struct fr_section {
    const char *name;  /* "engine", "pump_circuit", "lift-pump" */
    const char *place; /* path in a sheet, "supply.pump_circuit"; "" for the top */
    const char *help;
    const fr_field *fields;
    size_t count;
    bool is_part; /* takes the fields common to all parts too */
} fr_section;

extern const fr_section fr_engine_section, fr_site_section, fr_fuel_section;
extern const fr_section fr_supply_section, fr_pump_circuit_section, fr_port_section,
    fr_direct_section;
extern const fr_section fr_part_sections[FR_PART_KIND_COUNT];
extern const fr_section fr_pump_curve_section, fr_common_section;
extern const fr_section fr_limits_section, fr_learnt_section, fr_sizing_section_table,
    fr_fitting_section, fr_log_section_table, fr_channel_section;

extern const fr_words fr_units_words, fr_power_at_words, fr_aspiration_words, fr_bsfc_scaling_words,
    fr_boost_words, fr_regulation_words, fr_reference_words, fr_arrangement_words, fr_share_words,
    fr_wiring_words, fr_pump_type_words, fr_kind_words, fr_log_reference_words;

const fr_section *fr_section_of(fr_section_id id);
/* The field of a key in a section, or null. */
const fr_field *fr_field_find(const fr_section *section, const char *key);
/* The field that people also call `word` in this section, or null. */
const fr_field *fr_field_called(const fr_section *section, const char *word);
/* Number of fields of a section, the common fields of parts included, and the i-th. */
size_t fr_section_field_count(const fr_section *section);
const fr_field *fr_section_field(const fr_section *section, size_t index);
/* The field that a dotted path leads to ("supply.filters.0.drop"), or null. */
const fr_field *fr_field_at(const char *path);
/* Index of a word (any letter case), or words->count. */
size_t fr_word_find(const fr_words *words, const char *text);
/* Index of the word that people also call `text`, or words->count. */
size_t fr_word_called(const fr_words *words, const char *text);
/* True when `word` (lower case) stands in a list with one blank between. */
bool fr_listed(const char *list, const char *word);
/* Copies a key in the form that synonyms have: lower case, "_" for "-" and blanks. */
void fr_plain_key(const char *key, char *out, size_t size);
/* Name of an axis for people, "engine speed"; an example of a key, "3000 rpm". */
const char *fr_axis_name(fr_axis axis);
const char *fr_axis_example(fr_axis axis);
fr_kinds fr_axis_kinds(fr_axis axis);

#endif
