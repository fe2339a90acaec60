/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files are written whole or not at all. */
#define _XOPEN_SOURCE 700

#include <fcntl.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include "cli/output.h"
#include "cli/program.h"

enum { PATH_SIZE = 256, LONG_TEXT = 300000, SMALL_LIMIT = 4096 };

static const fr_command command = {.name = "try", .arguments = ""};
static fr_invocation invocation = {.command = &command};

typedef int (*committer)(fr_output *output, const fr_invocation *invocation);

static int write_text(const char *path, const char *text, committer commit) {
    fr_output output;
    int kept = dup(STDERR_FILENO);

    assert_true(fr_output_open(&output, &invocation, path));
    fputs(text, output.stream);
    fflush(stderr);
    assert_non_null(freopen("/dev/null", "w", stderr));
    int code = commit(&output, &invocation);
    fflush(stderr);
    dup2(kept, STDERR_FILENO);
    close(kept);
    return code;
}

static void assert_file_holds(const char *path, const char *text) {
    char *found = support_read_file(path, NULL);

    assert_non_null(found);
    assert_string_equal(found, text);
    free(found);
}

static size_t files_in(const char *folder) {
    char line[PATH_SIZE];
    snprintf(line, sizeof line, "ls -A '%s' | wc -l", folder);
    program_run run = program_run_shell(line);
    size_t count = (size_t)strtoul(run.out, NULL, 10);
    program_forget(&run);
    return count;
}

static void a_file_is_made_and_replaced(void **state) {
    (void)state;
    char path[PATH_SIZE], *folder = program_folder();
    struct stat now;

    program_path(path, sizeof path, folder, "page.html");
    assert_int_equal(write_text(path, "first\n", fr_output_commit), 0);
    assert_file_holds(path, "first\n");
    assert_int_equal(chmod(path, 0640), 0);
    assert_int_equal(write_text(path, "second\n", fr_output_commit), 0);
    assert_file_holds(path, "second\n");
    assert_int_equal(stat(path, &now), 0);
    assert_int_equal(now.st_mode & 0777, 0640);
    assert_int_equal(files_in(folder), 1);
    program_folder_remove(folder);
}

static void a_link_keeps_leading_to_the_file(void **state) {
    (void)state;
    char path[PATH_SIZE], link[PATH_SIZE], *folder = program_folder();
    struct stat now;

    program_write_file(program_path(path, sizeof path, folder, "real"), "old\n");
    assert_int_equal(symlink("real", program_path(link, sizeof link, folder, "link")), 0);
    assert_int_equal(write_text(link, "new\n", fr_output_commit), 0);
    assert_file_holds(path, "new\n");
    assert_int_equal(lstat(link, &now), 0);
    assert_true(S_ISLNK(now.st_mode));
    program_folder_remove(folder);
}

/* A disk that is full in the middle of the file, played by a limit on the size of files. */
static void a_failure_leaves_the_old_file_alone(void **state) {
    (void)state;
    char path[PATH_SIZE], *folder = program_folder();
    char *text = malloc(LONG_TEXT + 1);
    struct rlimit before, small = {SMALL_LIMIT, SMALL_LIMIT};

    assert_non_null(text);
    memset(text, 'x', LONG_TEXT);
    text[LONG_TEXT] = '\0';
    program_write_file(program_path(path, sizeof path, folder, "page.html"), "old\n");
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
    small.rlim_max = before.rlim_max;
    signal(SIGXFSZ, SIG_IGN);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0);
    int code = write_text(path, text, fr_output_commit);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &before), 0);
    assert_int_equal(code, 3);
    assert_file_holds(path, "old\n");
    assert_int_equal(files_in(folder), 1);
    free(text);
    program_folder_remove(folder);
}

static void a_device_is_written_in_place(void **state) {
    (void)state;
    struct stat now;

    assert_int_equal(write_text("/dev/full", "text\n", fr_output_commit), 3);
    assert_int_equal(stat("/dev/full", &now), 0);
    assert_true(S_ISCHR(now.st_mode));
    assert_int_equal(write_text("/dev/null", "text\n", fr_output_commit), 0);
}

static void a_folder_is_no_file(void **state) {
    (void)state;
    char path[PATH_SIZE], *folder = program_folder();

    assert_int_equal(write_text(folder, "text\n", fr_output_commit), 3);
    assert_int_equal(write_text(program_path(path, sizeof path, folder, "none/page.html"), "text\n",
                                fr_output_commit),
                     3);
    assert_int_equal(files_in(folder), 0);
    program_folder_remove(folder);
}

static void a_new_file_never_overwrites(void **state) {
    (void)state;
    char path[PATH_SIZE], *folder = program_folder();

    program_path(path, sizeof path, folder, "car.yaml");
    assert_int_equal(write_text(path, "mine\n", fr_output_commit_new), 0);
    assert_int_equal(write_text(path, "theirs\n", fr_output_commit_new), 2);
    assert_file_holds(path, "mine\n");
    program_folder_remove(folder);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_file_is_made_and_replaced),
        cmocka_unit_test(a_link_keeps_leading_to_the_file),
        cmocka_unit_test(a_failure_leaves_the_old_file_alone),
        cmocka_unit_test(a_device_is_written_in_place),
        cmocka_unit_test(a_folder_is_no_file),
        cmocka_unit_test(a_new_file_never_overwrites),
    };
    invocation.out = stdout;
    return cmocka_run_group_tests(tests, NULL, NULL);
}
