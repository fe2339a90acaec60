/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/schema.h"

#include <sys/wait.h>

#include "support.h"

enum { NO_MODULE = 77, NO_PROGRAM = 127 };

static int validate(const char *json, bool quiet) {
    char command[256];
    snprintf(command, sizeof command,
             "/usr/bin/python3 tests/report/validate_results.py docs/results.schema.json%s",
             quiet ? " >/dev/null" : "");
    FILE *pipe = popen(command, "w");
    assert_non_null(pipe);
    fputs(json, pipe);
    int status = pclose(pipe);
    assert_true(WIFEXITED(status));
    if (WEXITSTATUS(status) == NO_MODULE || WEXITSTATUS(status) == NO_PROGRAM) {
        print_message("SKIPPED: results are not held against their schema here: install "
                      "python3-jsonschema\n");
        skip();
    }
    return WEXITSTATUS(status);
}

void schema_assert_valid(const char *json) {
    if (validate(json, false) != 0)
        fail_msg("not valid by docs/results.schema.json");
}

void schema_assert_refused(const char *json) {
    if (validate(json, true) == 0)
        fail_msg("valid by docs/results.schema.json, but should not be");
}
