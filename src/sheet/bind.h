/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Binding: from a tree of words to a build of numbers. A scope is a mapping being read, with the
 * section of the field table that says what may stand in it. */
#ifndef FR_SHEET_BIND_H
#define FR_SHEET_BIND_H

#include "fuelreach/check.h"
#include "fuelreach/sheet.h"
#include "sheet/fields.h"
#include "sheet/inputs.h"
#include "sheet/tree.h"

enum {
    FR_PATH_MAX = 192,
    FR_NAME_MAX = 64, /* of a part */
    FR_SAY_MAX = 512  /* of a message */
};

typedef struct fr_pantry fr_pantry;           /* parts.h */
typedef struct fr_assumptions fr_assumptions; /* assumed.h */

/* What a sheet says beside its build. */
typedef struct fr_sheet_facts {
    const char *name;
    fr_units units;
    fr_sizing_section sizing;
    fr_log_section log;
    char part_names[FR_PART_KIND_COUNT][FR_NAME_MAX];
    fr_factory factory;
    fr_quantity learnt[FR_IN_COUNT]; /* factors; value 0: not learnt */
} fr_sheet_facts;

/* One run of reading. */
typedef struct fr_binder {
    fr_build *build; /* null when a single part is read */
    fr_sheet_facts *facts;
    fr_tree *memory; /* arena for what is made on the way */
    fr_pantry *pantry;
    fr_report *report; /* null: errors are only counted */
    size_t errors;
    fr_assumptions *assumed; /* null: not kept */
    fr_inputs *inputs;       /* null: not kept */
    bool out_of_memory;
} fr_binder;

/* What is being read: the sheet's own words, over those of a part's file. */
typedef struct fr_scope {
    fr_binder *binder;
    const fr_section *section;
    char path[FR_PATH_MAX];
    size_t layer_count;
    const fr_node *layers[2]; /* maps; the first that has a key wins */
    const fr_node *at;        /* where to say that something is missing; may be null */
    bool quiet;               /* defaults taken here are not listed */
} fr_scope;

/* ---- bind.c: scopes ---- */

/* A scope over one map. */
fr_scope fr_scope_of(fr_binder *binder, const fr_section *section, const char *path,
                     const fr_node *map);
/* The scope of a key that holds a section. False when it is absent or was refused. */
bool fr_scope_enter(const fr_scope *parent, const char *key, fr_scope *child);
/* Says what stands in the scope's maps and is no field of its section. */
void fr_scope_check_keys(const fr_scope *scope);
/* Value of a key, null when absent. */
const fr_node *fr_find(const fr_scope *scope, const char *key);
/* The key's node, for places. */
const fr_node *fr_find_key(const fr_scope *scope, const char *key);
bool fr_is_blank(const fr_node *node);
/* Path of a key within a scope. */
void fr_path_join(const fr_scope *scope, const char *key, char *out, size_t size);
/* The field of a key; it must exist. */
const fr_field *fr_scope_field(const fr_scope *scope, const char *key);
/* Memory for what is made on the way. */
void *fr_make(fr_binder *binder, size_t size);
const char *fr_make_text(fr_binder *binder, const char *text);

/* ---- say.c: remarks ---- */

/* Adds a remark at a node (null: no place). `hint` may be null. */
void fr_say(fr_binder *binder, fr_severity severity, const fr_node *node, const char *path,
            const char *hint, const char *format, ...)
#if defined(__GNUC__)
    __attribute__((format(printf, 6, 7)))
#endif
    ;
/* True when somebody listens; else a message need not be made. */
bool fr_listens(const fr_binder *binder);

/* ---- take.c: single values ----
 * Each is true when the sheet says it (rightly or not). When it does not, a default_text of the
 * field is taken and listed; without one, *out stays as it is. A needed field that is absent is
 * an error. */

bool fr_take(const fr_scope *scope, const char *key, double *out);
bool fr_take_quantity(const fr_scope *scope, const char *key, fr_quantity *out);
bool fr_take_whole(const fr_scope *scope, const char *key, unsigned *out);
bool fr_take_word(const fr_scope *scope, const char *key, unsigned *out);
bool fr_take_flag(const fr_scope *scope, const char *key, bool *out); /* second word of two */
/* Fields (a list with one blank between) that have no use beside another: still read, so that what
 * is wrong with them is said; a caution when they are there. */
void fr_take_unused(const fr_scope *scope, const char *keys, const char *beside);
bool fr_take_blend(const fr_scope *scope, const char *key, double *out);
const char *fr_take_text(const fr_scope *scope, const char *key);
/* Reads one scalar as a quantity of a field, saying what is wrong and what is unlikely. */
bool fr_read_quantity(const fr_scope *scope, const fr_field *field, const fr_node *node,
                      fr_quantity *out);
bool fr_read_blend(const fr_scope *scope, const char *key, const fr_node *node, double *out);
/* True when the value is outside the field's bounds; `unlikely` likewise outside the usual. */
bool fr_out_of_bounds(const fr_field *field, const fr_quantity *quantity, bool *unlikely);
/* Keeps the ± of a quantity that was written into `target` (a double of the build). */
void fr_keep_tolerance(const fr_scope *scope, const fr_field *field, const fr_quantity *quantity,
                       const double *target);

/* ---- take_curve.c ---- */

bool fr_take_curve(const fr_scope *scope, const char *key, fr_curve *out);
/* Reads a curve node; says at most one thing. `kind` gets the kind of its values. */
bool fr_read_curve(const fr_scope *scope, const fr_field *field, const fr_node *node, fr_curve *out,
                   fr_quantity *widest);

/* ---- assumed.c: what was filled in ---- */

void fr_assume(const fr_scope *scope, const char *key, double si, double *out);
void fr_assume_word(const fr_scope *scope, const char *key, unsigned index, unsigned *out);
void fr_assume_curve(const fr_scope *scope, const char *key, const fr_curve *curve, fr_curve *out);
/* Lists a default whose value was put in place by the caller. */
void fr_assume_text(const fr_scope *scope, const char *key, const char *value);

/* ---- use of parts: bind_part.c ---- */

typedef enum fr_part_form {
    FR_PART_ABSENT,
    FR_PART_REFUSED,
    FR_PART_WRITTEN,
    FR_PART_NAMED,
    FR_PART_RATED,
    FR_PART_FACTORY
} fr_part_form;

/* Opens the part that a node holds: name, mapping, rating or factory. */
fr_part_form fr_part_enter(const fr_scope *parent, const fr_field *field, const fr_node *node,
                           const char *path, fr_scope *child);
/* Says which fields of a part's file have their place in a sheet only. */
void fr_check_part_file(const fr_scope *child);
/* Factory's scale of an entered factory part. */
double fr_part_of_factory(const fr_scope *part);

/* One kind each; `part` is an entered scope. */
void fr_bind_pump(const fr_scope *part, fr_pump *pump);
void fr_bind_port_injector(const fr_scope *part, fr_port *port);
void fr_bind_direct_injector(const fr_scope *part, fr_direct *direct);
void fr_bind_hp_pump(const fr_scope *part, fr_direct *direct);
void fr_bind_filter(const fr_scope *part, fr_filter *filter);
void fr_bind_line(const fr_scope *part, fr_line *line);
void fr_bind_wiring(const fr_scope *part, double *ohm, double *fuse_a);
void fr_bind_gasoline(const fr_scope *part, fr_gasoline *gasoline);
/* Spread of a part, as the tolerance of a named input unless one is written already. */
void fr_bind_spread(const fr_scope *part, fr_input_id id);

/* ---- factory parts: bind_factory.c ---- */

/* Says which fields of an entered factory part would say what `factory` works out. */
void fr_check_factory(const fr_scope *part, fr_part_kind kind);
void fr_need_factory_power(const fr_scope *top);
/* Sizes them in a build that is read but for them. False when no size does it. */
bool fr_size_factory(const fr_scope *top);
/* Lists each, written out. */
void fr_list_factory(fr_binder *binder, const fr_node *root);

/* ---- the sections ---- */

void fr_bind_engine(const fr_scope *engine, fr_engine *out);
void fr_bind_fuel(const fr_scope *fuel);
void fr_bind_supply(const fr_scope *supply);
void fr_bind_site(const fr_scope *site, const fr_scope *supply);
void fr_bind_lift_pump(const fr_scope *supply);
void fr_bind_injection(const fr_scope *supply);
void fr_bind_studies(const fr_scope *top);
/* Learnt factors, on what the rest of the sheet came to. */
void fr_apply_learnt(fr_binder *binder);
/* The whole sheet. False when there are errors. */
bool fr_bind_sheet(fr_binder *binder, const fr_node *root);

#endif
