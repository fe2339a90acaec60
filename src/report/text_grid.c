/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The grid of stages against blends: one number each, how full the stage is at its worst speed. */
#include <math.h>
#include <string.h>

#include "report/document_words.h"
#include "report/prose.h"
#include "report/stage_words.h"
#include "report/table.h"
#include "report/text.h"
#include "report/utf8.h"

enum {
    BLENDS_A_GRID = 8,
    LABEL_COLUMNS = 26, /* the longest label and its indent */
    LIMIT_COLUMNS = 5,
    CELL_COLUMNS_MAX = 9
};

/* Beyond this the number says no more than that it is far too much. */
static const double SHOWN_PERCENT_MAX = 200;

typedef struct grid_place {
    size_t first, count; /* blends shown */
    size_t cell;         /* columns of one */
} grid_place;

static void write_heading(const fr_text *text) {
    static const char legend[] = "~ over its limit    ! short";
    fr_words words;
    fr_words_clear(&words);
    fr_words_add(&words, "Used at ");
    if (fr_same_target(text->document))
        fr_show_target(&words, text->document, text->style.units, false);
    else
        fr_words_add(&words, "the power asked");
    fr_words_add(&words, ", worst speed, %%");
    size_t used = fr_text_columns(words.text) + strlen(legend);
    fprintf(text->out, "\n%s%*s%s\n", words.text,
            used < FR_PAGE_COLUMNS ? (int)(FR_PAGE_COLUMNS - used) : 1, "", legend);
}

static void write_blend_names(const fr_text *text, const grid_place *grid) {
    fprintf(text->out, "%*s", LABEL_COLUMNS + LIMIT_COLUMNS, "limit");
    for (size_t i = 0; i < grid->count; i++) {
        char name[FR_BLEND_NAME_MAX];
        fr_blend_name(text->document->result->blends[grid->first + i].ethanol, name);
        fprintf(text->out, "%*s", (int)grid->cell, name);
    }
    fputc('\n', text->out);
}

/* The mark stands behind the number, in the gap of the next column. */
static void write_use(const fr_text *text, const grid_place *grid, const fr_stage_result *stage,
                      size_t owed) {
    static const char *const marks[] = {[FR_CLEAR] = "", [FR_TIGHT] = "~", [FR_SHORT] = "!"};
    char number[FR_TABLE_CELL_MAX];
    double percent = fr_use_percent(stage->use);
    fr_colour colour = stage->verdict == FR_CLEAR ? FR_PLAIN : fr_verdict_colour(stage->verdict);
    if (percent > SHOWN_PERCENT_MAX)
        snprintf(number, sizeof number, ">%.0f", SHOWN_PERCENT_MAX);
    else
        snprintf(number, sizeof number, "%.0f", percent);
    size_t pad = grid->cell - strlen(number) - owed;
    fprintf(text->out, "%*s%s%s%s%s", (int)pad, "", fr_colour_on(text->style.colour, colour),
            number, marks[stage->verdict], fr_colour_off(text->style.colour, colour));
}

static void write_stage(const fr_text *text, const grid_place *grid, fr_stage stage, double limit) {
    const fr_check_result *result = text->document->result;
    fr_words label;
    fr_words_clear(&label);
    fr_stage_label(&label, stage, text->document->build);
    fprintf(text->out, "  %-*s%*.4g", LABEL_COLUMNS - 2, label.text, LIMIT_COLUMNS, 100.0 * limit);
    size_t owed = 0;
    for (size_t i = 0; i < grid->count; i++) {
        const fr_stage_result *on = fr_stage_on(&result->blends[grid->first + i], stage);
        if (on == NULL)
            continue;
        write_use(text, grid, on, owed);
        owed = on->verdict != FR_CLEAR;
    }
    fputc('\n', text->out);
}

static void write_verdicts(const fr_text *text, const grid_place *grid) {
    size_t owed = 0;
    fprintf(text->out, "  %-*s%*s", LABEL_COLUMNS - 2, "Verdict", LIMIT_COLUMNS, "");
    for (size_t i = 0; i < grid->count; i++) {
        const fr_blend_result *blend = &text->document->result->blends[grid->first + i];
        const char *name = fr_verdict_name(blend->verdict);
        fr_colour colour = fr_verdict_colour(blend->verdict);
        fprintf(text->out, "%*s%s%s%s%s", (int)(grid->cell - strlen(name) - owed), "",
                fr_colour_on(text->style.colour, colour), name, blend->doubtful ? "?" : "",
                fr_colour_off(text->style.colour, colour));
        owed = blend->doubtful;
    }
    fputc('\n', text->out);
}

static size_t widest_name(const fr_check_result *result) {
    size_t widest = 5; /* "short" */
    for (size_t i = 0; i < result->blend_count; i++) {
        char name[FR_BLEND_NAME_MAX];
        fr_blend_name(result->blends[i].ethanol, name);
        widest = strlen(name) > widest ? strlen(name) : widest;
    }
    return widest;
}

/* As many even grids as it takes; one more blend than fits should not make a grid of one. */
static void write_grids(const fr_text *text) {
    const fr_check_result *result = text->document->result;
    size_t room = FR_PAGE_COLUMNS - 1 - LABEL_COLUMNS - LIMIT_COLUMNS;
    size_t most = room / (widest_name(result) + 1);
    most = most < BLENDS_A_GRID ? most : BLENDS_A_GRID;
    size_t grids = (result->blend_count + most - 1) / most;
    if (grids == 0)
        return;
    size_t each = (result->blend_count + grids - 1) / grids;
    grid_place grid = {0, each, room / each < CELL_COLUMNS_MAX ? room / each : CELL_COLUMNS_MAX};
    for (; grid.first < result->blend_count; grid.first += each) {
        if (grid.first > 0)
            fputc('\n', text->out);
        if (grid.first + grid.count > result->blend_count)
            grid.count = result->blend_count - grid.first;
        write_blend_names(text, &grid);
        for (size_t i = 0; i < result->blends[0].stage_count; i++)
            write_stage(text, &grid, result->blends[0].stages[i].stage,
                        result->blends[0].stages[i].limit);
        write_verdicts(text, &grid);
    }
}

static double greatest_current(const fr_check_result *result) {
    double greatest = 0;
    for (size_t b = 0; b < result->blend_count; b++)
        for (size_t p = 0; p < result->blends[b].point_count; p++)
            greatest = fmax(greatest, result->blends[b].points[p].greatest_current_a);
    return greatest;
}

/* Stages that the build has but that could not be judged say why. */
static void write_not_judged(const fr_text *text) {
    if (fr_build_has(text->document->build, FR_STAGE_PUMP_CIRCUIT))
        return;
    fr_words words;
    fr_words_clear(&words);
    fr_words_add(&words, "Pump fuse: not judged, no fuse given; a pump draws ");
    fr_show(&words, FR_MEASURE_CURRENT, text->style.units, greatest_current(text->document->result),
            FR_UP);
    fr_words_add(&words, ".");
    fr_prose(text->out, 2, 4, words.text);
}

static void write_notes(const fr_text *text) {
    const fr_check_result *result = text->document->result;
    const fr_stage_result *port = fr_stage_on(&result->blends[0], FR_STAGE_PORT_INJECTOR);
    bool doubtful = false, command = false, ruled = false;
    for (size_t i = 0; i < result->blend_count; i++) {
        doubtful = doubtful || result->blends[i].doubtful;
        for (size_t s = 0; s < result->blends[i].stage_count; s++) {
            command = command || result->blends[i].stages[s].mendable_by_command;
            ruled = ruled || result->blends[i].stages[s].ruled_by_share;
        }
    }
    write_not_judged(text);
    if (port != NULL && port->end < 1)
        fprintf(text->out, "  Short is over 100; for port injectors over %.4g.\n",
                100.0 * port->end);
    if (command)
        fr_prose(text->out, 2, 4,
                 "Over 100 with ~: at the commanded rail pressure; another command mends it.");
    if (ruled)
        fr_prose(text->out, 2, 4,
                 "The direct share is worked out: the direct side goes up to its limits, the port "
                 "injectors carry the rest. A controller follows a table and may do less.");
    if (doubtful)
        fr_prose(text->out, 2, 4, "?: input doubtful, see Cautions.");
}

void fr_text_grid(const fr_text *text) {
    write_heading(text);
    write_grids(text);
    write_notes(text);
}
