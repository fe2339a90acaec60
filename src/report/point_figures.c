/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/point_figures.h"

#include <math.h>
#include <string.h>

#define AT(member) offsetof(fr_point, member)

const fr_point_figure fr_point_figures[] = {
    {"rpm", AT(speed_rpm), 1, 1},
    {"power_kw", AT(power_w), 1, FR_W_A_KW},
    {"bsfc_g_kwh", AT(bsfc_kg_j), FR_G_KWH_A_KG_J, 1},
    {"fuel_kg_h", AT(fuel_kg_s), FR_S_AN_H, 1},
    {"fuel_l_h", AT(fuel_m3_s), FR_L_H_A_M3_S, 1},
    {"volumetric_efficiency", AT(volumetric_efficiency), 1, 1},
    {"lift_available_l_h", AT(lift_available_m3_s), FR_L_H_A_M3_S, 1},
    {"lift_needed_l_h", AT(lift_needed_m3_s), FR_L_H_A_M3_S, 1},
    {"lift_headroom_percent", AT(lift_headroom), 100, 1},
    {"pump_voltage_v", AT(pump_voltage_v), 1, 1},
    {"pump_current_a", AT(pump_current_a), 1, 1},
    {"line_loss_bar", AT(line_loss_pa), 1, FR_PA_A_BAR},
    {"feed_pressure_bar", AT(feed_gauge_pa), 1, FR_PA_A_BAR},
    {"vapour_pressure_bar", AT(vapour_pressure_pa), 1, FR_PA_A_BAR},
    {"direct_share_percent", AT(direct_share), 100, 1},
    {"port_static_g_s", AT(port_static_kg_s), 1e3, 1},
    {"port_pulse_ms", AT(port_pulse_s), 1e3, 1},
    {"port_duty_percent", AT(port_duty), 100, 1},
    {"direct_required_bar", AT(direct_required_pa), 1, FR_PA_A_BAR},
    {"direct_available_bar", AT(direct_available_pa), 1, FR_PA_A_BAR},
    {"direct_held_bar", AT(direct_held_pa), 1, FR_PA_A_BAR},
    {"direct_margin_bar", AT(direct_margin_pa), 1, FR_PA_A_BAR},
    {"direct_angle_deg", AT(direct_angle_deg), 1, 1},
    {"direct_window_deg", AT(direct_window_deg), 1, 1},
    {"hp_pump_delivery_kg_h", AT(hp_delivery_kg_s), FR_S_AN_H, 1},
    {"hp_pump_headroom_percent", AT(hp_headroom), 100, 1},
    {NULL, 0, 0, 0}};

double fr_point_at(const fr_point *point, size_t offset) {
    double value;
    memcpy(&value, (const char *)point + offset, sizeof value);
    return value;
}

double fr_point_figure_value(const fr_point_figure *figure, const fr_point *point) {
    return fr_point_at(point, figure->offset) * figure->times / figure->over;
}

double fr_ethanol_percent(double fraction) {
    static const double finest = 1e9; /* steps a per cent; no blend is named finer */
    return round(100.0 * fraction * finest) / finest;
}
