/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The block kernel without clones and compiled as tests are (no vector code to speak of): its results
 * must be the same to the last bit. */
#define FR_AGAIN(name) plain_##name
#include "promise/kernel_again.h"

#include "promise/kernel_again_sources.h"
