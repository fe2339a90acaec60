/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FR_REVIEW_LEARNT_H
#define FR_REVIEW_LEARNT_H

#include "fuelreach/review.h"

/* The section of the factors that the log told, with notes; false when it does not fit. */
bool fr_learnt_write(const fr_review_result *result, char *out, size_t size);

#endif
