/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Direct injection: what the window, the high-pressure pump and the rail's limit pass. Pressures
 * absolute. */
#include "chance/rows.h"

#include "fuel/constants.h"

static const double OVER_MANIFOLD = 1.5; /* cylinder pressure, as src/supply has it */
static const double MINDS_NOT = -1e-20;       /* kg/s a pascal: a pump that does not mind the pressure */

/* Density over that at 1 atm. */
FR_INLINE double ratio_at(const fr_block *b, int l, double pressure) {
    return fr_lane_root12((pressure - fr_standard_atmosphere_pa) * b->per_bulk[l]);
}

FR_CLONES void fr_direct_of_speed(fr_block *b, size_t speed) {
    const fr_draws *d = &b->draws;
    const fr_draw_plan *plan = b->plan;
    const double rpm = plan->rpm[speed], per_deg = 1.0 / (6.0 * rpm);
    const double injections = (double)plan->base->direct.count * rpm / 120.0;
    const double revs = rpm / 60.0 * plan->base->direct.drive_ratio;
    const double window = plan->window[speed], share = plan->share[speed];
    const double command = plan->command[speed], fill = plan->fill[speed];
    const double shared = plan->base->share == FR_SHARE_CURVE ? 1.0 : 0.0;
    FR_EACH_LANE(l) {
        const double deg = d->window.scale[l] * window + d->window.shift[l];
        const double time = deg * per_deg - d->direct_delay[l];
        const double within = d->window_limit[l] * deg * per_deg - d->direct_delay[l];
        const double rate = injections * d->direct_static[l] * b->root_rail_density[l];
        const double moved = d->share.scale[l] * share + d->share.shift[l];
        b->passes[l] = rate * fr_greater(time, 0.0);
        b->passes_limit[l] = rate * fr_greater(within, 0.0);
        b->direct_demand[l] = (shared * moved + (1.0 - shared)) * b->demand[l];
    }
    FR_EACH_LANE(l) {
        const double rail = d->command.scale[l] * command + d->command.shift[l];
        b->command[l] = fr_lesser(rail, d->rail_limit[l]);
        b->command_ratio[l] = ratio_at(b, l, b->command[l]);
        b->swept[l] = d->swept_per_rev[l] * revs;
        b->fill[l] = d->fill.scale[l] * fill + d->fill.shift[l];
    }
}

/* What the pump delivers at a pressure, not clipped at zero. `inlet_ratio`: at the inlet. */
FR_INLINE double delivery(const fr_block *b, int l, double ratio, double inlet_ratio,
                          double over_inlet) {
    const fr_draws *d = &b->draws;
    const double drawn =
        b->swept[l] * (b->fill[l] - d->dead_volume[l] * (ratio / inlet_ratio - 1.0));
    return b->inlet_density[l] * inlet_ratio * (drawn - d->leak[l] * over_inlet);
}

/* A line through delivery over rail pressure at `guess`. */
typedef struct fr_delivery_line {
    double at_guess, slope, at_inlet;
} fr_delivery_line;

FR_INLINE fr_delivery_line delivery_line(const fr_block *b, int l, double guess, double inlet) {
    const fr_draws *d = &b->draws;
    const double inlet_ratio = ratio_at(b, l, inlet);
    const double ratio = ratio_at(b, l, guess);
    const double x = (guess - fr_standard_atmosphere_pa) * b->per_bulk[l];
    const double ratio_slope = ratio * b->per_bulk[l] / (fr_murnaghan_exponent * (1.0 + x));
    const double slope = -b->inlet_density[l] * (b->swept[l] * d->dead_volume[l] * ratio_slope +
                                                 inlet_ratio * d->leak[l]);
    return (fr_delivery_line){delivery(b, l, ratio, inlet_ratio, guess - inlet),
                              fr_lesser(slope, MINDS_NOT),
                              b->inlet_density[l] * inlet_ratio * b->swept[l] * b->fill[l]};
}

FR_INLINE double kept_guess(const fr_block *b, int l, double guess, double inlet) {
    return fr_lesser(fr_greater(guess, inlet), b->draws.rail_limit[l]);
}

/* ---- automatic share ---- */

/* The greatest direct fuel that keeps the three direct stages within their limits at block->times,
 * with block->rail known, and its slope over times. */
FR_CLONES void fr_automatic_share(fr_block *b) {
    const fr_draws *d = &b->draws;
    FR_EACH_LANE(l) {
        const double k = b->times[l];
        const double inlet = b->rail[l] + d->air[l];
        const double cylinder = OVER_MANIFOLD * fr_manifold(b, l, k);
        const double cylinder_slope = OVER_MANIFOLD * fr_manifold_slope(b, l, k);
        const fr_delivery_line line = delivery_line(b, l, b->rail_guess[l], inlet);
        const double inlet_ratio = ratio_at(b, l, inlet);
        /* window at the commanded pressure */
        const double by_window =
            b->passes_limit[l] * sqrt(fr_greater(b->command[l] - cylinder, 0.0));
        const double window2 = b->passes_limit[l] * b->passes_limit[l];
        /* pump at the commanded pressure */
        const double by_pump = d->pump_limit[l] *
                               fr_greater(delivery(b, l, b->command_ratio[l], inlet_ratio,
                                                   b->command[l] - inlet),
                                          0.0);
        /* pressure: required = limit * available, where the pump's line crosses or at the limit */
        const double u = d->pressure_limit[l], c2 = b->passes[l] * b->passes[l];
        const double per_slope = 1.0 / line.slope;
        const double beta = -0.5 * c2 * u * per_slope;
        const double gamma =
            c2 * (u * (b->rail_guess[l] - line.at_guess * per_slope) - cylinder);
        const double crossing = fr_lane_root(beta, gamma);
        const double at_limit =
            b->passes[l] * sqrt(fr_greater(u * d->rail_limit[l] - cylinder, 0.0));
        b->rail_guess[l] = kept_guess(
            b, l, b->rail_guess[l] + (crossing - line.at_guess) * per_slope, inlet);
        const double delivered = fr_lesser(crossing, fr_greater(line.at_inlet, 0.0));
        const double by_pressure = fr_lesser(delivered, at_limit);
        /* slopes by cylinder pressure of whichever is least */
        const double pressure_slope =
            at_limit < delivered ? -0.5 * c2 / fr_greater(at_limit, 1e-12)
                                 : -0.5 * c2 / fr_greater(crossing + beta, 1e-12);
        const double window_slope = -0.5 * window2 / fr_greater(by_window, 1e-12);
        double fuel = by_pump, slope = 0.0;
        slope = by_window < fuel ? window_slope : slope;
        fuel = fr_lesser(fuel, by_window);
        slope = by_pressure < fuel ? pressure_slope : slope;
        fuel = fr_lesser(fuel, by_pressure);
        b->direct_fuel[l] = fuel;
        b->direct_slope[l] = fuel > 0.0 ? slope * cylinder_slope : 0.0;
    }
}

/* ---- by a share that is given ---- */

/* Fuel at which required pressure is what the pump's line or the limit has; the cylinder's
 * pressure follows the fuel: p = fixed + slope * fuel. */
FR_INLINE void pressure_step(fr_block *b, double *times) {
    const fr_draws *d = &b->draws;
    FR_EACH_LANE(l) {
        const double k = times[l];
        const double inlet = b->rail[l] + d->air[l];
        const double per_demand = b->direct_demand[l] > 0.0 ? 1.0 / b->direct_demand[l] : 0.0;
        const double slope_k = OVER_MANIFOLD * fr_manifold_slope(b, l, k);
        const double fixed = OVER_MANIFOLD * fr_manifold(b, l, k) - slope_k * k;
        const double per_fuel = slope_k * per_demand;
        const fr_delivery_line line = delivery_line(b, l, b->rail_guess[l], inlet);
        const double c2 = b->passes[l] * b->passes[l], per_slope = 1.0 / line.slope;
        const double crossing = fr_lane_root(
            0.5 * c2 * (per_fuel - per_slope),
            c2 * (b->rail_guess[l] - line.at_guess * per_slope - fixed));
        const double at_limit =
            fr_lane_root(0.5 * c2 * per_fuel, c2 * (d->rail_limit[l] - fixed));
        b->rail_guess[l] = kept_guess(
            b, l, b->rail_guess[l] + (crossing - line.at_guess) * per_slope, inlet);
        const double delivered = fr_lesser(crossing, fr_greater(line.at_inlet, 0.0));
        times[l] = per_demand > 0.0 ? fr_lesser(delivered, at_limit) * per_demand : INFINITY;
    }
}

FR_CLONES void fr_direct_pressure_times(fr_block *b, fr_rail_source source, fr_rail_care care,
                                        int steps) {
    for (int step = 0; step < steps; step++) {
        fr_rail_at(b, source, care, b->times);
        pressure_step(b, b->times);
    }
}

FR_CLONES void fr_direct_injector_times(fr_block *b) {
    FR_EACH_LANE(l) {
        const double per_demand = b->direct_demand[l] > 0.0 ? 1.0 / b->direct_demand[l] : 0.0;
        const double c2 = b->passes[l] * b->passes[l];
        const double following = fr_lane_root(
            0.5 * c2 * OVER_MANIFOLD * b->manifold_slope[l] * per_demand,
            c2 * (b->command[l] - OVER_MANIFOLD * b->manifold_fixed[l]));
        const double least = OVER_MANIFOLD * b->manifold_least[l];
        const double at_least = b->passes[l] * sqrt(fr_greater(b->command[l] - least, 0.0));
        b->times[l] = per_demand > 0.0 ? fr_lesser(following, at_least) * per_demand : INFINITY;
    }
}

FR_CLONES void fr_high_pressure_times(fr_block *b, fr_rail_source source, fr_rail_care care,
                                      int steps) {
    const fr_draws *d = &b->draws;
    for (int step = 0; step < steps; step++) {
        fr_rail_at(b, source, care, b->times);
        FR_EACH_LANE(l) {
            const double inlet = b->rail[l] + d->air[l];
            const double fuel = fr_greater(delivery(b, l, b->command_ratio[l],
                                                    ratio_at(b, l, inlet), b->command[l] - inlet),
                                           0.0);
            b->times[l] = b->direct_demand[l] > 0.0 ? fuel / b->direct_demand[l] : INFINITY;
        }
    }
}
