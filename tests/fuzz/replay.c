/* SPDX-License-Identifier: GPL-3.0-or-later */
/* In the test run a fuzz target meets its seeds, and every case that once went wrong, from
 * tests/fuzz/corpus/NAME, where this program is test_NAME. */
#include <glob.h>

#include "support.h"

/* The target, as libFuzzer calls it. */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const char *name;

static void replay(const char *path) {
    size_t length = 0;
    char *text = support_read_file(path, &length);
    uint8_t *exact = malloc(length > 0 ? length : 1);

    assert_non_null(text);
    assert_non_null(exact);
    /* In memory of just its size, so that a sanitizer sees a read beyond the end. */
    memcpy(exact, text, length);
    assert_int_equal(LLVMFuzzerTestOneInput(exact, length), 0);
    free(exact);
    free(text);
}

static void the_target_stands_its_corpus(void **state) {
    (void)state;
    char pattern[256];
    glob_t found;

    snprintf(pattern, sizeof pattern, "tests/fuzz/corpus/%s/*", name);
    assert_int_equal(glob(pattern, 0, NULL, &found), 0);
    for (size_t i = 0; i < found.gl_pathc; i++)
        replay(found.gl_pathv[i]);
    globfree(&found);
    assert_int_equal(LLVMFuzzerTestOneInput(NULL, 0), 0);
}

int main(int count, char **words) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(the_target_stands_its_corpus)};

    name = count > 0 ? strstr(words[0], "/test_") : NULL;
    if (name == NULL)
        return 2;
    name += strlen("/test_");
    return cmocka_run_group_tests(tests, NULL, NULL);
}
