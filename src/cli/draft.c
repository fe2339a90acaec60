/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fuelreach draft: a sheet to begin with. */
#include "cli/output.h"

int fr_command_draft(fr_invocation *invocation) {
    fr_output output;
    const char *path = invocation->argument_count > 0 ? invocation->arguments[0] : NULL;

    if (!fr_output_open(&output, invocation, path))
        return fr_status_exit_code(FR_NO_MEMORY);
    fr_sheet_write_draft(output.stream);
    return fr_output_commit_new(&output, invocation);
}
