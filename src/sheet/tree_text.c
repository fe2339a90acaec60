/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Is it a text at all? People send word processor files, UTF-16, and files of the time before
 * UTF-8; each gets its name and what to do. */
#include <stdio.h>
#include <string.h>

#include "sheet/tree_inside.h"

static const char save_as[] = "save it as plain text, UTF-8";

/* ---- kinds of file, by their first bytes ---- */

typedef struct file_kind {
    const char *bytes;
    size_t length;
    const char *name;
} file_kind;

static const file_kind file_kinds[] = {
    {"\xFF\xFE", 2, "UTF-16 text"},
    {"\xFE\xFF", 2, "UTF-16 text"},
    {"PK\x03\x04", 4, "a ZIP file (a word processor's?)"},
    {"\xD0\xCF\x11\xE0", 4, "an old word processor's file"},
    {"{\\rtf", 5, "a rich text file (a word processor's)"},
    {"%PDF", 4, "a PDF file"},
    {"\x1F\x8B", 2, "a compressed file"},
};

static const char byte_order_mark[] = "\xEF\xBB\xBF";

static bool begins(const char *text, size_t length, const char *bytes, size_t count) {
    return length >= count && memcmp(text, bytes, count) == 0;
}

/* UTF-16 without a mark shows as every other byte being 0. */
static bool looks_like_utf16(const char *text, size_t length) {
    return length >= 4 && ((text[0] == '\0' && text[1] != '\0' && text[2] == '\0') ||
                           (text[0] != '\0' && text[1] == '\0' && text[3] == '\0'));
}

static const char *file_kind_name(const char *text, size_t length) {
    for (size_t i = 0; i < sizeof file_kinds / sizeof file_kinds[0]; i++) {
        if (begins(text, length, file_kinds[i].bytes, file_kinds[i].length)) {
            return file_kinds[i].name;
        }
    }
    return looks_like_utf16(text, length) ? "UTF-16 text" : NULL;
}

/* ---- UTF-8 ---- */

typedef struct utf8_form {
    unsigned char mask, lead; /* first byte & mask == lead */
    unsigned extra;           /* bytes that follow */
    unsigned long least;      /* code points below are written shorter */
} utf8_form;

static const utf8_form utf8_forms[] = {
    {0x80, 0x00, 0, 0x0},
    {0xE0, 0xC0, 1, 0x80},
    {0xF0, 0xE0, 2, 0x800},
    {0xF8, 0xF0, 3, 0x10000},
};

/* Decodes one character; returns its bytes, 0 when they are not UTF-8. */
static size_t decode(const char *text, size_t length, unsigned long *code) {
    unsigned char first = (unsigned char)text[0];
    for (size_t i = 0; i < sizeof utf8_forms / sizeof utf8_forms[0]; i++) {
        const utf8_form *form = &utf8_forms[i];
        if ((first & form->mask) != form->lead || length <= form->extra) {
            continue;
        }
        *code = (unsigned char)(first & (unsigned char)~form->mask);
        for (size_t k = 1; k <= form->extra; k++) {
            unsigned char next = (unsigned char)text[k];
            if ((next & 0xC0u) != 0x80u) {
                return 0;
            }
            *code = (*code << 6) | (next & 0x3Fu);
        }
        bool surrogate = *code >= 0xD800 && *code <= 0xDFFF;
        return *code < form->least || surrogate || *code > 0x10FFFF ? 0 : form->extra + 1;
    }
    return 0;
}

/* What YAML 1.1 lets stand in a text (its production c-printable). */
static bool may_stand(unsigned long code) {
    bool control = (code < 0x20 && code != '\t' && code != '\n' && code != '\r') ||
                   (code >= 0x7F && code < 0xA0 && code != 0x85);
    return !control && code != 0xFEFF && code != 0xFFFE && code != 0xFFFF;
}

/* ---- bytes of an old code page ---- */

/* Windows-1252 (and Latin-1) bytes that units are written with. */
typedef struct old_byte {
    unsigned char byte;
    const char *plain;
} old_byte;

static const old_byte old_bytes[] = {
    {0xB0, "deg"}, {0xBA, "deg"}, {0xB1, "+/-"}, {0xB2, "2"},
    {0xB3, "3"},   {0xB5, "u"},   {0xA0, " "},   {0x96, "-"},
};

static const char *old_plain(char c) {
    for (size_t i = 0; i < sizeof old_bytes / sizeof old_bytes[0]; i++) {
        if (old_bytes[i].byte == (unsigned char)c) {
            return old_bytes[i].plain;
        }
    }
    return NULL;
}

static bool is_degree(char c) {
    return (unsigned char)c == 0xB0 || (unsigned char)c == 0xBA;
}

static bool in_set(char c, const char *set) {
    return c != '\0' && strchr(set, c) != NULL;
}

/* The value that holds the byte at `at`, written plainly: "45 C". False when the line is no use,
 * a name with an accent say. */
static bool spell_plainly(const char *line, size_t length, size_t at, char *out, size_t size) {
    size_t start = at;
    size_t end = at;
    size_t used = 0;
    while (start > 0 && !in_set(line[start - 1], ":,{[")) {
        start--;
    }
    while (end < length && !in_set(line[end], ",}]#:")) {
        end++;
    }
    for (; start < end && in_set(line[start], " \t"); start++) {
    }
    if (start == end || !in_set(line[start], "+-.0123456789")) {
        return false;
    }
    for (size_t i = start; i < end && used + 4 < size; i++) {
        const char *plain = old_plain(line[i]);
        bool before_letter = i + 1 < end && in_set(line[i + 1], "CFcf");
        if (plain == NULL && ((unsigned char)line[i] & 0x80u) != 0) {
            return false;
        }
        if (is_degree(line[i]) && before_letter) {
            plain = used != 0 && out[used - 1] == ' ' ? "" : " ";
        }
        used += (size_t)snprintf(out + used, size - used, "%.*s", plain == NULL ? 1 : 4,
                                 plain == NULL ? line + i : plain);
    }
    while (used > 0 && out[used - 1] == ' ') {
        out[--used] = '\0';
    }
    return true;
}

/* ---- where it is ---- */

typedef struct place {
    size_t line, column;
    size_t line_start, line_end; /* byte offsets */
} place;

static place find_place(const char *text, size_t length, size_t at) {
    place found = {1, 1, 0, length};
    unsigned long code;
    for (size_t i = 0; i < at;) {
        size_t size = decode(text + i, length - i, &code);
        bool line_end =
            text[i] == '\n' || (text[i] == '\r' && (i + 1 == length || text[i + 1] != '\n'));
        i += size == 0 ? 1 : size;
        found.column++;
        if (line_end) {
            found.line++;
            found.column = 1;
            found.line_start = i;
        }
    }
    for (size_t i = at; i < length; i++) {
        if (text[i] == '\n' || text[i] == '\r') {
            found.line_end = i;
            break;
        }
    }
    return found;
}

/* The line with a '?' for each byte that cannot be shown. */
static void show_line(const char *line, size_t length, char *out, size_t size) {
    size_t used = 0;
    unsigned long code;
    for (size_t i = 0; i < length;) {
        size_t bytes = decode(line + i, length - i, &code);
        bool fine = bytes != 0 && may_stand(code);
        size_t wanted = fine ? bytes : 1;
        if (used + wanted >= size) {
            break;
        }
        memcpy(out + used, fine ? line + i : "?", wanted);
        used += wanted;
        i += bytes == 0 ? 1 : bytes;
    }
    out[used] = '\0';
}

static void tell_byte(const char *text, size_t length, size_t at, fr_told *told, char *excerpt,
                      size_t excerpt_size) {
    place found = find_place(text, length, at);
    const char *line = text + found.line_start;
    size_t line_length = found.line_end - found.line_start;
    char plain[64];
    told->line = found.line;
    told->column = found.column;
    snprintf(told->message, FR_TOLD_SIZE,
             "byte 0x%02X is not UTF-8: the file was saved in an old Windows code page",
             (unsigned)(unsigned char)text[at]);
    if (spell_plainly(line, line_length, at - found.line_start, plain, sizeof plain)) {
        snprintf(told->hint, FR_TOLD_SIZE, "save it as UTF-8, or write '%s'", plain);
    } else {
        snprintf(told->hint, FR_TOLD_SIZE, "save it as UTF-8");
    }
    show_line(line, line_length, excerpt, excerpt_size);
}

static void tell_control(const char *text, size_t length, size_t at, unsigned long code,
                         fr_told *told, char *excerpt, size_t excerpt_size) {
    place found = find_place(text, length, at);
    told->line = found.line;
    told->column = found.column;
    snprintf(told->message, FR_TOLD_SIZE,
             "an invisible character (U+%04lX) that no text should hold", code);
    snprintf(told->hint, FR_TOLD_SIZE, "take it out, or %s", save_as);
    show_line(text + found.line_start, found.line_end - found.line_start, excerpt, excerpt_size);
}

static bool tell_whole(fr_told *told, const char *message, const char *hint) {
    told->line = 1;
    told->column = 1;
    snprintf(told->message, FR_TOLD_SIZE, "%s", message);
    snprintf(told->hint, FR_TOLD_SIZE, "%s", hint);
    return false;
}

bool fr_text_check(const char *text, size_t length, size_t *skip, fr_told *told, char *excerpt,
                   size_t excerpt_size) {
    const char *kind = file_kind_name(text, length);
    excerpt[0] = '\0';
    *skip = begins(text, length, byte_order_mark, 3) ? 3 : 0;
    if (kind != NULL) {
        char message[64];
        snprintf(message, sizeof message, "this is %s", kind);
        return tell_whole(told, message, save_as);
    }
    if (length > FR_TREE_SIZE_MAX) {
        return tell_whole(told, "over 1 MiB", "a build sheet is a page or two of text");
    }
    text += *skip;
    length -= *skip;
    for (size_t at = 0; at < length;) {
        unsigned long code = 0;
        size_t size = decode(text + at, length - at, &code);
        if (size == 0) {
            tell_byte(text, length, at, told, excerpt, excerpt_size);
            return false;
        }
        if (!may_stand(code)) {
            tell_control(text, length, at, code, told, excerpt, excerpt_size);
            return false;
        }
        at += size;
    }
    return true;
}
