/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bands outside which the sheet is likelier wrong than the engine odd: common practice, no source. */
#ifndef FR_CAPACITY_PLAUSIBLE_H
#define FR_CAPACITY_PLAUSIBLE_H

typedef struct fr_band {
    double least, most;
} fr_band;

static const fr_band FR_PLAUSIBLE_EFFICIENCY = {0.6, 1.25}; /* volumetric, implied */
/* Air a unit of work: 3.3 to 4.6 kg/kWh, kept in kg/J. */
static const fr_band FR_PLAUSIBLE_AIR_KG_J = {3.3 * (1.0 / 3.6e6), 4.6 * (1.0 / 3.6e6)};

#endif
