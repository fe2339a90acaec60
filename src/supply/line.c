/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lines, fittings and filters between tank and rail. */
#include "supply/line.h"

#include <math.h>

#include "fuelreach/supply.h"
#include "quantity/circle.h"

/* Churchill, Chemical Engineering 84 (7 Nov 1977) 91: one formula for laminar, transitional and
 * turbulent flow; this is the Darcy factor. 64/Re where the flow is so slow that powers of it
 * would not fit a double. */
double fr_friction_factor(double reynolds, double relative_roughness) {
    const double SLOW = 1.0;
    if (reynolds < SLOW) {
        return reynolds > 0.0 ? 64.0 / reynolds : 0.0;
    }
    const double a =
        2.457 * log(1.0 / (pow(7.0 / reynolds, 0.9) + 0.27 * relative_roughness));
    const double b = 37530.0 / reynolds;
    const double a2 = a * a, a4 = a2 * a2, a8 = a4 * a4;
    const double b2 = b * b, b4 = b2 * b2, b8 = b4 * b4;
    const double c = 8.0 / reynolds, c2 = c * c, c4 = c2 * c2;
    const double turbulent = a8 * a8 + b8 * b8;
    /* 8 (c^12 + turbulent^-1.5)^(1/12), the turbulent part taken out by three square roots; what
     * laminar flow adds is then a small number almost everywhere. */
    const double laminar = c4 * c4 * c4 * turbulent * sqrt(turbulent);
    const double factor = laminar < 1e-5 ? 1.0 + laminar * (1.0 / 12.0 - laminar * (11.0 / 288.0))
                                         : pow(1.0 + laminar, 1.0 / 12.0);
    return 8.0 * factor / sqrt(sqrt(sqrt(turbulent)));
}

double fr_line_loss(const fr_line *line, double flow_m3_s, double density_kg_m3,
                    double viscosity_pa_s) {
    if (!(flow_m3_s > 0.0)) {
        return 0.0;
    }
    const double velocity = flow_m3_s / fr_circle_area(line->bore_m);
    const double reynolds = density_kg_m3 * velocity * line->bore_m / viscosity_pa_s;
    const double friction = fr_friction_factor(reynolds, line->roughness_m / line->bore_m);
    return (friction * line->length_m / line->bore_m + line->fittings) * density_kg_m3 * velocity *
           velocity / 2.0;
}

double fr_feed_loss(const fr_feed *feed, double flow_m3_s, double density_kg_m3,
                    double viscosity_pa_s) {
    if (!(flow_m3_s > 0.0)) {
        return 0.0;
    }
    double loss = 0.0;
    for (size_t i = 0; i < feed->line_count; i++) {
        loss += fr_line_loss(&feed->lines[i], flow_m3_s, density_kg_m3, viscosity_pa_s);
    }
    for (size_t i = 0; i < feed->filter_count; i++) {
        const double share = flow_m3_s / feed->filters[i].rated_flow_m3_s;
        loss += feed->filters[i].drop_pa * share * share;
    }
    return loss * feed->loss_factor;
}
