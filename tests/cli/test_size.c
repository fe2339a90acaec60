/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The command size as a counter clerk reads it. */
#include "cli/program.h"

static void what_is_bought_has_a_price_and_a_purpose(void **state) {
    (void)state;
    program_run run = run_fuelreach("size", "examples/tern-direct.yaml");
    assert_contains(run.out, "NEEDS PARTS for 1052 EUR.");
    assert_contains(run.out, "Port injectors: 4 x port-210                      1052 EUR\n"
                             "      mends the high-pressure pump\n"
                             "  Together, fitting included                        1052 EUR\n");
    program_forget(&run);
}

/* Of the next best sets, which may be the best one and a part more; a set that only gets farther (the front)
 * is not judged by the goal. */
static void a_part_that_could_be_left_out_is_said(void **state) {
    (void)state;
    program_run run =
        run_fuelreach("size", "examples/tern-first.yaml", "--top", "3", "--front");
    assert_contains(run.out, "filter-small (not needed), 4 x port-550\n");
    assert_contains(run.out, "carries 206 kW: 4 x port-60-lb\n");
    const char *front = strstr(run.out, "Power against price");
    assert_non_null(front);
    assert_non_null(strstr(front, "lift-340, wire-4mm2, 4 x port-1000\n"));
    assert_null(strstr(front, "not needed"));
    program_forget(&run);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_bought_has_a_price_and_a_purpose),
        cmocka_unit_test(a_part_that_could_be_left_out_is_said),
    };
    return cmocka_run_group_tests_name("size on the command line", tests, NULL, NULL);
}
