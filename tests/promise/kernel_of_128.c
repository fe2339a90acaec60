/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The block kernel with 128 draws side by side. */
#define FR_BLOCK_LANES 128
#define FR_AGAIN(name) of_128_##name
#include "promise/kernel_again.h"

#include "promise/kernel_again_sources.h"
