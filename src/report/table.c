/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/table.h"

#include "report/prose.h"
#include "report/utf8.h"

/* How the table will stand: width of each column (0: left out) and the gap between two. */
typedef struct table_layout {
    size_t widths[FR_TABLE_COLUMNS_MAX];
    size_t gap;
} table_layout;

size_t fr_table_add_column(fr_table *table, const char *head, const char *under, bool left,
                           unsigned spare) {
    size_t at = table->column_count;
    if (at == FR_TABLE_COLUMNS_MAX)
        return at - 1;
    table->columns[at] = (fr_table_column){{head, under}, left, spare};
    table->column_count++;
    return at;
}

bool fr_table_add_row(fr_table *table) {
    if (table->row_count == FR_TABLE_ROWS_MAX)
        return false;
    for (size_t c = 0; c < table->column_count; c++) {
        table->cells[table->row_count][c][0] = '\0';
        table->colours[table->row_count][c] = FR_PLAIN;
    }
    table->row_count++;
    return true;
}

void fr_table_set(fr_table *table, size_t column, fr_colour colour, const char *text) {
    size_t row = table->row_count - 1;
    fr_text_clean(text, table->cells[row][column], FR_TABLE_CELL_MAX);
    table->colours[row][column] = colour;
}

static size_t greater(size_t a, size_t b) {
    return a > b ? a : b;
}

static size_t natural_width(const fr_table *table, size_t column) {
    size_t width = 0;
    for (size_t i = 0; i < 2; i++)
        if (table->columns[column].heads[i] != NULL)
            width = greater(width, fr_text_columns(table->columns[column].heads[i]));
    for (size_t row = 0; row < table->row_count; row++)
        width = greater(width, fr_text_columns(table->cells[row][column]));
    return width;
}

static size_t total_width(const fr_table *table, const table_layout *layout) {
    size_t total = table->indent, shown = 0;
    for (size_t c = 0; c < table->column_count; c++) {
        total += layout->widths[c];
        shown += layout->widths[c] > 0;
    }
    return total + (shown > 0 ? (shown - 1) * layout->gap : 0);
}

/* Takes out the column that can best be spared; false when none can. */
static bool drop_one(const fr_table *table, table_layout *layout) {
    size_t worst = table->column_count;
    for (size_t c = 0; c < table->column_count; c++)
        if (layout->widths[c] > 0 && table->columns[c].spare > 0 &&
            (worst == table->column_count || table->columns[c].spare > table->columns[worst].spare))
            worst = c;
    if (worst == table->column_count)
        return false;
    layout->widths[worst] = 0;
    return true;
}

static table_layout lay_out(const fr_table *table) {
    table_layout layout = {.gap = 3};
    for (size_t c = 0; c < table->column_count; c++)
        layout.widths[c] = natural_width(table, c);
    while (total_width(table, &layout) > FR_PAGE_COLUMNS)
        if (layout.gap > 1)
            layout.gap--;
        else if (!drop_one(table, &layout))
            break;
    return layout;
}

/* Spaces are owed until something is shown, so that no line ends in blanks. */
typedef struct table_line {
    FILE *out;
    size_t owed;
} table_line;

static void put(table_line *line, const fr_table_column *column, size_t width, const char *text,
                bool colours, fr_colour colour) {
    size_t columns = fr_text_columns(text);
    size_t before = column->left || columns > width ? 0 : width - columns;
    if (columns > 0) {
        fprintf(line->out, "%*s%s%s%s", (int)(line->owed + before), "",
                fr_colour_on(colours, colour), text, fr_colour_off(colours, colour));
        line->owed = columns > width ? 0 : width - columns - before;
    } else {
        line->owed += width;
    }
}

static void write_line(FILE *out, const fr_table *table, const table_layout *layout, size_t row,
                       size_t head, bool colours) {
    table_line line = {out, table->indent};
    for (size_t c = 0; c < table->column_count; c++) {
        const fr_table_column *column = &table->columns[c];
        bool is_head = row == FR_TABLE_ROWS_MAX;
        const char *text = !is_head                      ? table->cells[row][c]
                           : column->heads[head] == NULL ? ""
                                                         : column->heads[head];
        if (layout->widths[c] == 0)
            continue;
        put(&line, column, layout->widths[c], text, colours,
            is_head ? FR_PLAIN : table->colours[row][c]);
        line.owed += layout->gap;
    }
    fputc('\n', out);
}

static bool has_head(const fr_table *table, size_t head) {
    for (size_t c = 0; c < table->column_count; c++)
        if (table->columns[c].heads[head] != NULL && table->columns[c].heads[head][0] != '\0')
            return true;
    return false;
}

void fr_table_write(FILE *out, const fr_table *table, bool colours) {
    const table_layout layout = lay_out(table);
    for (size_t head = 0; head < 2; head++)
        if (has_head(table, head))
            write_line(out, table, &layout, FR_TABLE_ROWS_MAX, head, colours);
    for (size_t row = 0; row < table->row_count; row++)
        write_line(out, table, &layout, row, 0, colours);
}
