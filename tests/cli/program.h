/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Runs the real program, as a shell would, and keeps what it said. */
#ifndef FR_TESTS_CLI_PROGRAM_H
#define FR_TESTS_CLI_PROGRAM_H

#include "support.h"

/* The program under test; FR_BUILD_DIR comes from the Makefile. */
#define PROGRAM FR_BUILD_DIR "/fuelreach"

typedef struct program_run {
    int code; /* exit code; 128 + signal when a signal ended it */
    char *out;
    char *err;
} program_run;

/* How standard input and output are to be. All null: no input, output kept. */
typedef struct program_files {
    const char *input;    /* text on standard input */
    const char *out_path; /* standard output goes to this file and is not kept */
    bool out_is_pipe_without_reader;
    bool out_is_closed;
} program_files;

/* Runs a program with its words (the first is the program), ended by null. */
program_run program_run_words(const char *const *words, const program_files *files);
/* Runs fuelreach with words given one after another. */
#define run_fuelreach(...)                                                                         \
    program_run_words((const char *const[]){PROGRAM, __VA_ARGS__, NULL}, NULL)
#define run_fuelreach_with(files, ...)                                                             \
    program_run_words((const char *const[]){PROGRAM, __VA_ARGS__, NULL}, (files))
/* Runs one line of shell with the build's folder in $BUILD. */
program_run program_run_shell(const char *line);
void program_forget(program_run *run);

/* A fresh folder under /tmp, removed by program_folder_remove. */
char *program_folder(void);
void program_folder_remove(char *folder);
/* FOLDER/NAME in a buffer of the caller's. */
const char *program_path(char *buffer, size_t size, const char *folder, const char *name);
void program_write_file(const char *path, const char *text);

/* Fails unless the run ended with `code`; shows what it said. */
#define assert_code(run, code) program_assert_code((run), (code), __FILE__, __LINE__)
void program_assert_code(const program_run *run, int code, const char *file, int line);

#endif
