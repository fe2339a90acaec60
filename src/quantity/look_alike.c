/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Characters that people cannot tell from the ones a unit is written with, and a few that word
 * processors put in. UTF-8, spelled as bytes. */
#include <stdbool.h>
#include <string.h>

#include "quantity/units.h"

typedef struct look_alike {
    const char *bytes;
    const char *plain;
} look_alike;

static const look_alike look_alikes[] = {
    {"\xC2\xB5", "u"},        /* U+00B5 micro sign */
    {"\xCE\xBC", "u"},        /* U+03BC Greek mu */
    {"\xE2\x84\xA6", "ohm"},  /* U+2126 ohm sign */
    {"\xCE\xA9", "ohm"},      /* U+03A9 Greek capital omega */
    {"\xE2\x88\x92", "-"},    /* U+2212 minus sign */
    {"\xC2\xB0", "deg"},      /* U+00B0 degree sign */
    {"\xC2\xBA", "deg"},      /* U+00BA masculine ordinal */
    {"\xCB\x9A", "deg"},      /* U+02DA ring above */
    {"\xE2\x84\x83", "degC"}, /* U+2103 degree Celsius */
    {"\xE2\x84\x89", "degF"}, /* U+2109 degree Fahrenheit */
    {"\xC2\xA0", " "},        /* U+00A0 no-break space */
    {"\xE2\x80\x89", " "},    /* U+2009 thin space */
    {"\xE2\x80\xAF", " "},    /* U+202F narrow no-break space */
    {"\xC2\xB1", "+-"},       /* U+00B1 plus-minus */
    {"\xC2\xB2", "2"},        /* U+00B2 superscript two */
    {"\xC2\xB3", "3"},        /* U+00B3 superscript three */
    {"\xC2\xB7", "*"},        /* U+00B7 middle dot */
    {"\xE2\x8B\x85", "*"},    /* U+22C5 dot operator */
};

static const char *const curly_quotes[] = {
    "\xE2\x80\x98", "\xE2\x80\x99", /* U+2018, U+2019 single */
    "\xE2\x80\x9C", "\xE2\x80\x9D", /* U+201C, U+201D double */
    "\xE2\x80\x9E", "\xE2\x80\x9A", /* U+201E, U+201A low */
};

static const char *const long_dashes[] = {
    "\xE2\x80\x93", /* U+2013 en dash */
    "\xE2\x80\x94", /* U+2014 em dash */
};

static size_t length_if_at(const char *text, const char *bytes) {
    size_t length = strlen(bytes);
    return strncmp(text, bytes, length) == 0 ? length : 0;
}

static bool is_ascii(char c) {
    return ((unsigned char)c & 0x80u) == 0;
}

size_t fr_look_alike(const char *text, const char **plain) {
    if (is_ascii(*text)) {
        return 0;
    }
    for (size_t i = 0; i < sizeof look_alikes / sizeof look_alikes[0]; i++) {
        size_t length = length_if_at(text, look_alikes[i].bytes);
        if (length != 0) {
            *plain = look_alikes[i].plain;
            return length;
        }
    }
    return 0;
}

size_t fr_curly_quote(const char *text) {
    size_t length = 0;
    for (size_t i = 0;
         !is_ascii(*text) && length == 0 && i < sizeof curly_quotes / sizeof curly_quotes[0]; i++) {
        length = length_if_at(text, curly_quotes[i]);
    }
    return length;
}

size_t fr_long_dash(const char *text) {
    size_t length = 0;
    for (size_t i = 0;
         !is_ascii(*text) && length == 0 && i < sizeof long_dashes / sizeof long_dashes[0]; i++) {
        length = length_if_at(text, long_dashes[i]);
    }
    return length;
}

bool fr_blank_char(char c) {
    return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}

/* Adds bytes that were made from what stands at `from`; false when they do not fit. */
static bool add_bytes(fr_plain *plain, const char *bytes, size_t length, const char *from) {
    if (plain->length + length > FR_PLAIN_MAX) {
        plain->cut = true;
        return false;
    }
    for (size_t i = 0; i < length; i++) {
        plain->from[plain->length] = from;
        plain->text[plain->length++] = bytes[i];
    }
    if (plain->length != 0 && fr_blank_char(plain->text[0])) {
        plain->length = 0; /* a blank in front, in disguise */
    }
    return true;
}

/* Takes one character at `text` into `plain`; returns how many bytes it was. */
static size_t take_one(const char *text, fr_plain *plain) {
    const char *twin = NULL;
    size_t taken = fr_look_alike(text, &twin);
    bool fits =
        taken == 0 ? add_bytes(plain, text, 1, text) : add_bytes(plain, twin, strlen(twin), text);
    if (!fits) {
        return strlen(text);
    }
    return taken == 0 ? 1 : taken;
}

void fr_plain_make(const char *text, fr_plain *plain) {
    plain->length = 0;
    plain->cut = false;
    while (fr_blank_char(*text)) {
        text++;
    }
    while (*text != '\0') {
        text += take_one(text, plain);
    }
    while (plain->length != 0 && fr_blank_char(plain->text[plain->length - 1])) {
        plain->length--;
    }
    plain->text[plain->length] = '\0';
    plain->from[plain->length] = text;
}
