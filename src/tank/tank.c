/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Carries out what was ordered, one thing after another. */
#include "fuelreach/tank.h"

#include <math.h>
#include <string.h>

#include "tank/content.h"
#include "tank/line.h"
#include "tank/plan.h"
#include "tank/reading.h"

static const double E85_LEAST = 0.51;   /* ASTM D5798 */
static const double E85_MOST = 0.83;    /* ASTM D5798 */
static const double SENSOR_ERROR = 0.03; /* common practice, no source */
/* A tank is full, or empty, to within a drop (1e-9 of its size). */
static const double DROP = 1e-9;

typedef struct fr_tank_state {
    const fr_tank_ask *ask;
    fr_tank_scale scale;
    fr_tank_content content;
    bool high_end;
    fr_tank_filling last;
    double in_line; /* ethanol in the line: what the tank held before its last filling */
    fr_tank_result *result;
} fr_tank_state;

fr_tank_blend fr_tank_pump_e85(void) {
    return (fr_tank_blend){E85_LEAST, E85_MOST};
}

double fr_tank_sensor_error(void) {
    return SENSOR_ERROR;
}

static double end_of(const fr_tank_state *state, fr_tank_blend blend) {
    return state->high_end ? blend.high : blend.low;
}

static double drop(const fr_tank_state *state) {
    return DROP * state->ask->size_m3;
}

static void note_step(fr_tank_state *state, double drained, double added, double poured,
                      double target) {
    fr_tank_result *result = state->result;
    if (result->step_count == FR_TANK_STEPS_MAX)
        return;
    const double ethanol = fr_tank_content_ethanol(&state->scale, state->content);
    fr_tank_step *step = &result->steps[result->step_count++];
    step->drained_m3 = drained;
    step->added_m3 = added;
    step->added_ethanol = added > 0.0 ? poured : NAN;
    step->volume_m3 = fr_tank_volume(state->content);
    step->ethanol = ethanol;
    step->sensor_low = isnan(ethanol) ? NAN : fmax(0.0, ethanol - SENSOR_ERROR);
    step->sensor_high = isnan(ethanol) ? NAN : fmin(1.0, ethanol + SENSOR_ERROR);
    step->target = target;
}

static void fill(fr_tank_state *state, double added, double ethanol) {
    if (!(added > 0.0))
        return;
    const double before = fr_tank_content_ethanol(&state->scale, state->content);
    if (!isnan(before)) /* a line keeps its content when the tank is emptied */
        state->in_line = before;
    state->last = (fr_tank_filling){true, state->content, added, ethanol};
    state->content =
        fr_tank_join(state->content, fr_tank_pour(&state->scale, added, ethanol));
}

static bool do_add(fr_tank_state *state, const fr_tank_order *order) {
    const double excess =
        fr_tank_volume(state->content) + order->volume_m3 - state->ask->size_m3;
    if (excess > drop(state)) {
        state->result->obstacle = FR_TANK_OVERFLOWS;
        state->result->excess_m3 = excess;
        return false;
    }
    const double ethanol = end_of(state, order->blend);
    fill(state, order->volume_m3, ethanol);
    note_step(state, 0.0, order->volume_m3, ethanol, NAN);
    return true;
}

static bool do_drain(fr_tank_state *state, const fr_tank_order *order) {
    const double excess = order->volume_m3 - fr_tank_volume(state->content);
    if (excess > drop(state)) {
        state->result->obstacle = FR_TANK_RUNS_DRY;
        state->result->excess_m3 = excess;
        return false;
    }
    const double drawn = excess > -drop(state) ? INFINITY : order->volume_m3; /* to the last drop */
    state->content = fr_tank_draw(state->content, drawn);
    note_step(state, order->volume_m3, 0.0, NAN, NAN);
    return true;
}

/* The target cannot be had with this fuel: what can? */
static void note_nearest(fr_tank_state *state, fr_tank_obstacle obstacle, double with,
                         double target) {
    fr_tank_result *result = state->result;
    const double has = fr_tank_content_ethanol(&state->scale, state->content);
    const double room = state->ask->size_m3 - fr_tank_volume(state->content);
    const fr_tank_content full =
        fr_tank_join(state->content, fr_tank_pour(&state->scale, room, with));
    result->reachable = false;
    result->obstacle = obstacle;
    result->obstacle_target = target;
    result->nearest_ethanol = obstacle == FR_TANK_WRONG_WAY && !isnan(has) ? has : with;
    result->topped_up_ethanol = fr_tank_content_ethanol(&state->scale, full);
}

/* Number of targets, one after another, that this fuel reaches. */
static size_t count_reached(const fr_tank_state *state, const fr_tank_order *order, double with,
                            fr_tank_obstacle *obstacle) {
    double from = fr_tank_content_ethanol(&state->scale, state->content);
    if (isnan(from))
        from = with; /* an empty tank takes the fuel's own blend */
    for (size_t i = 0; i < order->target_count; i++) {
        *obstacle = fr_tank_way(from, with, order->targets[i]);
        if (*obstacle != FR_TANK_FREE)
            return i;
        from = order->targets[i];
    }
    return order->target_count;
}

static void do_one_target(fr_tank_state *state, double drained, double with, double target) {
    const fr_tank_scale *scale = &state->scale;
    const double volume = fr_tank_volume(state->content);
    const double has = fr_tank_content_ethanol(scale, state->content);
    const double share = fr_tank_share(scale, target);
    const double added = isnan(has)
                             ? state->ask->size_m3
                             : fr_tank_topping(state->ask->size_m3, volume,
                                               fr_tank_share(scale, has),
                                               fr_tank_share(scale, with), share);
    fill(state, added, with);
    note_step(state, drained, added, with, target);
}

static void do_targets(fr_tank_state *state, const fr_tank_order *order) {
    const fr_tank_scale *scale = &state->scale;
    const double with = end_of(state, order->blend);
    fr_tank_obstacle obstacle = FR_TANK_FREE;
    const size_t reached = count_reached(state, order, with, &obstacle);
    double shares[FR_TANK_TARGETS_MAX];
    for (size_t i = 0; i < reached; i++)
        shares[i] = fr_tank_share(scale, order->targets[i]);
    const double has = fr_tank_content_ethanol(scale, state->content);
    double drained = 0.0;
    if (reached > 0 && !isnan(has))
        drained = fr_tank_plan_drain(state->ask->size_m3, fr_tank_volume(state->content),
                                     fr_tank_share(scale, has), fr_tank_share(scale, with), shares,
                                     reached);
    if (fr_tank_volume(state->content) - drained <= drop(state))
        drained = fr_tank_volume(state->content);
    state->content = fr_tank_draw(state->content, drained);
    for (size_t i = 0; i < reached; i++)
        do_one_target(state, i == 0 ? drained : 0.0, with, order->targets[i]);
    if (reached < order->target_count)
        note_nearest(state, obstacle, with, order->targets[reached]);
}

/* False when the order cannot be carried out. */
static bool do_order(fr_tank_state *state, const fr_tank_order *order) {
    switch (order->act) {
    case FR_TANK_ADD:
        return do_add(state, order);
    case FR_TANK_DRAIN:
        return do_drain(state, order);
    default:
        do_targets(state, order);
        return true;
    }
}

static void read_sensor(fr_tank_state *state, size_t done) {
    if (state->ask->has_reading && state->ask->reading_after == done &&
        !state->result->has_reading)
        fr_tank_judge(state->ask, &state->scale, state->content, &state->last, state->result);
}

static void start_result(fr_tank_state *state) {
    fr_tank_result *result = state->result;
    memset(result, 0, sizeof *result);
    result->start_m3 = state->ask->holds_m3;
    result->start_ethanol = state->in_line;
    result->reachable = true;
    result->obstacle_target = NAN;
    result->nearest_ethanol = NAN;
    result->topped_up_ethanol = NAN;
    result->expected_ethanol = NAN;
    result->implied_ethanol = NAN;
}

bool fr_tank_run(const fr_tank_ask *ask, bool high_end, fr_tank_result *result) {
    fr_tank_state state = {.ask = ask, .high_end = high_end, .result = result};
    state.scale = fr_tank_scale_at(&ask->gasoline, ask->temperature_c);
    state.in_line = end_of(&state, ask->holds);
    state.content = fr_tank_pour(&state.scale, ask->holds_m3, state.in_line);
    start_result(&state);
    if (ask->holds_m3 > ask->size_m3 + drop(&state)) {
        result->obstacle = FR_TANK_OVERFLOWS;
        result->excess_m3 = ask->holds_m3 - ask->size_m3;
        result->obstacle_order = ask->order_count;
        return false;
    }
    read_sensor(&state, 0);
    for (size_t i = 0; i < ask->order_count && result->reachable; i++) {
        result->obstacle_order = i;
        if (!do_order(&state, &ask->orders[i]))
            return false;
        read_sensor(&state, i + 1);
    }
    if (ask->line.asked)
        result->line = fr_tank_follow(ask, &state.scale, state.content, state.in_line);
    return true;
}

bool fr_tank_run_ends(const fr_tank_ask *ask, fr_tank_result results[2]) {
    if (!fr_tank_run(ask, false, &results[0]) || !fr_tank_run(ask, true, &results[1]))
        return false;
    if (!results[0].has_reading || !results[1].has_reading)
        return true;
    const double one = results[0].expected_ethanol;
    const double other = results[1].expected_ethanol;
    if (ask->reading > fmin(one, other) && ask->reading < fmax(one, other))
        results[0].finding = results[1].finding = FR_TANK_FITS;
    return true;
}
