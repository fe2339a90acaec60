/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Finding parts' files. A shipped part lies at KIND/NAME.yaml; a user's part anywhere under their
 * folder, its `kind` decides. */
#include "sheet/parts.h"

#include <ctype.h>
#include <errno.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "sheet/fields.h"
#include "sheet/folder.h"

enum {
    PATH_SIZE = 4096,
    FILE_MOST = 1024 * 1024,
    DEFAULTS_MAX = 16 /* more than the field table has curves and lists by default */
};

struct fr_pantry {
    char **dirs;
    size_t dir_count;
    bool without_shipped;
    char shipped[PATH_SIZE];
    fr_stored **stored;
    size_t count, capacity;
    struct {
        const char *text;
        fr_tree *tree;
    } defaults[DEFAULTS_MAX];
    size_t default_count;
};

/* ---- where shipped parts are ---- */

static bool is_folder(const char *path) {
    char probe[PATH_SIZE + 16];
    snprintf(probe, sizeof probe, "%s/%s", path, fr_part_kind_name(FR_PART_LIFT_PUMP));
    return access(probe, R_OK | X_OK) == 0;
}

/* Beside the program, or beside the folder that it was built in. */
static bool beside_program(char *out, size_t size) {
    static const char *const places[] = {"components", "../components", "../../components"};
    char self[PATH_SIZE];
    ssize_t length = readlink("/proc/self/exe", self, sizeof self - 1);
    if (length <= 0)
        return false;
    self[length] = '\0';
    char *slash = strrchr(self, '/');
    if (!slash)
        return false;
    *slash = '\0';
    for (size_t i = 0; i < sizeof places / sizeof places[0]; i++)
        if (snprintf(out, size, "%s/%s", self, places[i]) < (int)size && is_folder(out))
            return true;
    return false;
}

const char *fr_shipped_parts_dir(void) {
    static char found[PATH_SIZE];
    const char *named = getenv("FUELREACH_PARTS");
    if (named && named[0])
        return named;
#ifdef FR_PARTS_DIR
    if (is_folder(FR_PARTS_DIR))
        return FR_PARTS_DIR;
#endif
    if (!found[0] && !beside_program(found, sizeof found))
        snprintf(found, sizeof found, "components");
    return found;
}

/* ---- opening ---- */

fr_pantry *fr_pantry_open(const char *const *dirs, size_t dir_count, bool without_shipped) {
    fr_pantry *pantry = calloc(1, sizeof *pantry);
    if (!pantry)
        return NULL;
    pantry->without_shipped = without_shipped;
    snprintf(pantry->shipped, sizeof pantry->shipped, "%s", fr_shipped_parts_dir());
    pantry->dirs = calloc(dir_count + 1, sizeof *pantry->dirs);
    if (!pantry->dirs) {
        fr_pantry_close(pantry);
        return NULL;
    }
    for (size_t i = 0; i < dir_count; i++) {
        pantry->dirs[i] = fr_copy_text(dirs[i]);
        if (!pantry->dirs[i]) {
            fr_pantry_close(pantry);
            return NULL;
        }
        pantry->dir_count++;
    }
    return pantry;
}

static void stored_close(fr_stored *stored) {
    fr_tree_close(stored->tree);
    free(stored->name);
    free(stored->file);
    free(stored);
}

void fr_pantry_close(fr_pantry *pantry) {
    if (!pantry)
        return;
    for (size_t i = 0; i < pantry->count; i++)
        stored_close(pantry->stored[i]);
    for (size_t i = 0; i < pantry->default_count; i++)
        fr_tree_close(pantry->defaults[i].tree);
    for (size_t i = 0; pantry->dirs && i < pantry->dir_count; i++)
        free(pantry->dirs[i]);
    free(pantry->dirs);
    free(pantry->stored);
    free(pantry);
}

static fr_stored *store(fr_pantry *pantry, fr_part_kind kind, const char *name) {
    enum { FIRST = 16 };
    if (pantry->count == pantry->capacity) {
        size_t capacity = pantry->capacity ? 2 * pantry->capacity : FIRST;
        fr_stored **grown = realloc(pantry->stored, capacity * sizeof(fr_stored *));
        if (!grown)
            return NULL;
        pantry->stored = grown;
        pantry->capacity = capacity;
    }
    fr_stored *stored = calloc(1, sizeof *stored);
    char *copy = fr_copy_text(name);
    if (!stored || !copy) {
        free(stored);
        free(copy);
        return NULL;
    }
    stored->kind = kind;
    stored->name = copy;
    pantry->stored[pantry->count++] = stored;
    return stored;
}

/* ---- reading one file ---- */

static void tell_unreadable(fr_report *report, const char *file) {
    char message[256];
    snprintf(message, sizeof message, "cannot be read: %s", strerror(errno));
    if (report)
        fr_report_add(report, FR_ERROR, file, 0, 0, NULL, message, NULL, NULL);
}

fr_status fr_pantry_check(fr_pantry *pantry, fr_report *report) {
    fr_status status = FR_OK;
    for (size_t i = 0; i < pantry->dir_count; i++) {
        if (fr_folder_can_be_read(pantry->dirs[i]))
            continue;
        tell_unreadable(report, pantry->dirs[i]);
        status = FR_SYSTEM;
    }
    return status;
}

/* Reads a file into a tree. FR_BAD_INPUT when its layout is wrong. */
static fr_status read_tree(const char *file, fr_report *report, fr_tree **tree) {
    fr_report unheard = FR_REPORT_EMPTY;
    char *text;
    size_t length;
    *tree = NULL;
    fr_status status = fr_read_file(file, FILE_MOST, &text, &length);
    if (status != FR_OK) {
        tell_unreadable(report, file);
        return status;
    }
    status = fr_tree_read(file, text, length, report ? report : &unheard, tree);
    fr_report_close(&unheard);
    free(text);
    if (status != FR_OK && *tree) {
        fr_tree_close(*tree);
        *tree = NULL;
    }
    return status;
}

/* Kind of a part as its file says it; FR_PART_KIND_COUNT when it says none. */
static fr_part_kind kind_of(fr_tree *tree) {
    const fr_node *kind = tree ? fr_node_get(fr_tree_root(tree), "kind") : NULL;
    if (!kind || kind->kind != FR_NODE_SCALAR)
        return FR_PART_KIND_COUNT;
    return (fr_part_kind)fr_word_find(&fr_kind_words, kind->text);
}

/* ---- a user's folder ---- */

typedef struct search {
    fr_part_kind kind;
    const char *name;
    char file[PATH_SIZE];
    bool found;
} search;

static bool see_named(const char *path, const char *name, void *context) {
    search *wanted = context;
    fr_tree *tree;
    if (strcmp(name, wanted->name) != 0)
        return true;
    fr_status status = read_tree(path, NULL, &tree);
    /* A file of that name that cannot be read is taken for the part, so that it is told. */
    wanted->found = status != FR_OK || kind_of(tree) == wanted->kind;
    if (wanted->found)
        snprintf(wanted->file, sizeof wanted->file, "%s", path);
    fr_tree_close(tree);
    return !wanted->found;
}

static bool shipped_file(const fr_pantry *pantry, fr_part_kind kind, const char *name, char *out,
                         size_t size) {
    if (pantry->without_shipped)
        return false;
    int length =
        snprintf(out, size, "%s/%s/%s.yaml", pantry->shipped, fr_part_kind_name(kind), name);
    return length > 0 && (size_t)length < size && access(out, F_OK) == 0;
}

/* A name is no path. */
static bool is_name(const char *name) {
    return name[0] && name[0] != '.' && !strchr(name, '/') && strlen(name) < NAME_MAX;
}

static bool find_file(fr_pantry *pantry, fr_stored *stored, char *file, size_t size) {
    char shipped[PATH_SIZE];
    search wanted = {.kind = stored->kind, .name = stored->name};
    bool has_shipped = shipped_file(pantry, stored->kind, stored->name, shipped, sizeof shipped);
    for (size_t i = pantry->dir_count; i > 0 && !wanted.found; i--)
        fr_folder_walk(pantry->dirs[i - 1], see_named, &wanted);
    stored->shipped = !wanted.found && has_shipped;
    stored->hides_shipped = wanted.found && has_shipped;
    snprintf(file, size, "%s", wanted.found ? wanted.file : shipped);
    return wanted.found || has_shipped;
}

static fr_stored *stored_already(fr_pantry *pantry, fr_part_kind kind, const char *name) {
    for (size_t i = 0; i < pantry->count; i++)
        if (pantry->stored[i]->kind == kind && strcmp(pantry->stored[i]->name, name) == 0)
            return pantry->stored[i];
    return NULL;
}

static void load(fr_stored *stored, const char *file, fr_report *report) {
    stored->file = fr_copy_text(file);
    stored->told = report != NULL;
    read_tree(file, report, &stored->tree);
}

const fr_stored *fr_pantry_get(fr_pantry *pantry, fr_part_kind kind, const char *name,
                               fr_report *report) {
    char file[PATH_SIZE];
    fr_stored *stored = stored_already(pantry, kind, name);
    if (!stored) {
        stored = is_name(name) ? store(pantry, kind, name) : NULL;
        if (!stored)
            return NULL;
        if (find_file(pantry, stored, file, sizeof file))
            load(stored, file, report);
    } else if (stored->file && !stored->tree && report && !stored->told) {
        char *again = stored->file;
        load(stored, again, report);
        free(again);
    }
    return stored->file ? stored : NULL;
}

const fr_node *fr_pantry_default(fr_pantry *pantry, const char *text) {
    fr_report unheard = FR_REPORT_EMPTY;
    fr_tree *tree = NULL;
    for (size_t i = 0; i < pantry->default_count; i++)
        if (strcmp(pantry->defaults[i].text, text) == 0)
            return fr_tree_root(pantry->defaults[i].tree);
    if (pantry->default_count == DEFAULTS_MAX)
        return NULL;
    fr_status status = fr_tree_read("default", text, strlen(text), &unheard, &tree);
    fr_report_close(&unheard);
    if (status != FR_OK || !tree) {
        fr_tree_close(tree);
        return NULL;
    }
    pantry->defaults[pantry->default_count].text = text;
    pantry->defaults[pantry->default_count++].tree = tree;
    return fr_tree_root(tree);
}

/* ---- all of them ---- */

typedef struct filling {
    fr_pantry *pantry;
    fr_report *report;
    bool shipped;
    fr_status status;
} filling;

static void tell_no_kind(const filling *fill, const char *path) {
    fr_report_add(fill->report, FR_ERROR, path, 1, 1, "kind", "this part says no kind",
                  "write 'kind: lift-pump' or another kind of part", NULL);
}

static bool see_any(const char *path, const char *name, void *context) {
    filling *fill = context;
    fr_tree *tree;
    fr_status status = read_tree(path, fill->report, &tree);
    fr_part_kind kind = kind_of(tree);
    if (status == FR_OK && kind == FR_PART_KIND_COUNT) {
        tell_no_kind(fill, path);
        status = FR_BAD_INPUT;
    }
    if (status != FR_OK) {
        fill->status = status > fill->status ? status : fill->status;
        fr_tree_close(tree);
        return true;
    }
    fr_stored *stored = stored_already(fill->pantry, kind, name);
    bool hides = stored && stored->shipped;
    if (!stored)
        stored = store(fill->pantry, kind, name);
    if (!stored) {
        fill->status = FR_NO_MEMORY;
        fr_tree_close(tree);
        return false;
    }
    fr_tree_close(stored->tree);
    free(stored->file);
    stored->tree = tree;
    stored->file = fr_copy_text(path);
    stored->shipped = fill->shipped;
    stored->hides_shipped = stored->hides_shipped || hides;
    return stored->file != NULL;
}

/* Digits count as the number that they make: port-210 comes before port-1000. */
static int compare_names(const char *a, const char *b) {
    const char *const whole_a = a, *const whole_b = b;
    while (*a != '\0' && *b != '\0') {
        if (isdigit((unsigned char)*a) && isdigit((unsigned char)*b)) {
            char *after_a, *after_b;
            const unsigned long number_a = strtoul(a, &after_a, 10);
            const unsigned long number_b = strtoul(b, &after_b, 10);
            if (number_a != number_b)
                return number_a < number_b ? -1 : 1;
            a = after_a;
            b = after_b;
        } else if (*a != *b) {
            break;
        } else {
            a++;
            b++;
        }
    }
    const int rest = strcmp(a, b);
    return rest != 0 ? rest : strcmp(whole_a, whole_b);
}

static int in_order(const void *a, const void *b) {
    const fr_stored *const *left = a;
    const fr_stored *const *right = b;
    if ((*left)->kind != (*right)->kind)
        return (*left)->kind < (*right)->kind ? -1 : 1;
    return compare_names((*left)->name, (*right)->name);
}

static void fill_from(filling *fill, const char *dir, bool shipped) {
    fill->shipped = shipped;
    if (fr_folder_walk(dir, see_any, fill))
        return;
    fill->status = FR_SYSTEM;
    tell_unreadable(fill->report, dir);
}

fr_status fr_pantry_fill(fr_pantry *pantry, fr_report *report) {
    filling fill = {pantry, report, true, FR_OK};
    if (!pantry->without_shipped)
        fill_from(&fill, pantry->shipped, true);
    for (size_t i = 0; i < pantry->dir_count; i++)
        fill_from(&fill, pantry->dirs[i], false);
    if (pantry->count)
        qsort(pantry->stored, pantry->count, sizeof(fr_stored *), in_order);
    return fill.status;
}

const fr_stored *const *fr_pantry_all(fr_pantry *pantry, size_t *count) {
    *count = pantry->count;
    return (const fr_stored *const *)pantry->stored;
}

typedef struct naming {
    fr_part_kind kind;
    bool any_kind; /* a shipped folder holds one kind only */
    void (*see)(const char *name, void *context);
    void *context;
} naming;

static bool see_name(const char *path, const char *name, void *context) {
    naming *one = context;
    fr_tree *tree = NULL;
    bool fits = one->any_kind;
    if (!fits) {
        fits = read_tree(path, NULL, &tree) == FR_OK && kind_of(tree) == one->kind;
        fr_tree_close(tree);
    }
    if (fits)
        one->see(name, one->context);
    return true;
}

void fr_pantry_names(fr_pantry *pantry, fr_part_kind kind,
                     void (*see)(const char *name, void *context), void *context) {
    char dir[PATH_SIZE + 32];
    naming one = {kind, true, see, context};
    snprintf(dir, sizeof dir, "%s/%s", pantry->shipped, fr_part_kind_name(kind));
    if (!pantry->without_shipped)
        fr_folder_walk(dir, see_name, &one);
    one.any_kind = false;
    for (size_t i = 0; i < pantry->dir_count; i++)
        fr_folder_walk(pantry->dirs[i], see_name, &one);
}
