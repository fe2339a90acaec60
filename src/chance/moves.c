/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "chance/moves.h"

/* Half of a 95 % interval of a normal distribution, in standard deviations. */
static const double HALF_95 = 1.96;

static bool keep_place(fr_moves *moves, const fr_build *base, size_t place) {
    for (size_t i = 0; i < moves->place_count; i++) {
        if (moves->places[i] == place) {
            return true;
        }
    }
    if (moves->place_count == FR_MOVED_PLACES_MAX) {
        return false;
    }
    moves->places[moves->place_count] = place;
    memcpy(&moves->base[moves->place_count], (const char *)base + place, sizeof(double));
    moves->place_count++;
    return true;
}

bool fr_moves_start(fr_moves *moves, const fr_build *base, const fr_input *inputs, size_t count) {
    moves->inputs = inputs;
    moves->input_count = count;
    moves->moved = *base;
    moves->place_count = 0;
    for (size_t i = 0; i < count; i++) {
        for (size_t t = 0; t < inputs[i].target_count; t++) {
            if (!keep_place(moves, base, inputs[i].targets[t])) {
                return false;
            }
        }
    }
    return true;
}

const fr_build *fr_moves_to(fr_moves *moves, const double *deviations, size_t stride) {
    char *moved = (char *)&moves->moved;
    for (size_t i = 0; i < moves->place_count; i++) {
        memcpy(moved + moves->places[i], &moves->base[i], sizeof(double));
    }
    for (size_t i = 0; i < moves->input_count; i++) {
        const fr_input *input = &moves->inputs[i];
        const double by = input->half_width * deviations[i * stride] / HALF_95;
        for (size_t t = 0; t < input->target_count; t++) {
            double value;
            memcpy(&value, moved + input->targets[t], sizeof value);
            value = input->kind == FR_INPUT_SCALE ? value * (1.0 + by) : value + by;
            memcpy(moved + input->targets[t], &value, sizeof value);
        }
    }
    return &moves->moved;
}

/* ---- what the block can follow ---- */

static bool inside(const fr_build *base, size_t place, const void *from, size_t size) {
    const size_t begin = (size_t)((const char *)from - (const char *)base);
    return place >= begin && place < begin + size;
}

bool fr_moves_suit_block(const fr_build *base, const fr_input *inputs, size_t count) {
    const fr_curve *curves[] = {&base->engine.target_power_w,  &base->engine.bsfc_kg_j,
                                &base->engine.lambda,          &base->engine.same_air_gain,
                                &base->engine.boost_gauge_pa,  &base->direct.rail_command_pa,
                                &base->direct.window_deg,      &base->direct.fill,
                                &base->direct_share};
    if (base->feed.regulation == FR_MECHANICAL_RETURNLESS && base->feed.manifold_referenced) {
        return false;
    }
    for (size_t i = 0; i < count; i++) {
        for (size_t t = 0; t < inputs[i].target_count; t++) {
            const size_t place = inputs[i].targets[t];
            bool suits = !inside(base, place, &base->engine.pull, sizeof base->engine.pull) &&
                         !inside(base, place, &base->engine.bsfc_ethanol, sizeof(double)) &&
                         !inside(base, place, &base->direct.drive_ratio, sizeof(double)) &&
                         !inside(base, place, base->blends, sizeof base->blends);
            for (size_t c = 0; c < sizeof curves / sizeof *curves; c++) {
                suits = suits && !inside(base, place, curves[c]->x, sizeof curves[c]->x) &&
                        !inside(base, place, curves[c]->y, sizeof curves[c]->y);
            }
            if (!suits) {
                return false;
            }
        }
    }
    return true;
}

bool fr_moves_line(const fr_build *base, const fr_input *input) {
    for (size_t t = 0; t < input->target_count; t++) {
        if (inside(base, input->targets[t], base->feed.lines, sizeof base->feed.lines)) {
            return true;
        }
    }
    return false;
}

bool fr_moves_walk(const fr_build *base, const fr_input *input) {
    for (size_t t = 0; t < input->target_count; t++) {
        const size_t place = input->targets[t];
        if (inside(base, place, &base->pumps, sizeof base->pumps) ||
            inside(base, place, &base->site.supply_voltage_v, sizeof(double)) ||
            inside(base, place, &base->site.air_pressure_pa, sizeof(double)) ||
            inside(base, place, &base->engine.boost_gauge_pa, sizeof base->engine.boost_gauge_pa) ||
            inside(base, place, &base->feed.pressure_gauge_pa, sizeof(double)) ||
            inside(base, place, &base->feed.jet_pump_m3_s, sizeof(double))) {
            return true;
        }
    }
    return false;
}
