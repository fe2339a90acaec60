/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The words of a command line, held against the command's row in the table. */
#include <stdlib.h>
#include <string.h>

#include "cli/invocation.h"
#include "cli/nearest.h"

/* How far the reading has come. */
struct reader {
    fr_invocation *invocation;
    char *const *words;
    size_t count;
    size_t at; /* the next word */
    bool help;
};

static const fr_option *find_option(const fr_command *command, const char *name, size_t length) {
    for (const fr_option *option = command->options; option->name != NULL; option++)
        if (strncmp(option->name, name, length) == 0 && option->name[length] == '\0')
            return option;
    return NULL;
}

static const fr_option *find_letter(const fr_command *command, char letter) {
    for (const fr_option *option = command->options; option->name != NULL; option++)
        if (option->letter == letter)
            return option;
    return NULL;
}

/* True when `value` is one of "a|b|c". */
static bool is_word_of(const char *words, const char *value) {
    size_t length = strlen(value);

    for (const char *word = words;; word++) {
        size_t span = strcspn(word, "|");
        if (span == length && strncmp(word, value, span) == 0)
            return true;
        word += span;
        if (*word == '\0')
            return false;
    }
}

static bool is_count(const char *value) {
    size_t digits = strspn(value, "0123456789");

    return digits > 0 && digits < 19 && value[digits] == '\0';
}

static bool accept_value(const fr_invocation *invocation, const fr_option *option,
                         const char *value) {
    double ethanol;

    switch (option->kind) {
    case FR_VALUE_WORD:
        if (is_word_of(option->value, value))
            return true;
        fr_usage_error(invocation, "--%s takes one of %s, not '%s'", option->name, option->value,
                       value);
        return false;
    case FR_VALUE_COUNT:
        if (is_count(value))
            return true;
        fr_usage_error(invocation, "--%s takes a whole number, not '%s'", option->name, value);
        return false;
    case FR_VALUE_BLEND:
        if (fr_blend_parse(value, &ethanol))
            return true;
        fr_usage_error(invocation, "--%s takes a blend such as E85 or E62.5, not '%s'",
                       option->name, value);
        return false;
    default:
        return true;
    }
}

static bool take(struct reader *reader, const fr_option *option, const char *value) {
    fr_invocation *invocation = reader->invocation;

    if (option->kind == FR_VALUE_NONE) {
        if (value != NULL) {
            fr_usage_error(invocation, "--%s takes no value", option->name);
            return false;
        }
    } else {
        if (value == NULL && reader->at < reader->count)
            value = reader->words[reader->at++];
        if (value == NULL) {
            fr_usage_error(invocation, "--%s needs a value: --%s %s", option->name, option->name,
                           option->value);
            return false;
        }
        if (!accept_value(invocation, option, value))
            return false;
    }
    invocation->given[invocation->given_count++] = (fr_given){option, value};
    return true;
}

static bool no_such_option(const fr_invocation *invocation, const char *word, size_t length) {
    char name[64];
    fr_nearest nearest = {name, NULL, 0};

    if (length < sizeof name) {
        memcpy(name, word, length);
        name[length] = '\0';
        for (const fr_option *option = invocation->command->options; option->name; option++)
            fr_nearest_try(&nearest, option->name);
        fr_nearest_try(&nearest, "help");
    }
    if (nearest.best != NULL)
        fr_usage_error(invocation, "no option '--%.*s'; '--%s' is meant?", (int)length, word,
                       nearest.best);
    else
        fr_usage_error(invocation, "no option '--%.*s'", (int)length, word);
    return false;
}

/* One word that begins with two dashes. */
static bool read_long(struct reader *reader, const char *word) {
    size_t length = strcspn(word, "=");
    const char *value = word[length] == '=' ? word + length + 1 : NULL;
    const fr_option *option = find_option(reader->invocation->command, word, length);

    if (option != NULL)
        return take(reader, option, value);
    if (strcmp(word, "help") == 0) {
        reader->help = true;
        return true;
    }
    return no_such_option(reader->invocation, word, length);
}

/* One word that begins with one dash: a letter, its value behind it or in the next word. */
static bool read_short(struct reader *reader, const char *word) {
    const fr_option *option = find_letter(reader->invocation->command, word[0]);

    if (option != NULL)
        return take(reader, option, word[1] != '\0' ? word + 1 : NULL);
    if (strcmp(word, "h") == 0) {
        reader->help = true;
        return true;
    }
    option = find_option(reader->invocation->command, word, strcspn(word, "="));
    if (option != NULL)
        fr_usage_error(reader->invocation, "no option '-%s'; '--%s' is meant?", word, word);
    else
        fr_usage_error(reader->invocation, "no option '-%c'", word[0]);
    return false;
}

static bool read_words(struct reader *reader) {
    fr_invocation *invocation = reader->invocation;
    bool options = true;

    while (reader->at < reader->count) {
        const char *word = reader->words[reader->at++];
        if (options && strcmp(word, "--") == 0)
            options = false;
        else if (options && word[0] == '-' && word[1] == '-') {
            if (!read_long(reader, word + 2))
                return false;
        } else if (options && word[0] == '-' && word[1] != '\0') {
            if (!read_short(reader, word + 1))
                return false;
        } else
            invocation->arguments[invocation->argument_count++] = word;
    }
    return true;
}

static bool accept_argument_count(const fr_invocation *invocation) {
    const fr_command *command = invocation->command;
    size_t count = invocation->argument_count;

    if (count < command->least_arguments) {
        fr_usage_error(invocation, "%s is missing: fuelreach %s %s",
                       count == 0 ? "what to work on" : "an argument", command->name,
                       command->arguments);
        return false;
    }
    if (count > command->most_arguments) {
        fr_usage_error(invocation, "'%s' is one argument too many",
                       invocation->arguments[command->most_arguments]);
        return false;
    }
    return true;
}

/* Puts the values of each option side by side, in the order of the table. */
static void group_values(fr_invocation *invocation) {
    size_t filled = 0;

    for (const fr_option *option = invocation->command->options; option->name; option++)
        for (size_t i = 0; i < invocation->given_count; i++)
            if (invocation->given[i].option == option)
                invocation->values[filled++] = invocation->given[i].value;
}

fr_parse_outcome fr_invocation_parse(fr_invocation *invocation, int word_count,
                                     char *const *words) {
    struct reader reader = {invocation, words, (size_t)word_count, 0, false};

    /* One more than there are words, so that none asks for no memory at all. */
    invocation->arguments = calloc(reader.count + 1, sizeof *invocation->arguments);
    invocation->given = calloc(reader.count + 1, sizeof *invocation->given);
    invocation->values = calloc(reader.count + 1, sizeof *invocation->values);
    if (!invocation->arguments || !invocation->given || !invocation->values)
        return FR_PARSE_NO_MEMORY;
    if (!read_words(&reader))
        return FR_PARSE_BAD;
    if (reader.help)
        return FR_PARSED_HELP;
    if (!accept_argument_count(invocation))
        return FR_PARSE_BAD;
    group_values(invocation);
    return FR_PARSED;
}

void fr_invocation_close(fr_invocation *invocation) {
    free(invocation->arguments);
    free(invocation->given);
    free(invocation->values);
}
