/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A build moved in place, draw after draw, as fr_build_move does on a copy: only what the inputs
 * name is written, which spares copying the build each time. */
#ifndef FR_CHANCE_MOVES_H
#define FR_CHANCE_MOVES_H

#include "chance/block.h"
#include "fuelreach/sheet.h"

enum { FR_MOVED_PLACES_MAX = 256 };

typedef struct fr_moves {
    const fr_input *inputs;
    size_t input_count;
    fr_build moved;
    size_t place_count; /* distinct doubles that the inputs move */
    size_t places[FR_MOVED_PLACES_MAX];
    double base[FR_MOVED_PLACES_MAX];
} fr_moves;

/* False when the inputs move more places than can be kept. */
bool fr_moves_start(fr_moves *moves, const fr_build *base, const fr_input *inputs, size_t count);
/* The build moved by one deviation an input (deviations[i * stride]); valid until the next. */
const fr_build *fr_moves_to(fr_moves *moves, const double *deviations, size_t stride);

/* Whether the block kernel can follow the inputs: not where one moves a single point of a curve
 * over speed or blend, the pull, or what speeds are read at. Then the scalar check is asked. */
bool fr_moves_suit_block(const fr_build *base, const fr_input *inputs, size_t count);

/* Whether an input moves a line. */
bool fr_moves_line(const fr_build *base, const fr_input *input);

/* Whether an input moves what the walk along the lift pumps is made of. */
bool fr_moves_walk(const fr_build *base, const fr_input *input);

#endif
