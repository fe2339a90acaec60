/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "reference/parts.h"

static double churchill(double re, double rough) {
    const double a = pow(2.457 * log(1.0 / (pow(7.0 / re, 0.9) + 0.27 * rough)), 16.0);
    const double b = pow(37530.0 / re, 16.0);
    return 8.0 * pow(pow(8.0 / re, 12.0) + pow(a + b, -1.5), 1.0 / 12.0);
}

double ref_loss(const fr_build *build, const ref_fuel *fuel, double flow_m3_s) {
    const fr_feed *feed = &build->feed;
    const double pi = acos(-1.0);
    const double rho = ref_density(fuel, build->site.feed_temperature_c);
    const double mu = ref_viscosity(fuel, build->site.feed_temperature_c);
    double loss = 0.0;
    if (flow_m3_s <= 0.0) {
        return 0.0;
    }
    for (size_t i = 0; i < feed->line_count; i++) {
        const fr_line *line = &feed->lines[i];
        const double v = flow_m3_s / (pi / 4.0 * line->bore_m * line->bore_m);
        const double f = churchill(rho * v * line->bore_m / mu, line->roughness_m / line->bore_m);
        loss += (f * line->length_m / line->bore_m + line->fittings) * rho * v * v / 2.0;
    }
    for (size_t i = 0; i < feed->filter_count; i++) {
        const double ratio = flow_m3_s / feed->filters[i].rated_flow_m3_s;
        loss += feed->filters[i].drop_pa * ratio * ratio;
    }
    return feed->loss_factor * loss;
}

static const double no_flow = 1e-15; /* m3/s, as good as none */

typedef struct rail {
    const fr_build *build;
    const ref_fuel *fuel;
    double set_pa;
} rail;

static double rise_for(const rail *r, double flow) {
    const fr_feed *feed = &r->build->feed;
    return feed->regulation == FR_MECHANICAL_RETURNLESS
               ? r->set_pa
               : r->set_pa + ref_loss(r->build, r->fuel, flow - feed->jet_pump_m3_s);
}

static double surplus(double flow, const void *context) {
    const rail *r = context;
    return r->build->pumps.series ? ref_pumps_rise(r->build, flow, INFINITY) - rise_for(r, flow)
                                  : ref_pumps_flow(r->build, rise_for(r, flow)) - flow;
}

double ref_available(const fr_build *build, const ref_fuel *fuel, double set_pa) {
    const rail r = {build, fuel, set_pa};
    const double most = ref_pumps_flow(build, rise_for(&r, 0.0));
    if (most <= 0.0 || build->feed.regulation == FR_MECHANICAL_RETURNLESS) {
        return fmax(most, 0.0);
    }
    const double flow = surplus(most, &r) >= 0.0 ? most : ref_root(surplus, &r, 0.0, most);
    return flow > no_flow ? flow : 0.0;
}
