/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Builds of our own making, for tests that want many unlike ones. Every figure is invented. */
#ifndef FUELREACH_TESTS_REFERENCE_BUILDS_H
#define FUELREACH_TESTS_REFERENCE_BUILDS_H

#include <stddef.h>
#include <stdint.h>

#include "fuelreach/build.h"

typedef struct ref_named_build {
    const char *name;
    void (*make)(fr_build *build);
} ref_named_build;

extern const ref_named_build ref_builds[];
extern const size_t ref_build_count;

/* Port injection with a return line; direct; both. The others start from these. */
void ref_make_port(fr_build *build);
void ref_make_direct(fr_build *build);
void ref_make_both(fr_build *build);

/* A build that might be on the road, or nearly; the same for the same seed. */
void ref_make_random(uint64_t seed, fr_build *build);

#endif
