/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How long a page takes, promise of 4,096 draws and sizing included, and how large it is. */
#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#include "bench.h"

#define PROGRAM FR_BUILD_DIR "/fuelreach"
#define EMPTY FR_BUILD_DIR "/tests/bench/empty"

enum { RUNS = 10 };

/* Aims of the project for the largest example. */
static const double aim_s = 0.3, aim_kb = 200.0;

/* Words of a page's command; its file is the last but one. */
static int bench_page(const char *what, const char *const *words, const char *file) {
    static const char *const nothing[] = {EMPTY, NULL};
    bench_process results[2];
    struct stat page;
    bench_run_both(nothing, words, RUNS, results);
    if (results[1].code < 0 || results[1].code > 1 || stat(file, &page) != 0) {
        fprintf(stderr, "bench: '%s %s %s' does not run\n", words[0], words[1], words[2]);
        return 1;
    }
    bench_line(what, results[1].seconds, "s", aim_s);
    bench_line("  its size", (double)page.st_size / 1e3, "kB", aim_kb);
    return 0;
}

int main(void) {
    char file[] = "/tmp/fuelreach-page-XXXXXX";
    const int open_file = mkstemp(file);
    if (open_file < 0) {
        return 1;
    }
    close(open_file);
    const char *const clear[] = {PROGRAM, "page", "examples/largest.yaml", "-o", file, NULL};
    /* twice what it holds: every stage is short, and parts are looked for */
    const char *const is_short[] = {
        PROGRAM, "page", "examples/largest.yaml", "--set", "engine.target_power=1000 kW", "-o",
        file,    NULL};
    const char *const logs[] = {PROGRAM,
                                "page",
                                "examples/tern-direct.yaml",
                                "--log",
                                "examples/logs/tern-e10.csv",
                                "--log",
                                "examples/logs/tern-e30.csv",
                                "--log",
                                "examples/logs/tern-e60.csv",
                                "-o",
                                file,
                                NULL};
    printf("page, the whole process\n");
    const int failed = bench_page("the largest example", clear, file) +
                       bench_page("the same, short of everything", is_short, file) +
                       bench_page("direct injection, with three logs", logs, file);
    unlink(file);
    return failed;
}
