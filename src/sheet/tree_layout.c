/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Errors of layout, told as a person would look at them. The YAML reader notices many of them one
 * line late and names them in terms of its own; here each gets the line that has to be changed, and
 * the change. */
#include <stdio.h>
#include <string.h>

#include "sheet/line_text.h"
#include "sheet/tree_inside.h"

static const char nothing_below[] = "nothing below was read";

typedef struct layout {
    fr_tree *tree;
    const fr_layout_error *error; /* null: a line read by a layout that holds */
    fr_told *told;
} layout;

/* ---- telling ---- */

static void tell_place(const layout *l, size_t line, size_t column) {
    l->told->line = line;
    l->told->column = column;
}

/* Message and hint; the hint ends by saying that reading ended. */
static void tell(const layout *l, const char *message, const char *hint) {
    snprintf(l->told->message, FR_TOLD_SIZE, "%s", message);
    const char *gap = hint[0] == '\0' || l->error == NULL ? "" : "; ";
    snprintf(l->told->hint, FR_TOLD_SIZE, "%s%s%s", hint, gap,
             l->error == NULL ? "" : nothing_below);
}

static void tell_tab(const layout *l) {
    snprintf(l->told->message, FR_TOLD_SIZE, "a tab");
    snprintf(l->told->hint, FR_TOLD_SIZE, "indent with spaces. Nothing below this line was read.");
}

/* ---- a line that is no "name: value" ---- */

static void say_write(fr_line_text name, fr_line_text value, char *hint, size_t size) {
    snprintf(hint, size, "write '%.*s: %.*s'", fr_line_shown(name), name.text, fr_line_shown(value),
             value.text);
}

static bool tell_equals(const layout *l, fr_line_text line) {
    size_t at = fr_line_find(line, '=');
    char hint[FR_TOLD_SIZE / 2];
    if (at == 0 || at == line.length) {
        return false;
    }
    fr_line_text name = fr_line_part(line, 0, at);
    fr_line_text value = fr_line_part(line, at + 1, line.length);
    if (!fr_advise_pair(name.text, name.length, value.text, value.length, hint, sizeof hint)) {
        say_write(name, value, hint, sizeof hint);
    }
    tell(l, "'=' is not used here", hint);
    return true;
}

static bool tell_tight_colon(const layout *l, fr_line_text line) {
    size_t at = fr_line_find(line, ':');
    char hint[FR_TOLD_SIZE / 2];
    if (at == 0 || at == line.length) {
        return false;
    }
    say_write(fr_line_part(line, 0, at), fr_line_part(line, at + 1, line.length), hint,
              sizeof hint);
    tell(l, "no space after ':'", hint);
    return true;
}

/* "cylinders 4" */
static bool tell_missing_colon(const layout *l, fr_line_text line) {
    size_t at = fr_line_find(line, ' ');
    char message[FR_TOLD_SIZE / 2];
    char hint[FR_TOLD_SIZE / 2];
    if (at == line.length || !fr_advise_known(line.text, at)) {
        return false;
    }
    fr_line_text name = fr_line_part(line, 0, at);
    snprintf(message, sizeof message, "no ':' after '%.*s'", fr_line_shown(name), name.text);
    say_write(name, fr_line_part(line, at, line.length), hint, sizeof hint);
    tell(l, message, hint);
    return true;
}

/* False when the line is nothing that is known to go wrong. */
static bool tell_known_slip(const layout *l, fr_line_text line) {
    return tell_equals(l, line) || tell_tight_colon(l, line) || tell_missing_colon(l, line);
}

static void tell_no_pair(const layout *l, size_t number) {
    fr_line_text line = fr_line_content(fr_tree_line_text(l->tree, number));
    char hint[FR_TOLD_SIZE / 2];
    tell_place(l, number, fr_line_first_column(l->tree, number));
    if (tell_known_slip(l, line)) {
        return;
    }
    if (fr_line_above(l->tree, number) == 0) {
        snprintf(hint, sizeof hint, "for a title write 'name: %.*s'", fr_line_shown(line),
                 line.text);
    } else {
        snprintf(hint, sizeof hint, "for a remark begin it with '#'");
    }
    tell(l, "this line has no 'name: value'", hint);
}

bool fr_advise_line(const fr_node *node, fr_told *told) {
    const layout l = {node->tree, NULL, told};
    *told = (fr_told){0};
    if (node->kind != FR_NODE_SCALAR || node->quoted || node->tree == NULL) {
        return false;
    }
    fr_line_text line = fr_line_content(fr_tree_line_text(node->tree, node->line));
    bool begins_line = fr_line_first_column(node->tree, node->line) == node->column;
    if (begins_line && tell_known_slip(&l, line)) {
        return true;
    }
    tell_no_pair(&l, node->line);
    return false;
}

static void on_no_colon(const layout *l) {
    tell_no_pair(l, l->error->context_line != 0 ? l->error->context_line : l->error->line);
}

/* ---- a ':' that YAML did not expect ---- */

/* "cylinders: 4 displacement: 2.0 L" */
static bool tell_two_fields(const layout *l, fr_line_text name, fr_line_text value) {
    size_t colon = fr_line_colon(value);
    size_t word = colon;
    char hint[FR_TOLD_SIZE / 2];
    while (word > 0 && !fr_line_blank(value.text[word - 1])) {
        word--;
    }
    if (word == 0 || !fr_advise_known(name.text, name.length) ||
        !fr_advise_known(value.text + word, colon - word)) {
        return false;
    }
    fr_line_text second = fr_line_part(value, word, value.length);
    snprintf(hint, sizeof hint, "write '%.*s' on a line of its own", fr_line_shown(second),
             second.text);
    tell(l, "two fields in one line", hint);
    return true;
}

static void tell_second_colon(const layout *l, fr_line_text line, size_t colon) {
    fr_line_text name = fr_line_part(line, 0, colon);
    fr_line_text value = fr_line_part(line, colon + 1, line.length);
    if (tell_two_fields(l, name, value)) {
        return;
    }
    char text[FR_TOLD_SIZE / 4];
    char hint[FR_TOLD_SIZE / 2];
    fr_line_quoted(value, text, sizeof text);
    if (fr_line_curly(value)) {
        snprintf(hint, sizeof hint, "write straight quotes: %.*s: %s", fr_line_shown(name),
                 name.text, text);
        tell(l, "curly quotes do not hold a text together", hint);
    } else {
        snprintf(hint, sizeof hint, "put the text in quotes: %.*s: %s", fr_line_shown(name),
                 name.text, text);
        tell(l, "a second ': ' in one line", hint);
    }
}

static void tell_too_deep(const layout *l, size_t above) {
    fr_line_text line = fr_line_content(fr_tree_line_text(l->tree, above));
    fr_line_text name = fr_line_part(line, 0, fr_line_colon(line));
    char hint[FR_TOLD_SIZE / 2];
    tell_place(l, l->error->line, fr_line_first_column(l->tree, l->error->line));
    snprintf(hint, sizeof hint, "line it up with '%.*s' on line %zu", fr_line_shown(name),
             name.text, above);
    tell(l, "indented further than the line above, which has its value already", hint);
}

/* Either the line has two colons; or the line above was no pair and this one was taken for more of
 * it; or this line is indented below one that has a value. */
static void on_colon(const layout *l) {
    fr_line_text line = fr_line_content(fr_tree_line_text(l->tree, l->error->line));
    size_t indent = fr_line_first_column(l->tree, l->error->line) - 1;
    size_t colon = fr_line_colon(line);
    size_t above = fr_line_above(l->tree, l->error->line);
    size_t at = fr_tree_offset(l->tree, l->error->line, l->error->column) -
                fr_tree_offset(l->tree, l->error->line, indent + 1);
    if (colon < at) {
        tell_second_colon(l, line, colon);
        return;
    }
    fr_line_text before = fr_line_content(fr_tree_line_text(l->tree, above));
    if (above != 0 && fr_line_colon(before) == before.length) {
        tell_no_pair(l, above);
    } else if (above != 0) {
        tell_too_deep(l, above);
    } else {
        tell(l, "a ':' is not expected here", "put the text in quotes");
    }
}

/* ---- characters with a meaning of their own ---- */

static char character_at(const layout *l, size_t line, size_t column) {
    return l->tree->text[fr_tree_offset(l->tree, line, column)];
}

static void tell_quote_it(const layout *l, size_t line, size_t column) {
    fr_line_text whole = fr_line_content(fr_tree_line_text(l->tree, line));
    size_t colon = fr_line_colon(whole);
    char message[FR_TOLD_SIZE / 2];
    char hint[FR_TOLD_SIZE / 2];
    char text[FR_TOLD_SIZE / 4];
    tell_place(l, line, column);
    snprintf(message, sizeof message, "a value that begins with '%c' has to stand in quotes",
             character_at(l, line, column));
    if (colon < whole.length) {
        fr_line_text name = fr_line_part(whole, 0, colon);
        fr_line_quoted(fr_line_part(whole, colon + 1, whole.length), text, sizeof text);
        snprintf(hint, sizeof hint, "write %.*s: %s", fr_line_shown(name), name.text, text);
        tell(l, message, hint);
    } else {
        tell(l, message, "");
    }
}

static void on_bad_start(const layout *l) {
    if (character_at(l, l->error->line, l->error->column) == '\t') {
        tell_tab(l);
    } else {
        tell_quote_it(l, l->error->line, l->error->column);
    }
}

static void on_tab(const layout *l) {
    tell_tab(l);
}

static void on_anchor(const layout *l) {
    tell_quote_it(l, l->error->context_line, l->error->context_column);
}

/* ---- quotes and brackets ---- */

static void on_open_quote(const layout *l) {
    tell_place(l, l->error->context_line, l->error->context_column);
    tell(l, "a quote opens here and is never closed", "close it on the same line");
}

static bool tell_long_quote(const layout *l) {
    char message[FR_TOLD_SIZE / 2];
    if (l->error->quote_end_line != l->error->line) {
        return false;
    }
    snprintf(message, sizeof message, "a quote opens here and is closed only on line %zu",
             l->error->quote_end_line);
    tell_place(l, l->error->quote_line, l->error->quote_column);
    tell(l, message, "close it on the same line");
    return true;
}

/* "{b: 1 c: 2}": between the first colon and the second stands more than one word. */
static void tell_no_comma(const layout *l) {
    size_t from = fr_tree_offset(l->tree, l->error->context_line, l->error->context_column);
    size_t at = fr_tree_offset(l->tree, l->error->line, l->error->column);
    const char *text = l->tree->text;
    size_t word = at;
    while (word > from && (fr_line_blank(text[word - 1]) && word == at)) {
        word--;
    }
    while (word > from && strchr(" \t,{[:", text[word - 1]) == NULL) {
        word--;
    }
    size_t before = word;
    while (before > from && fr_line_blank(text[before - 1])) {
        before--;
    }
    if (before > from && text[before - 1] == ':') {
        tell(l, "a second ': ' in one entry", "put the text in quotes");
        return;
    }
    tell(l, "no comma between two entries inside { } or [ ]",
         "each entry but the last ends with ','");
}

static void tell_not_closed(const layout *l, char bracket) {
    char message[64];
    char hint[64];
    snprintf(message, sizeof message, "the '%c' here is not closed", bracket);
    snprintf(hint, sizeof hint, "write '%c' where it ends", bracket == '{' ? '}' : ']');
    tell_place(l, l->error->context_line, l->error->context_column);
    tell(l, message, hint);
}

/* A line that is not indented below the one with the bracket begins something new: the bracket was
 * forgotten. Where all are, they go on inside it, and the comma was. */
static bool begins_anew(const layout *l) {
    size_t opened = fr_line_first_column(l->tree, l->error->context_line);
    for (size_t line = l->error->context_line + 1; line <= l->error->line; line++) {
        if (line > l->tree->line_count ||
            (fr_line_content(fr_tree_line_text(l->tree, line)).length != 0 &&
             fr_line_first_column(l->tree, line) <= opened)) {
            return true;
        }
    }
    return fr_tree_offset(l->tree, l->error->line, l->error->column) >= l->tree->length;
}

static void on_brackets(const layout *l) {
    const fr_layout_error *error = l->error;
    char bracket = character_at(l, error->context_line, error->context_column);
    bool below = error->line > error->context_line;
    if (tell_long_quote(l)) {
        return;
    }
    if (begins_anew(l)) {
        tell_not_closed(l, bracket);
        return;
    }
    if (below && character_at(l, error->line, error->column) == ':') {
        size_t above = fr_line_above(l->tree, error->line);
        fr_line_text line = fr_tree_line_text(l->tree, above);
        tell_place(l, above, fr_line_indentation(line) + 1);
        tell(l, "no comma at the end of this line",
             "each entry inside { } but the last ends with ','");
        return;
    }
    tell_no_comma(l);
}

/* ---- lines that fit nowhere ---- */

static void tell_leftover(const layout *l) {
    char c = character_at(l, l->error->line, l->error->column);
    if (c == '}' || c == ']') {
        char message[64];
        snprintf(message, sizeof message, "a '%c' too many", c);
        tell(l, message, "take it out");
    } else {
        tell(l, "more text behind a value that is complete",
             "put all of it inside the quotes or brackets");
    }
}

static void on_no_key(const layout *l) {
    const fr_layout_error *error = l->error;
    if (tell_long_quote(l)) {
        return;
    }
    if (error->column != fr_line_first_column(l->tree, error->line)) {
        tell_leftover(l);
    } else if (character_at(l, error->line, error->column) == '-') {
        tell(l, "a list item where a 'name: value' is due",
             "indent it below the name it belongs to");
    } else {
        tell(l, "this line is indented like none above it",
             "line it up with the fields it belongs to");
    }
}

static void on_no_item(const layout *l) {
    tell(l, "a 'name: value' where the next list item ('- ...') is due",
         "indent it to belong to the item, or end the list");
}

static bool is_no_pair(const layout *l, size_t number) {
    fr_line_text line = fr_line_content(fr_tree_line_text(l->tree, number));
    return fr_line_colon(line) == line.length && strchr("{[-&!\"'", line.text[0]) == NULL;
}

static void on_no_document(const layout *l) {
    size_t first = 1;
    while (first < l->error->line &&
           fr_line_content(fr_tree_line_text(l->tree, first)).length == 0) {
        first++;
    }
    if (l->tree->text[l->tree->line_starts[first - 1]] == '%') {
        tell_place(l, first, 1);
        tell(l, "a line that begins with '%' is an order to the YAML reader", "take it out");
    } else if (is_no_pair(l, first)) {
        tell_no_pair(l, first);
    } else if (fr_line_first_column(l->tree, l->error->line) <
               fr_line_first_column(l->tree, first)) {
        tell(l, "this line begins further left than the first", "line all fields up");
    } else {
        tell_leftover(l);
    }
}

static void on_item_in_line(const layout *l) {
    tell(l, "a list item cannot begin behind 'name:'", "write the list as [first, second]");
}

static void on_escape(const layout *l) {
    tell(l, "a '\\' inside double quotes has a meaning of its own", "use single quotes");
}

static void on_long_text(const layout *l) {
    tell_quote_it(l, l->error->context_line, l->error->context_column);
}

/* ---- the table ---- */

typedef struct layout_row {
    const char *problem; /* as libyaml 0.2 words it */
    void (*tell)(const layout *l);
} layout_row;

static const layout_row layout_table[] = {
    {"mapping values are not allowed in this context", on_colon},
    {"could not find expected ':'", on_no_colon},
    {"found character that cannot start any token", on_bad_start},
    {"found a tab character that violates indentation", on_tab},
    {"found a tab character where an indentation space is expected", on_tab},
    {"did not find expected alphabetic or numeric character", on_anchor},
    {"found unexpected end of stream", on_open_quote},
    {"found unexpected document indicator", on_open_quote},
    {"did not find expected ',' or '}'", on_brackets},
    {"did not find expected ',' or ']'", on_brackets},
    {"did not find expected key", on_no_key},
    {"did not find expected '-' indicator", on_no_item},
    {"did not find expected <document start>", on_no_document},
    {"block sequence entries are not allowed in this context", on_item_in_line},
    {"did not find expected comment or line break", on_long_text},
    {"found unknown escape character", on_escape},
    {"did not find expected hexdecimal number", on_escape},
    {"found undefined tag handle", on_bad_start},
    {"did not find expected whitespace or line break", on_anchor},
    {"did not find expected tag URI", on_anchor},
};

void fr_layout_tell(fr_tree *tree, const fr_layout_error *error, fr_told *told) {
    const layout l = {tree, error, told};
    tell_place(&l, error->line, error->column);
    for (size_t i = 0; i < sizeof layout_table / sizeof layout_table[0]; i++) {
        if (strcmp(error->problem, layout_table[i].problem) == 0) {
            layout_table[i].tell(&l);
            return;
        }
    }
    char message[FR_TOLD_SIZE];
    snprintf(message, sizeof message, "this is not YAML (%.200s)", error->problem);
    tell(&l, message, "");
}
