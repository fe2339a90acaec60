/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Short ways to ask the tank something, for its tests. Volumes in litres. */
#ifndef FUELREACH_TESTS_TANK_ASKS_H
#define FUELREACH_TESTS_TANK_ASKS_H

#include "support.h"

#include "fuelreach/tank.h"

static inline fr_tank_ask ask_tank(double size_l, double holds_l, double ethanol) {
    fr_tank_ask ask = {.gasoline = fr_gasoline_default(), .temperature_c = 15.0};
    ask.size_m3 = size_l / 1000.0;
    ask.holds_m3 = holds_l / 1000.0;
    ask.holds = (fr_tank_blend){ethanol, ethanol};
    return ask;
}

static inline fr_tank_order *ask_order(fr_tank_ask *ask, fr_tank_act act, double litres,
                                       double ethanol) {
    fr_tank_order *order = &ask->orders[ask->order_count++];
    *order = (fr_tank_order){.act = act, .volume_m3 = litres / 1000.0};
    order->blend = (fr_tank_blend){ethanol, ethanol};
    return order;
}

static inline void ask_targets(fr_tank_ask *ask, double with, size_t count,
                               const double *targets) {
    fr_tank_order *order = ask_order(ask, FR_TANK_TARGETS, 0.0, with);
    order->target_count = count;
    for (size_t i = 0; i < count; i++)
        order->targets[i] = targets[i];
}

/* Runs what must be possible. */
static inline void run_tank(const fr_tank_ask *ask, fr_tank_result *result) {
    assert_true(fr_tank_run(ask, false, result));
}

static inline const fr_tank_step *last_step(const fr_tank_result *result) {
    assert_true(result->step_count > 0);
    return &result->steps[result->step_count - 1];
}

#endif
