/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tank/content.h"

#include <math.h>

static const double REFERENCE_C = 15.0; /* blends are named at 15 degC */

static double growth(const fr_gasoline *gasoline, double ethanol, double temperature_c) {
    const fr_blend pure = fr_blend_make(gasoline, ethanol);
    return fr_blend_density(&pure, REFERENCE_C) / fr_blend_density(&pure, temperature_c);
}

fr_tank_scale fr_tank_scale_at(const fr_gasoline *gasoline, double temperature_c) {
    fr_tank_scale scale;
    scale.ethanol_growth = growth(gasoline, 1.0, temperature_c);
    scale.gasoline_growth = growth(gasoline, 0.0, temperature_c);
    return scale;
}

double fr_tank_share(const fr_tank_scale *scale, double ethanol) {
    const double grown = ethanol * scale->ethanol_growth;
    return grown / (grown + (1.0 - ethanol) * scale->gasoline_growth);
}

double fr_tank_ethanol(const fr_tank_scale *scale, double share) {
    const double shrunk = share / scale->ethanol_growth;
    return shrunk / (shrunk + (1.0 - share) / scale->gasoline_growth);
}

fr_tank_content fr_tank_pour(const fr_tank_scale *scale, double volume_m3, double ethanol) {
    const double share = fr_tank_share(scale, ethanol);
    return (fr_tank_content){volume_m3 * share, volume_m3 * (1.0 - share)};
}

fr_tank_content fr_tank_join(fr_tank_content a, fr_tank_content b) {
    return (fr_tank_content){a.ethanol_m3 + b.ethanol_m3, a.gasoline_m3 + b.gasoline_m3};
}

fr_tank_content fr_tank_draw(fr_tank_content content, double volume_m3) {
    const double volume = fr_tank_volume(content);
    if (volume_m3 >= volume)
        return (fr_tank_content){0.0, 0.0};
    const double left = 1.0 - volume_m3 / volume;
    return (fr_tank_content){content.ethanol_m3 * left, content.gasoline_m3 * left};
}

double fr_tank_volume(fr_tank_content content) {
    return content.ethanol_m3 + content.gasoline_m3;
}

double fr_tank_content_ethanol(const fr_tank_scale *scale, fr_tank_content content) {
    const double volume = fr_tank_volume(content);
    return volume > 0.0 ? fr_tank_ethanol(scale, content.ethanol_m3 / volume) : NAN;
}
