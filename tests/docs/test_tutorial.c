/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files and pictures that documents show are what lies in docs/, and the pictures are what the
 * program draws today. With FR_WRITE_DOCS=1 they are written anew. Runs in the project's folder.
 * (test_readme.c holds what commands print.) */
#include "support.h"

#include <glob.h>

enum { COMMAND_SIZE = 512, PATH_SIZE = 256 };

static const char FILE_MARK[] = "<!-- file: ";
static const char PICTURE_MARK[] = "<!-- picture of: fuelreach ";
static const char MARK_END[] = " -->\n";

static bool writing(void) {
    return getenv("FR_WRITE_DOCS") != NULL;
}

static char *read_or_fail(const char *path) {
    char *text = support_read_file(path, NULL);
    if (text == NULL) {
        fail_msg("cannot read %s", path);
    }
    return text;
}

static void write_text(const char *path, const char *text) {
    FILE *file = fopen(path, "w");
    if (file == NULL || fputs(text, file) < 0 || fclose(file) != 0) {
        fail_msg("cannot write %s", path);
    }
}

/* What a command prints; null when it fails. */
static char *output_of(const char *command) {
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size), *pipe = popen(command, "r");
    assert_non_null(out);
    assert_non_null(pipe);
    for (int c = getc(pipe); c != EOF; c = getc(pipe)) {
        putc(c, out);
    }
    const bool fine = pclose(pipe) == 0;
    fclose(out);
    if (!fine) {
        free(text);
        return NULL;
    }
    return text;
}

/* ---- pictures ---- */

/* The picture named in "![...](pictures/x.svg)" right below a mark. */
static void path_below(const char *mark, char path[PATH_SIZE]) {
    const char *line = strchr(mark, '\n') + 1;
    const char *open = strncmp(line, "![", 2) == 0 ? strstr(line, "](") : NULL;
    assert_non_null(open);
    const int length = (int)strcspn(open + 2, ")\n");
    assert_int_equal(open[2 + length], ')');
    snprintf(path, PATH_SIZE, "docs/%.*s", length, open + 2);
}

static void check_picture(const char *mark) {
    char command[COMMAND_SIZE], path[PATH_SIZE];
    const char *arguments = mark + strlen(PICTURE_MARK);
    const char *end = strstr(arguments, MARK_END);
    assert_non_null(end);
    snprintf(command, sizeof command, "%s/fuelreach %.*s", FR_BUILD_DIR, (int)(end - arguments),
             arguments);
    path_below(mark, path);
    char *now = output_of(command);
    if (now == NULL) {
        fail_msg("'%s' fails", command);
        return;
    }
    if (writing()) {
        write_text(path, now);
    }
    char *then = read_or_fail(path);
    if (strcmp(now, then) != 0) {
        fail_msg("%s is out of date; 'make docs' draws it anew", path);
    }
    free(then);
    free(now);
}

static void every_picture_is_drawn_today(void **state) {
    (void)state;
    size_t pictures = 0;
    char *text = read_or_fail("docs/tutorial.md");
    for (const char *at = strstr(text, PICTURE_MARK); at != NULL;
         at = strstr(at + 1, PICTURE_MARK)) {
        check_picture(at);
        pictures++;
    }
    free(text);
    assert_true(pictures >= 3);
}

/* A picture that no document shows would be kept for nothing. */
static void every_picture_is_shown(void **state) {
    (void)state;
    glob_t found;
    char *text = read_or_fail("docs/tutorial.md");
    assert_int_equal(glob("docs/pictures/*", 0, NULL, &found), 0);
    for (size_t i = 0; i < found.gl_pathc; i++) {
        assert_contains(text, found.gl_pathv[i] + strlen("docs/"));
    }
    globfree(&found);
    free(text);
}

/* ---- files ---- */

/* The fenced block below a mark; `*length` without the fences. */
static const char *block_below(const char *mark, size_t *length) {
    const char *fence = strchr(mark, '\n') + 1;
    assert_int_equal(strncmp(fence, "```", 3), 0);
    const char *block = strchr(fence, '\n') + 1;
    const char *end = strncmp(block, "```", 3) == 0 ? block : strstr(block, "\n```") + 1;
    *length = (size_t)(end - block);
    return block;
}

static void a_file_shown_is_the_file(void **state) {
    (void)state;
    char *text = read_or_fail("docs/tutorial.md");
    const char *mark = strstr(text, FILE_MARK);
    assert_non_null(mark);
    char path[PATH_SIZE];
    const char *name = mark + strlen(FILE_MARK);
    snprintf(path, sizeof path, "docs/%.*s", (int)(strstr(name, MARK_END) - name), name);
    char *file = read_or_fail(path);
    size_t length;
    const char *block = block_below(mark, &length);
    if (writing()) {
        char *anew = NULL;
        size_t size = 0;
        FILE *out = open_memstream(&anew, &size);
        assert_non_null(out);
        fprintf(out, "%.*s%s%s", (int)(block - text), text, file, block + length);
        fclose(out);
        write_text("docs/tutorial.md", anew);
        free(anew);
    } else if (strlen(file) != length || memcmp(file, block, length) != 0) {
        fail_msg("docs/tutorial.md does not show %s as it is; 'make docs' mends it", path);
    }
    free(file);
    free(text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_picture_is_drawn_today),
        cmocka_unit_test(every_picture_is_shown),
        cmocka_unit_test(a_file_shown_is_the_file),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
