/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How sure, as people write it. */
#ifndef FR_CLI_CONFIDENCE_H
#define FR_CLI_CONFIDENCE_H

#include <stdbool.h>

/* "95", "95 %" or "0.95" into 0.95; false for what is none, above 0 and below 1. */
bool fr_confidence_read(const char *text, double *confidence);

#endif
