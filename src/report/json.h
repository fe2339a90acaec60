/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A small streaming writer of JSON (RFC 8259), one object on one line. Commas, quotes and escapes
 * are its business; it can write neither an infinity nor text that is not UTF-8.
 *
 * In an object every call takes a key; in a list the key is null. Numbers are the shortest of 15,
 * 16 and 17 digits that read back as the same double. */
#ifndef FR_REPORT_JSON_H
#define FR_REPORT_JSON_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

enum { FR_JSON_DEPTH_MAX = 16, FR_JSON_NUMBER_MAX = 32 };

typedef struct fr_json {
    FILE *out;
    size_t depth;
    bool started[FR_JSON_DEPTH_MAX]; /* something was written at this depth already */
} fr_json;

fr_json fr_json_to(FILE *out);
void fr_json_object(fr_json *json, const char *key);
void fr_json_object_end(fr_json *json);
void fr_json_list(fr_json *json, const char *key);
void fr_json_list_end(fr_json *json);
/* NAN and infinities are written as null: the figure does not apply or has no value. */
void fr_json_number(fr_json *json, const char *key, double value);
void fr_json_count(fr_json *json, const char *key, size_t value);
void fr_json_bool(fr_json *json, const char *key, bool value);
/* A null text is written as null. Bytes that are not UTF-8 become U+FFFD. */
void fr_json_text(fr_json *json, const char *key, const char *text);
/* Ends the line after the outermost object. */
void fr_json_line_end(fr_json *json);

/* The number as JSON has it, "null" for what is not finite; also used for CSV. */
void fr_number_write(double value, char out[FR_JSON_NUMBER_MAX]);

#endif
