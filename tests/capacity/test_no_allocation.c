/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The kernel allocates nothing after fr_check_open. Every call of the allocator is counted, those
 * from inside shared libraries too: malloc and its kin are taken over here, or, where a sanitizer
 * has taken them over already, its hooks do the counting. */
#include <glob.h>

#include "fuelreach/check.h"
#include "fuelreach/sheet.h"
#include "support.h"

/* Volatile: the compiler knows strdup, and knows that it changes nothing of ours. */
static volatile size_t calls;

#if defined(__SANITIZE_ADDRESS__)

int __sanitizer_install_malloc_and_free_hooks(void (*on_malloc)(const volatile void *, size_t),
                                              void (*on_free)(const volatile void *));

static void count_malloc(const volatile void *memory, size_t size) {
    (void)memory;
    (void)size;
    calls++;
}

static void count_free(const volatile void *memory) {
    calls += memory != NULL;
}

static void start_counting(void) {
    static bool installed;
    if (!installed)
        assert_true(__sanitizer_install_malloc_and_free_hooks(count_malloc, count_free) > 0);
    installed = true;
    calls = 0;
}

#else

/* The GNU C library's own allocator under its second names. */
void *__libc_malloc(size_t size);
void *__libc_calloc(size_t count, size_t size);
void *__libc_realloc(void *memory, size_t size);
void __libc_free(void *memory);

/* cmocka.h lays no macros over these names without UNIT_TESTING. */
void *malloc(size_t size) {
    calls++;
    return __libc_malloc(size);
}

void *calloc(size_t count, size_t size) {
    calls++;
    return __libc_calloc(count, size);
}

void *realloc(void *memory, size_t size) {
    calls++;
    return __libc_realloc(memory, size);
}

void free(void *memory) {
    calls += memory != NULL;
    __libc_free(memory);
}

static void start_counting(void) {
    calls = 0;
}

#endif

/* A count that stays at zero proves nothing unless it can move. */
static void the_count_sees_an_allocation(void **state) {
    (void)state;
    char *volatile memory;
    support_skip_under_valgrind();

    start_counting();
    memory = malloc(37);
    free(memory);
    assert_int_equal(calls, 2);
    start_counting();
    memory = strdup("from inside the C library");
    free(memory);
    assert_int_equal(calls, 2);
}

static void run_kernel(fr_check *check, const fr_build *build) {
    start_counting();
    fr_check_run(check, build);
    assert_int_equal(calls, 0);
    fr_check_outline(check, build);
    assert_int_equal(calls, 0);
    for (size_t percent = 0; percent <= 100; percent += 7)
        fr_check_blend(check, build, (double)percent / 100.0);
    assert_int_equal(calls, 0);
}

static void the_kernel_allocates_nothing(void **state) {
    (void)state;
    support_skip_under_valgrind();
    static const fr_sheet_options nothing;
    glob_t examples;

    assert_int_equal(glob("examples/*.yaml", 0, NULL, &examples), 0);
    for (size_t i = 0; i < examples.gl_pathc; i++) {
        fr_report remarks = FR_REPORT_EMPTY;
        fr_sheet *sheet = NULL;
        fr_check *check = fr_check_open();
        assert_non_null(check);
        assert_int_equal(fr_sheet_open(examples.gl_pathv[i], &nothing, &remarks, &sheet), FR_OK);
        run_kernel(check, fr_sheet_build(sheet));
        fr_check_close(check);
        fr_sheet_close(sheet);
        fr_report_close(&remarks);
    }
    assert_true(examples.gl_pathc >= 6);
    globfree(&examples);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_count_sees_an_allocation),
        cmocka_unit_test(the_kernel_allocates_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
