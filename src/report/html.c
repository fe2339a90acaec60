/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/html.h"

#include <string.h>

#include "report/utf8.h"

static const char *entity_of(char c) {
    switch (c) {
    case '&':
        return "&amp;";
    case '<':
        return "&lt;";
    case '>':
        return "&gt;";
    case '"':
        return "&quot;";
    case '\'':
        return "&#39;";
    default:
        return NULL;
    }
}

void fr_html_text(FILE *out, const char *text) {
    while (*text != '\0') {
        const char *entity = entity_of(*text);
        if (entity != NULL) {
            fputs(entity, out);
            text++;
        } else if (*text == '\n' || *text == '\t') {
            putc(*text++, out);
        } else {
            char shown[16];
            text = fr_char_shown(text, shown, sizeof shown);
            fputs(shown, out);
        }
    }
}
