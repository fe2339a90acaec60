/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether a build is not short with a given chance on every blend. */
#include <stdlib.h>

#include "chance/chance.h"
#include "chance/moves.h"
#include "fuelreach/sizing.h"

struct fr_size_sure {
    fr_chance *chance;
    const fr_input *inputs;
    size_t input_count;
    double short_most; /* chance of short that is still accepted */
};

fr_size_sure *fr_size_sure_open(const fr_build *build, const fr_input *inputs, size_t input_count,
                                double confidence) {
    if (!fr_moves_suit_block(build, inputs, input_count)) {
        return NULL;
    }
    fr_size_sure *sure = malloc(sizeof *sure);
    if (sure == NULL) {
        return NULL;
    }
    *sure = (fr_size_sure){fr_chance_open(), inputs, input_count, 1.0 - confidence};
    if (sure->chance == NULL) {
        free(sure);
        return NULL;
    }
    return sure;
}

void fr_size_sure_close(fr_size_sure *sure) {
    if (sure != NULL) {
        fr_chance_close(sure->chance);
        free(sure);
    }
}

bool fr_size_sure_accepts(const fr_build *build, void *context) {
    /* A chance of a few per cent is known to half of one from so many even draws. */
    enum { DRAWS = 1024, SEED = 1 };
    fr_size_sure *sure = context;
    return fr_chance_set(sure->chance, build, sure->inputs, sure->input_count) &&
           fr_chance_of_short(sure->chance, DRAWS, SEED, NULL) <= sure->short_most;
}
