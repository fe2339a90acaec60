/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fuelreach parts: what lies on the shelf, and what a part does. */
#include <math.h>
#include <string.h>

#include "cli/command.h"
#include "cli/figures.h"
#include "cli/nearest.h"
#include "report/json.h"

/* What the argument asks for. */
typedef struct selection {
    const fr_part *parts;
    size_t count;
    bool one; /* a single part, by name: with its figures */
} selection;

static void write_price(FILE *out, double price) {
    if (isnan(price))
        fprintf(out, "%8s", "");
    else
        fprintf(out, "%8g", price);
}

static void write_list(FILE *out, const selection *selected) {
    for (size_t i = 0; i < selected->count; i++) {
        const fr_part *part = &selected->parts[i];
        if (i == 0 || part->kind != part[-1].kind)
            fprintf(out, "%s%s\n", i ? "\n" : "", fr_part_kind_name(part->kind));
        fprintf(out, "  %-17s", part->name);
        write_price(out, part->price);
        fprintf(out, "  %s%s\n", part->title, part->hides_shipped ? " (yours)" : "");
    }
    fputs("\nName, price, title. 'fuelreach parts NAME' shows what one does. Shipped parts are\n"
          "invented, typical of their class; put your own in a folder and name it with\n"
          "--parts.\n",
          out);
}

static void write_figures(FILE *out, const fr_figures *figures) {
    fprintf(out, "\n%s\n", figures->title);
    for (size_t c = 0; c < figures->column_count; c++)
        fprintf(out, "%11s", figures->columns[c].heading);
    fputc('\n', out);
    for (size_t c = 0; c < figures->column_count; c++)
        fprintf(out, "%11s", figures->columns[c].unit);
    fputc('\n', out);
    for (size_t row = 0; row < figures->row_count; row++) {
        for (size_t c = 0; c < figures->column_count; c++) {
            double value = figures->values[row][c];
            if (isnan(value))
                fprintf(out, "%11s", "-");
            else
                fprintf(out, "%11.*f", figures->columns[c].decimals, value);
        }
        fputc('\n', out);
    }
}

static void write_part(FILE *out, const fr_part *part) {
    fr_figures figures;

    fprintf(out, "%s: %s\n%s\n", part->name, part->title, fr_part_kind_name(part->kind));
    if (!isnan(part->price))
        fprintf(out, "price    %g\n", part->price);
    if (part->spread > 0.0)
        fprintf(out, "spread   %g %% (95 in 100 are within it)\n", part->spread * 100.0);
    fprintf(out, "source   %s\n", part->source);
    fprintf(out, "file     %s%s\n", part->file,
            part->hides_shipped ? " (hides a shipped part of that name)" : "");
    if (part->notes[0] != '\0')
        fprintf(out, "notes    %s\n", part->notes);
    fr_part_figures(part, &figures);
    write_figures(out, &figures);
}

static void write_json_part(fr_json *json, const fr_part *part) {
    fr_figures figures;

    fr_json_object(json, NULL);
    fr_json_text(json, "kind", fr_part_kind_name(part->kind));
    fr_json_text(json, "name", part->name);
    fr_json_text(json, "title", part->title);
    fr_json_text(json, "source", part->source);
    fr_json_number(json, "price", part->price);
    fr_json_number(json, "spread_percent", part->spread * 100.0);
    fr_json_bool(json, "hides_shipped", part->hides_shipped);
    fr_part_figures(part, &figures);
    fr_json_list(json, "figures");
    for (size_t row = 0; row < figures.row_count; row++) {
        fr_json_object(json, NULL);
        for (size_t c = 0; c < figures.column_count; c++)
            fr_json_number(json, figures.columns[c].key, figures.values[row][c]);
        fr_json_object_end(json);
    }
    fr_json_list_end(json);
    fr_json_object_end(json);
}

static void write_json(FILE *out, const selection *selected) {
    fr_json json = fr_json_to(out);

    fr_json_object(&json, NULL);
    fr_json_count(&json, "fuelreach", 1);
    fr_json_list(&json, "parts");
    for (size_t i = 0; i < selected->count; i++)
        write_json_part(&json, &selected->parts[i]);
    fr_json_list_end(&json);
    fr_json_object_end(&json);
    fr_json_line_end(&json);
}

/* Parts are in order of kind, so those of one kind stand together. */
static bool select_kind(selection *selected, const char *word) {
    const fr_part *all = selected->parts;
    size_t first = 0, end = selected->count;

    while (first < end && strcmp(fr_part_kind_name(all[first].kind), word) != 0)
        first++;
    while (end > first && strcmp(fr_part_kind_name(all[end - 1].kind), word) != 0)
        end--;
    if (first == end)
        return false;
    selected->parts = all + first;
    selected->count = end - first;
    return true;
}

static bool select_name(selection *selected, const char *word) {
    for (size_t i = 0; i < selected->count; i++) {
        if (strcmp(selected->parts[i].name, word) == 0) {
            *selected = (selection){&selected->parts[i], 1, true};
            return true;
        }
    }
    return false;
}

static int no_such_part(const fr_invocation *invocation, const selection *all, const char *word) {
    fr_nearest nearest = {word, NULL, 0};

    for (unsigned kind = 0; kind < FR_PART_KIND_COUNT; kind++)
        fr_nearest_try(&nearest, fr_part_kind_name((fr_part_kind)kind));
    for (size_t i = 0; i < all->count; i++)
        fr_nearest_try(&nearest, all->parts[i].name);
    if (nearest.best != NULL)
        return fr_usage_error(invocation, "no kind or part '%s'; '%s' is meant?", word,
                              nearest.best);
    return fr_usage_error(invocation, "no kind or part '%s'; 'fuelreach parts' lists them", word);
}

static int write_selection(const fr_invocation *invocation, const fr_shelf *shelf) {
    selection selected = {NULL, 0, false};

    selected.parts = fr_shelf_parts(shelf, &selected.count);
    if (invocation->argument_count > 0) {
        const char *word = invocation->arguments[0];
        if (!select_kind(&selected, word) && !select_name(&selected, word))
            return no_such_part(invocation, &selected, word);
    }
    if (fr_invocation_is(invocation, "format", "json"))
        write_json(invocation->out, &selected);
    else if (selected.one)
        write_part(invocation->out, selected.parts);
    else
        write_list(invocation->out, &selected);
    return 0;
}

int fr_command_parts(fr_invocation *invocation) {
    fr_sheet_options options = fr_invocation_sheet_options(invocation);
    fr_report remarks = FR_REPORT_EMPTY;
    fr_shelf *shelf = NULL;
    fr_status status =
        fr_shelf_open(options.parts_dirs, options.parts_dir_count, false, &remarks, &shelf);
    int code = fr_say_remarks(invocation, &remarks, status);

    if (status == FR_OK)
        code = write_selection(invocation, shelf);
    fr_shelf_close(shelf);
    fr_report_close(&remarks);
    return code;
}
