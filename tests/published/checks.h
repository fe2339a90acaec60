/* SPDX-License-Identifier: GPL-3.0-or-later */
/* All checks against the outside, a file a subject. */
#ifndef FUELREACH_TESTS_PUBLISHED_CHECKS_H
#define FUELREACH_TESTS_PUBLISHED_CHECKS_H

/* fuel.c */
void ethanol_follows_its_equation_of_state(void **state);
void ethanol_is_as_viscous_as_bingham_found(void **state);
void the_test_fluid_weighs_what_heptane_does(void **state);
void blends_have_the_vapour_pressure_that_was_measured(void **state);
void stoichiometry_is_what_the_composition_says(void **state);
void blends_need_the_air_that_handbooks_say(void **state);
/* lines.c */
void friction_is_laminar_below_and_colebrook_above(void **state);
void friction_is_what_another_library_computes(void **state);
void a_pipe_of_the_handbook_loses_what_it_says(void **state);
void wire_has_the_resistance_of_the_standard(void **state);
/* units.c */
void units_are_what_their_definitions_say(void **state);
void every_unit_is_what_gnu_units_says(void **state);
/* injection.c */
void fuel_a_cycle_is_what_textbooks_compute(void **state);
void the_orifice_law_sizes_what_textbooks_size(void **state);
void a_measured_injector_follows_the_square_root(void **state);
void injectors_worked_by_hand_come_out_the_same(void **state);
/* pumps.c */
void a_pump_follows_its_affinity_laws(void **state);
void a_roller_pump_draws_what_was_measured(void **state);
void a_high_pressure_pump_loses_what_compression_takes(void **state);
void a_plunger_pump_worked_by_hand_comes_out_the_same(void **state);

#endif
