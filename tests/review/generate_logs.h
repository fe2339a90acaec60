/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The example logs of the Tern hatch, made from factors that its sheet does not know. */
#ifndef FUELREACH_TESTS_REVIEW_GENERATE_LOGS_H
#define FUELREACH_TESTS_REVIEW_GENERATE_LOGS_H

#include <stdio.h>

#include "fuelreach/sheet.h"

enum { GENERATED_LOGS = 3 };

/* "tern-e10.csv", ... */
const char *generated_log_name(size_t index);
double generated_log_ethanol(size_t index);
/* The car as it is: bsfc, direct-injector, lift-pump, high-pressure-pump over the sheet. */
extern const double GENERATED_BSFC, GENERATED_DIRECT, GENERATED_LIFT, GENERATED_HIGH;
/* Writes one log; `sheet` is examples/tern-direct.yaml. */
void generate_log(const fr_sheet *sheet, size_t index, FILE *out);

#endif
