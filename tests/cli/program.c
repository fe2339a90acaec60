/* SPDX-License-Identifier: GPL-3.0-or-later */
/* mkdtemp is in the X/Open part of POSIX for some libraries. */
#define _XOPEN_SOURCE 700

#include "cli/program.h"

#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

enum { SHELL_SIGNAL_BASE = 128, CANNOT_RUN = 127 };

/* An open temporary file without a name. */
static int unnamed_file(void) {
    char path[] = "/tmp/fuelreach-test-XXXXXX";
    int file = mkstemp(path);

    assert_true(file >= 0);
    unlink(path);
    return file;
}

static int input_file(const char *text) {
    if (text == NULL)
        return open("/dev/null", O_RDONLY);
    int file = unnamed_file();
    assert_int_equal(write(file, text, strlen(text)), strlen(text));
    lseek(file, 0, SEEK_SET);
    return file;
}

static int output_file(const program_files *files) {
    if (files->out_path != NULL)
        return open(files->out_path, O_WRONLY);
    if (files->out_is_pipe_without_reader) {
        int ends[2];
        assert_int_equal(pipe(ends), 0);
        close(ends[0]);
        return ends[1];
    }
    return unnamed_file();
}

/* Everything in the file; also when it is no plain file (then ""). */
static char *read_back(int file) {
    off_t size = lseek(file, 0, SEEK_END);
    size_t length = size > 0 ? (size_t)size : 0;
    char *text = calloc(length + 1, 1);

    assert_non_null(text);
    if (size > 0 && lseek(file, 0, SEEK_SET) == 0)
        length = read(file, text, length) < 0 ? 0 : length;
    close(file);
    return text;
}

program_run program_run_words(const char *const *words, const program_files *files) {
    static const program_files usual = {0};
    program_run run;
    int status;

    files = files != NULL ? files : &usual;
    int in = input_file(files->input), out = output_file(files), err = unnamed_file();
    assert_true(in >= 0 && out >= 0);
    fflush(NULL);
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        dup2(in, STDIN_FILENO);
        dup2(out, STDOUT_FILENO);
        dup2(err, STDERR_FILENO);
        if (files->out_is_closed)
            close(STDOUT_FILENO);
        execvp(words[0], (char *const *)(uintptr_t)words);
        _exit(CANNOT_RUN);
    }
    assert_int_equal(waitpid(child, &status, 0), child);
    close(in);
    run.code = WIFSIGNALED(status) ? SHELL_SIGNAL_BASE + WTERMSIG(status) : WEXITSTATUS(status);
    run.out = read_back(out);
    run.err = read_back(err);
    return run;
}

program_run program_run_shell(const char *line) {
    setenv("BUILD", FR_BUILD_DIR, 1);
    return program_run_words((const char *const[]){"bash", "-c", line, NULL}, NULL);
}

void program_forget(program_run *run) {
    free(run->out);
    free(run->err);
    *run = (program_run){0, NULL, NULL};
}

char *program_folder(void) {
    char *folder = strdup("/tmp/fuelreach-test-XXXXXX");

    assert_non_null(folder);
    assert_non_null(mkdtemp(folder));
    return folder;
}

void program_folder_remove(char *folder) {
    program_run run =
        program_run_words((const char *const[]){"rm", "-rf", "--", folder, NULL}, NULL);

    program_forget(&run);
    free(folder);
}

const char *program_path(char *buffer, size_t size, const char *folder, const char *name) {
    int length = snprintf(buffer, size, "%s/%s", folder, name);

    assert_true(length > 0 && (size_t)length < size);
    return buffer;
}

void program_write_file(const char *path, const char *text) {
    FILE *file = fopen(path, "w");

    assert_non_null(file);
    fputs(text, file);
    assert_int_equal(fclose(file), 0);
}

void program_assert_code(const program_run *run, int code, const char *file, int line) {
    if (run->code == code)
        return;
    print_error("exit code %d, expected %d\n---- out\n%s---- err\n%s", run->code, code, run->out,
                run->err);
    _fail(file, line);
}
