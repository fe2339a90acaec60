/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Finding parts' files by kind and name, and keeping what was read. */
#ifndef FR_SHEET_PARTS_H
#define FR_SHEET_PARTS_H

#include "fuelreach/sheet.h"
#include "sheet/tree.h"

typedef struct fr_pantry fr_pantry;

/* One part's file, read. */
typedef struct fr_stored {
    fr_part_kind kind;
    char *name;
    char *file;
    fr_tree *tree; /* null: there is no such part, or its file cannot be read */
    bool shipped;
    bool hides_shipped;
    bool told; /* what is wrong with the file has been said */
} fr_stored;

/* `dirs` are copied. Null when out of memory. */
fr_pantry *fr_pantry_open(const char *const *dirs, size_t dir_count, bool without_shipped);
void fr_pantry_close(fr_pantry *pantry);
/* Says which of the folders cannot be read. */
fr_status fr_pantry_check(fr_pantry *pantry, fr_report *report);
/* The part of a kind and name; null when there is none (or memory is out). What is wrong with its
 * file is said once in `report`, which may be null; its tree is null then. */
const fr_stored *fr_pantry_get(fr_pantry *pantry, fr_part_kind kind, const char *name,
                               fr_report *report);
/* A text of the field table ("{1000 rpm: 95 %, 3500 rpm: 86 %}"), read; kept with the parts. The
 * text must live as long. Null when it is no YAML or memory is out. */
const fr_node *fr_pantry_default(fr_pantry *pantry, const char *text);
/* Reads every part of every folder. Stored parts in order of kind, then name. */
fr_status fr_pantry_fill(fr_pantry *pantry, fr_report *report);
const fr_stored *const *fr_pantry_all(fr_pantry *pantry, size_t *count);
/* Calls `see` with the name of every part that lies in a folder of its kind. */
void fr_pantry_names(fr_pantry *pantry, fr_part_kind kind,
                     void (*see)(const char *name, void *context), void *context);

#endif
