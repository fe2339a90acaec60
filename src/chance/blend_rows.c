/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The properties of one blend in every draw, and what the engine needs of it. The equations are
 * those of src/fuel and src/engine/demand.c. */
#include "chance/rows.h"

#include "engine/demand.h"
#include "fuel/constants.h"
#include "fuel/mixing.h"

static double bare_at(const fr_curve *curve, double x) {
    fr_curve plain = *curve;
    plain.scale = 1.0;
    plain.shift = 0.0;
    return fr_curve_at(&plain, x);
}

fr_blend_figures fr_blend_figures_of(const fr_draw_plan *plan, double ethanol) {
    const fr_engine *engine = &plan->base->engine;
    return (fr_blend_figures){
        .ethanol = ethanol,
        .target_w = bare_at(&engine->target_power_w, ethanol),
        .lambda = bare_at(&engine->lambda, ethanol),
        .gain = bare_at(&engine->same_air_gain, ethanol),
        .ethanol_stoich = fr_stoich_from_composition(2.0, 6.0, 1.0),
    };
}

FR_INLINE double margules(double own, double own_limit, double other_limit) {
    const double other = 1.0 - own;
    return (own_limit + 2.0 * (other_limit - own_limit) * own) * other * other;
}

typedef struct fr_mixture_rows {
    fr_row volume, mass, mole;
} fr_mixture_rows;

FR_INLINE void mix(const fr_draws *d, double ethanol, fr_mixture_rows *mixture) {
    FR_EACH_LANE(l) {
        const double volume = fr_lesser(fr_greater(ethanol + d->ethanol_shift[l], 0.0), 1.0);
        const double e = volume * fr_ethanol_density_15, g = (1.0 - volume) * d->density_15[l];
        const double mass = e / (e + g);
        const double me = mass / fr_ethanol_molar_mass, mg = (1.0 - mass) / fr_gasoline_molar_mass;
        mixture->volume[l] = volume;
        mixture->mass[l] = mass;
        mixture->mole[l] = me / (me + mg);
    }
}

FR_INLINE void fill_feed(fr_block *b, const fr_mixture_rows *m) {
    const fr_draws *d = &b->draws;
    FR_EACH_LANE(l) {
        const double volume =
            fr_mix(d->feed_volume.gasoline[l], d->feed_volume.ethanol[l], m->mass[l]);
        b->density[l] = 1.0 / volume;
        b->per_density[l] = volume;
        b->root_density[l] = sqrt(1.0 / volume);
        b->ln_viscosity[l] = fr_mix(d->feed_ln_viscosity.gasoline[l],
                                    d->feed_ln_viscosity.ethanol[l], m->volume[l]);
    }
    FR_EACH_LANE(l) {
        const double x = m->mole[l];
        const double ethanol =
            x * fr_lane_exp(margules(x, fr_margules_ethanol, fr_margules_gasoline));
        const double gasoline = (1.0 - x) * fr_lane_exp(margules(1.0 - x, fr_margules_gasoline,
                                                                 fr_margules_ethanol));
        b->tank_pa[l] = ethanol * d->tank_vapour.ethanol[l] + gasoline * d->tank_vapour.gasoline[l];
        b->vapour_pa[l] = ethanol * d->vapour.ethanol[l] + gasoline * d->vapour.gasoline[l];
    }
}

FR_INLINE void fill_direct(fr_block *b, const fr_mixture_rows *m) {
    const fr_draws *d = &b->draws;
    FR_EACH_LANE(l) {
        b->root_rail_density[l] = sqrt(
            1.0 / fr_mix(d->rail_volume.gasoline[l], d->rail_volume.ethanol[l], m->mass[l]));
        b->inlet_density[l] =
            1.0 / fr_mix(d->inlet_volume.gasoline[l], d->inlet_volume.ethanol[l], m->mass[l]);
        b->per_bulk[l] =
            fr_murnaghan_exponent * fr_mix(d->inlet_per_bulk.gasoline[l],
                                           d->inlet_per_bulk.ethanol[l], m->volume[l]);
    }
}

FR_INLINE void fill_need(fr_block *b, const fr_mixture_rows *m, const fr_blend_figures *figures,
                         bool by_air) {
    const fr_draws *d = &b->draws;
    FR_EACH_LANE(l) {
        const double lambda = d->lambda.scale[l] * figures->lambda + d->lambda.shift[l];
        const double gain = d->gain.scale[l] * figures->gain + d->gain.shift[l];
        const double target = d->target.scale[l] * figures->target_w + d->target.shift[l];
        const double air = fr_mix(d->stoich[l], figures->ethanol_stoich, m->mass[l]) * lambda;
        const double heat = fr_mix(d->heating[l], fr_ethanol_heating_j_kg, m->mass[l]) *
                            fr_lesser(lambda, 1.0);
        const double factor = by_air ? d->reference_air[l] / air : d->reference_heat[l] / heat;
        b->result.target_w[l] = target;
        b->air_per_fuel[l] = air;
        b->fuel_per_pull[l] = target / d->kept_power[l] * factor / (1.0 + gain);
    }
}

FR_CLONES void fr_rows_of_blend(fr_block *b, const fr_blend_figures *figures) {
    fr_mixture_rows mixture;
    const double follows = b->follows_manifold ? 1.0 : 0.0;
    FR_EACH_LANE(l) {
        b->set_fixed[l] = b->draws.pressure[l] - follows * b->draws.air[l];
    }
    mix(&b->draws, figures->ethanol, &mixture);
    fill_feed(b, &mixture);
    if (b->with_direct) {
        fill_direct(b, &mixture);
    }
    fill_need(b, &mixture, figures, b->plan->base->engine.bsfc_scaling == FR_SCALE_AIR);
}
