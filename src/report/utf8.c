/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/utf8.h"

#include <stdbool.h>
#include <string.h>

enum {
    REPLACEMENT = 0xFFFD,
    ELLIPSIS = 0x2026,
    /* A few accents on one letter are writing; a tower of them is an attack on the line above. */
    COMBINING_RUN_MAX = 4
};

typedef struct range {
    uint32_t first, last;
} range;

/* Marks that stand on the character before them. The common blocks of Unicode's general category
 * Mn, and joiners that show nothing. */
static const range combining[] = {
    {0x0300, 0x036F}, {0x0483, 0x0489}, {0x0591, 0x05BD},   {0x05BF, 0x05BF},  {0x05C1, 0x05C2},
    {0x05C4, 0x05C5}, {0x0610, 0x061A}, {0x064B, 0x065F},   {0x0670, 0x0670},  {0x06D6, 0x06DC},
    {0x06DF, 0x06E4}, {0x06E7, 0x06E8}, {0x0900, 0x0902},   {0x093C, 0x093C},  {0x0941, 0x0948},
    {0x094D, 0x094D}, {0x0E31, 0x0E31}, {0x0E34, 0x0E3A},   {0x0E47, 0x0E4E},  {0x1AB0, 0x1AFF},
    {0x1DC0, 0x1DFF}, {0x200B, 0x200D}, {0x20D0, 0x20FF},   {0x302A, 0x302D},  {0x3099, 0x309A},
    {0xFE00, 0xFE0F}, {0xFE20, 0xFE2F}, {0x1F3FB, 0x1F3FF}, {0xE0100, 0xE01EF}};

/* East Asian Width W and F of Unicode, and the picture blocks that terminals show as wide. */
static const range wide[] = {
    {0x1100, 0x115F},   {0x231A, 0x231B},   {0x2E80, 0x303E},   {0x3041, 0x33FF},
    {0x3400, 0x4DBF},   {0x4E00, 0x9FFF},   {0xA000, 0xA4CF},   {0xA960, 0xA97C},
    {0xAC00, 0xD7A3},   {0xF900, 0xFAFF},   {0xFE30, 0xFE6F},   {0xFF00, 0xFF60},
    {0xFFE0, 0xFFE6},   {0x1F300, 0x1F64F}, {0x1F680, 0x1F6FF}, {0x1F900, 0x1F9FF},
    {0x1FA70, 0x1FAFF}, {0x20000, 0x2FFFD}, {0x30000, 0x3FFFD}};

/* What moves the cursor, changes the terminal, or turns the direction of writing. */
static const range hidden[] = {{0x0000, 0x001F}, {0x007F, 0x009F}, {0x00AD, 0x00AD},
                               {0x061C, 0x061C}, {0x180E, 0x180E}, {0x200E, 0x200F},
                               {0x2028, 0x202E}, {0x2060, 0x206F}, {0xD800, 0xDFFF},
                               {0xFEFF, 0xFEFF}, {0xFFF9, 0xFFFC}, {0xE0000, 0xE00FF}};

static bool within(const range *ranges, size_t count, uint32_t code) {
    for (size_t i = 0; i < count; i++)
        if (code >= ranges[i].first && code <= ranges[i].last)
            return true;
    return false;
}

#define WITHIN(ranges, code) within(ranges, sizeof(ranges) / sizeof((ranges)[0]), code)

/* Bytes that the first byte announces; 0 when it cannot begin a character. */
static size_t announced(unsigned char first) {
    if (first < 0x80)
        return 1;
    if (first >= 0xC2 && first <= 0xDF)
        return 2;
    if (first >= 0xE0 && first <= 0xEF)
        return 3;
    if (first >= 0xF0 && first <= 0xF4)
        return 4;
    return 0;
}

size_t fr_utf8_decode(const char *text, size_t left, uint32_t *code) {
    static const uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
    const unsigned char *bytes = (const unsigned char *)text;
    size_t length = announced(bytes[0]);
    *code = REPLACEMENT;
    if (length == 0 || length > left)
        return 1;
    uint32_t value = length == 1 ? bytes[0] : bytes[0] & (0x7Fu >> length);
    for (size_t i = 1; i < length; i++) {
        if ((bytes[i] & 0xC0) != 0x80)
            return 1;
        value = value << 6 | (bytes[i] & 0x3Fu);
    }
    if (value < least[length] || value > 0x10FFFF || (value >= 0xD800 && value <= 0xDFFF))
        return 1;
    *code = value;
    return length;
}

size_t fr_utf8_encode(uint32_t code, char out[FR_UTF8_BYTES_MAX]) {
    static const unsigned char lead[] = {0, 0, 0xC0, 0xE0, 0xF0};
    size_t length = code < 0x80 ? 1 : code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
    for (size_t i = length; i-- > 1; code >>= 6)
        out[i] = (char)(0x80 | (code & 0x3F));
    out[0] = (char)(lead[length] | code);
    return length;
}

unsigned fr_char_columns(uint32_t code) {
    if (code < 0x300)
        return 1;
    if (WITHIN(combining, code))
        return 0;
    return WITHIN(wide, code) ? 2 : 1;
}

uint32_t fr_char_shown(uint32_t code) {
    if (code == '\t' || code == '\n' || code == '\r')
        return ' ';
    return WITHIN(hidden, code) ? (uint32_t)REPLACEMENT : code;
}

/* Walks a text as it will be shown, leaving out what a tower of accents has too much. */
typedef struct shown_walk {
    const char *at;
    size_t left;
    unsigned run;
} shown_walk;

static bool walk_next(shown_walk *walk, uint32_t *code) {
    while (walk->left > 0) {
        size_t taken = fr_utf8_decode(walk->at, walk->left, code);
        walk->at += taken;
        walk->left -= taken;
        *code = fr_char_shown(*code);
        walk->run = fr_char_columns(*code) == 0 ? walk->run + 1 : 0;
        if (walk->run <= COMBINING_RUN_MAX)
            return true;
    }
    return false;
}

size_t fr_text_columns(const char *text) {
    shown_walk at = {text, strlen(text), 0};
    size_t columns = 0;
    uint32_t code;
    while (walk_next(&at, &code))
        columns += fr_char_columns(code);
    return columns;
}

void fr_text_clean(const char *text, char *out, size_t size) {
    fr_text_fit(text, SIZE_MAX, out, size);
}

void fr_text_fit(const char *text, size_t columns, char *out, size_t size) {
    if (size == 0)
        return;
    bool cut = columns != SIZE_MAX && fr_text_columns(text) > columns;
    size_t room = cut ? columns - (columns > 0) : columns;
    shown_walk at = {text, strlen(text), 0};
    size_t used = 0;
    uint32_t code;
    while (walk_next(&at, &code)) {
        char bytes[FR_UTF8_BYTES_MAX];
        size_t length = fr_utf8_encode(code, bytes);
        if (fr_char_columns(code) > room || used + length + FR_UTF8_BYTES_MAX >= size)
            break;
        room -= room == SIZE_MAX ? 0 : fr_char_columns(code);
        memcpy(out + used, bytes, length);
        used += length;
    }
    if (cut && columns > 0 && used + FR_UTF8_BYTES_MAX < size)
        used += fr_utf8_encode(ELLIPSIS, out + used);
    out[used] = '\0';
}
