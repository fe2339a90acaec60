/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/json.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "report/utf8.h"

/* Whole numbers up to here are exact in a double and need no search for the shortest digits. */
static const double WHOLE_MAX = 1e15;

enum { DIGITS_LEAST = 15, DIGITS_MOST = 17 };

fr_json fr_json_to(FILE *out) {
    fr_json json = {.out = out};
    return json;
}

static void write_text(fr_json *json, const char *text);

/* Comma and key: what stands in front of every value. */
static void lead(fr_json *json, const char *key) {
    if (json->started[json->depth])
        fputc(',', json->out);
    json->started[json->depth] = true;
    if (key == NULL)
        return;
    write_text(json, key);
    fputc(':', json->out);
}

static void open_level(fr_json *json, const char *key, char bracket) {
    lead(json, key);
    fputc(bracket, json->out);
    if (json->depth + 1 < FR_JSON_DEPTH_MAX)
        json->depth++;
    json->started[json->depth] = false;
}

static void close_level(fr_json *json, char bracket) {
    fputc(bracket, json->out);
    if (json->depth > 0)
        json->depth--;
}

void fr_json_object(fr_json *json, const char *key) {
    open_level(json, key, '{');
}

void fr_json_object_end(fr_json *json) {
    close_level(json, '}');
}

void fr_json_list(fr_json *json, const char *key) {
    open_level(json, key, '[');
}

void fr_json_list_end(fr_json *json) {
    close_level(json, ']');
}

void fr_number_write(double value, char out[FR_JSON_NUMBER_MAX]) {
    if (!isfinite(value)) {
        strcpy(out, "null");
        return;
    }
    if (fabs(value) < WHOLE_MAX && value == floor(value)) {
        snprintf(out, FR_JSON_NUMBER_MAX, "%lld", (long long)value);
        return;
    }
    for (int digits = DIGITS_LEAST; digits <= DIGITS_MOST; digits++) {
        snprintf(out, FR_JSON_NUMBER_MAX, "%.*g", digits, value);
        if (strtod(out, NULL) == value)
            return;
    }
}

void fr_json_number(fr_json *json, const char *key, double value) {
    char number[FR_JSON_NUMBER_MAX];
    fr_number_write(value, number);
    lead(json, key);
    fputs(number, json->out);
}

void fr_json_count(fr_json *json, const char *key, size_t value) {
    lead(json, key);
    fprintf(json->out, "%zu", value);
}

void fr_json_bool(fr_json *json, const char *key, bool value) {
    lead(json, key);
    fputs(value ? "true" : "false", json->out);
}

void fr_json_text(fr_json *json, const char *key, const char *text) {
    lead(json, key);
    if (text == NULL)
        fputs("null", json->out);
    else
        write_text(json, text);
}

void fr_json_line_end(fr_json *json) {
    fputc('\n', json->out);
    json->depth = 0;
    json->started[0] = false;
}

/* The escapes of RFC 8259 with a letter of their own. */
static char escape_letter(uint32_t code) {
    switch (code) {
    case '"':
    case '\\':
        return (char)code;
    case '\n':
        return 'n';
    case '\r':
        return 'r';
    case '\t':
        return 't';
    default:
        return '\0';
    }
}

/* U+2028 and U+2029 end a line in older scripts, and "</" ends a script element: both are
 * escaped, so that a page can hold the text as it is. */
static void write_character(FILE *out, uint32_t code, uint32_t before) {
    char letter = escape_letter(code);
    if (letter != '\0') {
        fprintf(out, "\\%c", letter);
    } else if (code < 0x20 || code == 0x7F || code == 0x2028 || code == 0x2029) {
        fprintf(out, "\\u%04x", (unsigned)code);
    } else if (code == '/' && before == '<') {
        fputs("\\/", out);
    } else {
        char bytes[FR_UTF8_BYTES_MAX];
        size_t length = fr_utf8_encode(code, bytes);
        fwrite(bytes, 1, length, out);
    }
}

static void write_text(fr_json *json, const char *text) {
    size_t left = strlen(text);
    uint32_t before = 0;
    fputc('"', json->out);
    while (left > 0) {
        uint32_t code;
        size_t taken = fr_utf8_decode(text, left, &code);
        write_character(json->out, code, before);
        before = code;
        text += taken;
        left -= taken;
    }
    fputc('"', json->out);
}
