/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FR_TESTS_PROMISE_BLOCK_SUPPORT_H
#define FR_TESTS_PROMISE_BLOCK_SUPPORT_H

#include <stddef.h>

#include "fuelreach/sheet.h"

enum { SOME_INPUTS_MAX = 24 };

/* Inputs that a build of any arrangement has, with usual tolerances. Returns how many. */
size_t some_inputs(const fr_build *build, fr_input inputs[SOME_INPUTS_MAX]);

#endif
