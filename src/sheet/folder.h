/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Folders of parts, and files read whole. */
#ifndef FR_SHEET_FOLDER_H
#define FR_SHEET_FOLDER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "fuelreach/status.h"

/* Calls `see` with every *.yaml file anywhere under `dir`, name without its ending. Stops when it
 * returns false. Folders deeper than 16 are left out, and links to folders (they may turn back).
 * False when `dir` itself cannot be read (errno). */
typedef bool fr_see_file(const char *path, const char *name, void *context);
bool fr_folder_walk(const char *dir, fr_see_file *see, void *context);

/* False when it is no folder, or cannot be read (errno). */
bool fr_folder_can_be_read(const char *dir);

/* Reads a stream to its end, at most `most` bytes. FR_SYSTEM when it cannot be read (errno),
 * FR_NO_MEMORY; a longer file gives `most` + 1 bytes. The text ends with a zero; free it. */
fr_status fr_read_all(FILE *stream, size_t most, char **text, size_t *length);
/* The same of a file by its path; refuses a folder with EISDIR. */
fr_status fr_read_file(const char *path, size_t most, char **text, size_t *length);
/* A copy on the heap, null when out of memory. */
char *fr_copy_text(const char *text);

#endif
