/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Runs every check against the outside, and holds the table of docs to what they found.
 * With FR_WRITE_DOCS=1 in the environment it writes that table instead. */
#include "support.h"

#include "published/checks.h"
#include "published/table.h"

static const char committed[] = "docs/published-checks.md";
static const char made[] = FR_BUILD_DIR "/published-checks.md";

static void the_table_in_docs_is_what_this_run_found(void **state) {
    (void)state;
    if (!published_is_whole()) {
        published_skip("docs/published-checks.md: a check was skipped, so this run's table is not "
                       "whole");
    }
    if (getenv("FR_WRITE_DOCS") != NULL) {
        assert_true(published_write(committed));
    }
    assert_true(published_write(made));
    char *ours = support_read_file(made, NULL);
    char *theirs = support_read_file(committed, NULL);
    const bool same = ours != NULL && theirs != NULL && strcmp(ours, theirs) == 0;
    free(ours);
    free(theirs);
    if (!same) {
        print_error("%s is not what this run found (%s); `make docs` writes it\n", committed, made);
        fail();
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ethanol_follows_its_equation_of_state),
        cmocka_unit_test(ethanol_is_as_viscous_as_bingham_found),
        cmocka_unit_test(the_test_fluid_weighs_what_heptane_does),
        cmocka_unit_test(blends_have_the_vapour_pressure_that_was_measured),
        cmocka_unit_test(stoichiometry_is_what_the_composition_says),
        cmocka_unit_test(blends_need_the_air_that_handbooks_say),
        cmocka_unit_test(friction_is_laminar_below_and_colebrook_above),
        cmocka_unit_test(friction_is_what_another_library_computes),
        cmocka_unit_test(a_pipe_of_the_handbook_loses_what_it_says),
        cmocka_unit_test(wire_has_the_resistance_of_the_standard),
        cmocka_unit_test(a_pump_follows_its_affinity_laws),
        cmocka_unit_test(a_roller_pump_draws_what_was_measured),
        cmocka_unit_test(a_high_pressure_pump_loses_what_compression_takes),
        cmocka_unit_test(a_plunger_pump_worked_by_hand_comes_out_the_same),
        cmocka_unit_test(fuel_a_cycle_is_what_textbooks_compute),
        cmocka_unit_test(the_orifice_law_sizes_what_textbooks_size),
        cmocka_unit_test(a_measured_injector_follows_the_square_root),
        cmocka_unit_test(injectors_worked_by_hand_come_out_the_same),
        cmocka_unit_test(units_are_what_their_definitions_say),
        cmocka_unit_test(every_unit_is_what_gnu_units_says),
        cmocka_unit_test(the_table_in_docs_is_what_this_run_found),
    };
    return cmocka_run_group_tests_name("published", tests, NULL, NULL);
}
