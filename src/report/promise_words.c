/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How wide an input's interval is, in the unit that people give it in. */
#include <stddef.h>
#include <stdio.h>

#include "fuelreach/quantity.h"
#include "report/promise_document.h"

typedef struct width_unit {
    size_t place;
    const char *unit; /* as quantities are read; null: kelvin */
} width_unit;

#define AT(member) offsetof(fr_build, member)

static const width_unit UNITS[] = {
    {AT(site.feed_temperature_c), NULL},
    {AT(site.tank_temperature_c), NULL},
    {AT(site.rail_temperature_c), NULL},
    {AT(site.hp_inlet_temperature_c), NULL},
    {AT(engine.charge_temperature_c), NULL},
    {AT(site.supply_voltage_v), "V"},
    {AT(site.air_pressure_pa), "bar"},
    {AT(ethanol_shift), "%"},
    {AT(gasoline.vapour_pressure_pa), "kPa"},
    {AT(gasoline.density_15_kg_m3), "kg/m3"},
    {AT(engine.manifold_shift_pa), "bar"},
    {AT(engine.boost_gauge_pa.shift), "bar"},
    {AT(engine.target_power_w.shift), "kW"},
    {AT(engine.bsfc_kg_j.shift), "g/kWh"},
    {AT(engine.same_air_gain.shift), "%"},
    {AT(pumps.wiring_ohm), "mohm"},
    {AT(feed.pressure_gauge_pa), "bar"},
    {AT(feed.minimum_bypass_m3_s), "L/h"},
    {AT(feed.jet_pump_m3_s), "L/h"},
    {AT(feed.strainer_loss_pa), "bar"},
    {AT(port.dead_time_s.shift), "ms"},
    {AT(direct.window_deg.shift), "deg"},
    {AT(direct.rail_command_pa.shift), "bar"},
    {AT(direct.opening_delay_s), "ms"},
};

void fr_input_width(const fr_build *build, const fr_input *input, char out[FR_WIDTH_MAX]) {
    (void)build;
    if (input->kind == FR_INPUT_SCALE || input->target_count == 0) {
        snprintf(out, FR_WIDTH_MAX, "%.3g %%", 100.0 * input->half_width);
        return;
    }
    for (size_t i = 0; i < sizeof UNITS / sizeof *UNITS; i++) {
        if (UNITS[i].place == input->targets[0]) {
            const char *unit = UNITS[i].unit;
            /* a width in kelvin has no zero to move */
            const double width = unit != NULL ? fr_in_unit(input->half_width, unit) -
                                                    fr_in_unit(0.0, unit)
                                              : input->half_width;
            snprintf(out, FR_WIDTH_MAX, "%.3g %s", width, unit != NULL ? unit : "K");
            return;
        }
    }
    snprintf(out, FR_WIDTH_MAX, "%.3g", input->half_width);
}
