/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The `learnt:` section: what the next sheet starts from. */
#include <math.h>
#include <stdarg.h>
#include <stdio.h>

#include "review/learnt.h"

static const double PERCENT = 100.0;

/* A text that grows in a fixed room; `full` once it did not fit. */
typedef struct growing {
    char *out;
    size_t size, length;
    bool full;
} growing;

#if defined(__GNUC__)
__attribute__((format(printf, 2, 3)))
#endif
static void add(growing *text, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    const int put =
        vsnprintf(text->out + text->length, text->size - text->length, format, arguments);
    va_end(arguments);
    if (put < 0 || (size_t)put >= text->size - text->length)
        text->full = true;
    else
        text->length += (size_t)put;
}

/* A tenth of a per cent, rounded up: a doubt is never made smaller. */
static double tenth_up(double share) {
    return ceil(10.0 * PERCENT * share - 1e-6) / 10.0;
}

static void add_logs(growing *text, const fr_review_result *result) {
    add(text, "# Learnt by 'fuelreach review' from %zu pull%s at ", result->pulls_used,
        result->pulls_used == 1 ? "" : "s");
    if (result->most_ethanol_seen > result->least_ethanol_seen)
        add(text, "E%.0f to E%.0f", PERCENT * result->least_ethanol_seen,
            PERCENT * result->most_ethanol_seen);
    else
        add(text, "E%.0f", PERCENT * result->most_ethanol_seen);
    add(text, ". Put the section into the build sheet.\n");
}

static void add_note(growing *text, fr_factor factor, const fr_review_factor *learnt) {
    if (learnt->lower_bound && !learnt->told)
        add(text, "# %s: held its pressure; gives at least %.0f %% of what the sheet says.\n",
            fr_factor_name(factor), floor(PERCENT * learnt->at_least));
}

bool fr_learnt_write(const fr_review_result *result, char *out, size_t size) {
    growing text = {.size = size, .full = size == 0};
    text.out = out;
    const char *between = "";
    if (text.full)
        return false;
    add_logs(&text, result);
    for (int factor = 0; factor < FR_FACTOR_COUNT; factor++)
        if (result->factors[factor].present)
            add_note(&text, (fr_factor)factor, &result->factors[factor]);
    add(&text, "learnt: {");
    for (int factor = 0; factor < FR_FACTOR_COUNT; factor++) {
        const fr_review_factor *learnt = &result->factors[factor];
        if (!learnt->present || !learnt->told)
            continue;
        add(&text, "%s%s: %.1f %% ± %.1f %%", between, fr_factor_name((fr_factor)factor),
            PERCENT * learnt->value, tenth_up(0.5 * (learnt->high - learnt->low)));
        between = ", ";
    }
    add(&text, "}\n");
    return !text.full;
}
