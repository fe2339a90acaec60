/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The program as a page in a browser calls it: every command of fuelreach, and what only a page
 * needs. The page runs it once a question; files are in memory. */
#include <gsl/gsl_errno.h>
#include <stdlib.h>
#include <string.h>

#include "cli/output.h"
#include "cli/run.h"
#include "sheet/folder.h"
#include "sheet/rewrite.h"
#include "web/describe.h"
#include "web/form.h"

enum { SHEET_MOST = 1024 * 1024, CANNOT = 2 };

/* `words` are those behind the name. */
static int describe(int count, char **words) {
    (void)count;
    (void)words;
    fr_describe_program(stdout);
    return 0;
}

static int begin(int count, char **words) {
    char *text = fr_form_begin();
    (void)count;
    (void)words;
    if (!text)
        return CANNOT;
    fputs(text, stdout);
    free(text);
    return 0;
}

static int values(int count, char **words) {
    char *text;
    size_t length;
    if (count != 1 || fr_read_file(words[0], SHEET_MOST, &text, &length) != FR_OK)
        return CANNOT;
    fr_describe_sheet(stdout, text);
    free(text);
    return 0;
}

/* put SHEET [PATH VALUE]...: the sheet's text with the values in it; "" takes a field out. */
static int put(int count, char **words) {
    char *text = NULL;
    size_t length;
    fr_status status =
        count > 0 ? fr_read_file(words[0], SHEET_MOST, &text, &length) : FR_BAD_INPUT;
    for (int i = 1; status == FR_OK && i + 1 < count; i += 2) {
        char *next;
        status = fr_sheet_rewrite(text, words[i], *words[i + 1] ? words[i + 1] : NULL, &next);
        if (status != FR_OK)
            break;
        free(text);
        text = next;
    }
    if (status == FR_OK)
        fputs(text, stdout);
    free(text);
    return status == FR_OK ? 0 : CANNOT;
}

static const struct {
    const char *name;
    int (*run)(int count, char **words);
} page_words[] = {{"describe", describe}, {"begin", begin}, {"values", values}, {"put", put}};

int main(int count, char **words) {
    gsl_set_error_handler_off();
    for (size_t i = 0; count > 1 && i < sizeof page_words / sizeof page_words[0]; i++)
        if (strcmp(words[1], page_words[i].name) == 0)
            return fr_finish_output(stdout, page_words[i].run(count - 2, words + 2));
    return fr_program_run(count, words);
}
