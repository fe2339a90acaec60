/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a log's channels are worth: how each is compared, and how far its sensor may be off. */
#ifndef FR_REVIEW_CHANNELS_H
#define FR_REVIEW_CHANNELS_H

#include "fuelreach/review.h"

typedef enum fr_channel_role {
    FR_CHANNEL_GIVES,    /* a condition: what the engine was doing */
    FR_CHANNEL_ANSWERS   /* an answer of the fuel supply: takes part in the fit */
} fr_channel_role;

typedef struct fr_channel_worth {
    fr_channel_role role;
    bool relative;   /* accuracy is a share of the value, else SI */
    double accuracy; /* half of a 95 % interval of what is common to all rows; 0: none */
    double open;     /* of a condition: how far sheet and log may differ and mean the same */
} fr_channel_worth;

const fr_channel_worth *fr_channel_worth_of(fr_channel channel);

/* A node's noise is never below this share of the accuracy: resolution does not average out. */
double fr_channel_floor(fr_channel channel, double value);

#endif
