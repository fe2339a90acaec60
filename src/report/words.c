/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/words.h"

#include <stdarg.h>
#include <stdio.h>

void fr_words_clear(fr_words *words) {
    words->length = 0;
    words->text[0] = '\0';
}

void fr_words_add(fr_words *words, const char *format, ...) {
    size_t room = FR_WORDS_MAX - words->length;
    va_list arguments;
    va_start(arguments, format);
    int wanted = vsnprintf(words->text + words->length, room, format, arguments);
    va_end(arguments);
    if (wanted < 0)
        return;
    if ((size_t)wanted < room) {
        words->length += (size_t)wanted;
        return;
    }
    words->length = FR_WORDS_MAX - 1;
    /* A character that was cut in its middle goes altogether. */
    while (words->length > 0 && (words->text[words->length - 1] & 0xC0) == 0x80)
        words->length--;
    if (words->length > 0 && (words->text[words->length - 1] & 0x80) != 0)
        words->length--;
    words->text[words->length] = '\0';
}

void fr_words_capital(fr_words *words, size_t at) {
    if (at < words->length && words->text[at] >= 'a' && words->text[at] <= 'z')
        words->text[at] = (char)(words->text[at] - 'a' + 'A');
}

const char *fr_words_between(size_t index, size_t count, const char *last) {
    if (index == 0)
        return "";
    return index + 1 == count ? last : ", ";
}

void fr_words_count(fr_words *words, size_t count) {
    static const char *const names[] = {"none",  "one",   "two",  "three", "four",   "five",  "six",
                                        "seven", "eight", "nine", "ten",   "eleven", "twelve"};
    if (count < sizeof names / sizeof names[0])
        fr_words_add(words, "%s", names[count]);
    else
        fr_words_add(words, "%zu", count);
}
