/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "reference/compare.h"

#include "support.h"

static const double point_tolerance = 1e-8;
static const double capacity_tolerance = 1e-8;
static const double ethanol_tolerance = 1.1e-3; /* the highest blend is solved to 0.1 % */
static const double shown_most = 10.0;          /* uses are capped there */

/* A figure of fr_point: where it is, and what counts as nearly nothing of it. */
typedef struct figure {
    const char *name;
    size_t offset;
    double floor;
} figure;

#define FIGURE(name, floor)                                                                        \
    { #name, offsetof(fr_point, name), (floor) }
static const figure always[] = {
    FIGURE(speed_rpm, 1.0),          FIGURE(power_w, 1.0),
    FIGURE(crank_power_w, 1.0),      FIGURE(bsfc_kg_j, 1e-9),
    FIGURE(fuel_kg_s, 1e-6),         FIGURE(fuel_m3_s, 1e-9),
    FIGURE(air_kg_s, 1e-6),          FIGURE(air_per_power_kg_j, 1e-9),
    FIGURE(manifold_abs_pa, 1e3),    FIGURE(volumetric_efficiency, 1e-3),
    FIGURE(set_gauge_pa, 1e3),       FIGURE(lift_available_m3_s, 1e-6),
    FIGURE(lift_needed_m3_s, 1e-6),  FIGURE(lift_headroom, 1.0),
    FIGURE(pump_rise_pa, 1e3),       FIGURE(pump_voltage_v, 1.0),
    FIGURE(pump_current_a, 1.0),     FIGURE(greatest_current_a, 1.0),
    FIGURE(line_flow_m3_s, 1e-6),    FIGURE(line_loss_pa, 1e2),
    FIGURE(feed_gauge_pa, 1e4),      FIGURE(feed_abs_pa, 1e4),
    FIGURE(vapour_pressure_pa, 1e2), FIGURE(inlet_vapour_pressure_pa, 1e2),
    FIGURE(direct_share, 1e-2),
};
static const figure of_port[] = {
    FIGURE(port_fuel_kg_s, 1e-5),   FIGURE(port_drop_pa, 1e4),  FIGURE(port_static_kg_s, 1e-6),
    FIGURE(port_dead_time_s, 1e-5), FIGURE(port_pulse_s, 1e-5), FIGURE(port_duty, 1e-2),
};
static const figure of_direct[] = {
    FIGURE(direct_fuel_kg_s, 1e-5),      FIGURE(direct_mass_kg, 1e-8),
    FIGURE(direct_time_s, 1e-5),         FIGURE(cylinder_abs_pa, 1e3),
    FIGURE(direct_required_pa, 1e5),     FIGURE(direct_available_pa, 1e5),
    FIGURE(direct_held_pa, 1e5),         FIGURE(direct_margin_pa, 1e7),
    FIGURE(direct_command_pa, 1e5),      FIGURE(direct_limit_pa, 1e5),
    FIGURE(direct_static_kg_s, 1e-6),    FIGURE(direct_angle_deg, 1.0),
    FIGURE(direct_window_deg, 1.0),      FIGURE(hp_fill, 1e-2),
    FIGURE(hp_inlet_density_kg_m3, 1.0), FIGURE(hp_density_kg_m3, 1.0),
    FIGURE(hp_delivery_kg_s, 1e-5),      FIGURE(hp_headroom, 1.0),
    FIGURE(hp_short_kg_s, 1e-5),
};
#undef FIGURE

static double off(double ours, double theirs, double floor) {
    if ((isnan(ours) && isnan(theirs)) || ours == theirs) {
        return 0.0;
    }
    const double difference = fabs(ours - theirs) / fmax(floor, fabs(theirs));
    return isnan(difference) ? INFINITY : difference;
}

static void complain(ref_comparison *c, const char *place, const char *name, double ours,
                     double theirs) {
    c->failures++;
    if (c->failures <= 60) {
        print_error("%s, %s, %s: ours %.10g, reference %.10g\n", c->build, place, name, ours,
                    theirs);
    }
}

static void compare(ref_comparison *c, const char *place, const char *name, double ours,
                    double theirs, double floor) {
    const double difference = off(ours, theirs, floor);
    c->figures++;
    if (difference > point_tolerance) {
        complain(c, place, name, ours, theirs);
    } else if (difference > c->worst_point) {
        c->worst_point = difference;
        snprintf(c->worst_point_is, sizeof c->worst_point_is, "%.60s, %.30s, %.30s", c->build,
                 place, name);
    }
}

static void compare_capacity(ref_comparison *c, const char *place, const char *name, double ours,
                             double theirs, double floor) {
    const double difference = off(ours, theirs, floor);
    c->figures++;
    if (difference > capacity_tolerance) {
        complain(c, place, name, ours, theirs);
    } else if (difference > c->worst_capacity) {
        c->worst_capacity = difference;
        snprintf(c->worst_capacity_is, sizeof c->worst_capacity_is, "%.60s, %.30s, %.30s", c->build,
                 place, name);
    }
}

static void compare_same(ref_comparison *c, const char *place, const char *name, int ours,
                         int theirs) {
    c->figures++;
    if (ours != theirs) {
        complain(c, place, name, ours, theirs);
    }
}

static void compare_figures(ref_comparison *c, const char *place, const fr_point *ours,
                            const fr_point *theirs, const figure *figures, size_t count) {
    for (size_t i = 0; i < count; i++) {
        const double our = *(const double *)(const void *)((const char *)ours + figures[i].offset);
        const double their =
            *(const double *)(const void *)((const char *)theirs + figures[i].offset);
        compare(c, place, figures[i].name, our, their, figures[i].floor);
    }
}

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

static void compare_point(ref_comparison *c, const char *place, const fr_point *ours,
                          const fr_point *theirs, const ref_blend_result *reference) {
    char name[64];
    compare_figures(c, place, ours, theirs, always, COUNT(always));
    if (!isnan(theirs->port_drop_pa)) {
        compare_figures(c, place, ours, theirs, of_port, COUNT(of_port));
    }
    if (!isnan(theirs->direct_command_pa)) {
        compare_figures(c, place, ours, theirs, of_direct, COUNT(of_direct));
    }
    compare_same(c, place, "airflow_doubtful", ours->airflow_doubtful, theirs->airflow_doubtful);
    compare_same(c, place, "air_per_power_doubtful", ours->air_per_power_doubtful,
                 theirs->air_per_power_doubtful);
    for (size_t i = 0; i < reference->stage_count; i++) {
        const fr_stage s = reference->stages[i].stage;
        snprintf(name, sizeof name, "use of %s", fr_stage_name(s));
        compare(c, place, name, ours->use[s], fmin(shown_most, theirs->use[s]), 1e-2);
        snprintf(name, sizeof name, "capacity of %s", fr_stage_name(s));
        compare_capacity(c, place, name, ours->capacity_kg_s[s], theirs->capacity_kg_s[s], 1e-4);
        snprintf(name, sizeof name, "clear capacity of %s", fr_stage_name(s));
        compare_capacity(c, place, name, ours->clear_capacity_kg_s[s],
                         theirs->clear_capacity_kg_s[s], 1e-4);
    }
}

static void compare_stage(ref_comparison *c, const char *blend, const fr_stage_result *ours,
                          const fr_stage_result *theirs) {
    char place[64];
    snprintf(place, sizeof place, "%s, %s", blend, fr_stage_name(theirs->stage));
    compare_same(c, place, "stage", (int)ours->stage, (int)theirs->stage);
    compare_same(c, place, "verdict", (int)ours->verdict, (int)theirs->verdict);
    compare(c, place, "use", ours->use, fmin(shown_most, theirs->use), 1e-2);
    compare(c, place, "limit", ours->limit, theirs->limit, 1e-2);
    compare(c, place, "end", ours->end, theirs->end, 1e-2);
    compare(c, place, "worst_rpm", ours->worst_rpm, theirs->worst_rpm, 1.0);
    compare(c, place, "first_short_rpm", ours->first_short_rpm, theirs->first_short_rpm, 1.0);
    compare_capacity(c, place, "reach", ours->reach_w, theirs->reach_w, 1e3);
    compare_capacity(c, place, "clear-to", ours->clear_to_w, theirs->clear_to_w, 1e3);
    compare_capacity(c, place, "spare", ours->spare, theirs->spare, 1.0);
    compare_same(c, place, "no power mends", ours->no_power_mends, theirs->no_power_mends);
    compare_same(c, place, "no power clears", ours->no_power_clears, theirs->no_power_clears);
    compare_same(c, place, "ruled by share", ours->ruled_by_share, theirs->ruled_by_share);
    compare_same(c, place, "mendable by command", ours->mendable_by_command,
                 theirs->mendable_by_command);
}

void ref_compare_blend(ref_comparison *c, const fr_blend_result *ours,
                       const ref_blend_result *reference) {
    char blend[24], place[64];
    snprintf(blend, sizeof blend, "E%.3g", 100.0 * reference->ethanol);
    compare_same(c, blend, "points", (int)ours->point_count, (int)reference->point_count);
    compare_same(c, blend, "stages", (int)ours->stage_count, (int)reference->stage_count);
    if (ours->point_count != reference->point_count ||
        ours->stage_count != reference->stage_count) {
        return;
    }
    for (size_t i = 0; i < reference->point_count; i++) {
        snprintf(place, sizeof place, "%s, %.6g rpm", blend, reference->points[i].speed_rpm);
        compare_point(c, place, &ours->points[i], &reference->points[i], reference);
    }
    for (size_t i = 0; i < reference->stage_count; i++) {
        compare_stage(c, blend, &ours->stages[i], &reference->stages[i]);
    }
    compare_same(c, blend, "verdict", (int)ours->verdict, (int)reference->verdict);
    compare_same(c, blend, "weakest", (int)ours->weakest, (int)reference->weakest);
    compare_same(c, blend, "doubtful", ours->doubtful, reference->doubtful);
    compare(c, blend, "target", ours->target_power_w, reference->target_power_w, 1.0);
    compare_capacity(c, blend, "reach", ours->reach_w, reference->reach_w, 1e3);
    compare_capacity(c, blend, "clear-to", ours->clear_to_w, reference->clear_to_w, 1e3);
}

static void compare_ethanol(ref_comparison *c, const char *name, double ours, double theirs) {
    const bool same = (isnan(ours) && isnan(theirs)) || fabs(ours - theirs) <= ethanol_tolerance;
    c->figures++;
    if (!same) {
        complain(c, "highest blend", name, ours, theirs);
    }
}

void ref_compare_highest(ref_comparison *c, const fr_highest_blend *ours,
                         const fr_highest_blend *reference) {
    compare_ethanol(c, "ethanol", ours->ethanol, reference->ethanol);
    compare_ethanol(c, "clear to", ours->clear_to, reference->clear_to);
    compare_same(c, "highest blend", "has limit", ours->has_limit, reference->has_limit);
    compare_same(c, "highest blend", "whole range", ours->whole_range, reference->whole_range);
    if (reference->has_limit) {
        compare_same(c, "highest blend", "limited by", (int)ours->limited_by,
                     (int)reference->limited_by);
    }
}
