/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A document filled by hand: the writers are tested on figures that no kernel computed, so that a
 * wrong column or unit shows. The sheet is a real one, read from a text. */
#ifndef FR_TESTS_REPORT_FIXTURE_H
#define FR_TESTS_REPORT_FIXTURE_H

#include "fuelreach/document.h"

enum { FIXTURE_POINTS = 3 };

typedef struct report_fixture {
    fr_sheet *sheet;
    fr_report remarks;
    fr_build build;
    fr_check_result result;
    fr_point points[FR_BLENDS_MAX][FIXTURE_POINTS];
    fr_turns turns;
    fr_mends mends;
    fr_caution cautions[FR_CAUTIONS_MAX];
    fr_check_document document;
} report_fixture;

/* A port-injected car with a return line, on E10, E50 and E85: the lift pump is clear, tight and
 * short. Powers are at the crank. */
void fixture_port(report_fixture *fixture);
/* The same with a name as it stands in YAML, quotes and escapes included. */
void fixture_port_named(report_fixture *fixture, const char *name);
/* A direct-injected car, short of high-pressure pump on E85, where no pressure passes the fuel at
 * the last speed. */
void fixture_direct(report_fixture *fixture);
/* The same results for other blends: `count` of them from E5 on in steps of `step` per cent. */
void fixture_spread(report_fixture *fixture, size_t count, double step);
/* Sets one stage on one blend. */
void fixture_stage(report_fixture *fixture, size_t blend, fr_stage stage, fr_verdict verdict,
                   double use, double reach_w);
void fixture_close(report_fixture *fixture);

/* What a writer wrote; the caller frees it. */
typedef void fixture_writer(FILE *out, const fr_check_document *document, const void *how);
char *fixture_written(const report_fixture *fixture, fixture_writer *writer, const void *how);
char *fixture_text(const report_fixture *fixture, fr_units units);
char *fixture_json(const report_fixture *fixture);
/* Fails when a line of `text` is wider than 80 columns; shows it. */
void fixture_assert_page(const char *text);

#endif
