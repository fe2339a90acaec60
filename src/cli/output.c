/* SPDX-License-Identifier: GPL-3.0-or-later */
/* realpath is in the X/Open part of POSIX. */
#define _XOPEN_SOURCE 700

#include "cli/output.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* What a new file may be read and written by, before the umask. */
enum { NEW_FILE_MODE = 0666 };

bool fr_output_open(fr_output *output, const fr_invocation *invocation, const char *path) {
    *output = (fr_output){.path = path};
    output->is_standard = path == NULL || strcmp(path, "-") == 0;
    output->stream =
        output->is_standard ? invocation->out : open_memstream(&output->text, &output->length);
    if (output->stream == NULL)
        fr_system_error(invocation, "out of memory");
    return output->stream != NULL;
}

void fr_output_drop(fr_output *output) {
    if (!output->is_standard && output->stream != NULL)
        fclose(output->stream);
    free(output->text);
    *output = (fr_output){0};
}

/* Writes all of it and sees it onto the disk. Closes `file` in every case. */
static bool write_whole(int file, const char *text, size_t length, bool is_regular) {
    bool fine = true;

    while (fine && length > 0) {
        ssize_t written = write(file, text, length);
        if (written < 0 && errno == EINTR)
            continue;
        fine = written >= 0;
        if (fine) {
            text += written;
            length -= (size_t)written;
        }
    }
    if (fine && is_regular)
        fine = fsync(file) == 0;
    int fault = errno;
    if (close(file) != 0 && fine) {
        fine = false;
        fault = errno;
    }
    errno = fault;
    return fine;
}

/* The permissions of the file that is replaced, or those of any new file. */
static mode_t mode_for(const char *path) {
    struct stat old;
    mode_t mask;

    if (stat(path, &old) == 0)
        return old.st_mode & 07777;
    mask = umask(0);
    umask(mask);
    return NEW_FILE_MODE & ~mask;
}

/* To a temporary name beside `path`, then renamed over it. */
static bool replace(const char *path, const char *text, size_t length) {
    static const char ending[] = ".XXXXXX";
    size_t size = strlen(path) + sizeof ending;
    char *temporary = malloc(size);
    bool fine = false;

    if (temporary == NULL)
        return false;
    snprintf(temporary, size, "%s%s", path, ending);
    int file = mkstemp(temporary);
    if (file >= 0) {
        fine = fchmod(file, mode_for(path)) == 0;
        fine = write_whole(file, text, length, true) && fine;
        fine = fine && rename(temporary, path) == 0;
        int fault = errno;
        if (!fine)
            unlink(temporary);
        errno = fault;
    }
    free(temporary);
    return fine;
}

static bool write_in_place(const char *path, const char *text, size_t length) {
    int file = open(path, O_WRONLY | O_NOCTTY);

    return file >= 0 && write_whole(file, text, length, false);
}

static bool write_new(const char *path, const char *text, size_t length) {
    int file = open(path, O_WRONLY | O_CREAT | O_EXCL, NEW_FILE_MODE);

    if (file < 0)
        return false;
    if (write_whole(file, text, length, true))
        return true;
    int fault = errno;
    unlink(path);
    errno = fault;
    return false;
}

/* A link is followed, so that the file it leads to is replaced and not the link. */
static bool write_over(const char *path, const char *text, size_t length) {
    struct stat old;
    char *real;
    bool fine;

    if (stat(path, &old) != 0)
        return errno == ENOENT && replace(path, text, length);
    if (S_ISDIR(old.st_mode)) {
        errno = EISDIR;
        return false;
    }
    if (!S_ISREG(old.st_mode))
        return write_in_place(path, text, length);
    real = realpath(path, NULL);
    fine = real != NULL && replace(real, text, length);
    int fault = errno;
    free(real);
    errno = fault;
    return fine;
}

typedef bool (*writer)(const char *path, const char *text, size_t length);

static int commit(fr_output *output, const fr_invocation *invocation, writer write_file) {
    int code = 0;

    if (output->is_standard) {
        *output = (fr_output){0};
        return 0;
    }
    bool whole = !ferror(output->stream);
    whole = fclose(output->stream) == 0 && whole;
    output->stream = NULL;
    if (!whole)
        code = fr_system_error(invocation, "out of memory");
    else if (!write_file(output->path, output->text, output->length)) {
        if (errno == EEXIST && write_file == write_new)
            code = fr_usage_error(invocation, "'%s' is there already and is left as it is",
                                  output->path);
        else
            code =
                fr_system_error(invocation, "cannot write '%s': %s", output->path, strerror(errno));
    }
    fr_output_drop(output);
    return code;
}

int fr_output_commit(fr_output *output, const fr_invocation *invocation) {
    return commit(output, invocation, write_over);
}

int fr_output_commit_new(fr_output *output, const fr_invocation *invocation) {
    return commit(output, invocation, write_new);
}

bool fr_colour_wanted(FILE *stream) {
    const char *refused = getenv("NO_COLOR");
    const char *terminal = getenv("TERM");

    if (refused != NULL && refused[0] != '\0')
        return false;
    if (terminal == NULL || strcmp(terminal, "dumb") == 0)
        return false;
    return isatty(fileno(stream)) == 1;
}

int fr_finish_output(FILE *out, int code) {
    bool failed_before = ferror(out) != 0;

    errno = 0;
    if (fflush(out) == 0 && !failed_before)
        return code;
    if (errno != EPIPE)
        fprintf(stderr, "fuelreach: cannot write the output%s%s\n", errno ? ": " : "",
                errno ? strerror(errno) : "");
    return fr_status_exit_code(FR_SYSTEM);
}
