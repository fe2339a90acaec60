/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a command asks of its invocation, and how it says that something is wrong. */
#include "cli/invocation.h"

#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

/* Position in `values` and number of the values of an option. */
static size_t span_of(const fr_invocation *invocation, const char *name, size_t *count) {
    size_t start = 0;

    for (const fr_option *option = invocation->command->options; option->name; option++) {
        size_t own = 0;
        for (size_t i = 0; i < invocation->given_count; i++)
            own += invocation->given[i].option == option;
        if (strcmp(option->name, name) == 0) {
            *count = own;
            return start;
        }
        start += own;
    }
    *count = 0;
    return 0;
}

bool fr_invocation_has(const fr_invocation *invocation, const char *name) {
    size_t count;

    span_of(invocation, name, &count);
    return count > 0;
}

const char *const *fr_invocation_values(const fr_invocation *invocation, const char *name,
                                        size_t *count) {
    size_t start = span_of(invocation, name, count);

    return invocation->values + start;
}

const char *fr_invocation_value(const fr_invocation *invocation, const char *name,
                                const char *otherwise) {
    size_t count;
    const char *const *values = fr_invocation_values(invocation, name, &count);

    return count > 0 ? values[count - 1] : otherwise;
}

size_t fr_invocation_count(const fr_invocation *invocation, const char *name, size_t otherwise) {
    const char *value = fr_invocation_value(invocation, name, NULL);

    return value != NULL ? (size_t)strtoull(value, NULL, 10) : otherwise;
}

bool fr_invocation_is(const fr_invocation *invocation, const char *name, const char *word) {
    const char *value = fr_invocation_value(invocation, name, NULL);

    return value != NULL && strcmp(value, word) == 0;
}

/* Why a text is no quantity, for people; indexed by fr_quantity_fault. */
static const char *const fault_text[] = {
    [FR_QUANTITY_FINE] = "is fine",
    [FR_QUANTITY_NOT_A_NUMBER] = "is not a number with a unit",
    [FR_QUANTITY_NO_UNIT] = "has no unit",
    [FR_QUANTITY_UNKNOWN_UNIT] = "has a unit that is not known",
    [FR_QUANTITY_WRONG_KIND] = "has a unit of another kind",
    [FR_QUANTITY_DECIMAL_COMMA] = "has a decimal comma; write a point",
    [FR_QUANTITY_NOT_FINITE] = "is not a number that can be used",
    [FR_QUANTITY_BAD_TOLERANCE] = "has a tolerance that cannot be read",
    [FR_QUANTITY_TRAILING] = "has something behind it",
};

bool fr_option_quantity(const fr_invocation *invocation, const char *name, const char *text,
                        fr_kinds wanted, fr_quantity *quantity) {
    fr_quantity read;
    fr_quantity_fault fault = fr_quantity_parse(text, wanted, &read);
    unsigned kind = 0;

    if (fault == FR_QUANTITY_FINE) {
        *quantity = read;
        return true;
    }
    while (kind + 1 < FR_KIND_COUNT && !(wanted & FR_KINDS(kind)))
        kind++;
    fr_usage_error(invocation, "--%s: '%s' %s; write it as '%s'", name, text, fault_text[fault],
                   fr_kind_example((fr_kind)kind));
    return false;
}

bool fr_invocation_quantity(const fr_invocation *invocation, const char *name, fr_kinds wanted,
                            fr_quantity *quantity) {
    const char *text = fr_invocation_value(invocation, name, NULL);

    return text == NULL || fr_option_quantity(invocation, name, text, wanted, quantity);
}

fr_sheet_options fr_invocation_sheet_options(const fr_invocation *invocation) {
    fr_sheet_options options;

    options.parts_dirs = fr_invocation_values(invocation, "parts", &options.parts_dir_count);
    options.sets = fr_invocation_values(invocation, "set", &options.set_count);
    options.blends = fr_invocation_values(invocation, "blend", &options.blend_count);
    return options;
}

fr_units fr_invocation_units(const fr_invocation *invocation, fr_units otherwise) {
    const char *word = fr_invocation_value(invocation, "units", NULL);

    if (word == NULL)
        return otherwise;
    return strcmp(word, "us") == 0 ? FR_US : FR_METRIC;
}

static void say(const fr_invocation *invocation, const char *format, va_list arguments) {
    fprintf(stderr, "fuelreach %s: ", invocation->command->name);
    vfprintf(stderr, format, arguments);
    fputc('\n', stderr);
}

int fr_usage_error(const fr_invocation *invocation, const char *format, ...) {
    va_list arguments;

    va_start(arguments, format);
    say(invocation, format, arguments);
    va_end(arguments);
    fprintf(stderr, "'fuelreach %s --help' shows how it is used.\n", invocation->command->name);
    return fr_status_exit_code(FR_BAD_INPUT);
}

int fr_system_error(const fr_invocation *invocation, const char *format, ...) {
    va_list arguments;

    va_start(arguments, format);
    say(invocation, format, arguments);
    va_end(arguments);
    return fr_status_exit_code(FR_SYSTEM);
}

int fr_say_remarks(const fr_invocation *invocation, const fr_report *report, fr_status status) {
    fr_write_remarks(stderr, report, invocation->colour_err);
    if (status != FR_OK && report->count == 0)
        fprintf(stderr, "fuelreach %s: %s\n", invocation->command->name, fr_status_text(status));
    return fr_status_exit_code(status);
}

int fr_verdict_exit_code(fr_verdict verdict) {
    return verdict == FR_SHORT ? 1 : 0;
}
