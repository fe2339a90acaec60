/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Holds JSON against docs/results.schema.json with Debian's python3-jsonschema. */
#ifndef FR_TESTS_REPORT_SCHEMA_H
#define FR_TESTS_REPORT_SCHEMA_H

/* Fails when a line of `json` is not valid; skips the test, loudly, where the module is missing. */
void schema_assert_valid(const char *json);
/* Fails when `json` is valid. */
void schema_assert_refused(const char *json);

#endif
