/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "promise/block_support.h"

#define AT(member) offsetof(fr_build, member)

typedef struct some_input {
    const char *name;
    fr_input_kind kind;
    double half_width;
    size_t targets[4];
} some_input;

static const some_input ALL[] = {
    {"bsfc", FR_INPUT_SCALE, 0.05, {AT(engine.bsfc_kg_j.scale)}},
    {"lambda", FR_INPUT_SCALE, 0.02, {AT(engine.lambda.scale)}},
    {"target", FR_INPUT_SCALE, 0.03, {AT(engine.target_power_w.scale)}},
    {"ethanol", FR_INPUT_SHIFT, 0.03, {AT(ethanol_shift)}},
    {"density", FR_INPUT_SCALE, 0.015, {AT(gasoline.density_15_kg_m3)}},
    {"dvpe", FR_INPUT_SHIFT, 12e3, {AT(gasoline.vapour_pressure_pa)}},
    {"pump", FR_INPUT_SCALE, 0.08, {AT(pumps.kinds) + offsetof(fr_pump, flow_factor)}},
    {"voltage", FR_INPUT_SHIFT, 0.4, {AT(site.supply_voltage_v)}},
    {"wiring", FR_INPUT_SCALE, 0.3, {AT(pumps.wiring_ohm), AT(pumps.shared_wiring_ohm)}},
    {"temperature", FR_INPUT_SHIFT, 8.0,
     {AT(site.feed_temperature_c), AT(site.tank_temperature_c), AT(site.rail_temperature_c),
      AT(site.hp_inlet_temperature_c)}},
    {"manifold", FR_INPUT_SHIFT, 7e3, {AT(engine.manifold_shift_pa)}},
    {"feed-pressure", FR_INPUT_SCALE, 0.04, {AT(feed.pressure_gauge_pa)}},
    {"loss", FR_INPUT_SCALE, 0.2, {AT(feed.loss_factor)}},
    {"dead-time", FR_INPUT_SHIFT, 0.1e-3, {AT(port.dead_time_s.shift)}},
    {"port", FR_INPUT_SCALE, 0.04, {AT(port.flow_kg_s)}},
    {"direct", FR_INPUT_SCALE, 0.04, {AT(direct.flow_kg_s)}},
    {"fill", FR_INPUT_SCALE, 0.05, {AT(direct.fill.scale)}},
    {"window", FR_INPUT_SHIFT, 10.0, {AT(direct.window_deg.shift)}},
    {"leak", FR_INPUT_SCALE, 0.3, {AT(direct.leakage_m3_s)}},
};

size_t some_inputs(const fr_build *build, fr_input inputs[SOME_INPUTS_MAX]) {
    size_t count = 0;
    for (size_t i = 0; i < sizeof ALL / sizeof *ALL; i++) {
        const size_t place = ALL[i].targets[0];
        if ((!build->port.present && place >= AT(port) && place < AT(direct)) ||
            (!build->direct.present && place >= AT(direct) && place < AT(share))) {
            continue;
        }
        fr_input *input = &inputs[count++];
        *input = (fr_input){.name = ALL[i].name,
                            .label = ALL[i].name,
                            .advice = "",
                            .kind = ALL[i].kind,
                            .half_width = ALL[i].half_width};
        while (input->target_count < 4 && ALL[i].targets[input->target_count] != 0) {
            input->targets[input->target_count] = ALL[i].targets[input->target_count];
            input->target_count++;
        }
    }
    return count;
}
