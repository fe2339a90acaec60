/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A tree's memory: chunks that are given back all at once. */
#include <stdlib.h>
#include <string.h>

#include "sheet/tree_inside.h"

enum { CHUNK_SIZE = 16 * 1024 };

struct fr_chunk {
    fr_chunk *next;
    size_t used, size;
    max_align_t memory[];
};

static size_t rounded(size_t size) {
    size_t unit = sizeof(max_align_t);
    return (size + unit - 1) / unit * unit;
}

/* A thing too large to share a chunk gets one of its own. */
static fr_chunk *chunk_open(size_t size) {
    size_t room = size > CHUNK_SIZE ? size : CHUNK_SIZE;
    fr_chunk *chunk = malloc(sizeof *chunk + room);
    if (chunk != NULL) {
        *chunk = (fr_chunk){.next = NULL, .used = 0, .size = room};
    }
    return chunk;
}

void *fr_tree_alloc(fr_tree *tree, size_t size) {
    size_t wanted = rounded(size == 0 ? 1 : size);
    fr_chunk *chunk = tree->chunks;
    if (chunk == NULL || chunk->size - chunk->used < wanted) {
        chunk = chunk_open(wanted);
        if (chunk == NULL) {
            return NULL;
        }
        chunk->next = tree->chunks;
        tree->chunks = chunk;
    }
    void *memory = (char *)chunk->memory + chunk->used;
    chunk->used += wanted;
    memset(memory, 0, size);
    return memory;
}

char *fr_tree_copy(fr_tree *tree, const char *text) {
    size_t size = strlen(text) + 1;
    char *copy = fr_tree_alloc(tree, size);
    if (copy != NULL) {
        memcpy(copy, text, size);
    }
    return copy;
}

fr_tree *fr_tree_open(void) {
    return calloc(1, sizeof(fr_tree));
}

void fr_tree_close(fr_tree *tree) {
    if (tree == NULL) {
        return;
    }
    while (tree->chunks != NULL) {
        fr_chunk *next = tree->chunks->next;
        free(tree->chunks);
        tree->chunks = next;
    }
    free(tree);
}
