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
    size_t left = strlen(text);
    while (left > 0) {
        const char *entity = entity_of(*text);
        uint32_t code;
        const size_t taken = fr_utf8_decode(text, left, &code);
        if (entity != NULL) {
            fputs(entity, out);
        } else if (*text == '\n' || *text == '\t') {
            putc(*text, out);
        } else {
            char shown[FR_UTF8_BYTES_MAX];
            const size_t size = fr_utf8_encode(fr_char_shown(code), shown);
            fwrite(shown, 1, size, out);
        }
        text += taken;
        left -= taken;
    }
}
