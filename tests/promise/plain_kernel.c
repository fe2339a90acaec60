/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The block kernel a second time, without clones and compiled as tests are (no vector code to
 * speak of), under other names: its results must be the same to the last bit. */
#define FR_NO_CLONES
#define fr_block_open plain_block_open
#define fr_block_close plain_block_close
#define fr_block_draws plain_block_draws
#define fr_block_keep_points plain_block_keep_points
#define fr_block_points plain_block_points
#define fr_keep_times plain_keep_times
#define fr_block_run plain_block_run
#define fr_run_behind_rail plain_run_behind_rail
#define fr_run_spoken_for plain_run_spoken_for
#define fr_blend_figures_of plain_blend_figures_of
#define fr_rows_of_blend plain_rows_of_blend
#define fr_circuit_of_blend plain_circuit_of_blend
#define fr_circuit_times plain_circuit_times
#define fr_direct_of_speed plain_direct_of_speed
#define fr_direct_at_command plain_direct_at_command
#define fr_direct_of_blend plain_direct_of_blend
#define fr_automatic_share plain_automatic_share
#define fr_direct_pressure_times plain_direct_pressure_times
#define fr_direct_injector_times plain_direct_injector_times
#define fr_high_pressure_times plain_high_pressure_times
#define fr_direct_pressure_holds plain_direct_pressure_holds
#define fr_direct_carries_rest plain_direct_carries_rest
#define fr_draw_plan_make plain_draw_plan_make
#define fr_draws_begin plain_draws_begin
#define fr_draws_put plain_draws_put
#define fr_draws_put_beside_walk plain_draws_put_beside_walk
#define fr_draws_fill plain_draws_fill
#define fr_draws_fill_line_flows plain_draws_fill_line_flows
#define fr_draws_complete plain_draws_complete
#define fr_feed_of_blend plain_feed_of_blend
#define fr_lift_times plain_lift_times
#define fr_lift_holds_at_least plain_lift_holds_at_least
#define fr_worst_keep plain_worst_keep
#define fr_worst_polish plain_worst_polish
#define fr_sag_start plain_sag_start
#define fr_feed_times plain_feed_times
#define fr_feed_moves plain_feed_moves
#define fr_moving_feed_times plain_moving_feed_times
#define fr_vapour_times plain_vapour_times
#define fr_feed_table_lines plain_feed_table_lines
#define fr_feed_table_loss plain_feed_table_loss
#define fr_feed_table_fill plain_feed_table_fill
#define fr_port_times plain_port_times
#define fr_port_holds plain_port_holds
#define fr_pump_form_at plain_pump_form_at
#define fr_pump_form_around plain_pump_form_around
#define fr_pump_kinks plain_pump_kinks
#define fr_pump_walk_make plain_pump_walk_make
#define fr_rows_of_speed plain_rows_of_speed
#define fr_flow_rows_of_speed plain_flow_rows_of_speed
#define fr_rows_of_greatest_demand plain_rows_of_greatest_demand
#define fr_settle plain_settle
#define fr_find_flows plain_find_flows
#define fr_rail_at plain_rail_at

#include "chance/block.c"
#include "chance/behind_rail.c"
#include "chance/blend_rows.c"
#include "chance/circuit_rows.c"
#include "chance/direct_rows.c"
#include "chance/draws.c"
#include "chance/feed_rows.c"
#include "chance/feed_table.c"
#include "chance/port_rows.c"
#include "chance/pump_form.c"
#include "chance/pump_walk.c"
#include "chance/speed_rows.c"
