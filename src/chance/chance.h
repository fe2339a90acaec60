/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A build with inputs that are not known exactly, checked on a block of draws at once. What the
 * studies of chance stand on. */
#ifndef FR_CHANCE_CHANCE_H
#define FR_CHANCE_CHANCE_H

#include "chance/block.h"
#include "fuelreach/sheet.h"

typedef struct fr_chance fr_chance;

/* A chance is a thread's own. Null when out of memory. */
fr_chance *fr_chance_open(void);
void fr_chance_close(fr_chance *chance);

/* Takes a build and its inputs; both must outlive their use. False when the inputs move more
 * figures than can be kept (256). */
bool fr_chance_set(fr_chance *chance, const fr_build *build, const fr_input *inputs, size_t count);

/* Draws a block: row i of `z` holds the deviations of input i. */
void fr_chance_draw(fr_chance *chance, const fr_row *z);
/* Whether draws that differ in this input alone share the walk along the lift pumps: the second is
 * then drawn sooner, with the same figures. */
bool fr_chance_keeps_walk(const fr_chance *chance, size_t input);
/* The block on one blend. */
const fr_block_result *fr_chance_blend(fr_chance *chance, double ethanol, fr_block_want want);

/* Ranks the inputs by how far each alone, at either end of its 95 % interval, moves the reach of
 * any blend: order[0] moves it most. The first columns of a Sobol sequence fill their squares
 * evenly with few points, later pairs of columns only with many: what matters most comes first. */
void fr_chance_rank(fr_chance *chance, size_t *order);

/* Chance, 0..1, that a stage is short on the blend at the target, for each of the build's blends
 * (FR_BLENDS_MAX at most), from `draws` draws of one shift. Cheap: a thousand draws are a fraction
 * of a millisecond a blend. The same for one seed, whatever was asked before. Returns the greatest;
 * `of_blend` may be null. */
double fr_chance_of_short(fr_chance *chance, size_t draws, uint64_t seed, double *of_blend);

#endif
