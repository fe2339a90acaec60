/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "published/table.h"

#include "support.h"

enum { ROWS_MAX = 256 };

typedef struct row {
    const char *section;
    char source[160];
    char what[160];
    char unit[24];
    double published, ours, allowed;
    bool relative;
} row;

static row rows[ROWS_MAX];
static int row_count;
static int skipped;
static const char *section_now = "";

void published_section(const char *title) {
    section_now = title;
}

static double off(const row *r) {
    return r->relative ? (r->ours - r->published) / r->published : r->ours - r->published;
}

void published_check(const char *source, const char *what, const char *unit, double published,
                     double ours, double allowed, bool relative, const char *file, int line) {
    assert_true(row_count < ROWS_MAX);
    row *r = &rows[row_count++];
    *r = (row){.section = section_now,
               .published = published,
               .ours = ours,
               .allowed = allowed,
               .relative = relative};
    snprintf(r->source, sizeof r->source, "%s", source);
    snprintf(r->what, sizeof r->what, "%s", what);
    snprintf(r->unit, sizeof r->unit, "%s", unit);
    if (!(fabs(off(r)) <= allowed)) {
        print_error("%s: ours %.10g, %s says %.10g; off by %.3g, allowed %.3g\n", what, ours,
                    source, published, off(r), allowed);
        _fail(file, line);
    }
}

void published_skip(const char *why) {
    skipped++;
    print_message("SKIPPED, NOT CHECKED: %s\n", why);
    skip();
}

bool published_ask(const char *command, char *answer, int size) {
    FILE *child = popen(command, "r");
    if (child == NULL) {
        return false;
    }
    const bool got = fgets(answer, size, child) != NULL;
    char rest[256];
    while (fgets(rest, sizeof rest, child) != NULL) {
    }
    answer[got ? strcspn(answer, "\n") : 0] = '\0';
    return pclose(child) == 0 && got;
}

bool published_is_whole(void) {
    return skipped == 0;
}

/* ---- the document ---- */

/* A relative difference below this is rounding, and differs from machine to machine. */
static const double nothing = 5e-8;

static void write_off(FILE *out, const row *r) {
    const double relative =
        fabs(r->ours - r->published) / (r->published == 0.0 ? 1.0 : fabs(r->published));
    if (relative < nothing) {
        fprintf(out, "none | ");
    } else if (r->relative) {
        fprintf(out, "%+.2g %% | ", 100.0 * off(r));
    } else {
        fprintf(out, "%+.2g %s | ", off(r), r->unit);
    }
    if (r->relative) {
        fprintf(out, "%.2g %% |\n", 100.0 * r->allowed);
    } else {
        fprintf(out, "%.2g %s |\n", r->allowed, r->unit);
    }
}

static void write_row(FILE *out, const row *r) {
    fprintf(out, "| %s | %s | %.7g %s | %.7g %s | ", r->what, r->source, r->published, r->unit,
            r->ours, r->unit);
    write_off(out, r);
}

static const char head[] =
    "# Published checks\n"
    "\n"
    "What the program computes, held against figures from outside. The test run makes this page\n"
    "(`tests/published`) and fails when it is not the one that is committed; `make docs` writes "
    "it.\n"
    "\n"
    "Each source says how its figure came to us. *As quoted, not seen in print*: a figure that we "
    "were\n"
    "given with the name of the work, and computed again. *From memory*: remembered, not looked "
    "up.\n"
    "*Definition*: exact. A difference of *none* is below one part in 20 million.\n";

bool published_write(const char *path) {
    const char *section = "";
    FILE *out = fopen(path, "w");
    if (out == NULL) {
        return false;
    }
    fputs(head, out);
    for (int i = 0; i < row_count; i++) {
        if (strcmp(rows[i].section, section) != 0) {
            section = rows[i].section;
            fprintf(out,
                    "\n## %s\n\n| what | source | published | ours | difference | allowed |\n"
                    "| --- | --- | ---: | ---: | ---: | ---: |\n",
                    section);
        }
        write_row(out, &rows[i]);
    }
    return fclose(out) == 0;
}
