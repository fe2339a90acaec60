/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "capacity/scaled.h"

void scale_build(const fr_build *build, double times, fr_build *scaled) {
    fr_curve *boost = &scaled->engine.boost_gauge_pa;
    *scaled = *build;
    scaled->engine.target_power_w.scale *= times;
    scaled->engine.target_power_w.shift *= times;
    if (build->engine.aspiration != FR_NATURAL &&
        build->engine.boost_source != FR_BOOST_WORKED_OUT) {
        boost->scale *= times;
        boost->shift = times * boost->shift + (times - 1.0) * build->site.air_pressure_pa;
        scaled->engine.manifold_shift_pa *= times;
    }
}
