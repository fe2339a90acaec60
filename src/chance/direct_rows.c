/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Direct injection: what the window, the high-pressure pump and the rail's limit pass. Pressures
 * absolute. */
#include "chance/rows.h"

#include "fuel/constants.h"

static const double OVER_MANIFOLD = 1.5; /* cylinder pressure, as src/supply has it */
static const double MINDS_NOT = 1e-20; /* kg/s a pascal: a pump that does not mind the pressure */

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
        const double part = shared * moved + (1.0 - shared);
        b->direct_demand[l] = part * b->demand[l];
        b->per_direct_demand[l] = b->direct_demand[l] > 0.0 ? 1.0 / b->direct_demand[l] : 0.0;
    }
    FR_EACH_LANE(l) {
        const double rail = d->command.scale[l] * command + d->command.shift[l];
        b->command[l] = fr_lesser(rail, d->rail_limit[l]);
        b->swept[l] = d->swept_per_rev[l] * revs;
        b->fill[l] = d->fill.scale[l] * fill + d->fill.shift[l];
    }
}

FR_CLONES void fr_direct_at_command(fr_block *b) {
    FR_EACH_LANE(l) {
        b->command_ratio[l] = ratio_at(b, l, b->command[l]);
    }
}

/* The pump's inlet: density there over that at 1 atm, and one over it. */
typedef struct fr_inlet {
    double pressure, ratio, per_ratio;
} fr_inlet;

/* Rows of it: where the rail's pressure is one figure they were worked out once for the blend. */
typedef struct fr_inlet_rows {
    const double *ratio, *per_ratio;
    fr_row own_ratio, own_per_ratio;
} fr_inlet_rows;

FR_INLINE fr_inlet inlet_of(const fr_block *b, int l, const fr_inlet_rows *rows) {
    return (fr_inlet){b->rail[l] + b->draws.air[l], rows->ratio[l], rows->per_ratio[l]};
}

FR_INLINE bool inlet_is_constant(const fr_block *b, fr_rail_source source) {
    return source == FR_RAIL_HELD && b->set_is_constant && !b->at_tank;
}

FR_SHARED void put_inlet_density(const fr_block *b, fr_rail_source source, fr_inlet_rows *rows) {
    if (inlet_is_constant(b, source)) {
        rows->ratio = b->inlet_ratio;
        rows->per_ratio = b->inlet_per_ratio;
        return;
    }
    FR_EACH_LANE(l) {
        rows->own_ratio[l] = ratio_at(b, l, b->rail[l] + b->draws.air[l]);
        rows->own_per_ratio[l] = 1.0 / rows->own_ratio[l];
    }
    rows->ratio = rows->own_ratio;
    rows->per_ratio = rows->own_per_ratio;
}

FR_CLONES void fr_direct_of_blend(fr_block *b) {
    FR_EACH_LANE(l) {
        b->inlet_ratio[l] = ratio_at(b, l, b->draws.pressure[l] + b->draws.air[l]);
        b->inlet_per_ratio[l] = 1.0 / b->inlet_ratio[l];
        b->limit_ratio[l] = ratio_at(b, l, b->draws.rail_limit[l]);
    }
}

/* What the pump delivers at a pressure, not clipped at zero. `ratio`: of density there. */
FR_INLINE double delivery(const fr_block *b, int l, double ratio, double pressure,
                          const fr_inlet *inlet) {
    const fr_draws *d = &b->draws;
    const double drawn =
        b->swept[l] * (b->fill[l] - d->dead_volume[l] * (ratio * inlet->per_ratio - 1.0));
    return b->inlet_density[l] * inlet->ratio *
           (drawn - d->leak[l] * (pressure - inlet->pressure));
}

/* How much more the pump delivers at a pressure for each pascal at its inlet. */
FR_INLINE double delivery_per_inlet(const fr_block *b, int l, double pressure,
                                    const fr_inlet *inlet) {
    const fr_draws *d = &b->draws;
    const double leaks = d->leak[l] * (pressure - inlet->pressure);
    const double denser = b->per_bulk[l] * (1.0 / fr_murnaghan_exponent); /* nearly: at 1 atm */
    return b->inlet_density[l] * inlet->ratio *
           (denser * (b->swept[l] * (b->fill[l] + d->dead_volume[l]) - leaks) + d->leak[l]);
}

/* A line through delivery over rail pressure at `guess`: its value there, and pressure over it. */
typedef struct fr_delivery_line {
    double at_guess, per_slope, at_inlet;
} fr_delivery_line;

FR_INLINE fr_delivery_line delivery_line(const fr_block *b, int l, double guess,
                                         const fr_inlet *inlet) {
    const fr_draws *d = &b->draws;
    const double ratio = ratio_at(b, l, guess);
    const double one_x = 1.0 + (guess - fr_standard_atmosphere_pa) * b->per_bulk[l];
    /* d ratio/dp = ratio per_bulk/(12 (1 + x)): both sides of the slope times (1 + x) */
    const double slope_x =
        b->inlet_density[l] *
        (b->swept[l] * d->dead_volume[l] * ratio * (b->per_bulk[l] * (1.0 / fr_murnaghan_exponent)) +
         inlet->ratio * d->leak[l] * one_x);
    return (fr_delivery_line){delivery(b, l, ratio, guess, inlet),
                              -one_x / fr_greater(slope_x, MINDS_NOT),
                              b->inlet_density[l] * inlet->ratio * b->swept[l] * b->fill[l]};
}

FR_INLINE double kept_guess(const fr_block *b, int l, double guess, double inlet) {
    return fr_lesser(fr_greater(guess, inlet), b->draws.rail_limit[l]);
}

/* ---- automatic share ---- */

/* The greatest direct fuel that keeps the three direct stages within their limits at block->times,
 * with block->rail known, and its slope over times. */
FR_CLONES void fr_automatic_share(fr_block *b, fr_rail_source source) {
    const fr_draws *d = &b->draws;
    const double SOME_KG_S = 1e-12;
    fr_inlet_rows rows;
    const fr_inlet_rows *inlets = &rows;
    put_inlet_density(b, source, &rows);
    FR_EACH_LANE(l) {
        const double k = b->times[l], guess = b->rail_guess[l];
        const fr_inlet inlet = inlet_of(b, l, inlets);
        const double cylinder = OVER_MANIFOLD * fr_manifold(b, l, k);
        const double cylinder_slope = OVER_MANIFOLD * fr_manifold_slope(b, l, k);
        const fr_delivery_line line = delivery_line(b, l, guess, &inlet);
        /* window and pump at the commanded pressure */
        const double by_window =
            b->passes_limit[l] * sqrt(fr_greater(b->command[l] - cylinder, 0.0));
        const double by_pump =
            d->pump_limit[l] *
            fr_greater(delivery(b, l, b->command_ratio[l], b->command[l], &inlet), 0.0);
        /* pressure: required = limit * available, where the pump's line crosses or at the limit */
        const double u = d->pressure_limit[l], c2 = b->passes[l] * b->passes[l];
        const double beta = -0.5 * c2 * u * line.per_slope;
        const double gamma = c2 * (u * (guess - line.at_guess * line.per_slope) - cylinder);
        const double crossing = fr_lane_root(beta, gamma);
        const double at_limit =
            b->passes[l] * sqrt(fr_greater(u * d->rail_limit[l] - cylinder, 0.0));
        b->rail_guess[l] = kept_guess(
            b, l, guess + (crossing - line.at_guess) * line.per_slope, inlet.pressure);
        const double delivered = fr_lesser(crossing, fr_greater(line.at_inlet, 0.0));
        /* whichever is least; its slope over the cylinder's pressure is -over/under */
        double fuel = by_pump, over = 0.0, under = 1.0;
        const double window2 = b->passes_limit[l] * b->passes_limit[l];
        over = by_window < fuel ? 0.5 * window2 : over;
        under = by_window < fuel ? by_window : under;
        fuel = fr_lesser(fuel, by_window);
        over = at_limit < fuel ? 0.5 * c2 : over;
        under = at_limit < fuel ? at_limit : under;
        fuel = fr_lesser(fuel, at_limit);
        over = delivered < fuel ? 0.5 * c2 : over;
        under = delivered < fuel ? crossing + beta : under;
        fuel = fr_lesser(fuel, delivered);
        b->direct_fuel[l] = fuel;
        b->direct_slope[l] =
            fuel > 0.0 ? -cylinder_slope * over / fr_greater(under, SOME_KG_S) : 0.0;
    }
}

/* ---- by a share that is given ---- */

/* Fuel at which required pressure is what the pump's line or the limit has; the cylinder's
 * pressure follows the fuel: p = fixed + slope * fuel. */
FR_SHARED void pressure_step(fr_block *b, const fr_inlet_rows *inlets, bool rail_moves) {
    const fr_draws *d = &b->draws;
    FR_EACH_LANE(l) {
        const double k = b->times[l], guess = b->rail_guess[l];
        const fr_inlet inlet = inlet_of(b, l, inlets);
        const double per_demand = b->per_direct_demand[l];
        const double slope_k = OVER_MANIFOLD * fr_manifold_slope(b, l, k);
        const double fixed = OVER_MANIFOLD * fr_manifold(b, l, k) - slope_k * k;
        const double per_fuel = slope_k * per_demand;
        const fr_delivery_line line = delivery_line(b, l, guess, &inlet);
        const double c2 = b->passes[l] * b->passes[l];
        const double beta = 0.5 * c2 * (per_fuel - line.per_slope);
        const double gamma = c2 * (guess - line.at_guess * line.per_slope - fixed);
        const double crossing = fr_lane_root(beta, gamma);
        const double at_limit =
            fr_lane_root(0.5 * c2 * per_fuel, c2 * (d->rail_limit[l] - fixed));
        b->rail_guess[l] = kept_guess(
            b, l, guess + (crossing - line.at_guess) * line.per_slope, inlet.pressure);
        const double delivered = fr_lesser(crossing, fr_greater(line.at_inlet, 0.0));
        const double fuel = fr_lesser(delivered, at_limit);
        const double times = fuel * per_demand;
        /* where the pump decides, so does its inlet: d fuel/d inlet = of delivery * over/under */
        const double over = -0.5 * c2 * line.per_slope * delivery_per_inlet(b, l, guess, &inlet);
        const double under = sqrt(beta * beta + fr_greater(gamma, 0.0));
        const double per_under = under > 0.0 ? 1.0 / under : 0.0;
        const double follows = over * b->rail_slope[l] * per_demand * per_under;
        const double further = fr_lesser(fr_greater(follows, -0.5), 0.5);
        const double taken = fuel < crossing ? 0.0 : further;
        const double next = rail_moves ? times + (times - k) * taken : times;
        b->times[l] = per_demand > 0.0 ? next : INFINITY;
    }
}

FR_CLONES void fr_direct_pressure_step(fr_block *b, fr_rail_source source, size_t speed) {
    fr_inlet_rows inlets;
    (void)speed;
    fr_rail_at(b, source, b->times);
    put_inlet_density(b, source, &inlets);
    if (inlet_is_constant(b, source)) {
        pressure_step(b, &inlets, false);
    } else {
        pressure_step(b, &inlets, true);
    }
}

FR_CLONES void fr_direct_injector_times(fr_block *b) {
    FR_EACH_LANE(l) {
        const double per_demand = b->per_direct_demand[l];
        const double c2 = b->passes[l] * b->passes[l];
        const double following = fr_lane_root(
            0.5 * c2 * OVER_MANIFOLD * b->manifold_slope[l] * per_demand,
            c2 * (b->command[l] - OVER_MANIFOLD * b->manifold_fixed[l]));
        const double least = OVER_MANIFOLD * b->manifold_least[l];
        const double at_least = b->passes[l] * sqrt(fr_greater(b->command[l] - least, 0.0));
        b->times[l] = per_demand > 0.0 ? fr_lesser(following, at_least) * per_demand : INFINITY;
    }
}

/* The rail moves with the fuel, and the inlet's pressure with it. */
FR_INLINE void high_pressure_step(fr_block *b, const fr_inlet_rows *inlets) {
    FR_EACH_LANE(l) {
        const fr_inlet inlet = inlet_of(b, l, inlets);
        const double k = b->times[l], per_demand = b->per_direct_demand[l];
        const double fuel = delivery(b, l, b->command_ratio[l], b->command[l], &inlet);
        const double slope = delivery_per_inlet(b, l, b->command[l], &inlet) * b->rail_slope[l] * per_demand;
        const double times = k + (fuel * per_demand - k) / (1.0 - fr_lesser(slope, 0.5));
        b->times[l] = per_demand > 0.0 ? fr_greater(times, 0.0) : INFINITY;
    }
}

FR_CLONES void fr_high_pressure_step(fr_block *b, fr_rail_source source, size_t speed) {
    fr_inlet_rows inlets;
    (void)speed;
    fr_rail_at(b, source, b->times);
    put_inlet_density(b, source, &inlets);
    high_pressure_step(b, &inlets);
}

/* ---- whether a stage holds ---- */

/* The pressure before the injectors that passes so much fuel into the cylinder at its pressure,
 * `allowed` being the use of the pressure that is allowed. */
FR_INLINE double pressure_for(const fr_block *b, int l, double fuel, double cylinder,
                              double allowed) {
    const double c2 = b->passes[l] * b->passes[l];
    return (cylinder * c2 + fuel * fuel) / (c2 * allowed);
}

/* Whether the pump delivers that much at a pressure within the rail's limit. It delivers least at the
 * limit, where the density is known: `quick` asks no more than that. */
FR_INLINE bool delivers(const fr_block *b, int l, double fuel, double pressure,
                        const fr_inlet *inlet, bool quick) {
    const double limit = b->draws.rail_limit[l];
    const double at = quick ? limit : fr_greater(pressure, inlet->pressure);
    const double ratio = quick ? b->limit_ratio[l] : ratio_at(b, l, at);
    return (pressure <= limit) & (delivery(b, l, ratio, at, inlet) >= fuel);
}

FR_SHARED bool pressure_holds(const fr_block *b, const fr_inlet_rows *inlets, bool quick,
                              const double *least, double margin, double *done) {
    FR_EACH_LANE(l) {
        const double k = least[l], fuel = b->direct_demand[l] * k * margin;
        const fr_inlet inlet = inlet_of(b, l, inlets);
        const double pressure =
            pressure_for(b, l, fuel, OVER_MANIFOLD * fr_manifold(b, l, k), 1.0);
        const bool holds = delivers(b, l, fuel, pressure, &inlet, quick);
        done[l] = (holds | (fuel <= 0.0)) ? 1.0 : 0.0;
    }
    return fr_count_below(done, 1.0) == 0;
}

FR_CLONES bool fr_direct_pressure_holds(fr_block *b, fr_rail_source source, const double *least,
                                        double margin, double *done) {
    fr_inlet_rows inlets;
    put_inlet_density(b, source, &inlets);
    return pressure_holds(b, &inlets, true, least, margin, done) ||
           pressure_holds(b, &inlets, false, least, margin, done);
}

/* `done`: lanes in which the ports alone do. */
FR_SHARED bool carries_rest(const fr_block *b, const fr_inlet_rows *inlets, bool quick,
                            const double *least, double margin, double *done) {
    const fr_draws *d = &b->draws;
    FR_EACH_LANE(l) {
        const double k = least[l], all = b->demand[l] * k * margin;
        const double rest = fr_greater(all - sqrt(b->ports_squared[l]), 0.0);
        /* below a least share the ports would carry all, and they do not */
        const double fuel = fr_greater(rest, FR_LEAST_AUTOMATIC_SHARE * all);
        const fr_inlet inlet = inlet_of(b, l, inlets);
        const double cylinder = OVER_MANIFOLD * fr_manifold(b, l, k);
        const double window2 = b->passes_limit[l] * b->passes_limit[l];
        const double pressure = pressure_for(b, l, fuel, cylinder, d->pressure_limit[l]);
        /* at the command the pump delivers no less than at the limit */
        const double at = quick ? d->rail_limit[l] : b->command[l];
        const double ratio = quick ? b->limit_ratio[l] : b->command_ratio[l];
        const bool by_window = window2 * (b->command[l] - cylinder) >= fuel * fuel;
        const bool by_pump = d->pump_limit[l] * delivery(b, l, ratio, at, &inlet) >= fuel;
        const bool by_pressure = delivers(b, l, fuel, pressure, &inlet, quick);
        done[l] = fr_greater(done[l], (by_window & by_pump & by_pressure) ? 1.0 : 0.0);
    }
    return fr_count_below(done, 1.0) == 0;
}

FR_CLONES bool fr_direct_carries_rest(fr_block *b, fr_rail_source source, const double *least,
                                      double margin, double *done) {
    fr_inlet_rows inlets;
    put_inlet_density(b, source, &inlets);
    if (carries_rest(b, &inlets, true, least, margin, done)) {
        return true;
    }
    fr_direct_at_command(b);
    return carries_rest(b, &inlets, false, least, margin, done);
}
