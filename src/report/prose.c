/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/prose.h"

#include <ctype.h>
#include <string.h>

#include "report/utf8.h"

enum { WORD_MAX = 256, LINE_MAX_BYTES = 2048 };

/* The next word, made fit for showing. */
static const char *next_word(const char *text, char word[WORD_MAX]) {
    char raw[WORD_MAX];
    text += strspn(text, " \n");
    const size_t length = strcspn(text, " \n");
    const size_t kept = length < WORD_MAX - 1 ? length : WORD_MAX - 1;
    memcpy(raw, text, kept);
    raw[kept] = '\0';
    fr_text_clean(raw, word, WORD_MAX);
    return text + length;
}

static bool ends_in_digit(const char *word) {
    size_t length = strlen(word);
    return length > 0 && isdigit((unsigned char)word[length - 1]);
}

/* Columns of what must stay on one line: the word, and the unit behind a number. */
static size_t kept_together(const char *word, const char *behind) {
    char following[WORD_MAX];
    size_t columns = fr_text_columns(word);
    if (!ends_in_digit(word))
        return columns;
    next_word(behind, following);
    return following[0] == '\0' ? columns : columns + 1 + fr_text_columns(following);
}

/* A colour for the first bytes of a text. */
typedef struct led_by {
    size_t bytes;
    bool colours;
    fr_colour colour;
} led_by;

/* Sets the words from column `first` on. */
static void set_words(FILE *out, size_t first, size_t rest, const char *text, const led_by *lead) {
    const char *const coloured_end = text + lead->bytes;
    char word[WORD_MAX];
    size_t column = first;
    size_t start = first;
    bool number_before = false;
    bool coloured = lead->bytes > 0;
    fputs(coloured ? fr_colour_on(lead->colours, lead->colour) : "", out);
    for (text = next_word(text, word); word[0] != '\0'; text = next_word(text, word)) {
        const size_t wide = kept_together(word, text);
        if (column > start && !number_before && column + 1 + wide > FR_PAGE_COLUMNS) {
            fprintf(out, "\n%*s", (int)rest, "");
            column = start = rest;
        }
        if (column > start) {
            fputc(' ', out);
            column++;
        }
        fputs(word, out);
        column += fr_text_columns(word);
        number_before = ends_in_digit(word);
        if (coloured && text >= coloured_end) {
            fputs(fr_colour_off(lead->colours, lead->colour), out);
            coloured = false;
        }
    }
    fputc('\n', out);
}

void fr_prose(FILE *out, size_t first, size_t rest, const char *text) {
    fr_prose_led(out, first, rest, text, 0, false, FR_PLAIN);
}

void fr_prose_after(FILE *out, size_t indent, const char *text) {
    const led_by plain = {0, false, FR_PLAIN};
    set_words(out, indent, indent, text, &plain);
}

void fr_prose_led(FILE *out, size_t first, size_t rest, const char *text, size_t lead, bool colours,
                  fr_colour colour) {
    const led_by led = {lead, colours, colour};
    fprintf(out, "%*s", (int)first, "");
    set_words(out, first, rest, text, &led);
}

void fr_write_lines(FILE *out, size_t indent, const char *text) {
    while (*text != '\0') {
        char line[LINE_MAX_BYTES], clean[LINE_MAX_BYTES];
        size_t length = strcspn(text, "\n");
        size_t kept = length < sizeof line - 1 ? length : sizeof line - 1;
        memcpy(line, text, kept);
        line[kept] = '\0';
        fr_text_clean(line, clean, sizeof clean);
        fprintf(out, "%*s%s\n", (int)indent, "", clean);
        text += length + (text[length] == '\n');
    }
}
