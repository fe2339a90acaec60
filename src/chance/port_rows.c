/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Port injectors: the fuel that they pass within their greatest duty. */
#include "chance/rows.h"

/* Duty takes what the dead time leaves: the pressure drop decides both the flow and, by a little,
 * the dead time. Around the last guess the drop is a line in fuel, drop = d0 + d1 (k - k0); flow
 * time * root(drop) is then the root of a line whose slope takes the dead time's change along, and
 * the balance with the demand is a quadratic. A rail that does not move needs one step. */
FR_SHARED void port_step(fr_block *b, const double *other, const double *other_slope,
                         const double *port_part, double cycle_s, double *times) {
    const fr_draws *d = &b->draws;
    const double per_cycle = 1.0 / cycle_s;
    FR_EACH_LANE(l) {
        const double k = times[l];
        const double drop = b->rail[l] + d->air[l] - fr_manifold(b, l, k);
        const double drop_slope = b->rail_slope[l] - fr_manifold_slope(b, l, k);
        const double dead =
            d->port_dead[l] + d->port_dead_per_pa[l] * (drop - d->port_test_pa[l]);
        const double open = fr_greater(d->port_duty[l] - dead * per_cycle, 0.0);
        const double open_slope = open > 0.0 ? -d->port_dead_per_pa[l] * per_cycle / open : 0.0;
        const double flow = d->port_static[l] * b->root_density[l] * open;
        const double flow2 = flow * flow;
        const double slope = drop_slope * (1.0 + 2.0 * open_slope * drop);
        /* fuel through the ports = a0 + a1 (k - k0) */
        const double a0 = port_part[l] * b->demand[l] * k - other[l];
        const double a1 = port_part[l] * b->demand[l] - other_slope[l];
        const double per_a1 = a1 > 0.0 ? 1.0 / a1 : 0.0;
        const double beta = -0.5 * flow2 * slope * per_a1;
        const double gamma = flow2 * (drop - slope * a0 * per_a1);
        const double passed = fr_lane_root(fr_greater(beta, 0.0), gamma);
        times[l] = a1 > 0.0 ? fr_greater(k + (passed - a0) * per_a1, 0.0) : INFINITY;
    }
}

/* A share that falls below its least drops to nothing at once. */
FR_INLINE void without_least_share(fr_block *b, double cycle_s, fr_rail_source source) {
    fr_row alone, none = {0.0}, whole;
    double any = 0.0;
    FR_EACH_LANE(l) {
        const double fuel = b->times[l] * b->demand[l];
        any += b->direct_fuel[l] < FR_LEAST_AUTOMATIC_SHARE * fuel ? 1.0 : 0.0;
        alone[l] = b->times[l];
        whole[l] = 1.0;
    }
    if (any == 0.0) {
        return;
    }
    for (int step = 0; step < 4; step++) {
        fr_rail_at(b, source, alone);
        port_step(b, none, none, whole, cycle_s, alone);
    }
    FR_EACH_LANE(l) {
        const double fuel = b->times[l] * b->demand[l];
        const double falls_at = b->direct_fuel[l] / (FR_LEAST_AUTOMATIC_SHARE * b->demand[l]);
        b->times[l] = b->direct_fuel[l] < FR_LEAST_AUTOMATIC_SHARE * fuel
                          ? fr_greater(alone[l], falls_at)
                          : b->times[l];
    }
}

/* The part of the fuel that is the ports' by a share that is given; all of it where the share is
 * automatic, less what direct injection takes. */
FR_SHARED void ports_part(const fr_block *b, size_t speed, double *part) {
    const double share = b->automatic ? 0.0 : b->plan->share[speed];
    const double shared = b->plan->base->share == FR_SHARE_CURVE ? 1.0 : 0.0;
    FR_EACH_LANE(l) {
        part[l] = 1.0 - shared * (b->draws.share.scale[l] * share + b->draws.share.shift[l]);
    }
}

FR_CLONES void fr_port_step(fr_block *b, fr_rail_source source, size_t speed) {
    const double cycle_s = b->plan->cycle_s[speed];
    fr_row part;
    ports_part(b, speed, part);
    fr_rail_at(b, source, b->times);
    if (b->automatic) {
        fr_automatic_share(b, source);
        port_step(b, b->direct_fuel, b->direct_slope, part, cycle_s, b->times);
    } else {
        const fr_row none = {0.0};
        port_step(b, none, none, part, cycle_s, b->times);
    }
}

FR_CLONES void fr_port_end(fr_block *b, fr_rail_source source, size_t speed) {
    if (b->automatic) {
        without_least_share(b, b->plan->cycle_s[speed], source);
    }
}

FR_CLONES bool fr_port_holds(fr_block *b, size_t speed, const double *least, double margin,
                             double *done) {
    const fr_draws *d = &b->draws;
    const double per_cycle = 1.0 / b->plan->cycle_s[speed];
    fr_row part;
    ports_part(b, speed, part);
    FR_EACH_LANE(l) {
        const double k = least[l];
        const double drop = fr_greater(b->rail[l] + d->air[l] - fr_manifold(b, l, k), 0.0);
        const double dead =
            d->port_dead[l] + d->port_dead_per_pa[l] * (drop - d->port_test_pa[l]);
        const double open = fr_greater(d->port_duty[l] - dead * per_cycle, 0.0);
        const double flow = d->port_static[l] * b->root_density[l] * open;
        const double need = part[l] * b->demand[l] * k * margin;
        b->ports_squared[l] = flow * flow * drop;
        done[l] = b->ports_squared[l] >= need * need || need <= 0.0 ? 1.0 : 0.0;
    }
    return fr_count_below(done, 1.0) == 0;
}
