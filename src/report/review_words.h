/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names and figures of a log's channels for people. */
#ifndef FR_REPORT_REVIEW_WORDS_H
#define FR_REPORT_REVIEW_WORDS_H

#include "fuelreach/review.h"
#include "report/format.h"

/* "Rail pressure" in a row, "rail pressure" in a sentence. */
const char *fr_channel_label(fr_channel channel);
const char *fr_channel_subject(fr_channel channel);
/* In what it is measured; fuel flow as volume. */
fr_measure fr_channel_measure(fr_channel channel);
/* A value of a channel; `difference`: between two values of it. */
void fr_show_channel(fr_words *words, fr_channel channel, fr_units units, double si,
                     bool difference);
/* "BSFC", "Lift pump". */
const char *fr_factor_label(fr_factor factor);

#endif
