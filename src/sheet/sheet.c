/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A sheet: its text, the build bound from it, and what was assumed on the way. */
#include "fuelreach/sheet.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sheet/assumed.h"
#include "sheet/bind.h"
#include "sheet/folder.h"
#include "sheet/paste.h"
#include "sheet/set.h"
#include "sheet/suggest.h"

/* A longer sheet is refused with its size named; that much is read to know. */
enum { TEXT_MOST = 1024 * 1024 };

struct fr_sheet {
    char *file;
    char *text;
    size_t length;
    fr_tree *tree;
    fr_tree **settings; /* one a --set, kept as long as the sheet */
    size_t setting_count;
    const fr_node *root; /* the tree's, with the settings in it */
    fr_pantry *pantry;
    fr_sheet_facts facts;
    fr_build build;
    fr_assumptions assumed;
    fr_inputs inputs;
};

/* ---- settings ---- */

static fr_node blank_scalar(fr_tree *tree) {
    return (fr_node){.kind = FR_NODE_SCALAR, .line = 1, .column = 1, .text = "", .tree = tree};
}

/* "PATH=VALUE" as a tree of the value, with the path in front. Null when it is none. */
static fr_tree *read_setting(const char *set, fr_report *report, char *path, size_t size) {
    const char *equals = strchr(set, '=');
    size_t length = equals ? (size_t)(equals - set) : 0;
    char file[FR_PATH_MAX];
    fr_tree *tree = NULL;
    while (length && set[length - 1] == ' ')
        length--;
    if (length == 0 || length >= size) {
        fr_report_add(report, FR_ERROR, "--set", 0, 0, NULL, "a setting is PATH=VALUE",
                      "write it like --set 'supply.feed_pressure=4 bar'", NULL);
        return NULL;
    }
    memcpy(path, set, length);
    path[length] = '\0';
    snprintf(file, sizeof file, "--set %s", path);
    if (fr_tree_read(file, equals + 1, strlen(equals + 1), report, &tree) != FR_OK) {
        fr_tree_close(tree);
        return NULL;
    }
    return tree;
}

static const fr_node *value_of(fr_tree *tree) {
    const fr_node *value = fr_tree_root(tree);
    if (value)
        return value;
    fr_node *blank = fr_tree_alloc(tree, sizeof *blank);
    if (blank)
        *blank = blank_scalar(tree);
    return blank;
}

static bool keep_setting(fr_sheet *sheet, fr_tree *tree) {
    fr_tree **grown = realloc(sheet->settings, (sheet->setting_count + 1) * sizeof(fr_tree *));
    if (!grown)
        return false;
    sheet->settings = grown;
    sheet->settings[sheet->setting_count++] = tree;
    return true;
}

static fr_status apply_set(fr_sheet *sheet, const char *set, fr_report *report) {
    char path[FR_PATH_MAX / 2];
    fr_tree *tree = read_setting(set, report, path, sizeof path);
    if (!tree)
        return report->out_of_memory ? FR_NO_MEMORY : FR_BAD_INPUT;
    if (!keep_setting(sheet, tree)) {
        fr_tree_close(tree);
        return FR_NO_MEMORY;
    }
    const fr_node *value = value_of(tree);
    const fr_node *root = value ? fr_set_path(tree, sheet->pantry, sheet->root, path, value) : NULL;
    if (!root) {
        fr_report_add(report, FR_ERROR, "--set", 0, 0, path, "this path leads nowhere in a sheet",
                      "'fuelreach draft' shows every field with its section", NULL);
        return FR_BAD_INPUT;
    }
    sheet->root = root;
    return FR_OK;
}

/* Blends of the command line take the place of the sheet's. */
static fr_status apply_blends(fr_sheet *sheet, const fr_sheet_options *options, fr_report *report) {
    char set[FR_SAY_MAX] = "fuel.blends=[";
    size_t used = strlen(set);
    fr_status status = FR_OK;
    for (size_t i = 0; i < options->blend_count; i++) {
        double fraction;
        char name[FR_BLEND_NAME_SIZE];
        if (!fr_blend_parse(options->blends[i], &fraction)) {
            fr_report_add(report, FR_ERROR, "--blend", 0, 0, NULL, "this is not a blend",
                          "write it like --blend E85", options->blends[i]);
            status = FR_BAD_INPUT;
            continue;
        }
        fr_blend_spell(fraction, name);
        used += (size_t)snprintf(set + used, sizeof set - used, "%s%s", i ? ", " : "", name);
        if (used + FR_BLEND_NAME_SIZE >= sizeof set)
            return FR_BAD_INPUT;
    }
    if (status != FR_OK || options->blend_count == 0)
        return status;
    snprintf(set + used, sizeof set - used, "]");
    return apply_set(sheet, set, report);
}

static fr_status apply_options(fr_sheet *sheet, const fr_sheet_options *options,
                               fr_report *report) {
    fr_status status = FR_OK;
    for (size_t i = 0; i < options->set_count; i++) {
        fr_status one = apply_set(sheet, options->sets[i], report);
        status = one > status ? one : status;
    }
    fr_status blends = apply_blends(sheet, options, report);
    return blends > status ? blends : status;
}

/* ---- opening ---- */

static fr_status bind(fr_sheet *sheet, fr_report *report) {
    fr_binder binder = {.build = &sheet->build,
                        .facts = &sheet->facts,
                        .memory = sheet->tree,
                        .pantry = sheet->pantry,
                        .report = report,
                        .assumed = &sheet->assumed,
                        .inputs = &sheet->inputs};
    bool bound = fr_bind_sheet(&binder, sheet->root);
    if (binder.out_of_memory || report->out_of_memory)
        return FR_NO_MEMORY;
    return bound ? FR_OK : FR_BAD_INPUT;
}

static fr_status open_tree(fr_sheet *sheet, const fr_sheet_options *options, fr_report *report) {
    static const fr_sheet_options none = {0};
    options = options ? options : &none;
    sheet->pantry = fr_pantry_open(options->parts_dirs, options->parts_dir_count, false);
    if (!sheet->pantry)
        return FR_NO_MEMORY;
    fr_status folders = fr_pantry_check(sheet->pantry, report);
    if (folders != FR_OK)
        return folders;
    fr_status read = fr_tree_read(sheet->file, sheet->text, sheet->length, report, &sheet->tree);
    if (!sheet->tree)
        return read == FR_OK ? FR_NO_MEMORY : read;
    sheet->root = fr_tree_root(sheet->tree);
    fr_status set = apply_options(sheet, options, report);
    fr_status bound = bind(sheet, report);
    fr_status worst = read > set ? read : set;
    return bound > worst ? bound : worst;
}

/* Takes `text`, which is on the heap. */
static fr_status open_owned(const char *name, char *text, size_t length,
                            const fr_sheet_options *options, fr_report *report, fr_sheet **out) {
    fr_sheet *sheet = calloc(1, sizeof *sheet);
    if (!sheet) {
        free(text);
        return FR_NO_MEMORY;
    }
    sheet->text = text;
    sheet->length = length;
    sheet->file = fr_copy_text(name);
    fr_status status = sheet->file ? open_tree(sheet, options, report) : FR_NO_MEMORY;
    fr_report_sort(report);
    if (status != FR_OK) {
        fr_sheet_close(sheet);
        return status;
    }
    *out = sheet;
    return FR_OK;
}

fr_status fr_sheet_open_text(const char *name, const char *text, size_t length,
                             const fr_sheet_options *options, fr_report *report, fr_sheet **sheet) {
    *sheet = NULL;
    char *copy = malloc(length + 1);
    if (!copy)
        return FR_NO_MEMORY;
    memcpy(copy, text, length);
    copy[length] = '\0';
    return open_owned(name, copy, length, options, report, sheet);
}

fr_status fr_sheet_open(const char *path, const fr_sheet_options *options, fr_report *report,
                        fr_sheet **sheet) {
    char *text;
    size_t length;
    *sheet = NULL;
    fr_status status = strcmp(path, "-") == 0 ? fr_read_all(stdin, TEXT_MOST, &text, &length)
                                              : fr_read_file(path, TEXT_MOST, &text, &length);
    if (status == FR_SYSTEM) {
        char message[FR_SAY_MAX];
        snprintf(message, sizeof message, "cannot be read: %s", strerror(errno));
        fr_report_add(report, FR_ERROR, path, 0, 0, NULL, message, NULL, NULL);
    }
    return status == FR_OK ? open_owned(path, text, length, options, report, sheet) : status;
}

void fr_sheet_close(fr_sheet *sheet) {
    if (!sheet)
        return;
    for (size_t i = 0; i < sheet->setting_count; i++)
        fr_tree_close(sheet->settings[i]);
    free(sheet->settings);
    fr_tree_close(sheet->tree);
    fr_pantry_close(sheet->pantry);
    fr_assumptions_close(&sheet->assumed);
    free(sheet->file);
    free(sheet->text);
    free(sheet);
}

/* ---- what it says ---- */

const char *fr_sheet_file(const fr_sheet *sheet) {
    return sheet->file;
}

const char *fr_sheet_name(const fr_sheet *sheet) {
    return sheet->facts.name;
}

fr_units fr_sheet_units(const fr_sheet *sheet) {
    return sheet->facts.units;
}

const char *fr_sheet_text(const fr_sheet *sheet, size_t *length) {
    if (length)
        *length = sheet->length;
    return sheet->text;
}

const fr_build *fr_sheet_build(const fr_sheet *sheet) {
    return &sheet->build;
}

const fr_assumed *fr_sheet_assumed(const fr_sheet *sheet, size_t *count) {
    *count = sheet->assumed.count;
    return sheet->assumed.list;
}

const fr_input *fr_sheet_inputs(const fr_sheet *sheet, size_t *count) {
    *count = sheet->inputs.count;
    return sheet->inputs.list;
}

const fr_sizing_section *fr_sheet_sizing(const fr_sheet *sheet) {
    return &sheet->facts.sizing;
}

const fr_log_section *fr_sheet_log(const fr_sheet *sheet) {
    return &sheet->facts.log;
}

const char *fr_sheet_part_name(const fr_sheet *sheet, const char *slot) {
    for (int kind = 0; kind < FR_PART_KIND_COUNT; kind++)
        if (fr_edit_distance(slot, fr_part_kind_name((fr_part_kind)kind)) == 0)
            return sheet->facts.part_names[kind];
    return "";
}

bool fr_sheet_paste(const fr_sheet *sheet, const char *path, const char *value, char *out,
                    size_t size) {
    return fr_paste(sheet->root, path, value, NULL, out, size);
}

/* ---- one setting more ---- */

bool fr_sheet_with(fr_sheet *sheet, const char *set, fr_build *build) {
    char path[FR_PATH_MAX / 2];
    fr_report unheard = FR_REPORT_EMPTY;
    fr_sheet_facts facts;
    fr_tree *tree = read_setting(set, &unheard, path, sizeof path);
    fr_report_close(&unheard);
    if (!tree)
        return false;
    const fr_node *value = value_of(tree);
    const fr_node *root = value ? fr_set_path(tree, sheet->pantry, sheet->root, path, value) : NULL;
    fr_binder binder = {.build = build, .facts = &facts, .memory = tree, .pantry = sheet->pantry};
    bool bound = root && fr_bind_sheet(&binder, root);
    fr_tree_close(tree);
    return bound;
}
