/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sheet/folder.h"

#include <dirent.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

enum { DEPTH_MOST = 16, PATH_SIZE = 4096, STEM_SIZE = 256 };

char *fr_copy_text(const char *text) {
    size_t size = strlen(text) + 1;
    char *copy = malloc(size);
    return copy ? memcpy(copy, text, size) : NULL;
}

static bool ends_in_yaml(const char *name, size_t *stem) {
    static const char *const endings[] = {".yaml", ".yml"};
    size_t length = strlen(name);
    for (size_t i = 0; i < sizeof endings / sizeof endings[0]; i++) {
        size_t tail = strlen(endings[i]);
        if (length > tail && strcmp(name + length - tail, endings[i]) == 0) {
            *stem = length - tail;
            return true;
        }
    }
    return false;
}

typedef struct folder_walk {
    fr_see_file *see;
    void *context;
    bool stopped;
} folder_walk;

static bool walk_folder(folder_walk *walk, const char *dir, int depth);

static void see_entry(folder_walk *walk, const char *dir, const char *name, int depth) {
    char path[PATH_SIZE], stem_name[STEM_SIZE];
    struct stat facts;
    size_t stem;
    if (name[0] == '.' || snprintf(path, sizeof path, "%s/%s", dir, name) >= (int)sizeof path ||
        lstat(path, &facts) != 0)
        return;
    if (S_ISDIR(facts.st_mode)) {
        if (depth < DEPTH_MOST)
            walk_folder(walk, path, depth + 1);
        return;
    }
    if (!ends_in_yaml(name, &stem) || stem >= sizeof stem_name)
        return;
    memcpy(stem_name, name, stem);
    stem_name[stem] = '\0';
    walk->stopped = !walk->see(path, stem_name, walk->context);
}

static bool walk_folder(folder_walk *walk, const char *dir, int depth) {
    DIR *open = opendir(dir);
    if (!open)
        return false;
    struct dirent *entry;
    /* Each walk has a stream of its own; readdir_r is on its way out of POSIX. */
    /* cppcheck-suppress readdirCalled */
    while (!walk->stopped && (entry = readdir(open)) != NULL)
        see_entry(walk, dir, entry->d_name, depth);
    closedir(open);
    return true;
}

bool fr_folder_walk(const char *dir, fr_see_file *see, void *context) {
    folder_walk one = {see, context, false};
    return walk_folder(&one, dir, 0);
}

bool fr_folder_can_be_read(const char *dir) {
    DIR *open = opendir(dir);
    if (!open)
        return false;
    closedir(open);
    return true;
}

fr_status fr_read_all(FILE *stream, size_t most, char **text, size_t *length) {
    enum { FIRST = 16384 };
    size_t size = FIRST, used = 0;
    char *buffer = malloc(size);
    while (buffer) {
        used += fread(buffer + used, 1, size - used - 1, stream);
        if (used < size - 1 || used > most)
            break;
        char *grown = realloc(buffer, size * 2);
        if (!grown) {
            free(buffer);
            buffer = NULL;
            break;
        }
        buffer = grown;
        size *= 2;
    }
    if (!buffer)
        return FR_NO_MEMORY;
    if (ferror(stream)) {
        int why = errno;
        free(buffer);
        errno = why;
        return FR_SYSTEM;
    }
    used = used > most + 1 ? most + 1 : used;
    buffer[used] = '\0';
    *text = buffer;
    *length = used;
    return FR_OK;
}

fr_status fr_read_file(const char *path, size_t most, char **text, size_t *length) {
    struct stat facts;
    FILE *stream = fopen(path, "rb");
    if (!stream)
        return FR_SYSTEM;
    fr_status status = FR_SYSTEM;
    if (fstat(fileno(stream), &facts) == 0 && S_ISDIR(facts.st_mode))
        errno = EISDIR;
    else
        status = fr_read_all(stream, most, text, length);
    int why = errno;
    fclose(stream);
    errno = why;
    return status;
}
