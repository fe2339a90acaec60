/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/clear.h"

#include <math.h>

enum { LADDER = 10, FINE = 4 };

/* Two blends between which the chance falls through the confidence. */
typedef struct bracket {
    fr_odds holds, fails;
    bool has_holds, has_fails;
} bracket;

static bracket bracket_from(const fr_odds *ladder, size_t count, size_t seen, double confidence) {
    bracket found = {0};
    size_t at = seen;
    if (ladder[at].holds < confidence) {
        while (at > 0 && ladder[at].holds < confidence)
            at--;
        found.has_holds = ladder[at].holds >= confidence;
        found.has_fails = true;
        found.holds = ladder[at];
        found.fails = ladder[found.has_holds ? at + 1 : 0];
        return found;
    }
    while (at + 1 < count && ladder[at + 1].holds >= confidence)
        at++;
    found.has_holds = true;
    found.holds = ladder[at];
    found.has_fails = at + 1 < count;
    if (found.has_fails)
        found.fails = ladder[at + 1];
    return found;
}

/* E0, E10 ... E100 with `seen` among them; returns its place. */
static size_t make_ladder(double seen, fr_odds ladder[LADDER + 2], size_t *count) {
    size_t place = 0;
    *count = 0;
    for (size_t i = 0; i <= LADDER; i++) {
        const double rung = (double)i / LADDER;
        const double before = (double)i / LADDER - 1.0 / LADDER;
        if (seen > before + 1e-6 && seen < rung - 1e-6) {
            place = *count;
            ladder[(*count)++].ethanol = seen;
        }
        if (fabs(seen - rung) <= 1e-6)
            place = *count;
        ladder[(*count)++].ethanol = rung;
    }
    return place;
}

fr_status fr_clear_find(const fr_build *build, const fr_parameters *parameters,
                        const fr_posterior *posterior, double seen, double confidence,
                        fr_clear_to *clear) {
    fr_odds ladder[LADDER + 2];
    fr_odds fine[FINE + 2];
    size_t count;
    const size_t place = make_ladder(seen, ladder, &count);
    fr_status status = fr_odds_find(build, parameters, posterior, ladder, count);
    if (status != FR_OK)
        return status;
    const bracket coarse = bracket_from(ladder, count, place, confidence);
    clear->seen_holds = ladder[place].holds >= confidence;
    clear->ethanol = coarse.has_holds ? coarse.holds.ethanol : NAN;
    if (!coarse.has_holds || !coarse.has_fails)
        return FR_OK;
    const double width = coarse.fails.ethanol - coarse.holds.ethanol;
    fine[0] = coarse.holds;
    fine[FINE + 1] = coarse.fails;
    for (size_t i = 1; i <= FINE; i++)
        fine[i].ethanol = coarse.holds.ethanol + width * (double)i / (FINE + 1);
    status = fr_odds_find(build, parameters, posterior, fine + 1, FINE);
    const bracket close = bracket_from(fine, FINE + 2, 0, confidence);
    clear->ethanol = close.holds.ethanol + (close.fails.ethanol - close.holds.ethanol) *
                                               (close.holds.holds - confidence) /
                                               (close.holds.holds - close.fails.holds);
    return status;
}
