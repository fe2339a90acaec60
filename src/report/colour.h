/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Colour on a terminal. It repeats what words and marks say already, never more. */
#ifndef FR_REPORT_COLOUR_H
#define FR_REPORT_COLOUR_H

#include <stdbool.h>

#include "fuelreach/check.h"

typedef enum fr_colour { FR_PLAIN, FR_GOOD, FR_WARN, FR_BAD, FR_STRONG, FR_COLOUR_COUNT } fr_colour;

/* The sequences to begin and to end it; "" when colour is off or plain. */
const char *fr_colour_on(bool colours, fr_colour colour);
const char *fr_colour_off(bool colours, fr_colour colour);
fr_colour fr_verdict_colour(fr_verdict verdict);

#endif
