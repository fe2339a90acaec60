/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FR_CAPACITY_MEND_H
#define FR_CAPACITY_MEND_H

#include "capacity/check_memory.h"

/* Worst use of one stage over the pull, not capped (1e3 at most), at one blend. */
double fr_worst_use(fr_check *check, const fr_build *build, double ethanol, fr_stage stage);
/* Every stage of every blend within its limit, pump-inlet aside: no part mends the fuel's own
 * temperature. */
bool fr_every_stage_clear(fr_check *check, const fr_build *build);
/* Sets a lever to `factor` times what it is. */
void fr_lever_scale(fr_build *build, fr_lever lever, double factor);

#endif
