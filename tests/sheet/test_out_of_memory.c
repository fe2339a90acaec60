/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The n-th allocation is refused, for every n until none is: nothing may crash, leak, or be taken
 * for a fault of the sheet. malloc and its kin are taken over for the whole program, libyaml's
 * calls too; under a sanitizer, which has its own, the test is skipped. */
#include "support.h"

#include "fuelreach/sheet.h"
#include "sheet/tree.h"

#if defined(__SANITIZE_ADDRESS__)
#define ALLOCATOR_TAKEN 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define ALLOCATOR_TAKEN 1
#endif
#endif

static size_t allowed = SIZE_MAX; /* calls until one is refused, and all after it */
static long living;

#ifndef ALLOCATOR_TAKEN

/* The GNU C library's own allocator under its second names. */
void *__libc_malloc(size_t size);
void *__libc_calloc(size_t count, size_t size);
void *__libc_realloc(void *memory, size_t size);
void __libc_free(void *memory);

static bool refused(void) {
    if (allowed == 0) {
        return true;
    }
    allowed -= allowed != SIZE_MAX;
    return false;
}

void *malloc(size_t size) {
    void *memory = refused() ? NULL : __libc_malloc(size);
    living += memory != NULL;
    return memory;
}

void *calloc(size_t count, size_t size) {
    void *memory = refused() ? NULL : __libc_calloc(count, size);
    living += memory != NULL;
    return memory;
}

void *realloc(void *memory, size_t size) {
    void *grown = refused() ? NULL : __libc_realloc(memory, size);
    living += memory == NULL && grown != NULL;
    return grown;
}

void free(void *memory) {
    living -= memory != NULL;
    __libc_free(memory);
}

#endif

/* What is tried: opens, closes, and says how it went. */
typedef fr_status (*trial)(const char *text, fr_report *report);

static fr_status try_tree(const char *text, fr_report *report) {
    fr_tree *tree = NULL;
    fr_status status = fr_tree_read("f", text, strlen(text), report, &tree);
    fr_tree_close(tree);
    return status;
}

static fr_status try_sheet(const char *text, fr_report *report) {
    static const fr_sheet_options options = {0};
    fr_sheet *sheet = NULL;
    fr_status status = fr_sheet_open_text("f", text, strlen(text), &options, report, &sheet);
    if (status != FR_OK && sheet != NULL) {
        return FR_FAULT;
    }
    fr_sheet_close(sheet);
    return status;
}

/* Once with all memory, then with one allocation more each time until it goes as it did then. */
static void try_every(trial run, const char *text, fr_status whole) {
#ifdef ALLOCATOR_TAKEN
    (void)run;
    (void)text;
    (void)whole;
    print_message("SKIPPED: the sanitizer has the allocator\n");
    skip();
#else
    support_skip_under_valgrind();
    fr_report report = FR_REPORT_EMPTY;
    assert_int_equal(run(text, &report), whole);
    size_t remarks = report.count;
    fr_report_close(&report);
    bool done = false;
    size_t tried = 0;
    for (size_t n = 0; !done; n++) {
        long before = living;
        allowed = n;
        fr_status status = run(text, &report);
        done = allowed != 0;
        allowed = SIZE_MAX;
        bool honest = status == FR_NO_MEMORY ||
                      (status == whole && (report.count == remarks || report.out_of_memory));
        if (!honest) {
            print_error("allocation %zu: status %d, %zu remarks\n", n, (int)status, report.count);
            support_print_report(&report);
        }
        fr_report_close(&report);
        assert_true(honest);
        assert_int_equal(living, before);
        assert_true(n < 100000);
        tried = n;
    }
    assert_true(tried > 5); /* there were allocations to refuse */
#endif
}

static const char good[] = "engine: &e\n"
                           "  cylinders: 4\n"
                           "  displacement: 2.0 L\n"
                           "  target_power: {E10: 200 kW, E85: 220 kW \u00B1 2 %}\n"
                           "  power_at: crank\n"
                           "supply:\n"
                           "  lift_pump: {part: lift-255, condition: 90 %}\n"
                           "  filters: [filter-10, {drop: 0.1 bar, at: 200 L/h}]\n"
                           "  port_injection: {injector: 1000 cc/min}\n";

static const char bad_values[] = "engine:\n"
                                 "  cylinders: four\n"
                                 "  displacment: 2.0 L\n"
                                 "  target_power: 300\n"
                                 "  target_power: 310\n"
                                 "supply:\n"
                                 "  lift_pump: lift-9999\n"
                                 "  port_injection: {injector: 1200cc}\n";

static const char bad_layout[] = "engine:\n  cylinders:4\n  displacement: 2.0 L\n";
static const char bad_bytes[] = "site: {feed_temperature: 45 \xB0"
                                "C}\n";

static void a_tree_stands_every_refused_allocation(void **state) {
    (void)state;
    try_every(try_tree, "a: &x {b: [1, 2], c: \"d\"}\ne: *x\n", FR_OK);
    try_every(try_tree, "a: {b: 1, b: 2}\nc: {d: 1,5 m}\n", FR_BAD_INPUT);
    try_every(try_tree, bad_layout, FR_BAD_INPUT);
    try_every(try_tree, bad_bytes, FR_BAD_INPUT);
}

static void a_good_sheet_stands_every_refused_allocation(void **state) {
    (void)state;
    try_every(try_sheet, good, FR_OK);
}

static void a_bad_sheet_stands_every_refused_allocation(void **state) {
    (void)state;
    try_every(try_sheet, bad_values, FR_BAD_INPUT);
    try_every(try_sheet, bad_layout, FR_BAD_INPUT);
    try_every(try_sheet, bad_bytes, FR_BAD_INPUT);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_tree_stands_every_refused_allocation),
        cmocka_unit_test(a_good_sheet_stands_every_refused_allocation),
        cmocka_unit_test(a_bad_sheet_stands_every_refused_allocation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
