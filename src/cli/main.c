/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <fcntl.h>
#include <gsl/gsl_errno.h>
#include <signal.h>
#include <stdbool.h>
#include <stdlib.h>
#include <unistd.h>

#include "cli/run.h"

enum { SYSTEM_FAULT = 3 };

/* A program started with its standard files closed would take the first file it opens for one of
 * them, and write the report into it. */
static bool standard_files_open(void) {
    for (int file = STDIN_FILENO; file <= STDERR_FILENO; file++)
        if (fcntl(file, F_GETFD) < 0 && open("/dev/null", O_RDONLY) != file)
            return false;
    return true;
}

int main(int count, char **words) {
    if (!standard_files_open())
        return SYSTEM_FAULT;
    /* A closed pipe is told by write, like a full disk. */
    signal(SIGPIPE, SIG_IGN);
    gsl_set_error_handler_off();
    return fr_program_run(count, words);
}
