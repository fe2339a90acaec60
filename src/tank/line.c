/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How the new blend travels from tank to engine. */
#include "tank/line.h"

#include <math.h>

#include "fuelreach/check.h"

static const double PI = 3.14159265358979323846;
static const double FIRST_CHANGE = 0.05; /* common practice, no source */
static const double SETTLED = 0.95;      /* common practice, no source */
static const double RE_LAMINAR = 2300.0; /* below, a pipe's flow stays laminar (Reynolds) */
static const double TAYLOR = 10.1;       /* axial dispersion over radius and shear velocity */
static const double HOSE_ROUGHNESS_M = 1.5e-6; /* as the build sheet's default line */

enum { GRID = 800 };
static const double GRID_CONTENTS = 6.0; /* line contents that the grid spans */

double fr_tank_line_share(double theta, double peclet) {
    if (theta <= 0.0)
        return 0.0;
    if (peclet > 0.0)
        return 0.5 * erfc((1.0 - theta) / (2.0 * sqrt(theta / peclet)));
    return theta <= 0.5 ? 0.0 : 1.0 - 0.25 / (theta * theta);
}

/* Line contents after which `share` of the new blend comes out. */
static double contents_until(double share, double peclet) {
    double low = 0.0;
    double high = 1.0;
    while (fr_tank_line_share(high, peclet) < share)
        high *= 2.0;
    for (int i = 0; i < 100; i++) {
        const double middle = 0.5 * (low + high);
        if (fr_tank_line_share(middle, peclet) < share)
            low = middle;
        else
            high = middle;
    }
    return 0.5 * (low + high);
}

/* Length over (dispersion/velocity) in turbulent flow; 0 where laminar or unknown. */
static double line_peclet(const fr_tank_ask *ask, double ethanol, fr_tank_transit *transit) {
    const fr_tank_line *line = &ask->line;
    const double area = 0.25 * PI * line->bore_m * line->bore_m;
    const fr_blend blend = fr_blend_make(&ask->gasoline, ethanol);
    const double flow = line->burn_m3_s + line->return_m3_s;
    if (!(line->burn_m3_s > 0.0)) {
        transit->reynolds = NAN;
        return 0.0;
    }
    transit->reynolds = flow / area * line->bore_m * fr_blend_density(&blend, ask->temperature_c) /
                        fr_blend_viscosity(&blend, ask->temperature_c);
    transit->turbulent = transit->reynolds > RE_LAMINAR;
    if (!transit->turbulent)
        return 0.0;
    const double friction =
        fr_friction_factor(transit->reynolds, HOSE_ROUGHNESS_M / line->bore_m);
    return line->volume_m3 / area / (TAYLOR * 0.5 * line->bore_m * sqrt(friction / 8.0));
}

/* The blend at the engine over time while part of the line's old fuel goes back into a
 * well-stirred tank: what comes out is the tank's past, weighted by the line's share. */
static double watch_return(const fr_tank_ask *ask, double peclet, double tank_m3, double share,
                           double before, double outlet[GRID + 1]) {
    const fr_tank_line *line = &ask->line;
    const double flow = line->burn_m3_s + line->return_m3_s;
    const double step_s = GRID_CONTENTS * line->volume_m3 / flow / GRID;
    double tank[GRID + 1];
    double gone[GRID + 1]; /* share of the line replaced after so many steps */
    for (size_t i = 0; i <= GRID; i++)
        gone[i] = fr_tank_line_share(GRID_CONTENTS * (double)i / GRID, peclet);
    tank[0] = share;
    outlet[0] = before;
    for (size_t i = 1; i <= GRID; i++) {
        double seen = before * (1.0 - gone[i]);
        for (size_t j = 0; j < i; j++)
            seen += tank[j] * (gone[i - j] - gone[i - j - 1]);
        outlet[i] = seen;
        const double left = tank_m3 - line->burn_m3_s * step_s * (double)i;
        const double stirred = left > 0.0 ? line->return_m3_s * step_s / left : 1.0;
        tank[i] = tank[i - 1] + (seen - tank[i - 1]) * (stirred < 1.0 ? stirred : 1.0);
    }
    return tank[GRID];
}

/* First and last passage of the grid through the shares that count. */
static void read_grid(const double outlet[GRID + 1], double before, double after,
                      double *first_contents, double *settled_contents) {
    const double way = after - before;
    size_t first = 0;
    while (first < GRID && fabs(outlet[first] - before) < FIRST_CHANGE * fabs(way))
        first++;
    size_t last = GRID;
    while (last > 0 && fabs(outlet[last] - after) <= (1.0 - SETTLED) * fabs(way))
        last--;
    *first_contents = GRID_CONTENTS * (double)first / GRID;
    *settled_contents = GRID_CONTENTS * (double)(last < GRID ? last + 1 : GRID) / GRID;
}

fr_tank_transit fr_tank_follow(const fr_tank_ask *ask, const fr_tank_scale *scale,
                               fr_tank_content now, double before) {
    const fr_tank_line *line = &ask->line;
    fr_tank_transit transit = {.known = true, .volume_m3 = line->volume_m3, .old_ethanol = before};
    const double after = fr_tank_content_ethanol(scale, now);
    const double peclet = line_peclet(ask, after, &transit);
    double first = contents_until(FIRST_CHANGE, peclet);
    double settled = contents_until(SETTLED, peclet);
    transit.new_ethanol = after;
    if (line->return_m3_s > 0.0 && fabs(after - before) > 0.0) {
        double outlet[GRID + 1];
        const double old_share = fr_tank_share(scale, before);
        const double end = watch_return(ask, peclet, fr_tank_volume(now),
                                        fr_tank_share(scale, after), old_share, outlet);
        read_grid(outlet, old_share, end, &first, &settled);
        transit.new_ethanol = fr_tank_ethanol(scale, end);
    }
    transit.changes = fabs(transit.new_ethanol - before) >= fr_tank_sensor_error();
    const double flow = line->burn_m3_s + line->return_m3_s;
    const bool timed = line->burn_m3_s > 0.0;
    transit.plug_s = timed ? line->volume_m3 / flow : NAN;
    transit.first_change_s = first * transit.plug_s;
    transit.settled_s = settled * transit.plug_s;
    transit.fuel_m3 = settled * line->volume_m3;
    transit.burned_m3 = timed ? transit.fuel_m3 * line->burn_m3_s / flow : transit.fuel_m3;
    const bool far = line->burn_m3_per_m > 0.0 && !(line->return_m3_s > 0.0);
    transit.first_change_m = far ? first * line->volume_m3 / line->burn_m3_per_m : NAN;
    transit.settled_m = far ? transit.fuel_m3 / line->burn_m3_per_m : NAN;
    return transit;
}
